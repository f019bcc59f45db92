//! What is cut into the edge.

use job::order::BevelKind;
use job::{EdgeKind, Order, Rules};
use lens::EdgeForm;
use units::{Angle, Mm};

/// Height of the ordered bevel.
pub(crate) fn bevel_height(order: &Order, rules: &Rules) -> Mm {
    match order.lens.bevel {
        Some(BevelKind::Small) => rules.bevel.small_height.unwrap_or(rules.bevel.height),
        Some(BevelKind::V | BevelKind::Stepped) | None => rules.bevel.height,
    }
}

/// The bevel as ordered or the groove of the rules, where an edge is of this kind; none for a flat edge.
#[must_use]
pub fn form(edge: EdgeKind, order: &Order, rules: &Rules) -> Option<EdgeForm> {
    match edge {
        EdgeKind::Flat => None,
        EdgeKind::Groove => Some(EdgeForm::Groove { width: rules.groove.width, depth: rules.groove.depth }),
        EdgeKind::Bevel => {
            let step = if order.lens.bevel == Some(BevelKind::Stepped) { rules.bevel.step } else { Mm::ZERO };
            let angle = Angle::from_deg(rules.bevel.angle_deg);
            Some(EdgeForm::Bevel { angle, height: bevel_height(order, rules), step })
        }
    }
}
