//! Cases about the trade's rules of thumb, which stand beside our figures.

use optics::{curves, rules_of_thumb as rules};
use units::{CmPerM, Dioptre, Mm, Working};

use crate::case::{Case, Found};

/// How far edge and centre are apart by the rule.
pub(crate) fn difference(power: Dioptre, diameter: Mm, index: f64) -> Mm {
    rules::thickness_difference(&mut Working::off(), power, diameter, index)
}

/// What a prism adds along a distance by the rule.
pub(crate) fn wedge(case: &Case, distance: &str) -> Mm {
    let prism = CmPerM::new(case.number("prism_pd"));
    rules::wedge(&mut Working::off(), prism, case.length(distance), case.number("index"))
}

pub(crate) fn centre(case: &Case) -> Found {
    let apart = difference(case.power("power_d"), case.length("diameter_mm"), case.number("index"));
    Found::none().length("center_thickness_mm", case.length("edge_thickness_mm") + apart)
}

/// K, and the difference that it gives for a power and a diameter of one.
pub(crate) fn thickness_factor(case: &Case) -> Found {
    let index = case.number("index");
    let k = rules::thickness_factor(index);
    let one = difference(Dioptre::new(1.0), Mm::new(1.0), index);
    assert!((one.mm() * k - 1.0).abs() < 1e-12, "{one:?} by {k}");
    Found::none().number("k", k)
}

pub(crate) fn edges_with_prism(case: &Case) -> Found {
    assert_eq!(case.word("base"), "towards edge A");
    let edge = |distance: &str, towards_base: f64| {
        let minus = difference(case.power("power_d"), case.length(distance) * 2.0, case.number("index"));
        case.length("center_thickness_mm") + minus + wedge(case, distance) * towards_base
    };
    Found::none()
        .length("edge_a_mm", edge("edge_a_distance_mm", 1.0))
        .length("edge_b_mm", edge("edge_b_distance_mm", -1.0))
}

fn curvature(found: &str, old: f64, new: f64) -> Found {
    let ratio = rules::relative_curvature(&mut Working::off(), old, new);
    Found::none().number(found, ratio).number("thickness_reduction_percent", 100.0 * (1.0 - ratio))
}

pub(crate) fn curve_variation_factor(case: &Case) -> Found {
    assert!((case.number("reference_index") - rules::CROWN_INDEX).abs() < 1e-12, "against crown glass");
    curvature("cvf", rules::CROWN_INDEX, case.number("index"))
}

pub(crate) fn relative_curvature(case: &Case) -> Found {
    curvature("relative_curvature", case.number("old_index"), case.number("new_index"))
}

pub(crate) fn base_curve(case: &Case) -> Found {
    let (w, equivalent) = (&mut Working::off(), case.sphero_cylinder().spherical_equivalent());
    Found::none()
        .power("base_curve_d", rules::front_curve_four_eight(w, equivalent))
        .power("vogel_d", curves::vogel(w, equivalent))
}

/// `thick.square-law`: of twice the diameter.
pub(crate) fn fact_square_law(_: &Case) -> Found {
    let of = |diameter| difference(Dioptre::new(-5.0), Mm::new(diameter), 1.6);
    Found::none().number("value", of(60.0) / of(30.0))
}

/// `layout.aspheric-drop`: of one degree.
pub(crate) fn fact_lowering(_: &Case) -> Found {
    Found::none().length("value", rules::lowering(&mut Working::off(), units::Angle::from_deg(1.0)))
}

/// `layout.near-pd-old-rule`
pub(crate) fn fact_near_pd(_: &Case) -> Found {
    let far = Mm::new(63.0);
    Found::none().length("value", far - rules::near_pd(&mut Working::off(), far))
}
