//! The two lenses together: prism between the eyes, and how good the pupillary distance must be.

use job::rules::{PdDoubt, Rules};
use job::{Eye, FarPd, Finding, MeasuredBy, Order, PerEye, kinds};
use optics::{OrderedPower, PowerMatrix};
use units::maths::abs;
use units::{CmPerM, Mm, Working, step};

use crate::placing::met;
use crate::plan::{EyePlan, PairPlan, Place};
use crate::said::{mm1, mm2, signed2};

/// Vertical imbalance at the reading level from which slab-off is usually considered, cm/m: trade press.
const NEAR_IMBALANCE_WARN_CM_PER_M: f64 = 1.5;
/// Difference of the thickest edges that is seen from the front, mm: common practice, no source.
const EDGES_APART_MM: f64 = 1.5;

/// How far off the pupillary distance of the pair may be, by the way it was measured.
#[must_use]
pub(crate) fn pd_doubt(order: &Order, rules: &Rules) -> Option<Mm> {
    if order.wearer.far_pd == Some(FarPd::BoxedCentres) {
        return None;
    }
    let PdDoubt { own, pupillometer, rule_examiner, rule_self, app, unknown } = rules.pd_doubt;
    Some(match order.wearer.measured_by? {
        MeasuredBy::Own => own,
        MeasuredBy::Pupillometer => pupillometer,
        MeasuredBy::RuleExaminer => rule_examiner,
        MeasuredBy::RuleSelf => rule_self,
        MeasuredBy::App => app,
        MeasuredBy::Unknown => unknown,
    })
}

/// Figures of the pair, and what they ask.
pub(crate) fn figure(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    eyes: &PerEye<Option<EyePlan>>,
    found: &mut Vec<Finding>,
) -> PairPlan {
    let powers: Vec<OrderedPower> = eyes.iter().filter_map(|(_, eye)| eye.as_ref()).map(|eye| eye.power).collect();
    let (pd_error_allowed, pd_doubt) = pd_good_enough(w, order, rules, &powers, found);
    let mut pair = PairPlan { pd_error_allowed, pd_doubt, ..PairPlan::default() };
    if let PerEye { right: Some(right), left: Some(left) } = eyes {
        both(w, rules, right, left, &mut pair, found);
    }
    pair
}

/// What the pair forgives in the pupillary distance, and how far off that may be; a question where it forgives less.
pub(crate) fn pd_good_enough(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    powers: &[OrderedPower],
    found: &mut Vec<Finding>,
) -> (Option<Mm>, Option<Mm>) {
    let (allowed, doubt) = (pd_error_allowed(w, rules, powers), pd_doubt(order, rules));
    if let (Some(allowed), Some(doubt)) = (allowed, doubt)
        && doubt > allowed
    {
        let prism = rules.placement.pd_prism_cm_per_m * (doubt / allowed);
        found.push(
            Finding::new(&kinds::PD_NOT_GOOD_ENOUGH, "pair.pd_error_allowed_mm", mm1(allowed.mm()))
                .limit(mm1(doubt.mm()))
                .unit("mm")
                .weighs(prism)
                .says(
                    format!(
                        "this pair forgives {} mm in the pupillary distance, but measured this way it may be off by {} mm: {} prism dioptres between the eyes",
                        mm1(allowed.mm()),
                        mm1(doubt.mm()),
                        mm2(prism)
                    ),
                    "have it measured with a pupillometer, or with a rule by a trained person",
                ),
        );
    }
    (allowed, doubt)
}

