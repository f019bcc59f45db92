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
        conic: [0.0; 2],
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

#[cfg(test)]
mod tests {
    use super::*;
    use job::MaterialId;
    use optics::curves;

    const DOUBT: Doubt = Doubt {
        front_curve_d: 1.0,
        centre: Mm::new(0.3),
        plus_blank_edge: Mm::new(1.0),
        label_centre: Mm::new(0.3),
        label_curve_d: 0.75,
        read_centre: Mm::new(0.05),
        read_curve_d: 0.25,
    };

    fn resin() -> Material {
        Material {
            id: MaterialId::new("resin"),
            name: "resin".to_owned(),
            n_d: 1.498,
            n_e: None,
            abbe: 58.0,
            density_g_cm3: 1.32,
            least_centre: Some(Mm::new(2.0)),
            least_edge_bevelled: None,
            least_edge_grooved: None,
            least_edge_drilled: None,
            edging: None,
            family: job::process::LensFamily::Unknown,
            rough: None,
            finish: None,
            sources: String::new(),
        }
    }

    fn centre(sphere: f64, cylinder: f64, front_true: f64, nominal: f64) -> Assumption {
        let power = SpheroCylinder::new(Dioptre::new(sphere), Dioptre::new(cylinder), units::Angle::from_deg(20.0));
        let front = curves::marked_curve_of_true(&mut Working::off(), Dioptre::new(front_true), 1.498);
        assumed_centre(power, 1.498, front, Mm::new(nominal), &resin(), &DOUBT)
    }

    /// `reference/check-facts.toml`, thick.stock-plus-65 and -70: +3.00, index 1.498, front 7.00, 1.0 mm at the rim.
    #[test]
    fn a_plus_blank_is_ground_to_its_rim() {
        for (nominal, want) in [(65.0, 4.377), (70.0, 4.966)] {
            let found = centre(3.0, 0.0, 7.0, nominal);
            assert!((found.value - want).abs() < 0.002, "{found:?}");
            assert!((found.high - found.low - 0.6).abs() < 1e-12);
            // The meridian with the most plus has the thin rim, in whichever form the power is written.
            assert!((centre(3.0, -1.0, 7.0, nominal).value - found.value).abs() < 1e-12);
            assert!((centre(2.0, 1.0, 7.0, nominal).value - found.value).abs() < 1e-12);
        }
    }

    #[test]
    fn minus_plano_and_weak_plus_have_the_materials_least() {
        for sphere in [-4.0, 0.0, 0.12] {
            assert_eq!(centre(sphere, 0.0, 5.0, 65.0).value, 2.0, "{sphere}");
        }
    }

    #[test]
    fn a_front_curve_is_never_hollow() {
        // Vogel's rule by hand: -4.00 gives 4, +2.00 gives 8, -14.00 would give -1.
        for (sphere, want) in [(-4.0, 4.0), (2.0, 8.0), (-14.0, 0.0)] {
            let found = assumed_front_curve(SpheroCylinder::spherical(Dioptre::new(sphere)), 1.0);
            assert_eq!((found.value, found.high), (want, want + 1.0));
            assert_eq!(found.low, (want - 1.0).max(0.0));
        }
    }
}
