//! `check-facts.toml`: facts of the trade; a topic here is a fact's id.

use optics::{OrderedPower, SpheroCylinder, curves as surfaces, near, sum_in_contact, vertex};
use units::{Angle, Axis, Dioptre, Mm, Working};

use crate::case::{Case, Found, ordered};
use crate::{File, case, lenses, outlines, plans, prisms, tilts, topic};

pub(crate) const FILE: File = File {
    name: "check-facts.toml",
    text: include_str!("../../../../reference/check-facts.toml"),
    table: "fact",
    topic_of: |case| case.id.to_owned(),
    wants: case::wants,
    taken: &[
        topic("order.axis-mirror.example", axis_mirror),
        topic("order.transpose.1", transpose),
        topic("order.transpose.2", transpose),
        topic("power.meridian.1", power_in_a_meridian),
        topic("power.meridian.2", power_in_a_meridian),
        topic("power.axis-error", axis_error),
        topic("power.vertex.1", moved_lens),
        topic("power.vertex.2", moved_lens),
        topic("power.tilt.martin", tilts::fact_martin),
        topic("power.wrap-prism.1", tilts::fact_wrap_prism),
        topic("prism.prentice.1", prisms::fact_below),
        topic("prism.prentice.2", prisms::fact_out),
        topic("prism.self-pd.example", prisms::fact_self_pd),
        topic("prism.pd-error-limit", plans::fact_pd_error_limit),
        topic("layout.decentration", plans::fact_decentration),
        topic("layout.total-inset", plans::fact_total_inset),
        topic("layout.near-pd", near_pd),
        topic("layout.aspheric-drop.exact", plans::fact_lowering),
        topic("frame.ed-bounds", outlines::effective_diameter_bounds),
        topic("frame.rounded-rectangle.54x34r10", outlines::rounded_rectangle),
        topic("frame.size-per-radius", outlines::size_per_radius),
        topic("frame.size-per-diameter", outlines::size_per_diameter),
        topic("frame.circumference-per-mm", outlines::size_per_mm),
        topic("frame.sampling-loss", outlines::sampling_loss),
        topic("frame.rim-curve-sag", lenses::fact_rim_sag),
        topic("frame.curve-mismatch.4-6", lenses::fact_curve_mismatch),
        topic("blank.formula-exam", plans::fact_blank_formula),
        topic("blank.formula-forum", plans::fact_blank_formula),
        topic("blank.formula-no-allowance", plans::fact_blank_formula),
        topic("blank.true-need.centred", lenses::fact_true_need),
        topic("blank.true-need.4-0", lenses::fact_true_need),
        topic("blank.true-need.4-3", lenses::fact_true_need),
        topic("blank.true-need.3-4", lenses::fact_true_need),
        topic("blank.true-need.6-2", lenses::fact_true_need),
        topic("curve.vogel.plus", vogel),
        topic("curve.vogel.minus", vogel),
        topic("curve.vogel.plano", vogel),
        topic("curve.lens-measure-index", lens_measure_index),
        topic("thick.minus.1", lenses::fact_minus),
        topic("thick.minus.2", lenses::fact_minus),
        topic("thick.minus.3", lenses::fact_minus),
        topic("thick.minus.4", lenses::fact_minus),
        topic("thick.plus.1", lenses::fact_plus),
        topic("thick.plus.2", lenses::fact_plus),
        topic("thick.stock-plus-65", lenses::fact_stock_plus),
        topic("thick.stock-plus-70", lenses::fact_stock_plus),
        topic("thick.centre-to-edge", lenses::fact_centre_to_edge),
    ],
    left_out: &[
        ("order.error-shares", STATISTIC),
        ("order.pd-adult-range", STATISTIC),
        ("order.pd-self-measure", STATISTIC),
        ("order.axis-mirror-median", STATISTIC),
        ("order.axis-mirror-within-15", STATISTIC),
        ("order.add-usual", RULES),
        ("order.step", RULES),
        ("order.monocular-asymmetry-ask", RULES),
        ("order.vertex-ask", RULES),
        ("order.uk-prescription-age", "law of one country: later work"),
        ("power.axis-limit-origin", "the origin of a tolerance: later work"),
        ("power.wrap-rx-range", RULES),
        ("prism.near-imbalance-concern", RULES),
        ("prism.anisometropia-flag", RULES),
        ("layout.boxed-centre-distance", "a sum inside the decentration, no key of a plan"),
        ("layout.near-pd-old-rule", "an old habit, kept to be told apart from the formula"),
        ("layout.centre-of-rotation", RULES),
        ("layout.aspheric-drop", "the rule of 1 mm for 2 degrees; ours is 27 mm x sin(tilt)"),
        ("layout.pal-*", "progressive-power layout: such an order is a stop, no layout is figured"),
        ("layout.default-wear", RULES),
        ("frame.right-left-circumference", RULES),
        ("frame.size-fine-step", RULES),
        ("frame.allowance-*", RULES),
        ("frame.acetate-temp", BENCH),
        ("frame.epoxy-temp", BENCH),
        ("frame.copolyamide-temp", BENCH),
        ("frame.nitrate-flash", BENCH),
        ("frame.iso-maker-tolerance", RULES),
        ("frame.sanity", RULES),
        ("blank.nominal-diameters", RULES),
        ("blank.pal-usable", RULES),
        ("blank.edge-loss", RULES),
        ("blank.stock-*", STATISTIC),
        ("blank.block-clearance", RULES),
        ("blank.clamp-min-B", RULES),
        ("curve.boddy.*", "front curves of progressives: such an order is a stop"),
        ("curve.match-pair", RULES),
        ("curve.eikonic-limits", "no figure of a plan"),
        ("thick.square-law", "a parabola for a circle: no figure of ours uses the rule of thumb"),
        ("thick.min-centre", RULES),
        ("thick.children-poly", RULES),
        ("thick.edge-*", RULES),
        ("thick.iso-centre-tolerance", "a tolerance: later work"),
        ("material.*", RULES),
        ("edge.*", "bevel, groove, holes and cutting: later work, or a value that the rules start from"),
        ("tol.*", "tolerances: later work"),
        ("impact.*", "impact tests: later work"),
        ("records.*", "how long papers are kept: later work"),
        ("safety.*", BENCH),
        ("rate.*", STATISTIC),
    ],
};

