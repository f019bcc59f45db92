//! Spectacle magnification: how much larger or smaller an eye sees through its lens, and what would make both alike.
//!
//! The size of the image behind the lens over its size without, for a distant object: shape factor times power factor.
//! Both are ratios, 1 where nothing changes. A difference between the eyes is what wearers complain of.

use core::fmt;

use units::maths::{sin_deg, sq};
use units::working::printed;
use units::{Angle, Dioptre, Mm, Working, step};

use crate::SpheroCylinder;

const SHAPE: &str = "shape factor, 1/(1 - (t/n) F1): study cards of a UK dispensing course, spectacle magnification";
const POWER: &str = "power factor, 1/(1 - d F'v): study cards of a UK dispensing course, spectacle magnification";
const TOTAL: &str = "spectacle magnification = shape factor x power factor";
const BETWEEN: &str = "along a meridian between the principal ones, a + (b - a) sin2: Keating 1982, from memory";
const RATIO: &str = "ratio of the two magnifications: Fannin and Grosvenor, Clinical Optics, from memory";
const ISEIKONIC: &str = "shape factor solved for the front: Fannin and Grosvenor, Clinical Optics, from memory";

/// How far the entrance pupil lies behind the cornea, mm: about 3 in every schematic eye; from memory.
///
/// Images are compared at the entrance pupil. Courses that measure to the cornea leave this out.
pub const PUPIL_BEHIND_CORNEA_MM: f64 = 3.0;

/// A lens before an eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worn {
    /// True power of the front surface in the lens's own index; a sphere, or toric along the principal meridians of the
    /// lens.
    pub front: SpheroCylinder,
    /// Back vertex power.
    pub bvp: SpheroCylinder,
    /// Thickness at the optical centre, along the lens axis.
    pub centre: Mm,
    /// Index of the lens.
    pub index: f64,
    /// From the back vertex to where images are compared: the vertex distance to the cornea, or that and
    /// [`PUPIL_BEHIND_CORNEA_MM`].
    pub to_eye: Mm,
}

/// Shape factor in one meridian, a ratio: 1/(1 − (t/n) F1), t in metres.
///
/// 1 for a flat front or a lens without thickness, above 1 for a convex front.
///
/// Source: Week 1.06 Spectacle Mag, study cards of a UK dispensing course, n.d., checked in
/// `reference/optics-examples.toml`, x091.
pub fn shape_factor(w: &mut Working, front: Dioptre, centre: Mm, index: f64) -> f64 {
    let (front, centre) = (front.dioptres(), centre.mm());
    step!(w, shape_factor = 1.0 / (1.0 - centre / 1000.0 / index * front);
        centre["mm"], index[""], front["D"]; "", SHAPE)
}

/// Power factor in one meridian, a ratio: 1/(1 − d F′v), d in metres; above 1 for plus, below 1 for minus.
///
/// - `to_eye`: back vertex to where images are compared, as in [`Worn`].
/// - Source: as [`shape_factor`].
pub fn power_factor(w: &mut Working, bvp: Dioptre, to_eye: Mm) -> f64 {
    let (bvp, to_eye) = (bvp.dioptres(), to_eye.mm());
    step!(w, power_factor = 1.0 / (1.0 - to_eye / 1000.0 * bvp); to_eye["mm"], bvp["D"]; "", POWER)
}

/// Spectacle magnification along a meridian, a ratio.
///
/// In the principal meridians of the lens it is shape factor × power factor. Between them a toric lens shears the image
/// as well; along the meridian it magnifies by a + (b − a) sin²(meridian − axis), a and b being the principal
/// magnifications: an element of the magnification matrix, exact for thin pencils. The power in that meridian put into
/// the two factors would be a little less.
///
/// Source: [`shape_factor`]; W. F. Keating, A matrix formulation of spectacle magnification, 1982, from memory.
pub fn magnification(w: &mut Working, worn: Worn, meridian: Angle) -> f64 {
    let Worn { front, bvp, centre, index, to_eye } = worn;
    let principal = |w: &mut Working, bvp: Dioptre, front: Dioptre| {
        let shape_factor = shape_factor(w, front, centre, index);
        let power_factor = power_factor(w, bvp, to_eye);
        step!(w, magnification = shape_factor * power_factor; shape_factor[""], power_factor[""]; "", TOTAL)
    };
    let round = (bvp.cylinder == Dioptre::ZERO, front.cylinder == Dioptre::ZERO);
    let axis = match round {
        (true, true) => return principal(w, bvp.sphere, front.sphere),
        (true, false) => front.axis,
        (false, _) => bvp.axis,
    };
    let mut at = |meridian: Angle, bvp: Dioptre| {
        w.say(|| format!("In the principal meridian at {} degrees:", printed(meridian.axis_deg())));
        let front = if round.1 { front.sphere } else { front.power_in(w, meridian) };
        principal(w, bvp, front)
    };
    let along = at(axis, bvp.sphere);
    let across = at(axis + Angle::from_deg(90.0), bvp.across());
    let (axis, meridian) = (axis.deg(), meridian.deg());
    step!(w, magnification_along = along + (across - along) * sq(sin_deg(meridian - axis));
        along[""], across[""], meridian["degrees"], axis["degrees"]; "", BETWEEN)
}

