//! What is taken where a blank's label leaves a figure open: usual values, named, with their spread.

use job::Material;
use job::rules::Doubt;
use optics::SpheroCylinder;
use units::{Dioptre, Mm, Working};

use crate::body::{Given, Surfacing};
use crate::torus::TorusForm;

/// A value taken for one that is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// The value taken.
    pub value: f64,
    /// Why this one, as a sentence's end.
    pub why: String,
    /// Lowest value that is still likely.
    pub low: f64,
    /// Highest value that is still likely.
    pub high: f64,
}

/// A usual front curve on 1.530 for a power: Vogel's rule on the spherical equivalent, never flatter than plane.
#[must_use]
pub fn assumed_front_curve(power: SpheroCylinder, either_way_d: f64) -> Assumption {
    let usual = optics::curves::vogel(&mut Working::off(), power.spherical_equivalent()).dioptres();
    let value = usual.max(0.0);
    Assumption {
        value,
        why: format!(
            "Vogel's rule for {:+.2} D; makers differ by {either_way_d:.2} D",
            power.spherical_equivalent().dioptres()
        ),
        low: (value - either_way_d).max(0.0),
        high: value + either_way_d,
    }
}

/// Centre thickness of a plus blank whose thinnest edge at its nominal rim is the given one: of the meridian with the most
/// plus power, exact sagittas. None where a surface ends before the rim.
fn ground_to_edge(power: SpheroCylinder, index: f64, front_true: Dioptre, nominal: Mm, edge: Mm) -> Option<f64> {
    let most = power.sphere.max(power.across());
    let surfacing = Surfacing {
        power: SpheroCylinder::spherical(most),
        index,
        given: Given::Front(front_true),
        form: TorusForm::Tyre,
        ground: optics::Prism::NONE,
    };
    let radius = nominal.mm() / 2.0;
    let rim = |centre: f64| {
        let lens = surfacing.lens(&mut Working::off(), Mm::new(centre)).ok()?;
        Some(lens.thickness_along_axis(radius, 0.0)? - edge.mm())
    };
    let mut centre = edge.mm();
    for _ in 0..50 {
        let over = rim(centre)?;
        if over.abs() < 1e-9 {
            return Some(centre);
        }
        // The rim grows with the centre almost one for one.
        centre -= over;
    }
    None
}

/// A usual centre thickness: for minus and plano the material's least, for plus that of a blank ground to the rules' edge at
/// its nominal rim, but not below the material's least where nothing else is known of a weak plus.
#[must_use]
pub fn assumed_centre(
    power: SpheroCylinder,
    index: f64,
    front_1530: Dioptre,
    nominal: Mm,
    material: &Material,
    doubt: &Doubt,
) -> Assumption {
    let either_way = doubt.centre.mm();
    let least = material.least_centre.map_or(2.0, Mm::mm);
    let front = optics::curves::true_power_of_marked(&mut Working::off(), front_1530, index);
    let most = power.sphere.max(power.across());
    let plus = (most > Dioptre::ZERO)
        .then(|| ground_to_edge(power, index, front, nominal, doubt.plus_blank_edge))
        .flatten()
        .filter(|&centre| centre >= least);
    let (value, why) = match plus {
        Some(centre) => (
            centre,
            format!("a plus blank of {:.0} mm ground to {:.1} mm at its rim", nominal.mm(), doubt.plus_blank_edge.mm()),
        ),
        None => (least, format!("the usual least centre of {}", material.name)),
    };
    Assumption { value, why, low: (value - either_way).max(0.1), high: value + either_way }
}
