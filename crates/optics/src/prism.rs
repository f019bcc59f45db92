//! Prism: from a place on the lens and back, as vectors, and as wedges.

use core::f64::consts::PI;
use core::fmt;
use core::iter::Sum;
use core::ops::{Add, Neg, Sub};

use units::maths::hypot;
use units::{Angle, CmPerM, Mm, Working, step};

use crate::{PowerMatrix, SpheroCylinder};

/// A step in the lens plane, mm: x to the viewer's right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Offset {
    /// To the viewer's right, mm.
    pub x: Mm,
    /// Up, mm.
    pub y: Mm,
}

/// A prismatic effect as a vector that points to the base, cm/m: x to the viewer's right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Prism {
    /// Base to the viewer's right, cm/m.
    pub x: CmPerM,
    /// Base up, cm/m.
    pub y: CmPerM,
}

impl Prism {
    /// No prism.
    pub const NONE: Self = Self { x: CmPerM::ZERO, y: CmPerM::ZERO };

    /// From an amount and the direction of its base.
    #[must_use]
    pub fn towards(amount: CmPerM, base: Angle) -> Self {
        Self { x: amount * base.cos(), y: amount * base.sin() }
    }

    /// The resultant, cm/m.
    #[must_use]
    pub fn amount(self) -> CmPerM {
        CmPerM::new(hypot(self.x.cm_per_m(), self.y.cm_per_m()))
    }

    /// Direction of the resultant's base, in [0, 360) degrees; none without prism.
    #[must_use]
    pub fn base(self) -> Option<Angle> {
        if self == Self::NONE {
            return None;
        }
        let rad = libm::atan2(self.y.cm_per_m(), self.x.cm_per_m());
        let rad = if rad < 0.0 { rad + 2.0 * PI } else { rad };
        Some(if rad >= 2.0 * PI { Angle::ZERO } else { Angle::from_rad(rad) })
    }
}

impl Add for Prism {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}
impl Sub for Prism {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}
impl Neg for Prism {
    type Output = Self;
    fn neg(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }
}
impl Sum for Prism {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::NONE, Add::add)
    }
}

/// Why a lens cannot give a prism by decentration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CannotGivePrism {
    /// The lens has no power at all.
    NoPower {
        /// The prism that was wanted, cm/m.
        wanted: CmPerM,
    },
    /// One principal meridian has no power, and the prism has a part along it.
    NoPowerAlong {
        /// The meridian without power, in (0, 180] degrees.
        meridian: Angle,
        /// The part of the prism along it, cm/m.
        wanted: CmPerM,
    },
}

impl fmt::Display for CannotGivePrism {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPower { wanted } => {
                write!(f, "a lens without power gives no prism by decentration: {:.2} cm/m wanted", wanted.cm_per_m())
            }
            Self::NoPowerAlong { meridian, wanted } => write!(
                f,
                "the lens has no power along {:.1} degrees, where {:.2} cm/m are wanted: no decentration gives them",
                meridian.axis_deg(),
                wanted.cm_per_m()
            ),
        }
    }
}
impl core::error::Error for CannotGivePrism {}

impl CannotGivePrism {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        "order the lens with the prism ground in"
    }
}

/// Principal powers below this, D, are none: ordered powers come in whole thousandths.
const NO_POWER_D: f64 = 1e-6;
/// Prism below this, cm/m, is rounding: ordered prism comes in whole thousandths.
const NO_PRISM_CM_PER_M: f64 = 1e-6;

const PRENTICE: &str = "Prentice's rule by the power matrix, p = F c: M. Jalie, The Indian Optician, Nov-Dec 2024";

/// The prism met at a place: p = F c, with c the optical centre *minus* the viewing point, in cm; p points to the base.
///
/// Source: M. Jalie, prismatic effects of astigmatic lenses, The Indian Optician, Nov-Dec 2024, pp. 133-134.
pub fn prentice(w: &mut Working, power: PowerMatrix, centre_minus_point: Offset) -> Prism {
    let (power_xx, power_xy, power_yy) = (power.xx.dioptres(), power.xy.dioptres(), power.yy.dioptres());
    let (dx, dy) = (centre_minus_point.x.mm(), centre_minus_point.y.mm());
    let x = step!(w, base_x = (power_xx * dx + power_xy * dy) / 10.0;
        power_xx["D"], power_xy["D"], dx["mm"], dy["mm"]; "cm/m", PRENTICE);
    let y = step!(w, base_y = (power_xy * dx + power_yy * dy) / 10.0;
        power_xy["D"], power_yy["D"], dx["mm"], dy["mm"]; "cm/m", PRENTICE);
    Prism { x: CmPerM::new(x), y: CmPerM::new(y) }
}