/// 10·prism / mean |power in the horizontal meridian|: the error of the pair, shared equally between the eyes.
fn pd_error_allowed(w: &mut Working, rules: &Rules, powers: &[OrderedPower]) -> Option<Mm> {
    w.figure("", "pair.pd_error_allowed_mm");
    let powers: Vec<f64> = powers.iter().map(|power| PowerMatrix::of(w, power.computed()).xx.dioptres()).collect();
    let prism = rules.placement.pd_prism_cm_per_m;
    let allowed = match powers[..] {
        [right, left] if right != 0.0 || left != 0.0 => {
            step!(w, allowed = 10.0 * prism / ((abs(right) + abs(left)) / 2.0); prism["cm/m"], right["D"], left["D"];
                "mm", "Prentice's rule; limit of ISO 21987 and ANSI Z80.1 in summary")
        }
        [one] if one != 0.0 => {
            step!(w, allowed = 10.0 * prism / abs(one); prism["cm/m"], one["D"]; "mm",
                "Prentice's rule; limit of ISO 21987 and ANSI Z80.1 in summary")
        }
        _ => return None,
    };
    // Below a ten-thousandth of a dioptre the power in the meridian is rounding.
    (allowed < 1e4).then(|| Mm::new(allowed))
}

fn both(
    w: &mut Working,
    rules: &Rules,
    right: &EyePlan,
    left: &EyePlan,
    pair: &mut PairPlan,
    found: &mut Vec<Finding>,
) {
    if right.reference_point.is_some() && left.reference_point.is_some() {
        let (r, l) = (right.prism.residual, left.prism.residual);
        w.figure("", "pair.horizontal_imbalance_cm_per_m");
        let (right_in, left_in) = (r.base_in.cm_per_m(), l.base_in.cm_per_m());
        let horizontal = step!(w, horizontal = right_in + left_in; right_in["cm/m"], left_in["cm/m"]; "cm/m", "residual base in adds between the eyes");
        w.figure("", "pair.vertical_imbalance_cm_per_m");
        let (right_up, left_up) = (r.base_up.cm_per_m(), l.base_up.cm_per_m());
        let vertical = step!(w, vertical = right_up - left_up; right_up["cm/m"], left_up["cm/m"]; "cm/m", "residual base up, right less left");
        pair.horizontal_imbalance = Some(CmPerM::new(horizontal));
        pair.vertical_imbalance = Some(CmPerM::new(vertical));
    }
    pair.prism = crate::pair_prism::figure(w, right, left);
    pair.near_vertical_imbalance = near_vertical(w, rules, right, left);
    if let Some(near) = pair.near_vertical_imbalance
        && near.abs().cm_per_m() >= NEAR_IMBALANCE_WARN_CM_PER_M
    {
        found.push(
            Finding::new(&kinds::NEAR_IMBALANCE, "pair.near_vertical_imbalance_cm_per_m", mm2(near.cm_per_m()))
                .limit(mm2(NEAR_IMBALANCE_WARN_CM_PER_M))
                .unit("cm/m")
                .weighs(near.abs().cm_per_m())
                .says(
                    format!(
                        "{} mm below the far points the eyes meet {} prism dioptres of vertical difference",
                        mm1(rules.eye.near_down.mm()),
                        mm2(near.abs().cm_per_m())
                    ),
                    "ask the prescriber about slab-off, contact lenses or a separate reading pair",
                ),
        );
    }
    let (Some(r), Some(l)) = (&right.lens, &left.lens) else { return };
    w.figure("", "pair.edge_difference_mm");
    w.uses("right", "edge.thickest_mm");
    w.uses("left", "edge.thickest_mm");
    let (right_thickest, left_thickest) = (r.edge.thickest.mm(), l.edge.thickest.mm());
    let edges = step!(w, difference = right_thickest - left_thickest; right_thickest["mm"], left_thickest["mm"]; "mm", "right less left");
    pair.edge_difference = Some(Mm::new(edges));
    if abs(edges) > EDGES_APART_MM {
        let thicker = if edges > 0.0 { Eye::Right } else { Eye::Left };
        found.push(
            Finding::new(&kinds::EDGES_APART, "pair.edge_difference_mm", mm2(edges))
                .limit(mm2(EDGES_APART_MM))
                .unit("mm")
                .weighs(abs(edges) / 10.0)
                .says(
                    format!("the {thicker} edge is {} mm thicker than its fellow", mm2(abs(edges))),
                    "tell the wearer; a smaller box or a higher index evens it",
                ),
        );
    }
    w.figure("", "pair.front_curve_difference_d");
    w.uses("right", "blank.front_curve_1530_d");
    w.uses("left", "blank.front_curve_1530_d");
    let (right_curve, left_curve) = (r.front_curve_1530.dioptres(), l.front_curve_1530.dioptres());
    let curves = step!(w, difference = right_curve - left_curve; right_curve["D"], left_curve["D"]; "D", "on index 1.530, right less left");
    pair.front_curve_difference = Some(units::Dioptre::new(curves));
    if !curves_match(rules, right, left, abs(curves)) {
        found.push(
            Finding::new(&kinds::FRONT_CURVES_APART, "pair.front_curve_difference_d", signed2(curves))
                .limit(mm2(rules.placement.curve_match_d))
                .unit("D")
                .weighs(abs(curves) / 10.0)
                .says(
                    format!(
                        "the front curves differ by {} D: the two lenses will mirror the light differently",
                        mm2(abs(curves))
                    ),
                    "choose another blank for one eye, or tell the wearer",
                ),
        );
    }
    if let (Some(rl), Some(ll)) = (&r.blank.lot, &l.blank.lot)
        && rl != ll
    {
        found.push(Finding::new(&kinds::LOTS_DIFFER, "blank.lot", format!("{rl}/{ll}")).says(
            format!("the blanks come from lots {rl} and {ll}: compare the hue of the coat under one lamp"),
            "pull both from one lot",
        ));
    }
    w.figure("", "pair.mass_g");
    w.uses("right", "mass_g");
    w.uses("left", "mass_g");
    let (right_mass, left_mass) = (r.mass_g, l.mass_g);
    pair.mass_g = Some(
        step!(w, mass = right_mass + left_mass; right_mass["g"], left_mass["g"]; "g", "both lenses, square edges"),
    );
}

