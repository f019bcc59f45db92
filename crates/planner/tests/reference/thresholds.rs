//! Facts that say from where on something is asked: found by trying a plan on either side.

use job::{Blank, Finding, PerEye, Treatments, kinds};
use optics::{OrderedPower, SpheroCylinder, sum_in_contact};
use outline::{Outline, Samples};
use planner::{EyeTrace, Plan, Traced, shape};
use units::{Angle, Axis, Dioptre, Mm};

use crate::bench::{OnTheBench, blank};
use crate::case::{Case, Found, ordered};

/// Where a question begins that is not asked at nought and is asked at the most; bisected to the last digit.
fn begins(most: f64, asked: impl Fn(f64) -> bool) -> f64 {
    let (mut quiet, mut loud) = (0.0, most);
    assert!(!asked(quiet) && asked(loud), "not asked at nought, asked at {most}");
    for _ in 0..60 {
        let middle = (quiet + loud) / 2.0;
        *(if asked(middle) { &mut loud } else { &mut quiet }) = middle;
    }
    loud
}

fn says(findings: &[Finding], kind: &'static job::Kind) -> bool {
    findings.iter().any(|f| f.kind == kind)
}

fn bench() -> OnTheBench {
    let shape = Outline::ellipse(Mm::new(25.0), Mm::new(17.0)).expect("a shape");
    OnTheBench::new(shape, Mm::new(18.0)).pd(Mm::new(64.0))
}

fn plan_of_right(thousandths: u32) -> Plan {
    let right = SpheroCylinder::spherical(Dioptre::new(f64::from(thousandths) / 1000.0));
    bench().powers(right, SpheroCylinder::PLANO).plan()
}

/// The least difference of power in the vertical meridian, in whole thousandths, of which the plan says that it makes a
/// vertical imbalance at the reading level.
fn first_imbalance() -> u32 {
    let first = (0..4000).step_by(125).find(|&d| says(&plan_of_right(d).findings, &kinds::NEAR_IMBALANCE));
    let first = first.expect("4 D is flagged");
    assert!(!says(&plan_of_right(first - 1).findings, &kinds::NEAR_IMBALANCE), "no thousandth before it");
    first
}

/// `prism.anisometropia-flag`
pub(crate) fn anisometropia(_: &Case) -> Found {
    Found::none().number("value", f64::from(first_imbalance()) / 1000.0)
}

/// `prism.near-imbalance-concern`
pub(crate) fn imbalance_concern(_: &Case) -> Found {
    let imbalance = plan_of_right(first_imbalance()).pair.near_vertical_imbalance.expect("both eyes");
    Found::none().number("slab_off_from", imbalance.abs().cm_per_m())
}

/// `order.step`: the least power above nought that is not asked about.
pub(crate) fn power_step(_: &Case) -> Found {
    let step = (1..1000).find(|&d| !says(&plan_of_right(d).findings, &kinds::POWER_STEP)).expect("a step");
    Found::none().number("value", f64::from(step) / 1000.0)
}

/// `frame.iso-maker-tolerance`: how far order and records may be apart in the distance between lenses.
pub(crate) fn between_lenses(_: &Case) -> Found {
    let asked =
        |apart| says(&bench().records_say(Mm::new(18.0 + apart)).plan().findings, &kinds::BETWEEN_LENSES_DIFFER);
    Found::none().number("value", begins(2.0, asked))
}

/// `frame.right-left-circumference`: two round rims, one of them longer.
pub(crate) fn circumferences(_: &Case) -> Found {
    let trace = |radius: f64| {
        Some(EyeTrace {
            samples: Samples::even(&[Mm::new(radius); 400]).expect("enough points"),
            heights: None,
            frame_curve_d: None,
            stated_box: (None, None),
            stated_circumference: None,
            tilt_deg: None,
        })
    };
    let rules = bench().rules;
    let doubts = |longer: f64| {
        let eyes = PerEye { right: trace(25.0 + longer / core::f64::consts::TAU), left: trace(25.0) };
        shape::figure(&Traced { eyes, between_lenses: None, notes: Vec::new() }, &rules).expect("shapes").doubts
    };
    let retrace = |longer| says(&doubts(longer), &kinds::RETRACE);
    let not_one_shape = |longer| retrace(longer) || says(&doubts(longer), &kinds::CIRCUMFERENCES_DIFFER);
    Found::none().number("mirror_below", begins(2.0, not_one_shape)).number("retrace_above", begins(2.0, retrace))
}

/// `edge.polarised-axis`: how far the film of a blank may stand off the level when its cylinder has the ordered axis.
pub(crate) fn polarised_axis(_: &Case) -> Found {
    let power = SpheroCylinder::new(Dioptre::new(-2.0), Dioptre::new(-1.0), Angle::from_deg(180.0));
    let refused = |off: f64| {
        let mut bench = bench().powers(power, power);
        bench.order.lens.treatments = Treatments::POLARISED;
        let sphere = SpheroCylinder::spherical(power.sphere);
        bench.blank = Some(Blank {
            power: OrderedPower::new(
                ordered(-2.0),
                Some((ordered(-1.0), Axis::from_half_degrees(360).expect("an axis"))),
            ),
            treatments: Treatments::POLARISED,
            polarised_deg: Some(180.0 - off),
            ..blank(sphere, 4.0, 1.5, Mm::new(2.0), Mm::new(75.0))
        });
        bench.plan().eyes.right.expect("an eye").lens.is_none()
    };
    Found::none().number("value", begins(45.0, refused))
}

/// `power.axis-limit-origin`: the turn of a cylinder that leaves so much of it.
pub(crate) fn axis_error_that_leaves(case: &Case) -> Found {
    let (cylinder, residual) = (case.power("cylinder"), case.power("residual"));
    let left = |turn| {
        let wanted = SpheroCylinder::new(Dioptre::ZERO, cylinder, Angle::from_deg(180.0));
        let given = SpheroCylinder::new(Dioptre::ZERO, -cylinder, Angle::from_deg(turn));
        sum_in_contact(&[wanted, given]).cylinder.abs()
    };
    Found::none().number("expect", begins(45.0, |turn| left(turn) >= residual))
}