/// The decentration that gives a prism: c = F⁻¹ p, optical centre minus viewing point, mm.
///
/// Where one principal meridian has no power and the prism none along it, the shortest decentration that serves.
///
/// # Errors
/// [`CannotGivePrism`] where the power matrix has no inverse and the prism has a part along the meridian without power.
pub fn decentration_for(w: &mut Working, power: PowerMatrix, prism: Prism) -> Result<Offset, CannotGivePrism> {
    let (power_xx, power_xy, power_yy) = (power.xx.dioptres(), power.xy.dioptres(), power.yy.dioptres());
    let (base_x, base_y) = (prism.x.cm_per_m(), prism.y.cm_per_m());
    if hypot(base_x, base_y) < NO_PRISM_CM_PER_M {
        w.say(|| "No prism is wanted: the optical centre stays.".to_owned());
        return Ok(Offset::default());
    }
    let SpheroCylinder { sphere: weaker_minus, cylinder, axis } = power.minus_form();
    let along = weaker_minus.dioptres();
    let across = along + cylinder.dioptres();
    let flat = match (along.abs() < NO_POWER_D, across.abs() < NO_POWER_D) {
        (false, false) => {
            let determinant = step!(w, determinant = power_xx * power_yy - power_xy * power_xy;
                power_xx["D"], power_xy["D"], power_yy["D"]; "D2", PRENTICE);
            let x = step!(w, dx = 10.0 * (power_yy * base_x - power_xy * base_y) / determinant;
                power_yy["D"], power_xy["D"], base_x["cm/m"], base_y["cm/m"], determinant["D2"]; "mm", PRENTICE);
            let y = step!(w, dy = 10.0 * (power_xx * base_y - power_xy * base_x) / determinant;
                power_xx["D"], power_xy["D"], base_x["cm/m"], base_y["cm/m"], determinant["D2"]; "mm", PRENTICE);
            return Ok(Offset { x: Mm::new(x), y: Mm::new(y) });
        }
        (true, true) => return Err(CannotGivePrism::NoPower { wanted: prism.amount() }),
        (true, false) => axis,
        (false, true) => SpheroCylinder { axis, ..SpheroCylinder::PLANO }.transposed().axis,
    };
    let wanted = base_x * flat.cos() + base_y * flat.sin();
    if wanted.abs() >= NO_PRISM_CM_PER_M {
        return Err(CannotGivePrism::NoPowerAlong { meridian: flat, wanted: CmPerM::new(wanted.abs()) });
    }
    // The prism lies along the one meridian with power, whose power is the trace of the matrix.
    let x = step!(w, dx = 10.0 * base_x / (power_xx + power_yy);
        base_x["cm/m"], power_xx["D"], power_yy["D"]; "mm", PRENTICE);
    let y = step!(w, dy = 10.0 * base_y / (power_xx + power_yy);
        base_y["cm/m"], power_xx["D"], power_yy["D"]; "mm", PRENTICE);
    Ok(Offset { x: Mm::new(x), y: Mm::new(y) })
}

/// Shares what a pair of prisms does between the eyes equally: the same difference right minus left, right and left
/// equal and opposite. In the viewer's directions: base in at both eyes is +x right, −x left.
#[must_use]
pub fn shared(right: Prism, left: Prism) -> (Prism, Prism) {
    let between = right - left;
    let half = Prism { x: between.x / 2.0, y: between.y / 2.0 };
    (half, -half)
}

/// Angle by which a prism turns light: tan d = P/100.
#[must_use]
pub fn deviation(amount: CmPerM) -> Angle {
    Angle::from_rad(libm::atan(amount.cm_per_m() / 100.0))
}

/// The prism that turns light by an angle below a right angle: P = 100 tan d.
#[must_use]
pub fn of_deviation(deviation: Angle) -> CmPerM {
    CmPerM::new(100.0 * deviation.tan())
}

/// Apical angle of a thin prism by the small-angle rule d = (n − 1) a.
#[must_use]
pub fn apical_angle_thin(amount: CmPerM, index: f64) -> Angle {
    Angle::from_rad(deviation(amount).rad() / (index - 1.0))
}

/// Apical angle of a plane prism whose light falls square on one face: tan a = sin d/(n − cos d).
#[must_use]
pub fn apical_angle(amount: CmPerM, index: f64) -> Angle {
    let d = deviation(amount);
    Angle::from_rad(libm::atan2(d.sin(), index - d.cos()))
}

