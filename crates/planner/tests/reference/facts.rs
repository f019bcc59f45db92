//! `check-facts.toml`: facts of the trade; a topic here is a fact's id.

use optics::{OrderedPower, SpheroCylinder, curves as surfaces, near, sum_in_contact, vertex};
use units::{Angle, Axis, Dioptre, Mm, Working};

use crate::case::{Case, Found, ordered};
use crate::{
    File, Topic, case, lenses, magnifications, outlines, plans, prisms, quick_figures, thresholds, tilts, topic,
};

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
        topic("order.step", thresholds::power_step),
        topic("power.meridian.1", power_in_a_meridian),
        topic("power.meridian.2", power_in_a_meridian),
        topic("power.axis-error", axis_error),
        topic("power.axis-limit-origin", thresholds::axis_error_that_leaves),
        topic("power.vertex.1", moved_lens),
        topic("power.vertex.2", moved_lens),
        topic("power.tilt.martin", tilts::fact_martin),
        topic("power.wrap-prism.1", tilts::fact_wrap_prism),
        topic("prism.prentice.1", prisms::fact_below),
        topic("prism.prentice.2", prisms::fact_out),
        topic("prism.self-pd.example", prisms::fact_self_pd),
        topic("prism.pd-error-limit", plans::fact_pd_error_limit),
        Topic {
            name: "prism.near-imbalance-concern",
            run: thresholds::imbalance_concern,
            not_ours: &[("easy", "what most wearers take with ease: nothing is said of it")],
        },
        topic("prism.anisometropia-flag", thresholds::anisometropia),
        topic("layout.boxed-centre-distance", plans::fact_boxed_centre_distance),
        topic("layout.decentration", plans::fact_decentration),
        topic("layout.total-inset", plans::fact_total_inset),
        topic("layout.near-pd", near_pd),
        topic("layout.near-pd-old-rule", quick_figures::fact_near_pd),
        topic("layout.aspheric-drop", quick_figures::fact_lowering),
        topic("layout.aspheric-drop.exact", plans::fact_lowering),
        topic("frame.ed-bounds", outlines::effective_diameter_bounds),
        topic("frame.rounded-rectangle.54x34r10", outlines::rounded_rectangle),
        topic("frame.size-per-radius", outlines::size_per_radius),
        topic("frame.size-per-diameter", outlines::size_per_diameter),
        topic("frame.circumference-per-mm", outlines::size_per_mm),
        topic("frame.sampling-loss", outlines::sampling_loss),
        topic("frame.right-left-circumference", thresholds::circumferences),
        topic("frame.iso-maker-tolerance", thresholds::between_lenses),
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
        topic("edge.polarised-axis", thresholds::polarised_axis),
        topic("edge.bevel-split", lenses::fact_bevel_split),
        topic("edge.bevel-split-thin", lenses::fact_bevel_split_thin),
        topic("curve.vogel.plus", vogel),
        topic("curve.vogel.minus", vogel),
        topic("curve.vogel.plano", vogel),
        topic("curve.eikonic-limits", magnifications::fact_size_lens_limits),
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
        topic("thick.square-law", quick_figures::fact_square_law),
    ],
    left_out: &[
        ("order.pd-adult-range", IN_THE_RULES),
        ("order.pd-self-measure", IN_THE_RULES),
        ("order.add-usual", IN_THE_RULES),
        ("order.monocular-asymmetry-ask", IN_THE_RULES),
        ("order.vertex-ask", IN_THE_RULES),
        ("order.uk-prescription-age", IN_THE_RULES),
        ("layout.centre-of-rotation", IN_THE_RULES),
        ("frame.size-fine-step", IN_THE_RULES),
        ("frame.allowance-metal", IN_THE_RULES),
        ("frame.sanity", IN_THE_RULES),
        ("blank.edge-loss", IN_THE_RULES),
        ("blank.block-clearance", IN_THE_RULES),
        ("blank.clamp-min-B", IN_THE_RULES),
        ("curve.match-pair", IN_THE_RULES),
        ("thick.min-centre", IN_THE_RULES),
        ("thick.edge-drill", IN_THE_RULES),
        ("thick.edge-groove", IN_THE_RULES),
        ("thick.edge-full-rim-plus", IN_THE_RULES),
        ("thick.iso-centre-tolerance", IN_THE_RULES),
        ("material.properties", IN_THE_RULES),
        ("material.index-e-line", IN_THE_RULES),
        ("edge.groove", IN_THE_RULES),
        ("edge.groove-budget", IN_THE_RULES),
        ("edge.groove-wall", IN_THE_RULES),
        ("edge.hole-wall", IN_THE_RULES),
        ("edge.drill-peck", IN_THE_RULES),
        ("edge.poly-removal", IN_THE_RULES),
        ("edge.cycle-time", IN_THE_RULES),
        ("edge.bevel-angle", IN_THE_RULES),
        ("edge.bevel-height", IN_THE_RULES),
        ("edge.safety-bevel", IN_THE_RULES),
        ("order.error-shares", STATISTIC),
        ("order.axis-mirror-median", STATISTIC),
        ("order.axis-mirror-within-15", STATISTIC),
        ("power.wrap-rx-range", "what wraps are usually made for; no question is asked from it"),
        ("layout.default-wear", "what lens designs assume; a plan assumes no wearing position that nobody measured"),
        ("layout.pal-*", PROGRESSIVE),
        ("curve.boddy.*", PROGRESSIVE),
        ("blank.pal-usable", PROGRESSIVE),
        ("frame.allowance-acetate", IN_THE_RULES),
        ("frame.acetate-temp", BENCH),
        ("frame.epoxy-temp", BENCH),
        ("frame.copolyamide-temp", BENCH),
        ("frame.nitrate-flash", BENCH),
        ("blank.nominal-diameters", "what suppliers make; a plan goes by the diameters of its shelf"),
        ("blank.stock-*", STATISTIC),
        ("thick.children-poly", "advice in the words of a finding, no figure"),
        ("edge.hole-chamfer", BENCH),
        ("edge.polarised-film-depth", "where films lie; no plan asks how deep, no figure hangs on it"),
        ("tol.*", "tolerances: the inspection's, which reads them from its own tables"),
        ("impact.*", "impact tests: later work"),
        ("records.*", "how long papers are kept: later work"),
        ("safety.*", BENCH),
        ("rate.*", STATISTIC),
    ],
};

const STATISTIC: &str = "a statistic of the trade, no calculation";
/// Held by the tests of `exchange`, where the built-in rules are; see [`what_stands_in_the_rules_is_held_there`].
const IN_THE_RULES: &str = "a value that the built-in rules start from: it tests that table, not a plan";
const PROGRESSIVE: &str = "progressive-power lenses: such an order is a stop, nothing of it is figured";
const BENCH: &str = "a caution for the bench, no calculation";

#[test]
fn what_stands_in_the_rules_is_held_there() {
    let held =
        [include_str!("../../../exchange/tests/rules.rs"), include_str!("../../../exchange/tests/rules_and_facts.rs")];
    for (id, _) in FILE.left_out.iter().filter(|(_, reason)| *reason == IN_THE_RULES) {
        assert!(held.iter().any(|text| text.contains(&format!("\"{id}\""))), "no test of the rules holds {id}");
    }
}

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
