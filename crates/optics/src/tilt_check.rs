//! Tilted lenses by the thin-lens formulas of the books: a check beside exact rays, never a plan's figure.
//!
//! They take the lens for thin, look through its pole only, and leave the front curve out. A compensated order comes
//! from rays through both surfaces; these formulas say whether it is of the right size.

use units::{Angle, CmPerM, Dioptre, Mm};

use crate::{PowerMatrix, SpheroCylinder};

/// How a lens leans against the line of sight: one turn by an angle about one axis in the lens plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// Angle between the lens axis and the line of sight, zero or more.
    pub angle: Angle,
    /// Direction of the turn's axis in the lens plane; the induced cylinder of a sphere has this axis.
    pub axis: Angle,
}

impl Tilt {
    /// From the pantoscopic angle (+ = bottom towards the face, a turn about the lens's x) and then a turn about the
    /// vertical (face form per side: −angle for the right eye, +angle for the left).
    ///
    /// cos φ = cos(pantoscopic) cos(face form); the axis is where the lens plane meets the plane square to the line of
    /// sight, seen in the lens.
    ///
    /// Source: professional forum thread after Keating and Blendowske, 2015,
    /// <https://www.optiboard.com/forums/showthread.php/62122-calculation-for-compensat-lens>.
    #[must_use]
    pub fn of(pantoscopic: Angle, about_vertical: Angle) -> Self {
        // The line of sight in the lens's own axes is (-sin v, cos v sin p, cos v cos p).
        let (across, up) = (-about_vertical.sin(), about_vertical.cos() * pantoscopic.sin());
        let towards = about_vertical.cos() * pantoscopic.cos();
        let sine = (across * across + up * up).sqrt();
        let axis = if sine == 0.0 { 0.0 } else { libm::atan2(-across, up) };
        Self {
            angle: Angle::from_rad(libm::atan2(sine, towards)),
            axis: SpheroCylinder::new(Dioptre::ZERO, Dioptre::ZERO, Angle::from_rad(axis)).axis,
        }
    }
}

/// Martin's formulas for a tilted sphere: new sphere S (1 + sin²a/(2n)), cylinder new sphere · tan²a along the turn's
/// axis.
///
/// Source: Lens Tilt, NFOS course OPH 142, which writes 3 for 2n.
#[must_use]
pub fn martin(sphere: Dioptre, tilt: Tilt, index: f64) -> SpheroCylinder {
    let (sine, tangent) = (tilt.angle.sin(), tilt.angle.tan());
    let sphere = sphere * (1.0 + sine * sine / (2.0 * index));
    SpheroCylinder::new(sphere, sphere * (tangent * tangent), tilt.axis)
}

/// A tilted thin sphere at its pole without approximation in the angle (Coddington): sagittal
/// S (n cos i′ − cos i)/(n − 1) with sin i = n sin i′, tangential = sagittal/cos²i.
#[must_use]
pub fn coddington(sphere: Dioptre, tilt: Tilt, index: f64) -> SpheroCylinder {
    let (sine, cosine) = (tilt.angle.sin(), tilt.angle.cos());
    let inside = sine / index;
    let sagittal = sphere * ((index * (1.0 - inside * inside).sqrt() - cosine) / (index - 1.0));
    SpheroCylinder::from_principal(sagittal, sagittal / (cosine * cosine), tilt.axis)
}

/// Which mean of the sagittal and the tangential factor the cross term takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrossTerm {
    /// Arithmetic mean, after Keating.
    Arithmetic,
    /// Geometric mean, after Blendowske and Harris.
    Geometric,
}

