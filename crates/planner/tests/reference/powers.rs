//! Cases about sphero-cylinders: both forms, meridians, vectors, sums.

use optics::{PowerVector, SpheroCylinder, sum_in_contact, vertex};
use units::{Angle, Dioptre, Mm, Working};

use crate::case::{Case, Found};

pub(crate) fn transposition(case: &Case) -> Found {
    Found::none().sphero_cylinder(case.sphero_cylinder().transposed())
}

pub(crate) fn spherical_equivalent(case: &Case) -> Found {
    Found::none().power("spherical_equivalent_d", case.sphero_cylinder().spherical_equivalent())
}

/// A thin lens with a toric front on a given base curve: what the front needs beside the sphere behind it.
pub(crate) fn toric(case: &Case) -> Found {
    let w = &mut Working::off();
    let (base, thin) = (case.power("base_curve_d"), Mm::ZERO);
    let power = case.sphero_cylinder().plus_form();
    let sphere_curve = vertex::back_surface_power(w, power.sphere, base, thin, 1.523);
    let front = vertex::toric_front(w, power, sphere_curve, thin, 1.523);
    let (cross, along_base) = (front, front.transposed());
    Found::none()
        .power("sphere_curve_d", sphere_curve)
        .power("base_curve_d", front.sphere)
        .number("base_axis_deg", along_base.axis.axis_deg())
        .power("cross_curve_d", front.across())
        .number("cross_axis_deg", cross.axis.axis_deg())
}

pub(crate) fn power_in_a_meridian(case: &Case) -> Found {
    let (power, w) = (case.sphero_cylinder(), &mut Working::off());
    if case.has("meridian_deg") {
        return Found::none().power("power_d", power.power_in(w, case.angle("meridian_deg")));
    }
    case.expected().keys().fold(Found::none(), |found, key| {
        let deg = key.strip_prefix("power_").and_then(|k| k.strip_suffix("_d")).and_then(|k| k.parse().ok());
        found.power(key, power.power_in(w, Angle::from_deg(deg.expect("a meridian in the key"))))
    })
}

pub(crate) fn power_vector(case: &Case) -> Found {
    let vector = PowerVector::from(case.sphero_cylinder());
    Found::none()
        .power("m_d", vector.m)
        .power("j0_d", vector.j0)
        .power("j45_d", vector.j45)
        .power("blur_b_d", vector.blur())
}

pub(crate) fn crossed_cylinders(case: &Case) -> Found {
    if case.has("cyl_each_d") {
        let each = |axis| SpheroCylinder::new(Dioptre::ZERO, case.power("cyl_each_d"), axis);
        let sum = sum_in_contact(&[each(Angle::ZERO), each(case.angle("angle_between_axes_deg"))]).plus_form();
        return Found::none()
            .power("sphere_d", sum.sphere)
            .power("cyl_d", sum.cylinder)
            .number("axis_from_first_deg", sum.axis.axis_deg());
    }
    let lenses: Vec<_> =
        ["lens1", "lens2", "lens3"].into_iter().filter(|key| case.has(key)).map(|key| case.listed(key)).collect();
    Found::none().sphero_cylinder(sum_in_contact(&lenses))
}
