//! Cases that a whole plan answers: placing, the blank that a shape needs, mass, prism of the pair.

use job::{FarPd, LensForm, LensUse, PerEye};
use optics::{SpheroCylinder, rules_of_thumb};
use outline::Outline;
use planner::placing::{self, Seat};
use planner::{LensPlan, Plan};
use units::{CmPerM, Dioptre, Mm, Working};

use crate::bench::{OnTheBench, blank};
use crate::case::{Case, Found};
use crate::outlines;

/// A shape of this box width, where a case has no other.
fn wide(a: Mm) -> Outline {
    Outline::ellipse(a / 2.0, Mm::new(17.0)).expect("a shape")
}

/// Box width and distance between lenses; where a case has the sum only, they are shared out, which changes nothing.
fn frame(case: &Case) -> (Mm, Mm) {
    for key in ["distance_between_centres_mm", "frame_pd_mm"] {
        if case.has(key) {
            let between = Mm::new(18.0);
            return (case.length(key) - between, between);
        }
    }
    (case.length("a_mm"), case.length("dbl_mm"))
}

fn inwards(plan: &Plan) -> PerEye<Mm> {
    PerEye::from_fn(|eye| {
        let eye_plan = plan.eyes[eye].as_ref().expect("both eyes are made");
        eye_plan.reference_point.expect("placed").inwards
    })
}

/// Both eyes alike.
fn each(plan: &Plan) -> Mm {
    let PerEye { right, left } = inwards(plan);
    assert!((right - left).abs().mm() < 1e-12, "{right:?} {left:?}");
    right
}

pub(crate) fn decentration(case: &Case) -> Found {
    let (a, between) = frame(case);
    let mut bench = OnTheBench::new(wide(a), between);
    if case.has("pd_mm") {
        let pd = case.length("pd_mm");
        let inwards = each(&bench.pd(pd).plan());
        return Found::none()
            .length("decentration_in_each_mm", inwards)
            .length("frame_pd_mm", boxed_centre_distance(pd, inwards));
    }
    let [right, left] = ["mono_pd_right_mm", "mono_pd_left_mm"].map(|key| Some(case.length(key)));
    bench.order.wearer.far_pd = Some(FarPd::Monocular(PerEye { right, left }));
    let PerEye { right, left } = inwards(&bench.plan());
    Found::none().length("right_in_mm", right).length("left_in_mm", left)
}

/// The pupillary distance at which nothing is decentred: what a plan's own decentration leaves of it.
fn boxed_centre_distance(pd: Mm, inwards: Mm) -> Mm {
    pd + inwards * 2.0
}

/// `layout.boxed-centre-distance`
pub(crate) fn fact_boxed_centre_distance(case: &Case) -> Found {
    let pd = Mm::new(61.0);
    let plan = OnTheBench::new(wide(case.length("A")), case.length("DBL")).pd(pd).plan();
    Found::none().length("expect", boxed_centre_distance(pd, each(&plan)))
}

/// `layout.decentration`
pub(crate) fn fact_decentration(case: &Case) -> Found {
    let (a, b) = (case.length("A"), case.length("B"));
    let shape = Outline::ellipse(a / 2.0, b / 2.0).expect("a shape");
    let mut bench = OnTheBench::new(shape, case.length("DBL"));
    let pd = Some(case.length("monocular_pd"));
    bench.order.wearer.far_pd = Some(FarPd::Monocular(PerEye { right: pd, left: pd }));
    bench.order.wearer.optical_centre_height = PerEye::from_fn(|_| Some(case.length("height")));
    let plan = bench.plan();
    let place = plan.eyes.left.as_ref().and_then(|e| e.reference_point).expect("placed");
    Found::none().length("x", place.inwards).length("y", place.up)
}

/// `layout.total-inset`: a near pair stands before the near distance.
pub(crate) fn fact_total_inset(case: &Case) -> Found {
    let between = Mm::new(18.0);
    let mut bench = OnTheBench::new(wide(case.length("boxed_centre_distance") - between), between);
    bench.order.lens.purpose = LensUse::Near;
    bench.order.wearer.near_pd = PerEye::from_fn(|_| Some(case.length("near_pd") / 2.0));
    Found::none().length("expect", each(&bench.plan()))
}

/// By how much a tilt lowers the reference point of an aspheric lens.
fn lowering(pantoscopic_deg: f64, pupil_height: Mm) -> Mm {
    let mut bench = OnTheBench::new(wide(Mm::new(50.0)), Mm::new(18.0)).pd(Mm::new(64.0));
    bench.order.wearer.pupil_height = PerEye::from_fn(|_| Some(pupil_height));
    let seat = Seat { box_width: Mm::new(50.0), box_height: Mm::new(34.0), between_lenses: Mm::new(18.0) };
    let mut up = |tilt| {
        bench.order.frame.pantoscopic_deg = tilt;
        let (w, pd, eye) = (&mut Working::off(), Some(Mm::new(32.0)), job::Eye::Right);
        placing::reference_point(w, &bench.order, &bench.rules, eye, seat, pd, LensForm::Aspheric).expect("placed").up
    };
    up(None) - up(Some(pantoscopic_deg))
}

pub(crate) fn lowering_for_tilt(case: &Case) -> Found {
    let height = if case.has("mrp_height_mm") { case.length("mrp_height_mm") } else { Mm::new(20.0) };
    let by_rule = rules_of_thumb::lowering(&mut Working::off(), case.angle("pantoscopic_deg"));
    Found::none()
        .length("lowering_27mm_sin_mm", lowering(case.number("pantoscopic_deg"), height))
        .length("lowering_rule_mm", by_rule)
        .length("ordered_height_mm", height - by_rule)
}