/// By how much the right eye's image is larger than the left eye's, percent; negative where it is smaller.
///
/// - `right`, `left`: magnifications along the same meridian.
/// - What the two lenses do, not what the wearer sees: the eyes themselves differ too.
/// - Source: Fannin and Grosvenor, Clinical Optics, from memory; checked in `reference/optics-examples.toml`, x093.
pub fn difference_percent(w: &mut Working, right: f64, left: f64) -> f64 {
    step!(w, difference = 100.0 * (right / left - 1.0); right[""], left[""]; "%", RATIO)
}

/// Why no front curve or centre thickness gives a shape factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CannotShape {
    /// The factor is not above zero.
    NotAFactor {
        /// What was wanted.
        wanted: f64,
    },
    /// A lens without thickness has the factor 1 at every curve.
    NoThickness,
    /// A flat front has the factor 1 at every thickness.
    FlatFront,
    /// The thickness would be negative: a convex front only enlarges.
    NegativeThickness {
        /// What it would be, mm.
        centre: Mm,
    },
}

impl fmt::Display for CannotShape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAFactor { wanted } => write!(f, "a shape factor is above zero: {wanted:.4} wanted"),
            Self::NoThickness => f.write_str("a lens without thickness has the shape factor 1 at every front curve"),
            Self::FlatFront => f.write_str("a flat front has the shape factor 1 at every thickness"),
            Self::NegativeThickness { centre } => {
                write!(
                    f,
                    "the centre would be {:.2} mm thick: this front curve cannot make the image smaller",
                    centre.mm()
                )
            }
        }
    }
}
impl core::error::Error for CannotShape {}

impl CannotShape {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NotAFactor { .. } => "check the magnification that is to be met",
            Self::NoThickness => "give the lens its centre thickness",
            Self::FlatFront => "change the front curve, or the other eye's lens",
            Self::NegativeThickness { .. } => "make the other eye's lens larger in effect instead",
        }
    }
}

/// The shape factor that a lens needs to magnify as wanted, its power and place unchanged: wanted ÷ power factor.
pub fn shape_factor_for(w: &mut Working, wanted: f64, bvp: Dioptre, to_eye: Mm) -> f64 {
    let power_factor = power_factor(w, bvp, to_eye);
    step!(w, wanted_shape_factor = wanted / power_factor; wanted[""], power_factor[""]; "", TOTAL)
}

/// True power of the front that gives a shape factor at a centre thickness, D: F1 = (n/t)(1 − 1/shape), t in metres.
///
/// The back surface takes the change, so that the back vertex power stays; the vertex distance is held. Where the edge
/// stays in its rim, a steeper lens has its back vertex further from the eye, which takes part of the gain back from a
/// minus lens: figure it again at the new distance.
///
/// # Errors
/// [`CannotShape::NoThickness`] for a lens without thickness, [`CannotShape::NotAFactor`] for a factor not above zero.
///
/// Source: Fannin and Grosvenor, Clinical Optics, from memory; checked in `reference/optics-examples.toml`, x094.
pub fn front_for_shape_factor(
    w: &mut Working,
    shape_factor: f64,
    centre: Mm,
    index: f64,
) -> Result<Dioptre, CannotShape> {
    let centre = centre.mm();
    if shape_factor <= 0.0 {
        return Err(CannotShape::NotAFactor { wanted: shape_factor });
    }
    if centre <= 0.0 {
        return Err(CannotShape::NoThickness);
    }
    Ok(Dioptre::new(step!(w, front = 1000.0 * index / centre * (1.0 - 1.0 / shape_factor);
        index[""], centre["mm"], shape_factor[""]; "D", ISEIKONIC)))
}

