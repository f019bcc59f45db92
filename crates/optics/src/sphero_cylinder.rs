//! A computed power with its two principal meridians.

use core::f64::consts::{FRAC_PI_2, PI};

use units::maths::{sin_deg, sq};
use units::{Angle, Dioptre, Working, step};

/// A sphere and a cylinder: the power is `sphere` along the axis and `sphere + cylinder` across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpheroCylinder {
    /// Power along the axis, D.
    pub sphere: Dioptre,
    /// What is added across the axis, D; either sign, zero for a sphere.
    pub cylinder: Dioptre,
    /// Direction of the axis, above 0 up to 180 degrees when made by [`SpheroCylinder::new`].
    pub axis: Angle,
}

impl SpheroCylinder {
    /// No power.
    pub const PLANO: Self = Self::spherical(Dioptre::ZERO);

    /// With the axis brought into (0, 180] degrees.
    #[must_use]
    pub fn new(sphere: Dioptre, cylinder: Dioptre, axis: Angle) -> Self {
        Self { sphere, cylinder, axis: within_half_turn(axis) }
    }

    /// A sphere; its axis is put at 180 degrees.
    #[must_use]
    pub const fn spherical(sphere: Dioptre) -> Self {
        Self { sphere, cylinder: Dioptre::ZERO, axis: Angle::from_rad(PI) }
    }

    /// From the powers along and across an axis.
    #[must_use]
    pub fn from_principal(along: Dioptre, across: Dioptre, axis: Angle) -> Self {
        Self::new(along, across - along, axis)
    }

    /// Power across the axis, D.
    #[must_use]
    pub fn across(self) -> Dioptre {
        self.sphere + self.cylinder
    }

    /// Mean of the two principal powers, S + C/2, D.
    #[must_use]
    pub fn spherical_equivalent(self) -> Dioptre {
        self.sphere + self.cylinder / 2.0
    }

    /// The other form of the same power: sphere plus cylinder, cylinder with the other sign, axis turned by 90 degrees.
    ///
    /// Source: NFOS course OPT 11 module 8c, <http://www.nfos.org/degree/opt11/module_08c.html>.
    #[must_use]
    pub fn transposed(self) -> Self {
        Self::new(self.across(), -self.cylinder, self.axis + Angle::from_rad(FRAC_PI_2))
    }

    /// The form whose cylinder is negative or zero.
    #[must_use]
    pub fn minus_form(self) -> Self {
        if self.cylinder > Dioptre::ZERO { self.transposed() } else { self }
    }

    /// The form whose cylinder is positive or zero.
    #[must_use]
    pub fn plus_form(self) -> Self {
        if self.cylinder < Dioptre::ZERO { self.transposed() } else { self }
    }

    /// Power in a meridian, D: S + C sin²(meridian − axis).
    ///
    /// In an oblique meridian light is also bent sideways; [`crate::PowerMatrix`] has both.
    ///
    /// Source: NFOS course OPT 11 module 10, <http://www.nfos.org/degree/opt11/practice_answers_10a.html>.
    pub fn power_in(self, w: &mut Working, meridian: Angle) -> Dioptre {
        let (sphere, cylinder) = (self.sphere.dioptres(), self.cylinder.dioptres());
        let (axis, meridian) = (self.axis.deg(), meridian.deg());
        Dioptre::new(step!(w, power_in_meridian = sphere + cylinder * sq(sin_deg(meridian - axis));
            sphere["D"], cylinder["D"], meridian["degrees"], axis["degrees"];
            "D", "power in a meridian, S + C sin2: NFOS course OPT 11 module 10"))
    }
}

/// The same axis above 0, up to half a turn.
fn within_half_turn(axis: Angle) -> Angle {
    let rad = axis.rad() % PI;
    let rad = if rad <= 0.0 { rad + PI } else { rad };
    // A tiny positive angle below zero's neighbour rounds to PI itself, never above.
    Angle::from_rad(if rad > PI { PI } else { rad })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(crate) fn any_sphero_cylinder() -> impl Strategy<Value = SpheroCylinder> {
        (-20.0f64..20.0, -8.0f64..8.0, 0.0f64..360.0)
            .prop_map(|(s, c, a)| SpheroCylinder::new(Dioptre::new(s), Dioptre::new(c), Angle::from_deg(a)))
    }

    /// Smallest angle between two axes, radians.
    pub(crate) fn apart(a: Angle, b: Angle) -> f64 {
        let between = (a.rad() - b.rad()).abs() % PI;
        between.min(PI - between)
    }

    #[test]
    fn an_axis_lies_above_0_up_to_180() {
        for (deg, want) in [(0.0, 180.0), (180.0, 180.0), (-90.0, 90.0), (270.0, 90.0), (-1e-18, 180.0)] {
            let made = SpheroCylinder::new(Dioptre::ZERO, Dioptre::new(-1.0), Angle::from_deg(deg));
            assert!((made.axis.deg() - want).abs() < 1e-12, "{deg}");
        }
    }

    proptest! {
        #[test]
        fn transposing_twice_is_the_identity(p in any_sphero_cylinder()) {
            let twice = p.transposed().transposed();
            prop_assert!((twice.sphere - p.sphere).abs().dioptres() < 1e-12);
            prop_assert_eq!(twice.cylinder, p.cylinder);
            prop_assert!(apart(twice.axis, p.axis) < 1e-12);
        }

        #[test]
        fn both_forms_have_one_power_in_every_meridian(p in any_sphero_cylinder(), deg in 0.0f64..360.0) {
            let mut w = Working::off();
            let meridian = Angle::from_deg(deg);
            let (a, b) = (p.power_in(&mut w, meridian), p.transposed().power_in(&mut w, meridian));
            prop_assert!((a - b).abs().dioptres() < 1e-11);
        }
    }
}
