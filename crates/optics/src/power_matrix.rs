//! The power of a lens as the matrix that turns a place into a prism.

use core::ops::{Add, Sub};

use units::maths::{cos_deg, sin_deg, sq};
use units::{Dioptre, Working, step};

use crate::{PowerVector, SpheroCylinder};

/// A symmetric 2 x 2 matrix of powers, x to the viewer's right, y up: ((xx, xy), (xy, yy)), each in D.
///
/// xx = S + C sin²A, xy = −C sinA cosA, yy = S + C cos²A.
///
/// Source: M. Jalie, prismatic effects of astigmatic lenses, The Indian Optician, Nov-Dec 2024, pp. 133-134 (the same
/// in components); W. F. Long, 1976, for the matrix form, from memory.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerMatrix {
    /// Power along x, D.
    pub xx: Dioptre,
    /// What a step along x bends along y, and the reverse, D.
    pub xy: Dioptre,
    /// Power along y, D.
    pub yy: Dioptre,
}

const SOURCE: &str = "power matrix: M. Jalie, The Indian Optician, Nov-Dec 2024, pp. 133-134";

impl PowerMatrix {
    /// The matrix of a sphero-cylinder, each element a worked step.
    pub fn of(w: &mut Working, power: SpheroCylinder) -> Self {
        let (sphere, cylinder, axis) = (power.sphere.dioptres(), power.cylinder.dioptres(), power.axis.deg());
        let xx = step!(w, power_xx = sphere + cylinder * sq(sin_deg(axis));
            sphere["D"], cylinder["D"], axis["degrees"]; "D", SOURCE);
        let xy = step!(w, power_xy = 0.0 - cylinder * sin_deg(axis) * cos_deg(axis);
            cylinder["D"], axis["degrees"]; "D", SOURCE);
        let yy = step!(w, power_yy = sphere + cylinder * sq(cos_deg(axis));
            sphere["D"], cylinder["D"], axis["degrees"]; "D", SOURCE);
        Self { xx: Dioptre::new(xx), xy: Dioptre::new(xy), yy: Dioptre::new(yy) }
    }

    /// Back as a sphero-cylinder in minus-cylinder form; the axis of a sphere is 180 degrees.
    #[must_use]
    pub fn minus_form(self) -> SpheroCylinder {
        PowerVector { m: (self.xx + self.yy) / 2.0, j0: (self.xx - self.yy) / 2.0, j45: self.xy }.minus_form()
    }

    /// The same number in every meridian.
    #[must_use]
    pub const fn scalar(power: Dioptre) -> Self {
        Self { xx: power, xy: Dioptre::ZERO, yy: power }
    }

    /// Determinant, D².
    #[must_use]
    pub fn determinant(self) -> f64 {
        self.xx.dioptres() * self.yy.dioptres() - self.xy.dioptres() * self.xy.dioptres()
    }

    /// F (I + mF)⁻¹, D: F/(1 + mF) in all meridians at once, m in metres.
    ///
    /// With m = −t/n it is what a surface of power F sends to the far side of a thickness t of index n. F and I + mF
    /// share their principal meridians, so the result is symmetric again.
    #[must_use]
    pub(crate) fn carried(self, m: f64) -> Self {
        let (f, g, h) = (self.xx.dioptres(), self.xy.dioptres(), self.yy.dioptres());
        let (a, b, d) = (1.0 + m * f, m * g, 1.0 + m * h);
        let determinant = a * d - b * b;
        Self {
            xx: Dioptre::new((f * d - g * b) / determinant),
            xy: Dioptre::new((g * a - f * b) / determinant),
            yy: Dioptre::new((h * a - g * b) / determinant),
        }
    }
}

impl From<SpheroCylinder> for PowerMatrix {
    fn from(power: SpheroCylinder) -> Self {
        Self::of(&mut Working::off(), power)
    }
}

impl Add for PowerMatrix {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { xx: self.xx + other.xx, xy: self.xy + other.xy, yy: self.yy + other.yy }
    }
}
impl Sub for PowerMatrix {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { xx: self.xx - other.xx, xy: self.xy - other.xy, yy: self.yy - other.yy }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphero_cylinder::tests::{any_sphero_cylinder, apart};
    use proptest::prelude::*;
    use units::Angle;

    proptest! {
        #[test]
        fn there_and_back_is_the_minus_form(p in any_sphero_cylinder()) {
            let (want, got) = (p.minus_form(), PowerMatrix::from(p).minus_form());
            prop_assert!((want.sphere - got.sphere).abs().dioptres() < 1e-11);
            prop_assert!((want.cylinder - got.cylinder).abs().dioptres() < 1e-11);
            if p.cylinder.abs().dioptres() > 1e-3 {
                prop_assert!(apart(want.axis, got.axis) < 1e-9);
            }
        }

        #[test]
        fn the_quadratic_form_is_the_power_in_the_meridian(p in any_sphero_cylinder(), deg in 0.0f64..180.0) {
            let meridian = Angle::from_deg(deg);
            let (c, s) = (meridian.cos(), meridian.sin());
            let m = PowerMatrix::from(p);
            let power = m.xx * (c * c) + m.xy * (2.0 * c * s) + m.yy * (s * s);
            prop_assert!((power - p.power_in(&mut Working::off(), meridian)).abs().dioptres() < 1e-11);
        }

        #[test]
        fn the_determinant_is_the_product_of_the_principal_powers(p in any_sphero_cylinder()) {
            let product = p.sphere.dioptres() * p.across().dioptres();
            prop_assert!((PowerMatrix::from(p).determinant() - product).abs() < 1e-10);
        }
    }
}