/// Power of a tilted thin sphero-cylinder as worn, in minus-cylinder form.
///
/// The power matrix is turned so that its first direction lies along the tilt's axis; there the sagittal element is
/// multiplied by s = 1 + sin²a/(2n), the tangential by s/cos²a, the cross term by a mean of the two.
///
/// Source: as [`Tilt::of`].
#[must_use]
pub fn sphero_cylinder(power: SpheroCylinder, tilt: Tilt, index: f64, cross: CrossTerm) -> SpheroCylinder {
    let (sine, cosine) = (tilt.angle.sin(), tilt.angle.cos());
    let sagittal = 1.0 + sine * sine / (2.0 * index);
    let tangential = sagittal / (cosine * cosine);
    let between = match cross {
        CrossTerm::Arithmetic => (sagittal + tangential) / 2.0,
        CrossTerm::Geometric => sagittal / cosine,
    };
    // Turning the lens is turning its axis.
    let m = PowerMatrix::from(SpheroCylinder::new(power.sphere, power.cylinder, power.axis - tilt.axis));
    let tilted = PowerMatrix { xx: m.xx * sagittal, xy: m.xy * between, yy: m.yy * tangential }.minus_form();
    SpheroCylinder::new(tilted.sphere, tilted.cylinder, tilted.axis + tilt.axis)
}

/// Prism that face form makes on a curved front even without power, cm/m: 100 (t/n) F1 sin a, t in metres.
///
/// Source: J. Dukes, Know the Angles, 20/20 Magazine, n.d.
#[must_use]
pub fn prism_of_face_form(centre: Mm, index: f64, front: Dioptre, face_form: Angle) -> CmPerM {
    CmPerM::new(100.0 * (centre.mm() / 1000.0 / index) * front.dioptres() * face_form.sin())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphero_cylinder::tests::any_sphero_cylinder;
    use proptest::prelude::*;

    fn deg(degrees: f64) -> Angle {
        Angle::from_deg(degrees)
    }

    #[test]
    fn a_single_turn_keeps_its_angle_and_axis() {
        let pantoscopic = Tilt::of(deg(8.0), deg(0.0));
        assert!((pantoscopic.angle.deg() - 8.0).abs() < 1e-12 && (pantoscopic.axis.deg() - 180.0).abs() < 1e-12);
        for side in [-6.0, 6.0] {
            let face_form = Tilt::of(deg(0.0), deg(side));
            assert!((face_form.angle.deg() - 6.0).abs() < 1e-12 && (face_form.axis.deg() - 90.0).abs() < 1e-12);
        }
        assert_eq!(Tilt::of(deg(0.0), deg(0.0)).angle, Angle::ZERO);
    }

    #[test]
    fn the_two_eyes_lean_as_mirror_images() {
        let (right, left) = (Tilt::of(deg(8.0), deg(-6.0)), Tilt::of(deg(8.0), deg(6.0)));
        assert!((right.angle.deg() - left.angle.deg()).abs() < 1e-12);
        assert!((right.axis.deg() + left.axis.deg() - 180.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_sphere_by_the_matrix_is_martin(s in -15.0f64..15.0, p in 0.0f64..20.0, f in -20.0f64..20.0, n in 1.45f64..1.9) {
            prop_assume!(s.abs() > 0.1 && p + f.abs() > 1.0);
            let tilt = Tilt::of(deg(p), deg(f));
            let want = martin(Dioptre::new(s), tilt, n).minus_form();
            for cross in [CrossTerm::Arithmetic, CrossTerm::Geometric] {
                let got = sphero_cylinder(SpheroCylinder::spherical(Dioptre::new(s)), tilt, n, cross);
                prop_assert!((got.sphere - want.sphere).abs().dioptres() < 1e-10);
                prop_assert!((got.cylinder - want.cylinder).abs().dioptres() < 1e-10);
            }
        }

        #[test]
        fn without_tilt_nothing_changes(power in any_sphero_cylinder()) {
            let straight = Tilt::of(Angle::ZERO, Angle::ZERO);
            let got = sphero_cylinder(power, straight, 1.5, CrossTerm::Geometric);
            let want = power.minus_form();
            prop_assert!((got.sphere - want.sphere).abs().dioptres() < 1e-11);
            prop_assert!((got.cylinder - want.cylinder).abs().dioptres() < 1e-11);
        }
    }
}