const STATISTIC: &str = "a statistic of the trade, no calculation";
const RULES: &str = "a value that the rules may start from, no calculation: it tests the table, not the plan";
const BENCH: &str = "a caution for the bench, no calculation";

fn axis_mirror(case: &Case) -> Found {
    let axis = |key: &str| whole_degrees(case.number(key));
    let apart = axis("axis_right").half_degrees_to(axis("axis_left").mirrored());
    Found::none().number("expect", f64::from(apart) / 2.0)
}

fn transpose(case: &Case) -> Found {
    let (sphere, cylinder) = (ordered(case.number("sphere")), ordered(case.number("cylinder")));
    let minus = OrderedPower::new(sphere, Some((cylinder, whole_degrees(case.number("axis"))))).minus_form();
    let (cylinder, axis) = minus.cylinder().expect("a cylinder");
    Found::none()
        .power("sphere", minus.sphere().dioptre())
        .power("cylinder", cylinder.dioptre())
        .number("axis", axis.deg())
}

fn power_in_a_meridian(case: &Case) -> Found {
    let power = SpheroCylinder::new(case.power("sphere"), case.power("cylinder"), case.angle("axis"));
    Found::none().power("expect", power.power_in(&mut Working::off(), case.angle("meridian")))
}

/// What is left when a cylinder is corrected at a wrong axis, as a share of the cylinder.
fn axis_error(case: &Case) -> Found {
    let cylinder = Dioptre::new(1.0);
    case.each_point(|row| {
        let wanted = SpheroCylinder::new(Dioptre::ZERO, cylinder, Angle::from_deg(20.0));
        let given = SpheroCylinder::new(Dioptre::ZERO, -cylinder, Angle::from_deg(20.0 + row[0]));
        sum_in_contact(&[wanted, given]).cylinder.abs() / cylinder
    })
}

fn moved_lens(case: &Case) -> Found {
    let old = Mm::new(14.0);
    let new = old - Mm::new(case.number("shift_towards_eye_m") * 1000.0);
    Found::none().power("expect", vertex::compensated_power(&mut Working::off(), case.power("power"), old, new))
}

fn near_pd(case: &Case) -> Found {
    case.each_point(|row| near::near_pd(&mut Working::off(), Mm::new(row[0]), Mm::new(row[1]), Mm::new(27.0)).mm())
}

fn vogel(case: &Case) -> Found {
    let power = SpheroCylinder::new(case.power("sphere"), case.power("cylinder"), Angle::ZERO);
    Found::none().power("expect", surfaces::vogel(&mut Working::off(), power.spherical_equivalent()))
}

fn lens_measure_index(_: &Case) -> Found {
    Found::none().number("value", surfaces::TOOLING_INDEX)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an axis of the file")]
fn whole_degrees(deg: f64) -> Axis {
    Axis::from_half_degrees((2.0 * deg).round() as u16).expect("an axis")
}
