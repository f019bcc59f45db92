//! Cases about prism: by decentration, as vectors, as wedges, at both eyes.

use optics::{Offset, PowerMatrix, Prism, SpheroCylinder, prism};
use units::{Angle, CmPerM, Mm, Working, maths};

use crate::case::{Case, Found};
use crate::plans;

/// The four words for a base or a direction, as a right eye has them, since in is the viewer's right there.
const RIGHT_EYE: [(&str, f64); 4] = [("in", 0.0), ("up", 90.0), ("out", 180.0), ("down", 270.0)];

/// The word nearest to a direction, for a right eye.
fn word(towards: Angle) -> &'static str {
    let away = |deg: f64| (Angle::from_deg(deg) - towards).cos();
    RIGHT_EYE.into_iter().max_by(|a, b| away(a.1).total_cmp(&away(b.1))).expect("four words").0
}

/// The direction of a word, for a right eye.
fn direction(word: &str) -> Angle {
    let found = RIGHT_EYE.into_iter().find(|(w, _)| *w == word);
    Angle::from_deg(found.unwrap_or_else(|| panic!("`{word}` is no direction")).1)
}

/// Millimetres and the words after them: `2 mm below OC`.
fn step(text: &str) -> (Mm, &str) {
    let (amount, words) = text.split_once(" mm ").unwrap_or_else(|| panic!("`{text}` has no mm"));
    (Mm::new(amount.parse().expect("a number")), words)
}

/// Optical centre minus viewing point, from the case's own words.
fn offset(case: &Case) -> Offset {
    let up = |y: Mm| Offset { x: Mm::ZERO, y };
    if case.has("point") {
        return match step(case.word("point")) {
            (mm, "below OC") => up(mm),
            (_, other) => panic!("`{other}`"),
        };
    }
    if case.has("oc") {
        return match step(case.word("oc")) {
            (mm, "below pupil") => up(-mm),
            (_, other) => panic!("`{other}`"),
        };
    }
    if case.has("lens_moved") {
        return match step(case.word("lens_moved")) {
            (mm, "up") => up(mm),
            // The wearer's right is the left of someone who faces the wearer.
            (mm, "to the patient's right") => Offset { x: -mm, y: Mm::ZERO },
            (_, other) => panic!("`{other}`"),
        };
    }
    Offset { x: case.length("decentration_mm"), y: Mm::ZERO }
}

fn amount_and_base(found: Prism) -> Found {
    Found::none().number("prism_pd", found.amount().cm_per_m()).word("base", word(found.base().expect("some prism")))
}

pub(crate) fn prentice(case: &Case) -> Found {
    if case.has("eye") {
        assert_eq!(case.word("eye"), "R", "words are a right eye's");
    }
    amount_and_base(prism::prentice(&mut Working::off(), case.sphero_cylinder().into(), offset(case)))
}

pub(crate) fn decentration_for_prism(case: &Case) -> Found {
    let base = direction(if case.has("base") { case.word("base") } else { "in" });
    let wanted = Prism::towards(CmPerM::new(case.number("prism_pd")), base);
    let found = prism::decentration_for(&mut Working::off(), case.sphero_cylinder().into(), wanted).expect("power");
    let (x, y) = (found.x.mm(), found.y.mm());
    Found::none()
        .number("decentration_mm", maths::hypot(x, y))
        .word("direction", word(Angle::from_deg(maths::atan2_deg(y, x))))
}

pub(crate) fn prentice_oblique(case: &Case) -> Found {
    let offset = if case.has("point_mm") {
        assert_eq!(case.word("eye"), "R", "words are a right eye's");
        let [x, y] = case.list("point_mm")[..] else { panic!("two numbers") };
        Offset { x: Mm::new(-x), y: Mm::new(-y) }
    } else {
        Offset { x: case.length("oc_shift_x_mm"), y: case.length("oc_shift_y_mm") }
    };
    let w = &mut Working::off();
    let power = PowerMatrix::of(w, case.sphero_cylinder());
    let found = prism::prentice(w, power, offset);
    let (x, y) = (found.x.cm_per_m(), found.y.cm_per_m());
    Found::none()
        .number("base_x_pd", x)
        .number("base_y_pd", y)
        .number("horizontal_pd", x.abs())
        .number("vertical_pd", y.abs())
        .word("horizontal_base", if x > 0.0 { "in" } else { "out" })
        .word("vertical_base", if y > 0.0 { "up" } else { "down" })
}

pub(crate) fn decentration_for_prism_oblique(case: &Case) -> Found {
    let wanted = Prism { x: CmPerM::new(case.number("base_x_pd")), y: CmPerM::new(case.number("base_y_pd")) };
    let found = prism::decentration_for(&mut Working::off(), case.sphero_cylinder().into(), wanted).expect("power");
    Found::none().length("oc_dx_mm", found.x).length("oc_dy_mm", found.y)
}

