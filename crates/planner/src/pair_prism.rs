//! Prescribed prism of the pair: the resultant between the eyes, what of it is made, and an equal share.

use job::prescription::InUp;
use job::{Eye, PerEye};
use optics::Prism;
use units::maths::{atan2_deg, hypot};
use units::{Angle, CmPerM, Working, step};

use crate::candidate::as_prism;
use crate::plan::EyePlan;

/// Prism below this is none, cm/m: less than an order can write.
const NONE_CM_PER_M: f64 = 0.005;

/// What the prisms of the two eyes do together.
///
/// What counts between the eyes is right less left in the viewer's directions: bases in at both eyes add, bases up at
/// both cancel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairPrism {
    /// Base in of both eyes added, as ordered.
    pub horizontal_in: CmPerM,
    /// Base up, right less left, as ordered.
    pub vertical_up: CmPerM,
    /// The two as one prism before the right eye: its amount.
    pub resultant: CmPerM,
    /// The base of it, a direction as the viewer sees the right eye.
    pub resultant_base: Angle,
    /// The same made, at each eye's reference point: base in of both eyes added.
    pub made_in: CmPerM,
    /// Base up, right less left, as made.
    pub made_up: CmPerM,
    /// Each eye's prism were the resultant shared equally.
    pub shared: PerEye<InUp>,
    /// Whether the order shares it so.
    pub is_shared: bool,
}

/// The prism of a pair; none where none was ordered.
pub(crate) fn figure(w: &mut Working, right: &EyePlan, left: &EyePlan) -> Option<PairPrism> {
    let (r, l) = (right.prism.ordered, left.prism.ordered);
    let parts = [r.base_in, r.base_up, l.base_in, l.base_up].map(CmPerM::cm_per_m);
    if parts.iter().all(|part| part.abs() < NONE_CM_PER_M) {
        return None;
    }
    let [right_in, right_up, left_in, left_up] = parts;
    w.figure("", "pair.prism.resultant_cm_per_m");
    let horizontal = step!(w, horizontal = right_in + left_in; right_in["cm/m"], left_in["cm/m"]; "cm/m",
        "bases in at both eyes add");
    let vertical = step!(w, vertical = right_up - left_up; right_up["cm/m"], left_up["cm/m"]; "cm/m",
        "bases up at both eyes cancel");
    let resultant = step!(w, resultant = hypot(horizontal, vertical); horizontal["cm/m"], vertical["cm/m"]; "cm/m",
        "two prisms at right angles: the hypotenuse");
    w.figure("", "pair.prism.resultant_deg");
    w.uses("", "pair.prism.resultant_cm_per_m");
    let base = step!(w, base = atan2_deg(vertical, horizontal); vertical["cm/m"], horizontal["cm/m"]; "deg",
        "before the right eye: in is to the viewer's right");
    let (share_right, share_left) = optics::prism::shared(as_prism(Eye::Right, r), as_prism(Eye::Left, l));
    let in_up = |eye: Eye, p: Prism| InUp { base_in: p.x * eye.nasal(), base_up: p.y };
    let shared = PerEye { right: in_up(Eye::Right, share_right), left: in_up(Eye::Left, share_left) };
    let apart = |one: InUp, other: InUp| {
        hypot((one.base_in - other.base_in).cm_per_m(), (one.base_up - other.base_up).cm_per_m())
    };
    let made = |eye: &EyePlan| {
        let (given, ground) = (eye.prism.from_centration, eye.prism.ground);
        (given.base_in + ground.base_in, given.base_up + ground.base_up)
    };
    let ((made_right_in, made_right_up), (made_left_in, made_left_up)) = (made(right), made(left));
    Some(PairPrism {
        horizontal_in: CmPerM::new(horizontal),
        vertical_up: CmPerM::new(vertical),
        resultant: CmPerM::new(resultant),
        resultant_base: Angle::from_deg(base),
        made_in: made_right_in + made_left_in,
        made_up: made_right_up - made_left_up,
        shared,
        is_shared: apart(shared.right, r) < NONE_CM_PER_M && apart(shared.left, l) < NONE_CM_PER_M,
    })
}
