//! Curves of surfaces: radius, true power, the 1.530 scale of tools and lens measures, and a rule for a front curve.

use units::{Angle, Dioptre, Mm, Working, step};

use crate::SpheroCylinder;

/// The index for which tools, lens measures and frame curves are marked.
pub const TOOLING_INDEX: f64 = 1.530;

const RADIUS: &str = "radius of a surface, 1000 (n - 1)/F: NFOS course OPT 11 module 6";
const TOOLING: &str = "curves are marked for index 1.530: true power = marked x (n - 1)/0.530";
const VOGEL: &str = "Vogel's rule, a rule of thumb: plus SE + 6, minus SE/2 + 6";

/// Which surface of the lens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The surface away from the eye.
    Front,
    /// The surface towards the eye.
    Back,
}

/// Curvature of a surface, 1/mm; + has its centre on the eye side. A plane is zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Curvature(f64);

impl Curvature {
    /// A plane.
    pub const FLAT: Self = Self(0.0);

    /// From 1/mm.
    #[must_use]
    pub const fn per_mm(per_mm: f64) -> Self {
        Self(per_mm)
    }

    /// From a radius, + with its centre on the eye side; no radius is a plane, and so is a radius of zero, which no
    /// surface has.
    #[must_use]
    pub fn of_radius(radius: Option<Mm>) -> Self {
        match radius {
            Some(r) if r != Mm::ZERO => Self(1.0 / r.mm()),
            _ => Self::FLAT,
        }
    }

    /// In 1/mm.
    #[must_use]
    pub const fn in_per_mm(self) -> f64 {
        self.0
    }

    /// The radius, + with its centre on the eye side; a plane has none.
    #[must_use]
    pub fn radius(self) -> Option<Mm> {
        if self.0 == 0.0 { None } else { Some(Mm::new(1.0 / self.0)) }
    }
}

/// Radius of a surface from its true power in the lens's own index, mm, + with its centre on the eye side; a plane
/// has none.
///
/// Front: 1000 (n − 1)/F. Back: 1000 (1 − n)/F, so that a concave back, whose power is negative, has a positive radius.
///
/// Source: NFOS course OPT 11 module 6, <http://www.nfos.org/degree/opt11/practice_answers_06.html>.
pub fn surface_radius(w: &mut Working, face: Face, power: Dioptre, index: f64) -> Option<Mm> {
    let power = power.dioptres();
    if power == 0.0 {
        w.say(|| "A surface without power is a plane: it has no radius.".to_owned());
        return None;
    }
    let radius = match face {
        Face::Front => step!(w, front_radius = 1000.0 * (index - 1.0) / power; index[""], power["D"]; "mm", RADIUS),
        Face::Back => step!(w, back_radius = 1000.0 * (1.0 - index) / power; index[""], power["D"]; "mm", RADIUS),
    };
    Some(Mm::new(radius))
}

/// Curvature of a surface from its true power in the lens's own index; [`surface_radius`] turned over.
pub fn surface_curvature(w: &mut Working, face: Face, power: Dioptre, index: f64) -> Curvature {
    Curvature::of_radius(surface_radius(w, face, power, index))
}

/// True power of a surface in the lens's own index, D, from its curvature.
#[must_use]
pub fn surface_power(face: Face, curvature: Curvature, index: f64) -> Dioptre {
    let step_of_index = match face {
        Face::Front => index - 1.0,
        Face::Back => 1.0 - index,
    };
    Dioptre::new(1000.0 * step_of_index * curvature.in_per_mm())
}

/// True power, D, of a surface whose curve is marked on the 1.530 scale.
pub fn true_power_of_marked(w: &mut Working, marked: Dioptre, index: f64) -> Dioptre {
    let marked = marked.dioptres();
    Dioptre::new(step!(w, true_power = marked * (index - 1.0) / 0.53; marked["D"], index[""]; "D", TOOLING))
}

/// The curve on the 1.530 scale, D, of a surface with a true power: what a lens measure reads, what a tool is marked.
pub fn marked_curve_of_true(w: &mut Working, power: Dioptre, index: f64) -> Dioptre {
    let power = power.dioptres();
    Dioptre::new(step!(w, marked_curve = power * 0.53 / (index - 1.0); power["D"], index[""]; "D", TOOLING))
}