/// `layout.aspheric-drop.exact`
pub(crate) fn fact_lowering(case: &Case) -> Found {
    case.each_point(|row| lowering(row[0], Mm::new(20.0)).mm())
}

/// The lens of the right eye; the left one must be its like.
fn lens(plan: &Plan) -> &LensPlan {
    let [right, left] = [&plan.eyes.right, &plan.eyes.left].map(|eye| eye.as_ref().and_then(|e| e.lens.as_ref()));
    let (Some(right), Some(left)) = (right, left) else { panic!("no lens: {:?}", plan.findings) };
    assert!((right.coverage.smallest_blank - left.coverage.smallest_blank).abs().mm() < 1e-9);
    right
}

/// The smallest blank that a plan finds for a plano lens, as much inwards and up as said, material kept beyond the shape.
fn smallest_blank(shape: Outline, inwards: Mm, up: Mm, allowance: Mm) -> Mm {
    let (a, b, between) = (shape.boxed().width, shape.boxed().height, Mm::new(18.0));
    let mut bench = OnTheBench::new(shape, between).pd(a + between - inwards * 2.0);
    bench.rules.blank_allowance = allowance;
    bench.order.wearer.optical_centre_height = PerEye::from_fn(|_| Some(b / 2.0 + up));
    bench.blank = Some(blank(SpheroCylinder::PLANO, 0.0, 1.5, Mm::new(2.0), Mm::new(100.0)));
    lens(&bench.plan()).coverage.smallest_blank
}

/// The rule "effective diameter and twice the decentration" is exact for a circle, so a circle stands for a shape that a
/// case does not tell.
pub(crate) fn for_a_circle(effective_diameter: Mm, inwards: Mm, up: Mm, allowance: Mm) -> Mm {
    let circle = Outline::circle(effective_diameter / 2.0).expect("a circle");
    smallest_blank(circle, inwards, up, allowance)
}

pub(crate) fn minimum_blank(case: &Case) -> Found {
    if case.has("shape") {
        let (inwards, up) = (case.length("dec_in_mm"), case.length("dec_up_mm"));
        let shape = outlines::shape(case);
        let diameter = shape.boxed().effective_diameter;
        return Found::none()
            .length("ed_mm", diameter)
            .length("mbs_rule_mm", for_a_circle(diameter, inwards, up, Mm::ZERO))
            .length("mbs_exact_mm", smallest_blank(shape, inwards, up, Mm::ZERO));
    }
    let diameter = case.length(if case.has("ed_mm") { "ed_mm" } else { "round_eye_mm" });
    let inwards = if case.has("decentration_mm") {
        case.length("decentration_mm")
    } else {
        let (a, between) = frame(case);
        each(&OnTheBench::new(wide(a), between).pd(case.length("pd_mm")).plan())
    };
    Found::none()
        .length("mbs_no_allowance_mm", for_a_circle(diameter, inwards, Mm::ZERO, Mm::ZERO))
        .length("mbs_plus_2_mm", for_a_circle(diameter, inwards, Mm::ZERO, Mm::new(1.0)))
}

/// `blank.formula-*`: the allowance of the rules of thumb is of the diameter, ours of a side.
pub(crate) fn fact_blank_formula(case: &Case) -> Found {
    let inwards = if case.has("decentration") {
        case.length("decentration")
    } else {
        let between = Mm::new(18.0);
        let a = if case.has("A") { case.length("A") } else { case.length("frame_pd") - between };
        each(&OnTheBench::new(wide(a), between).pd(case.length("pd")).plan())
    };
    let allowance = if case.has("allowance") { case.length("allowance") / 2.0 } else { Mm::ZERO };
    Found::none().length("expect", for_a_circle(case.length("ED"), inwards, Mm::ZERO, allowance))
}

/// Volume and mass of a round lens as a plan has them.
pub(crate) fn round_weight(case: &Case) -> Found {
    let (diameter, between) = (case.length("diameter_mm"), Mm::new(18.0));
    let power = SpheroCylinder::spherical(case.power("bvp_d"));
    let circle = Outline::circle(diameter / 2.0).expect("a circle");
    let mut bench = OnTheBench::new(circle, between).pd(diameter + between).powers(power, power);
    let (front, index, centre) =
        (case.number("front_power_d"), case.number("index"), case.length("center_thickness_mm"));
    bench.rules.materials[0].density_g_cm3 = case.number("density_g_cm3");
    bench.blank = Some(blank(power, front, index, centre, diameter + Mm::new(2.0)));
    let plan = bench.plan();
    let lens = lens(&plan);
    Found::none().number("volume_mm3", lens.volume_mm3).number("mass_g", lens.mass_g)
}

/// Vertical prism between the eyes at a reading level below the far points.
pub(crate) fn near_imbalance(right: SpheroCylinder, left: SpheroCylinder, below: Mm) -> CmPerM {
    let mut bench = OnTheBench::new(wide(Mm::new(50.0)), Mm::new(18.0)).pd(Mm::new(64.0)).powers(right, left);
    bench.rules.eye.near_down = below;
    bench.plan().pair.near_vertical_imbalance.expect("both eyes")
}

/// `prism.pd-error-limit`
pub(crate) fn fact_pd_error_limit(case: &Case) -> Found {
    case.each_point(|row| {
        let power = SpheroCylinder::spherical(Dioptre::new(row[0]));
        let bench = OnTheBench::new(wide(Mm::new(50.0)), Mm::new(18.0)).pd(Mm::new(64.0)).powers(power, power);
        bench.plan().pair.pd_error_allowed.expect("a lens with power").mm()
    })
}
