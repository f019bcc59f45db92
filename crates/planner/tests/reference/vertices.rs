//! Cases about thick lenses and moved lenses.

use optics::{Face, curves, vertex};
use units::{Dioptre, Mm, Working};

use crate::case::{Case, Found};

pub(crate) fn vertex_distance(case: &Case) -> Found {
    let (from, w) = (case.length("from_mm"), &mut Working::off());
    let to = if case.has("to_mm") { case.length("to_mm") } else { from + case.length("moved_away_mm") };
    let made = vertex::compensated(w, case.sphero_cylinder(), from, to);
    Found::none().sphero_cylinder(made).power("power_d", made.sphere)
}

pub(crate) fn effective_power(case: &Case) -> Found {
    let effect = vertex::effective_power(case.power("power_d"), case.length("moved_toward_eye_mm"));
    Found::none().power("effective_power_at_original_plane_d", effect)
}

/// A sentence about every minus lens that is moved away from the eye.
pub(crate) fn effectivity(case: &Case) -> Found {
    assert_eq!(case.word("lens"), "minus lens moved away from the eye");
    let w = &mut Working::off();
    let (mut weaker, mut more_minus) = (true, true);
    for power in [-0.25, -1.0, -4.0, -12.0, -25.0].map(Dioptre::new) {
        for away in [1.0, 4.0, 12.0].map(Mm::new) {
            weaker &= vertex::effective_power(power, -away).abs() < power.abs();
            more_minus &= vertex::compensated_power(w, power, Mm::new(12.0), Mm::new(12.0) + away) < power;
        }
    }
    Found::none()
        .word("effective_minus_power", if weaker { "weaker" } else { "not weaker" })
        .word("required_power", if more_minus { "more minus" } else { "not more minus" })
}

/// Two thin lenses with air between are the two surfaces of a lens of index 1.
pub(crate) fn separated_lenses(case: &Case) -> Found {
    let vergence = vertex::back_vertex_power(
        &mut Working::off(),
        case.power("f1_d"),
        case.power("f2_d"),
        case.length("separation_mm"),
        1.0,
    );
    Found::none().power("back_vertex_vergence_d", vergence)
}

pub(crate) fn vertex_powers(case: &Case) -> Found {
    let w = &mut Working::off();
    let (front, back) = (case.power("front_power_d"), case.power("back_power_d"));
    let (centre, index) = (case.length("center_thickness_mm"), case.number("index"));
    Found::none()
        .power("nominal_d", vertex::back_vertex_power(w, front, back, Mm::ZERO, index))
        .power("back_vertex_power_d", vertex::back_vertex_power(w, front, back, centre, index))
        .power("front_vertex_power_d", vertex::front_vertex_power(front, back, centre, index))
        .power("equivalent_power_d", vertex::equivalent_power(front, back, centre, index))
}

pub(crate) fn back_curve(case: &Case) -> Found {
    let (w, index) = (&mut Working::off(), case.number("index"));
    let (front, centre) = (case.power("front_power_d"), case.length("center_thickness_mm"));
    let back = vertex::back_surface_power(w, case.power("bvp_d"), front, centre, index);
    Found::none()
        .power("back_power_d", back)
        .length("back_radius_mm", curves::surface_radius(w, Face::Back, back, index).expect("curved"))
        .power("back_tool_1530_d", curves::marked_curve_of_true(w, back, index))
}

pub(crate) fn base_curve_arithmetic(case: &Case) -> Found {
    let w = &mut Working::off();
    let back = vertex::toric_back(w, case.sphero_cylinder(), case.power("front_curve_d"), Mm::ZERO, 1.498);
    Found::none().power("back_1_d", back.sphere).power("back_2_d", back.across())
}

pub(crate) fn nominal_power(case: &Case) -> Found {
    let w = &mut Working::off();
    let back = vertex::back_surface_power(w, case.power("power_d"), case.power("front_power_d"), Mm::ZERO, 1.498);
    Found::none().power("back_power_d", back)
}