/// Thin-lens power from lens-measure readings: one of a spherical front, two of the back, the first of them along
/// `first`; in minus-cylinder form.
///
/// On the scale of the measure: [`true_power_of_marked`] brings the result to the lens's own index.
#[must_use]
pub fn power_of_readings(front: Dioptre, back_first: Dioptre, back_across: Dioptre, first: Angle) -> SpheroCylinder {
    SpheroCylinder::from_principal(front + back_first, front + back_across, first).minus_form()
}

/// Index of a thin lens from lens-measure readings of both surfaces in one meridian and its measured power.
///
/// n = 1 + F (n_measure − 1)/(sum of readings), `measure_index` being the one the measure is marked for. None where
/// the readings cancel: a lens without power tells nothing about its index.
#[must_use]
pub fn index_of_readings(front: Dioptre, back: Dioptre, measured: Dioptre, measure_index: f64) -> Option<f64> {
    let sum = front + back;
    if sum == Dioptre::ZERO { None } else { Some(1.0 + (measured / sum) * (measure_index - 1.0)) }
}

/// A front curve by Vogel's rule, D: spherical equivalent + 6 for plus, half of it + 6 for minus.
///
/// A rule of thumb for spheric single vision lenses, used as a *named assumption* where a shelf row leaves the curve
/// open; it is no fact about the lens.
///
/// Source: trade articles on choosing base curves; the minus form from memory.
pub fn vogel(w: &mut Working, spherical_equivalent: Dioptre) -> Dioptre {
    let equivalent = spherical_equivalent.dioptres();
    Dioptre::new(if equivalent < 0.0 {
        step!(w, front_curve = equivalent / 2.0 + 6.0; equivalent["D"]; "D", VOGEL)
    } else {
        step!(w, front_curve = equivalent + 6.0; equivalent["D"]; "D", VOGEL)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_plane_has_no_radius_and_no_power() {
        let mut w = Working::on();
        w.figure("", "radius");
        assert_eq!(surface_radius(&mut w, Face::Front, Dioptre::ZERO, 1.5), None);
        assert_eq!(surface_curvature(&mut w, Face::Back, Dioptre::ZERO, 1.5), Curvature::FLAT);
        assert_eq!(surface_power(Face::Back, Curvature::FLAT, 1.5), Dioptre::ZERO);
        assert_eq!(Curvature::FLAT.radius(), None);
        assert_eq!(w.steps("radius").map(<[_]>::len), Some(2));
    }

    #[test]
    fn the_centre_of_a_minus_back_lies_on_the_eye_side() {
        // NFOS course OPT 11 module 6: concave surface of 68 mm radius in 1.523 has -7.69 D.
        let power = surface_power(Face::Back, Curvature::of_radius(Some(Mm::new(68.0))), 1.523);
        assert!((power.dioptres() + 7.69).abs() < 0.0051);
    }

    #[test]
    fn readings_that_cancel_tell_no_index() {
        let d = Dioptre::new;
        assert_eq!(index_of_readings(d(6.0), d(-6.0), d(0.1), TOOLING_INDEX), None);
    }

    proptest! {
        #[test]
        fn power_and_radius_are_inverse(power in -25.0f64..25.0, index in 1.4f64..1.9, front in any::<bool>()) {
            prop_assume!(power.abs() > 1e-6);
            let face = if front { Face::Front } else { Face::Back };
            let curvature = surface_curvature(&mut Working::off(), face, Dioptre::new(power), index);
            prop_assert!((surface_power(face, curvature, index).dioptres() - power).abs() < 1e-12 * 25.0);
        }

        #[test]
        fn marked_and_true_are_inverse(power in -25.0f64..25.0, index in 1.4f64..1.9) {
            let w = &mut Working::off();
            let marked = marked_curve_of_true(w, Dioptre::new(power), index);
            prop_assert!((true_power_of_marked(w, marked, index).dioptres() - power).abs() < 1e-12 * 25.0);
        }
    }
}