/// Centre thickness that gives a shape factor behind a front of this true power, mm: t = (n/F1)(1 − 1/shape), in metres.
///
/// What is held is as in [`front_for_shape_factor`].
///
/// # Errors
/// [`CannotShape::FlatFront`] where no thickness helps, [`CannotShape::NegativeThickness`] where it would be below zero,
/// [`CannotShape::NotAFactor`] for a factor not above zero.
pub fn centre_for_shape_factor(
    w: &mut Working,
    shape_factor: f64,
    front: Dioptre,
    index: f64,
) -> Result<Mm, CannotShape> {
    let front = front.dioptres();
    if shape_factor <= 0.0 {
        return Err(CannotShape::NotAFactor { wanted: shape_factor });
    }
    if front == 0.0 {
        return Err(CannotShape::FlatFront);
    }
    let centre = Mm::new(step!(w, centre = 1000.0 * index / front * (1.0 - 1.0 / shape_factor);
        index[""], front["D"], shape_factor[""]; "mm", ISEIKONIC));
    if centre < Mm::ZERO { Err(CannotShape::NegativeThickness { centre }) } else { Ok(centre) }
}

/// How far practice goes with front curves to bring image sizes together.
///
/// Source: size-lens worksheet, n.d., <http://cewod.com/optics/eikonic.html>; checked in
/// `reference/check-facts.toml`, `curve.eikonic-limits`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeLensLimits {
    /// The front is steeper than the back vertex power by at least this.
    pub above_power: Dioptre,
    /// It is not flatter than this.
    pub flattest: Dioptre,
    /// It is not steeper than the usual curve by more than this.
    pub above_usual: Dioptre,
    /// The fronts of a pair are not further apart than this.
    pub apart: Dioptre,
}

/// The limits of [`SizeLensLimits`].
pub const SIZE_LENS_LIMITS: SizeLensLimits = SizeLensLimits {
    above_power: Dioptre::new(2.0),
    flattest: Dioptre::new(1.0),
    above_usual: Dioptre::new(6.0),
    apart: Dioptre::new(6.0),
};

/// A limit of practice that a front curve goes beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BeyondSizeLens {
    /// Less than 2 D steeper than the back vertex power.
    NearPower,
    /// Flatter than +1 D.
    TooFlat,
    /// More than 6 D steeper than usual.
    TooSteep,
    /// More than 6 D from the other eye's front.
    TooFarApart,
}

impl BeyondSizeLens {
    /// What it says, for a sentence.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::NearPower => "less than 2 D steeper than the lens's power",
            Self::TooFlat => "flatter than +1 D",
            Self::TooSteep => "more than 6 D steeper than usual",
            Self::TooFarApart => "more than 6 D from the other eye's front",
        }
    }
}

