//! Powers as vectors, in which obliquely crossed cylinders simply add.

use core::f64::consts::PI;
use core::iter::Sum;
use core::ops::{Add, Neg, Sub};

use units::maths::hypot;
use units::{Angle, Dioptre};

use crate::SpheroCylinder;

/// A power as mean sphere and two cross-cylinders: M = S + C/2, J0 = −(C/2) cos 2A, J45 = −(C/2) sin 2A, D.
///
/// Source: L. N. Thibos, W. Wheeler, D. Horner, A vector method for the analysis of astigmatic refractive errors,
/// OSA Vision Science and Its Applications 2, 1994, pp. 14-17.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PowerVector {
    /// Mean sphere, D.
    pub m: Dioptre,
    /// Cross-cylinder with its axes along 180 and 90 degrees, D; + for a minus cylinder at 180.
    pub j0: Dioptre,
    /// Cross-cylinder with its axes along 45 and 135 degrees, D; + for a minus cylinder at 45.
    pub j45: Dioptre,
}

impl PowerVector {
    /// Blur strength: the length of the vector, D.
    #[must_use]
    pub fn blur(self) -> Dioptre {
        let (m, j0, j45) = (self.m.dioptres(), self.j0.dioptres(), self.j45.dioptres());
        Dioptre::new(hypot(hypot(m, j0), j45))
    }

    /// In minus-cylinder form; the axis of a sphere is 180 degrees.
    #[must_use]
    pub fn minus_form(self) -> SpheroCylinder {
        let (j0, j45) = (self.j0.dioptres(), self.j45.dioptres());
        let half = hypot(j0, j45);
        if half == 0.0 {
            return SpheroCylinder::spherical(self.m);
        }
        let axis = Angle::from_rad(libm::atan2(j45, j0) / 2.0);
        SpheroCylinder::new(self.m + Dioptre::new(half), Dioptre::new(-2.0 * half), axis)
    }
}

impl From<SpheroCylinder> for PowerVector {
    fn from(power: SpheroCylinder) -> Self {
        let half = -power.cylinder.dioptres() / 2.0;
        let twice = Angle::from_rad(2.0 * power.axis.rad());
        // At 180 degrees itself the sine of a rounded full turn would leave a trace of J45.
        let (sin, cos) = if power.axis.rad() == PI { (0.0, 1.0) } else { (twice.sin(), twice.cos()) };
        Self { m: power.spherical_equivalent(), j0: Dioptre::new(half * cos), j45: Dioptre::new(half * sin) }
    }
}

impl Add for PowerVector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { m: self.m + other.m, j0: self.j0 + other.j0, j45: self.j45 + other.j45 }
    }
}
impl Sub for PowerVector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}
impl Neg for PowerVector {
    type Output = Self;
    fn neg(self) -> Self {
        Self { m: -self.m, j0: -self.j0, j45: -self.j45 }
    }
}
impl Sum for PowerVector {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::default(), Add::add)
    }
}

/// The sum of thin powers in contact, cylinders crossed at any angle, in minus-cylinder form.
#[must_use]
pub fn sum_in_contact(powers: &[SpheroCylinder]) -> SpheroCylinder {
    powers.iter().copied().map(PowerVector::from).sum::<PowerVector>().minus_form()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphero_cylinder::tests::{any_sphero_cylinder, apart};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn there_and_back_is_the_minus_form(p in any_sphero_cylinder()) {
            let (want, got) = (p.minus_form(), PowerVector::from(p).minus_form());
            prop_assert!((want.sphere - got.sphere).abs().dioptres() < 1e-11);
            prop_assert!((want.cylinder - got.cylinder).abs().dioptres() < 1e-11);
            if p.cylinder.abs().dioptres() > 1e-3 {
                prop_assert!(apart(want.axis, got.axis) < 1e-9);
            }
        }

        #[test]
        fn both_forms_are_one_vector(p in any_sphero_cylinder()) {
            let apart = PowerVector::from(p) - PowerVector::from(p.transposed());
            prop_assert!(apart.blur().dioptres() < 1e-11);
        }

        #[test]
        fn a_power_and_its_opposite_are_plano(p in any_sphero_cylinder()) {
            let opposite = SpheroCylinder { sphere: -p.sphere, cylinder: -p.cylinder, axis: p.axis };
            let none = sum_in_contact(&[p, opposite]);
            prop_assert!(none.sphere.abs().dioptres() < 1e-12 && none.cylinder.abs().dioptres() < 1e-12);
        }
    }
}