/// The prism of plane faces at an apical angle, light square on one of them: d = asin(n sin a) − a.
///
/// None beyond the angle of total reflection.
#[must_use]
pub fn of_apical_angle(apical: Angle, index: f64) -> Option<CmPerM> {
    let sine = index * apical.sin();
    if sine.abs() >= 1.0 {
        return None;
    }
    Some(of_deviation(Angle::from_rad(libm::asin(sine)) - apical))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphero_cylinder::tests::any_sphero_cylinder;
    use proptest::prelude::*;
    use units::Dioptre;

    fn prism(x: f64, y: f64) -> Prism {
        Prism { x: CmPerM::new(x), y: CmPerM::new(y) }
    }

    fn matrix(sphere: f64, cylinder: f64, axis: f64) -> PowerMatrix {
        SpheroCylinder::new(Dioptre::new(sphere), Dioptre::new(cylinder), Angle::from_deg(axis)).into()
    }

    #[test]
    fn plano_gives_no_prism_but_needs_none_for_none() {
        let w = &mut Working::off();
        assert_eq!(decentration_for(w, matrix(0.0, 0.0, 180.0), Prism::NONE), Ok(Offset::default()));
        let refused = decentration_for(w, matrix(0.0, 0.0, 180.0), prism(0.0, 1.0));
        assert_eq!(refused, Err(CannotGivePrism::NoPower { wanted: CmPerM::new(1.0) }));
    }

    #[test]
    fn a_plano_cylinder_gives_prism_only_across_its_axis() {
        let w = &mut Working::off();
        // -2.00 cylinder at 30 degrees: all its power lies along 120. Written in both forms.
        for power in [matrix(0.0, -2.0, 30.0), matrix(-2.0, 2.0, 120.0)] {
            let across = Prism::towards(CmPerM::new(1.0), Angle::from_deg(120.0));
            let found = decentration_for(w, power, across).unwrap();
            let again = prentice(w, power, found);
            assert!((again - across).amount().cm_per_m() < 1e-9);
            // 1 cm/m from 2 D needs 5 mm, the other way for minus.
            assert!((hypot(found.x.mm(), found.y.mm()) - 5.0).abs() < 1e-9);
            match decentration_for(w, power, Prism::towards(CmPerM::new(1.0), Angle::from_deg(90.0))) {
                Err(CannotGivePrism::NoPowerAlong { meridian, wanted }) => {
                    assert!((meridian.axis_deg() - 30.0).abs() < 1e-6);
                    assert!((wanted.cm_per_m() - 0.5).abs() < 1e-9); // cos 60 of 1
                }
                other => panic!("{other:?}"),
            }
        }
    }

    #[test]
    fn a_base_has_a_direction_below_a_full_turn() {
        for (x, y, want) in [(1.0, 0.0, 0.0), (0.0, -2.0, 270.0), (-1.0, 0.0, 180.0), (1.0, -1e-18, 0.0)] {
            let base = prism(x, y).base().unwrap();
            assert!((base.direction_deg() - want).abs() < 1e-9, "{x} {y}");
            assert!(base.rad() >= 0.0 && base.rad() < 2.0 * PI);
        }
        assert_eq!(Prism::NONE.base(), None);
    }

    #[test]
    fn beyond_total_reflection_there_is_no_prism() {
        assert_eq!(of_apical_angle(Angle::from_deg(45.0), 1.6), None);
    }

    proptest! {
        #[test]
        fn decentration_is_the_inverse_of_prentice(
            p in any_sphero_cylinder(), x in -5.0f64..5.0, y in -5.0f64..5.0,
        ) {
            prop_assume!(p.sphere.abs().dioptres() > 0.05 && p.across().abs().dioptres() > 0.05);
            let w = &mut Working::off();
            let offset = decentration_for(w, p.into(), prism(x, y)).unwrap();
            let again = prentice(w, p.into(), offset);
            prop_assert!((again - prism(x, y)).amount().cm_per_m() < 1e-8);
        }

        #[test]
        fn resultant_and_components_are_inverse(amount in 0.001f64..20.0, deg in 0.0f64..359.99) {
            let p = Prism::towards(CmPerM::new(amount), Angle::from_deg(deg));
            prop_assert!((p.amount().cm_per_m() - amount).abs() < 1e-12 * 20.0);
            prop_assert!((p.base().unwrap().deg() - deg).abs() < 1e-9);
        }

        #[test]
        fn wedge_and_prism_are_inverse(amount in 0.0f64..20.0, index in 1.4f64..1.9) {
            let again = of_apical_angle(apical_angle(CmPerM::new(amount), index), index).unwrap();
            prop_assert!((again.cm_per_m() - amount).abs() < 1e-10);
        }

        #[test]
        fn sharing_keeps_what_the_pair_does(ax in -5.0f64..5.0, ay in -5.0f64..5.0, bx in -5.0f64..5.0, by in -5.0f64..5.0) {
            let (right, left) = shared(prism(ax, ay), prism(bx, by));
            prop_assert!(((right - left) - (prism(ax, ay) - prism(bx, by))).amount().cm_per_m() < 1e-12);
            prop_assert_eq!(right, -left);
        }
    }
}