/// The limits of [`SIZE_LENS_LIMITS`] that a front curve goes beyond; all true powers, D.
///
/// - `bvp`: back vertex power of the lens, a sphere's or the spherical equivalent.
/// - `usual`: the front that the lens would have otherwise; `other`: the other eye's front.
#[must_use]
pub fn beyond_size_lens(front: Dioptre, bvp: Dioptre, usual: Dioptre, other: Dioptre) -> Vec<BeyondSizeLens> {
    let SizeLensLimits { above_power, flattest, above_usual, apart } = SIZE_LENS_LIMITS;
    [
        (front - bvp < above_power, BeyondSizeLens::NearPower),
        (front < flattest, BeyondSizeLens::TooFlat),
        (front - usual > above_usual, BeyondSizeLens::TooSteep),
        ((front - other).abs() > apart, BeyondSizeLens::TooFarApart),
    ]
    .into_iter()
    .filter_map(|(beyond, limit)| beyond.then_some(limit))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PowerMatrix;
    use crate::sphero_cylinder::tests::any_sphero_cylinder;
    use proptest::prelude::*;

    fn d(dioptres: f64) -> Dioptre {
        Dioptre::new(dioptres)
    }

    /// (I − r F)⁻¹ of a power matrix, r in metres, as its three elements xx, xy, yy.
    fn factor(power: PowerMatrix, r: f64) -> [f64; 3] {
        let [a, b, c] = [1.0 - r * power.xx.dioptres(), -r * power.xy.dioptres(), 1.0 - r * power.yy.dioptres()];
        let det = a * c - b * b;
        [c / det, -b / det, a / det]
    }

    #[test]
    fn limits_are_met_on_the_line_and_missed_beyond_it() {
        let none = beyond_size_lens(d(8.0), d(6.0), d(2.0), d(2.0));
        assert_eq!(none, []);
        let all = beyond_size_lens(d(0.9), d(-1.0), d(-5.2), d(7.0));
        use BeyondSizeLens::{NearPower, TooFarApart, TooFlat, TooSteep};
        assert_eq!(all, [NearPower, TooFlat, TooSteep, TooFarApart]);
    }

    #[test]
    fn what_cannot_be_shaped_says_why() {
        let w = &mut Working::off();
        assert_eq!(front_for_shape_factor(w, 1.02, Mm::ZERO, 1.5), Err(CannotShape::NoThickness));
        assert_eq!(front_for_shape_factor(w, 0.0, Mm::new(2.0), 1.5), Err(CannotShape::NotAFactor { wanted: 0.0 }));
        assert_eq!(centre_for_shape_factor(w, 1.02, Dioptre::ZERO, 1.5), Err(CannotShape::FlatFront));
        let thin = centre_for_shape_factor(w, 0.98, d(6.0), 1.5);
        assert!(matches!(thin, Err(CannotShape::NegativeThickness { centre }) if centre < Mm::ZERO));
        assert!(thin.is_err_and(|e| e.to_string().contains("cannot make the image smaller")));
    }

    proptest! {
        /// Against the product of the two matrices, spherical front or toric front with the lens's own axis.
        #[test]
        fn along_a_meridian_it_is_the_matrix_element(
            bvp in any_sphero_cylinder(), front in 0.0f64..12.0, front_cylinder in -4.0f64..4.0, toric in any::<bool>(),
            centre in 0.5f64..12.0, to_eye in 8.0f64..20.0, meridian in 0.0f64..180.0,
        ) {
            let cylinder = if toric { front_cylinder } else { 0.0 };
            let front = SpheroCylinder::new(d(front), d(cylinder), bvp.axis);
            let worn = Worn { front, bvp, centre: Mm::new(centre), index: 1.6, to_eye: Mm::new(to_eye) };
            let got = magnification(&mut Working::off(), worn, Angle::from_deg(meridian));
            let [a, b, c] = factor(PowerMatrix::from(bvp), to_eye / 1000.0);
            let [p, q, r] = factor(PowerMatrix::from(front), centre / 1000.0 / 1.6);
            let (x, y) = (Angle::from_deg(meridian).cos(), Angle::from_deg(meridian).sin());
            let (sx, sy) = (p * x + q * y, q * x + r * y);
            let want = x * (a * sx + b * sy) + y * (b * sx + c * sy);
            prop_assert!((got - want).abs() < 1e-11, "{got} {want}");
        }

        #[test]
        fn a_meridian_is_the_same_in_both_forms(
            bvp in any_sphero_cylinder(), front in 0.0f64..12.0, meridian in 0.0f64..180.0,
        ) {
            let worn = |bvp| Worn {
                front: SpheroCylinder::spherical(d(front)), bvp, centre: Mm::new(3.0), index: 1.5, to_eye: Mm::new(15.0),
            };
            let at = |bvp| magnification(&mut Working::off(), worn(bvp), Angle::from_deg(meridian));
            prop_assert!((at(bvp) - at(bvp.transposed())).abs() < 1e-12);
        }

        /// Whatever the other eye magnifies by, the front and the centre found do the same.
        #[test]
        fn what_equalises_does(
            wanted in 0.9f64..1.2, bvp in -8.0f64..8.0, front in 0.5f64..12.0, centre in 0.8f64..9.0,
            index in 1.49f64..1.75,
        ) {
            let (w, bvp, to_eye) = (&mut Working::off(), SpheroCylinder::spherical(d(bvp)), Mm::new(15.0));
            let worn = |front, centre| Worn { front: SpheroCylinder::spherical(front), bvp, centre, index, to_eye };
            let shape = shape_factor_for(w, wanted, bvp.sphere, to_eye);
            let curve = front_for_shape_factor(w, shape, Mm::new(centre), index);
            prop_assert!(curve.is_ok());
            if let Ok(curve) = curve {
                prop_assert!((magnification(w, worn(curve, Mm::new(centre)), Angle::ZERO) - wanted).abs() < 1e-11);
            }
            match centre_for_shape_factor(w, shape, d(front), index) {
                Ok(centre) => {
                    prop_assert!((magnification(w, worn(d(front), centre), Angle::ZERO) - wanted).abs() < 1e-11);
                }
                Err(refused) => {
                    let negative = matches!(refused, CannotShape::NegativeThickness { .. });
                    prop_assert!(negative && shape < 1.0);
                }
            }
        }

        #[test]
        fn eyes_alike_do_not_differ(m in 0.8f64..1.3, more in 0.001f64..0.1) {
            let w = &mut Working::off();
            prop_assert_eq!(difference_percent(w, m, m), 0.0);
            prop_assert!(difference_percent(w, m + more, m) > 0.0 && difference_percent(w, m, m + more) < 0.0);
        }
    }
}
