//! Vertex powers of thick lenses, their inverses, and what happens to a power when the lens is moved.
//!
//! Powers of surfaces are true powers in the lens's own index. Thickness is along the lens axis. A toric lens is
//! figured in each principal meridian, or with both surfaces oblique through [`PowerMatrix`].

use units::{Dioptre, Mm, Working, step};

use crate::{PowerMatrix, SpheroCylinder};

const BVP: &str = "back vertex power, F1/(1 - (t/n) F1) + F2: NFOS course OPT 11 module 11";
const COMPENSATION: &str = "vertex compensation, F/(1 - mF), m in metres towards the eye";

/// Back vertex power in one meridian, D: F1/(1 − (t/n) F1) + F2, t in metres.
///
/// Source: NFOS course OPT 11 module 11, <http://www.nfos.org/degree/opt11/practice_answers_11a.html>.
pub fn back_vertex_power(w: &mut Working, front: Dioptre, back: Dioptre, centre: Mm, index: f64) -> Dioptre {
    let (front, back, centre) = (front.dioptres(), back.dioptres(), centre.mm());
    Dioptre::new(step!(w, back_vertex_power = front / (1.0 - centre / 1000.0 / index * front) + back;
        front["D"], back["D"], centre["mm"], index[""]; "D", BVP))
}

/// Power of the back surface in one meridian that gives a back vertex power, the front given, D.
pub fn back_surface_power(w: &mut Working, bvp: Dioptre, front: Dioptre, centre: Mm, index: f64) -> Dioptre {
    let (bvp, front, centre) = (bvp.dioptres(), front.dioptres(), centre.mm());
    Dioptre::new(step!(w, back_surface_power = bvp - front / (1.0 - centre / 1000.0 / index * front);
        bvp["D"], front["D"], centre["mm"], index[""]; "D", BVP))
}

/// Power of the front surface in one meridian that gives a back vertex power, the back given, D.
pub fn front_surface_power(w: &mut Working, bvp: Dioptre, back: Dioptre, centre: Mm, index: f64) -> Dioptre {
    let (bvp, back, centre) = (bvp.dioptres(), back.dioptres(), centre.mm());
    Dioptre::new(step!(w,
        front_surface_power = (bvp - back) / (1.0 + centre / 1000.0 / index * (bvp - back));
        bvp["D"], back["D"], centre["mm"], index[""]; "D", BVP))
}

/// The toric back surface behind a spherical front, from the lens's back vertex power; same form and axis.
pub fn toric_back(w: &mut Working, bvp: SpheroCylinder, front: Dioptre, centre: Mm, index: f64) -> SpheroCylinder {
    let along = back_surface_power(w, bvp.sphere, front, centre, index);
    if bvp.cylinder == Dioptre::ZERO {
        return SpheroCylinder { sphere: along, ..bvp };
    }
    let across = back_surface_power(w, bvp.across(), front, centre, index);
    SpheroCylinder::from_principal(along, across, bvp.axis)
}

/// The toric front surface before a spherical back, from the lens's back vertex power; same form and axis.
pub fn toric_front(w: &mut Working, bvp: SpheroCylinder, back: Dioptre, centre: Mm, index: f64) -> SpheroCylinder {
    let along = front_surface_power(w, bvp.sphere, back, centre, index);
    if bvp.cylinder == Dioptre::ZERO {
        return SpheroCylinder { sphere: along, ..bvp };
    }
    let across = front_surface_power(w, bvp.across(), back, centre, index);
    SpheroCylinder::from_principal(along, across, bvp.axis)
}

/// Back vertex power of a lens whose two surfaces may be toric with oblique axes, in minus-cylinder form.
///
/// F1 (I − (t/n) F1)⁻¹ + F2 with power matrices; W. F. Keating, 1981, from memory. With both axes alike it is
/// [`back_vertex_power`] in each principal meridian.
#[must_use]
pub fn back_vertex_power_toric(front: SpheroCylinder, back: SpheroCylinder, centre: Mm, index: f64) -> SpheroCylinder {
    let reduced = centre.mm() / 1000.0 / index;
    (PowerMatrix::from(front).carried(-reduced) + PowerMatrix::from(back)).minus_form()
}

/// The back surface that gives a back vertex power behind a toric front at any axis, in minus-cylinder form.
#[must_use]
pub fn back_surface_toric(bvp: SpheroCylinder, front: SpheroCylinder, centre: Mm, index: f64) -> SpheroCylinder {
    let reduced = centre.mm() / 1000.0 / index;
    (PowerMatrix::from(bvp) - PowerMatrix::from(front).carried(-reduced)).minus_form()
}

/// Front vertex power in one meridian, D: the lens the other way round.
#[must_use]
pub fn front_vertex_power(front: Dioptre, back: Dioptre, centre: Mm, index: f64) -> Dioptre {
    back_vertex_power(&mut Working::off(), back, front, centre, index)
}