pub(crate) fn definition(case: &Case) -> Found {
    let slope = case.number("displacement_cm") / 100.0 / case.number("distance_m");
    let angle = Angle::from_deg(maths::atan_deg(slope));
    Found::none().number("prism_pd", prism::of_deviation(angle).cm_per_m())
}

pub(crate) fn deviation(case: &Case) -> Found {
    Found::none().number("deviation_deg", prism::deviation(CmPerM::new(case.number("prism_pd"))).deg())
}

pub(crate) fn apical_angle(case: &Case) -> Found {
    let (amount, index) = (CmPerM::new(case.number("prism_pd")), case.number("index"));
    Found::none()
        .number("apex_small_angle_deg", prism::apical_angle_thin(amount, index).deg())
        .number("apex_exact_normal_incidence_deg", prism::apical_angle(amount, index).deg())
}

pub(crate) fn of_apical_angle(case: &Case) -> Found {
    let found = prism::of_apical_angle(case.angle("apex_deg"), case.number("index"));
    Found::none().number("prism_pd", found.expect("no total reflection").cm_per_m())
}

pub(crate) fn resultant(case: &Case) -> Found {
    let part = |key: &str| if case.has(key) { case.number(key) } else { 0.0 };
    let found = Prism { x: CmPerM::new(part("in_pd") - part("out_pd")), y: CmPerM::new(part("up_pd")) };
    Found::none()
        .number("prism_pd", found.amount().cm_per_m())
        .number("base_deg", found.base().expect("some prism").direction_deg())
}

pub(crate) fn components(case: &Case) -> Found {
    let found = Prism::towards(CmPerM::new(case.number("prism_pd")), case.angle("base_deg"));
    Found::none().number("base_x_pd", found.x.cm_per_m()).number("base_y_pd", found.y.cm_per_m())
}

pub(crate) fn splitting(case: &Case) -> Found {
    let up = |y: f64| Prism { x: CmPerM::ZERO, y: CmPerM::new(y) };
    let (right, left) = prism::shared(up(case.number("right_up_pd")), up(-case.number("left_down_pd")));
    Found::none().number("right_up_pd", right.y.cm_per_m()).number("left_down_pd", -left.y.cm_per_m())
}

/// Both eyes look below their optical centres; the difference is the plan's.
pub(crate) fn near_imbalance(case: &Case) -> Found {
    let below = Offset { x: Mm::ZERO, y: case.length("drop_mm") };
    let at = |key: &str| prism::prentice(&mut Working::off(), case.listed(key).into(), below).y;
    let (right, left) = (at("right"), at("left"));
    Found::none().number("right_pd", right.abs().cm_per_m()).number("left_pd", left.abs().cm_per_m()).number(
        "imbalance_pd",
        plans::near_imbalance(case.listed("right"), case.listed("left"), below.y).abs().cm_per_m(),
    )
}

/// Both optical centres too close together, each by half the error; what the pair does is right minus left.
pub(crate) fn pd_error(case: &Case) -> Found {
    let half = case.length("pd_error_mm") / 2.0;
    let at =
        |power: SpheroCylinder, x: Mm| prism::prentice(&mut Working::off(), power.into(), Offset { x, y: Mm::ZERO });
    let right = at(SpheroCylinder::spherical(case.power("right_power_d")), half);
    let left = at(SpheroCylinder::spherical(case.power("left_power_d")), -half);
    Found::none()
        .number("right_pd", right.amount().cm_per_m())
        .number("left_pd", left.amount().cm_per_m())
        .number("total_pd", (right - left).amount().cm_per_m())
}

/// `prism.prentice.1`: looking below the optical centre.
pub(crate) fn fact_below(case: &Case) -> Found {
    let below = Offset { x: Mm::ZERO, y: case.length("offset_mm") };
    fact_prism(case, below)
}

/// `prism.prentice.2`: optical centre out from the pupil.
pub(crate) fn fact_out(case: &Case) -> Found {
    let out = Offset { x: -case.length("offset_mm"), y: Mm::ZERO };
    fact_prism(case, out)
}

fn fact_prism(case: &Case, offset: Offset) -> Found {
    let power = SpheroCylinder::spherical(case.power("power"));
    let found = prism::prentice(&mut Working::off(), power.into(), offset);
    Found::none().number("prism", found.amount().cm_per_m()).word("base", word(found.base().expect("some prism")))
}

/// `prism.self-pd.example`: the pair's prism, half of the error at each eye.
pub(crate) fn fact_self_pd(case: &Case) -> Found {
    let power = PowerMatrix::scalar(case.power("power"));
    let half = case.length("pd_error_mm") / 2.0;
    let at = |x: Mm| prism::prentice(&mut Working::off(), power, Offset { x, y: Mm::ZERO });
    Found::none().number("expect", (at(half) - at(-half)).amount().cm_per_m())
}
