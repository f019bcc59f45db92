//! Cases about surfaces: radius, power, the 1.530 scale, lens measures, Vogel's rule.

use optics::curves::{self, Curvature, Face};
use optics::vertex;
use units::{Angle, Mm, Working};

use crate::case::{Case, Found};

fn curvature(case: &Case, key: &str) -> Curvature {
    Curvature::of_radius(Some(case.length(key)))
}

pub(crate) fn surface_power(case: &Case) -> Found {
    let power = curves::surface_power(Face::Front, curvature(case, "radius_mm"), case.number("index"));
    Found::none().power("surface_power_d", power)
}

pub(crate) fn surface_radius(case: &Case) -> Found {
    let w = &mut Working::off();
    let radius = curves::surface_radius(w, Face::Front, case.power("surface_power_d"), case.number("index"));
    Found::none().length("radius_mm", radius.expect("curved"))
}

pub(crate) fn lensmaker(case: &Case) -> Found {
    let (w, index) = (&mut Working::off(), case.number("index"));
    let front = curves::surface_power(Face::Front, curvature(case, "front_radius_mm"), index);
    let back = curves::surface_power(Face::Back, curvature(case, "back_radius_mm"), index);
    Found::none()
        .power("front_power_d", front)
        .power("back_power_d", back)
        .power("nominal_power_d", vertex::back_vertex_power(w, front, back, Mm::ZERO, index))
}

pub(crate) fn lens_measure(case: &Case) -> Found {
    if case.has("reading_1530_d") {
        let w = &mut Working::off();
        let power = curves::true_power_of_marked(w, case.power("reading_1530_d"), case.number("index"));
        return Found::none().power("true_surface_power_d", power);
    }
    let [front, first, across] = ["front_reading_d", "back_reading_1_d", "back_reading_2_d"].map(|k| case.power(k));
    Found::none().sphero_cylinder(curves::power_of_readings(front, first, across, Angle::ZERO))
}

pub(crate) fn index_of_readings(case: &Case) -> Found {
    let [front, back, measured] = ["front_reading_d", "back_reading_d", "measured_power_d"].map(|k| case.power(k));
    let index = curves::index_of_readings(front, back, measured, case.number("clock_index"));
    Found::none().number("index", index.expect("a lens with power"))
}

pub(crate) fn tooling_index(case: &Case) -> Found {
    let (w, index) = (&mut Working::off(), case.number("index"));
    if case.has("true_back_power_d") {
        let curve = curves::marked_curve_of_true(w, case.power("true_back_power_d"), index);
        return Found::none().power("tool_curve_1530_d", curve);
    }
    let power = curves::true_power_of_marked(w, case.power("marked_curve_1530_d"), index);
    let radius = curves::surface_radius(w, Face::Front, power, index).expect("curved");
    Found::none().power("true_power_d", power).length("radius_mm", radius)
}

pub(crate) fn vogel(case: &Case) -> Found {
    let equivalent = case.sphero_cylinder().spherical_equivalent();
    Found::none()
        .power("spherical_equivalent_d", equivalent)
        .power("base_curve_d", curves::vogel(&mut Working::off(), equivalent))
}