/// Equivalent power in one meridian, D: F1 + F2 − (t/n) F1 F2, t in metres.
#[must_use]
pub fn equivalent_power(front: Dioptre, back: Dioptre, centre: Mm, index: f64) -> Dioptre {
    let reduced = centre.mm() / 1000.0 / index;
    front + back - front * (back.dioptres() * reduced)
}

/// Vergence that a moved lens gives in its old plane, D: F/(1 + mF), m = metres moved towards the eye.
#[must_use]
pub fn effective_power(power: Dioptre, towards_eye: Mm) -> Dioptre {
    power / (1.0 + towards_eye.mm() / 1000.0 * power.dioptres())
}

/// Power that a lens needs at a new vertex distance to do what it did at the old one, D.
///
/// F/(1 − mF), m = old minus new distance in metres, so + towards the eye: minus grows weaker, plus stronger.
pub fn compensated_power(w: &mut Working, power: Dioptre, old: Mm, new: Mm) -> Dioptre {
    let (power, old, new) = (power.dioptres(), old.mm(), new.mm());
    Dioptre::new(step!(w, compensated_power = power / (1.0 - (old - new) / 1000.0 * power);
        power["D"], old["mm"], new["mm"]; "D", COMPENSATION))
}

/// [`compensated_power`] of both principal meridians; same form and axis.
pub fn compensated(w: &mut Working, power: SpheroCylinder, old: Mm, new: Mm) -> SpheroCylinder {
    let along = compensated_power(w, power.sphere, old, new);
    if power.cylinder == Dioptre::ZERO {
        return SpheroCylinder { sphere: along, ..power };
    }
    let across = compensated_power(w, power.across(), old, new);
    SpheroCylinder::from_principal(along, across, power.axis)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphero_cylinder::tests::{any_sphero_cylinder, apart};
    use proptest::prelude::*;
    use units::Angle;

    fn d(dioptres: f64) -> Dioptre {
        Dioptre::new(dioptres)
    }

    proptest! {
        #[test]
        fn surfaces_and_vertex_power_are_inverse(
            bvp in -20.0f64..20.0, front in 0.0f64..16.0, centre in 0.5f64..15.0, index in 1.45f64..1.9,
        ) {
            let w = &mut Working::off();
            let (bvp, front, centre) = (d(bvp), d(front), Mm::new(centre));
            let back = back_surface_power(w, bvp, front, centre, index);
            let again = back_vertex_power(w, front, back, centre, index);
            prop_assert!((again - bvp).abs().dioptres() < 1e-11);
            let front_again = front_surface_power(w, bvp, back, centre, index);
            prop_assert!((front_again - front).abs().dioptres() < 1e-11);
        }

        #[test]
        fn oblique_toric_surfaces_and_vertex_power_are_inverse(
            bvp in any_sphero_cylinder(), front in 0.0f64..12.0, cylinder in -4.0f64..4.0, axis in 0.0f64..180.0,
            centre in 0.5f64..12.0, index in 1.45f64..1.9,
        ) {
            let front = SpheroCylinder::new(d(front), d(cylinder), Angle::from_deg(axis));
            let back = back_surface_toric(bvp, front, Mm::new(centre), index);
            let again = back_vertex_power_toric(front, back, Mm::new(centre), index);
            let want = bvp.minus_form();
            prop_assert!((again.sphere - want.sphere).abs().dioptres() < 1e-10);
            prop_assert!((again.cylinder - want.cylinder).abs().dioptres() < 1e-10);
            if want.cylinder.abs().dioptres() > 1e-3 {
                prop_assert!(apart(again.axis, want.axis) < 1e-8);
            }
        }

        #[test]
        fn matrix_and_meridians_agree_behind_a_sphere(
            bvp in any_sphero_cylinder(), front in 0.0f64..12.0, centre in 0.5f64..12.0, index in 1.45f64..1.9,
        ) {
            let (front, centre) = (d(front), Mm::new(centre));
            let by_meridian = toric_back(&mut Working::off(), bvp, front, centre, index).minus_form();
            let by_matrix = back_surface_toric(bvp, SpheroCylinder::spherical(front), centre, index);
            prop_assert!((by_meridian.sphere - by_matrix.sphere).abs().dioptres() < 1e-10);
            prop_assert!((by_meridian.cylinder - by_matrix.cylinder).abs().dioptres() < 1e-10);
        }

        #[test]
        fn moving_there_and_back_changes_nothing(p in any_sphero_cylinder(), old in 8.0f64..18.0, new in 8.0f64..18.0) {
            let w = &mut Working::off();
            let (old, new) = (Mm::new(old), Mm::new(new));
            let there = compensated(w, p, old, new);
            let back = compensated(w, there, new, old);
            prop_assert!((back.sphere - p.sphere).abs().dioptres() < 1e-11);
            prop_assert!((back.cylinder - p.cylinder).abs().dioptres() < 1e-11);
            // The compensated lens does in the old plane what the old one did.
            let effect = effective_power(there.sphere, old - new);
            prop_assert!((effect - p.sphere).abs().dioptres() < 1e-11);
        }
    }
}
