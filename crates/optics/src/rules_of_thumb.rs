//! The trade's quick figures: told beside our own, never in their place.
//!
//! Each is what people at the bench reckon in their heads, so that a plan can say by how much it is off for this very
//! lens. None feeds a figure of a plan.

use units::maths::{abs, sq};
use units::{Angle, CmPerM, Dioptre, Mm, Working, step};

/// Index of the crown glass that materials were compared with: the curve variation factor is the relative curvature
/// against it.
pub const CROWN_INDEX: f64 = 1.523;

const RELATIVE_CURVATURE: &str =
    "relative curvature, (n_old - 1)/(n_new - 1): UK optics study cards; M. Jalie, Physical data of lens materials";
const PARABOLA: &str = "a parabola for a circle, d2 F/(8000 (n - 1)): D. Meister, Optical World 26(201), Aug 1997";
const WEDGE: &str = "thin wedge, x P/(100 (n - 1)): optometry study cards on prisms, n.d.";
const FOUR_EIGHT: &str = "SE + 4 for plus, SE + 8 for minus: A. K. Bhootra, Ophthalmic Lenses, p. 25";
const ONE_FOR_TWO: &str = "1 mm for each 2 degrees of tilt: Atchison and Tame, Ophthalmic Physiol Opt, 1993";
const LESS_THREE: &str = "far less 3 mm, an old habit: practitioners' forum";

/// Curves, and so a thickness difference, of a material over those of another for the same power, a ratio:
/// (n_old − 1)/(n_new − 1). Below 1 where the new material is the thinner.
///
/// One less this is "so much thinner". It leaves out what the centre, the least edge and the form of the lens do.
///
/// Source: Formulae, UK optics study cards, n.d.; M. Jalie, Physical data of lens materials, n.d., for
/// [`CROWN_INDEX`]; checked in `reference/optics-examples.toml`, x178 and x179.
pub fn relative_curvature(w: &mut Working, old_index: f64, new_index: f64) -> f64 {
    step!(w, relative_curvature = (old_index - 1.0) / (new_index - 1.0);
        old_index[""], new_index[""]; "", RELATIVE_CURVATURE)
}

/// The K of [`thickness_difference`], mm·D: 8000 (n − 1).
#[must_use]
pub fn thickness_factor(index: f64) -> f64 {
    8000.0 * (index - 1.0)
}

/// By how much the edge of a round lens is thicker (minus) or thinner (plus) than its centre, mm, without sign:
/// d² |F|/K with K = 8000 (n − 1).
///
/// - A parabola for a circle, so twice the diameter gives four times the difference. Too little for steep curves: of a
///   power of −6 D over 65 mm it misses more than half a millimetre.
/// - With a surface's power for F it is the sagitta of that surface by the same rule.
/// - Source: D. Meister, Methods for Estimating Lens Thickness, Optical World 26(201), Aug 1997, checked in
///   `reference/optics-examples.toml`, x154 to x174.
pub fn thickness_difference(w: &mut Working, power: Dioptre, diameter: Mm, index: f64) -> Mm {
    let (power, diameter) = (power.dioptres(), diameter.mm());
    Mm::new(step!(w, thickness_difference = sq(diameter) * abs(power) / (8000.0 * (index - 1.0));
        diameter["mm"], power["D"], index[""]; "mm", PARABOLA))
}

/// By how much a prism makes a lens thicker at one end of a distance along its base than at the other, mm:
/// x P/(100 (n − 1)); the base is the thick end.
///
/// Source: Prisms, optometry study cards, n.d.; checked in `reference/optics-examples.toml`, x173 to x176.
pub fn wedge(w: &mut Working, prism: CmPerM, distance: Mm, index: f64) -> Mm {
    let (prism, distance) = (prism.cm_per_m(), distance.mm());
    Mm::new(step!(w, wedge = distance * prism / (100.0 * (index - 1.0));
        distance["mm"], prism["cm/m"], index[""]; "mm", WEDGE))
}

/// A front curve by a rule other than [`crate::curves::vogel`], D: spherical equivalent + 4 for plus, + 8 for minus.
///
/// For plus the two rules lie 2 D apart: what a rule for a front curve is worth.
///
/// Source: A. K. Bhootra, Ophthalmic Lenses, p. 25; checked in `reference/optics-examples.toml`, x194 and x195.
pub fn front_curve_four_eight(w: &mut Working, spherical_equivalent: Dioptre) -> Dioptre {
    let equivalent = spherical_equivalent.dioptres();
    Dioptre::new(if equivalent < 0.0 {
        step!(w, front_curve = equivalent + 8.0; equivalent["D"]; "D", FOUR_EIGHT)
    } else {
        step!(w, front_curve = equivalent + 4.0; equivalent["D"]; "D", FOUR_EIGHT)
    })
}

/// How far the optical centre is lowered for a tilt by the rule of 1 mm for 2 degrees, mm.
///
/// Source: Atchison and Tame, Ophthalmic Physiol Opt, 1993; checked in `reference/check-facts.toml`,
/// `layout.aspheric-drop`.
pub fn lowering(w: &mut Working, pantoscopic: Angle) -> Mm {
    let tilt = pantoscopic.deg();
    Mm::new(step!(w, lowering = 0.5 * tilt; tilt["degrees"]; "mm", ONE_FOR_TWO))
}

/// The near pupillary distance of a pair by the old habit, mm: 3 mm less than the far one, whatever it is.
///
/// Source: practitioners' forum; checked in `reference/check-facts.toml`, `layout.near-pd-old-rule`.
pub fn near_pd(w: &mut Working, far: Mm) -> Mm {
    let far = far.mm();
    Mm::new(step!(w, near_pd = far - 3.0; far["mm"]; "mm", LESS_THREE))
}
