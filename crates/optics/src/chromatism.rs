//! Chromatism: how far the colours part in power and in direction, by the Abbe number of the material.
//!
//! Both figures run from the blue F line to the red C line, as the Abbe number (n − 1)/(nF − nC) does. Abbe numbers are
//! above zero; the caller has checked them.

use units::maths::hypot;
use units::{CmPerM, Dioptre, Working, step};

use crate::{Offset, PowerMatrix, Prism};

const AXIAL: &str = "axial chromatism, F/V: 20/20 Magazine, Chromatic Aberration: The End of the Rainbow, n.d.";
const TRANSVERSE: &str = "transverse chromatism, P/V: A. K. Bhootra, Ophthalmic Lenses, p. 117";

/// Transverse chromatism from which wearers are usually said to complain, cm/m; from memory, no limit of any standard.
pub const COMPLAINT_CM_PER_M: f64 = 0.1;

/// Axial chromatism in one meridian, D: F/V, by which the power for blue exceeds that for red; the power's own sign.
///
/// Source: Chromatic Aberration: The End of the Rainbow, trade magazine article, n.d.,
/// <https://2020mag.com/article/chromatic-aberration-the-end-of-the-rainbow>, checked in
/// `reference/optics-examples.toml`, x200.
pub fn axial(w: &mut Working, power: Dioptre, abbe: f64) -> Dioptre {
    let power = power.dioptres();
    Dioptre::new(step!(w, dioptric_spread = power / abbe; power["D"], abbe[""]; "D", AXIAL))
}

/// Transverse chromatism where a line of sight meets a prism, cm/m: P/V, an amount without sign, along the prism's base.
///
/// Source: A. K. Bhootra, Ophthalmic Lenses, p. 117, checked in `reference/optics-examples.toml`, x201 to x203.
pub fn transverse(w: &mut Working, prism: Prism, abbe: f64) -> CmPerM {
    let (base_x, base_y) = (prism.x.cm_per_m(), prism.y.cm_per_m());
    CmPerM::new(step!(w, transverse_chromatism = hypot(base_x, base_y) / abbe;
        base_x["cm/m"], base_y["cm/m"], abbe[""]; "cm/m", TRANSVERSE))
}

/// [`transverse`] at a point of a lens: the prism of its power there, by Prentice's rule as a vector, and what is ground.
///
/// - `centre_minus_point`: optical centre of the power minus the point, as in [`crate::prism::prentice`].
/// - `ground`: prism that the lens has everywhere; [`Prism::NONE`] for a lens without.
pub fn transverse_at(
    w: &mut Working,
    power: PowerMatrix,
    centre_minus_point: Offset,
    ground: Prism,
    abbe: f64,
) -> CmPerM {
    let met = crate::prism::prentice(w, power, centre_minus_point);
    transverse(w, met + ground, abbe)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SpheroCylinder;
    use crate::sphero_cylinder::tests::any_sphero_cylinder;
    use proptest::prelude::*;
    use units::{Angle, Mm};

    #[test]
    fn a_study_guides_example_at_a_point() {
        // 10 mm off the centre of +5.00: 0.17 cm/m in polycarbonate (Abbe 30), 0.09 in the 1.50 resin (58).
        // Source: open study guide, aberrations, 2026, open-exam-prep.com/study-guides/abo-advanced/optics-ii.
        let offset = Offset { x: Mm::ZERO, y: Mm::new(10.0) };
        let power = PowerMatrix::scalar(Dioptre::new(5.0));
        for (abbe, want) in [(30.0, 0.17), (58.0, 0.09)] {
            let got = transverse_at(&mut Working::off(), power, offset, Prism::NONE, abbe).cm_per_m();
            assert!((got - want).abs() < 0.005, "{got}");
        }
    }

    proptest! {
        /// The colours part by what the two powers, half the spread each way, give in prism at the point.
        #[test]
        fn across_the_lens_it_is_the_prism_of_the_spread(
            power in any_sphero_cylinder(), x in -30.0f64..30.0, y in -20.0f64..20.0, abbe in 25.0f64..60.0,
        ) {
            let w = &mut Working::off();
            let at = Offset { x: Mm::new(x), y: Mm::new(y) };
            let spread = SpheroCylinder::from_principal(
                axial(w, power.sphere, abbe), axial(w, power.across(), abbe), power.axis);
            let want = crate::prism::prentice(w, spread.into(), at).amount();
            let got = transverse_at(w, power.into(), at, Prism::NONE, abbe);
            prop_assert!((got - want).abs().cm_per_m() < 1e-12);
        }

        /// Ground prism that undoes the prism of the place undoes its colours.
        #[test]
        fn ground_prism_counts(power in any_sphero_cylinder(), x in -30.0f64..30.0, abbe in 25.0f64..60.0) {
            let w = &mut Working::off();
            let at = Offset { x: Mm::new(x), y: Mm::ZERO };
            let met = crate::prism::prentice(w, power.into(), at);
            prop_assert_eq!(transverse_at(w, power.into(), at, -met, abbe), CmPerM::ZERO);
            let twice = transverse(w, Prism::towards(met.amount() * 2.0, Angle::ZERO), abbe);
            prop_assert!((twice - transverse(w, met, abbe) * 2.0).abs().cm_per_m() < 1e-12);
        }
    }
}