/// Within the rules' match, or no further apart than the powers themselves justify (half their difference: Vogel's rule
/// for minus lenses moves the curve by half the power).
pub(crate) fn curves_match(rules: &Rules, right: &EyePlan, left: &EyePlan, apart_d: f64) -> bool {
    apart_d <= rules.placement.curve_match_d.max(curve_difference_justified(right.power, left.power)) + 1e-9
}

/// The difference of front curves that two powers justify: what Vogel's rule gives them, D.
pub(crate) fn curve_difference_justified(right: OrderedPower, left: OrderedPower) -> f64 {
    let usual =
        |p: OrderedPower| optics::curves::vogel(&mut Working::off(), p.computed().spherical_equivalent()).dioptres();
    abs(usual(right) - usual(left))
}

/// Vertical prism at the reading level, right less left: every prism the lenses have there, ordered prism included.
fn near_vertical(w: &mut Working, rules: &Rules, right: &EyePlan, left: &EyePlan) -> Option<CmPerM> {
    let places = |e: &EyePlan| Some((e.reference_point?, e.vertex?));
    let (r, l) = (places(right)?, places(left)?);
    w.figure("", "pair.near_vertical_imbalance_cm_per_m");
    let mut at_near = |e: &EyePlan, (reference, centre): (Place, Place)| {
        let below = Place { inwards: reference.inwards, up: reference.up - rules.eye.near_down };
        w.say(|| format!("The {} eye, {} mm below its reference point:", e.eye, mm1(rules.eye.near_down.mm())));
        let power = PowerMatrix::of(w, e.lens.as_ref().map_or(e.power, |lens| lens.power).computed());
        (met(w, e.eye, power, below, centre).base_up + e.prism.ground.base_up).cm_per_m()
    };
    let (right_up, left_up) = (at_near(right, r), at_near(left, l));
    Some(CmPerM::new(step!(w, imbalance = right_up - left_up; right_up["cm/m"], left_up["cm/m"]; "cm/m",
        "vertical prism at the reading level, right less left")))
}
