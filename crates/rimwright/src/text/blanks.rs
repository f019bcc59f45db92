//! The blanks: chosen, to be ordered, and those that come near.

use job::{Blank, Eye};
use planner::Plan;
use planner::plan::{EyePlan, LensPlan, OrderThickness, Reason};

use super::page::Page;
use super::words::{minus, place, power, prism, signed, two};

/// Near misses shown for an eye.
const MISSES: usize = 4;

/// The chosen blanks, side by side.
pub(super) fn chosen(page: &mut Page, plan: &Plan) {
    if plan.planned().all(|eye| eye.lens.is_none()) {
        return;
    }
    page.gap();
    page.sides("blank");
    let mut row = |label: &str, of: &dyn Fn(&LensPlan) -> Option<String>| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).and_then(of);
        page.spine(label, value(Eye::Right).as_deref(), value(Eye::Left).as_deref());
    };
    row("lies in", &|l| l.blank.place.clone());
    row("sku", &|l| Some(l.blank.sku.clone()));
    row("lot", &|l| l.blank.lot.clone());
    row("packet says", &|l| Some(packet(&l.blank)));
    row("diameter", &|l| Some(format!("{:.0} mm", l.blank.nominal.mm())));
    row("front on 1.530", &|l| Some(signed(l.front_curve_1530.dioptres())));
    row("centre", &|l| Some(two(l.thickness.vertex.mm())));
    row("to spare", &|l| Some(two(l.coverage.margin.mm())));
    page.gap();
}

/// A blank that may be turned has no axis on its packet.
fn packet(blank: &Blank) -> String {
    let (sphere, cylinder) = (blank.power.sphere(), blank.power.cylinder());
    match (cylinder, blank.fixed_axis) {
        (Some((cylinder, _)), None) => minus(&format!("{sphere} {cylinder}")),
        _ => power(blank.power),
    }
}

/// What to ask the supplier for.
pub(super) fn to_order(page: &mut Page, plan: &Plan) {
    for eye in plan.planned() {
        let Some(order) = &eye.to_order else { continue };
        let thickness = match order.thickness {
            OrderThickness::Centre(centre) => format!("centre {} mm", two(centre.mm())),
            OrderThickness::CentreForEdge { centre, edge } => {
                format!("centre {} mm, which leaves {} at the thinnest edge", two(centre.mm()), two(edge.mm()))
            }
        };
        let ground = prism(order.prism).map_or(String::new(), |p| format!(", {p} ground"));
        page.wrapped(
            &format!("  {} to order: ", eye.eye.letter()),
            &format!(
                "{}{ground}; {:.1} mm across or more with the optical centre in its middle (the eye asks {}); {thickness}",
                power(optics::OrderedPower::new(order.sphere, order.cylinder)),
                order.least_diameter.mm(),
                place(order.decentration),
            ),
        );
    }
    page.gap();
}

/// Blanks that come near, for whoever wonders why not this one. Where a blank was chosen, one of another power is no
/// news.
pub(super) fn near_misses(page: &mut Page, plan: &Plan) {
    for eye in plan.planned() {
        let telling = telling(eye);
        if telling.is_empty() {
            continue;
        }
        page.line(&format!("Why not, {} eye:", eye.eye));
        for (sku, alike, sentence) in telling.iter().take(MISSES) {
            let more = if *alike > 0 { format!(" ({alike} more like it)") } else { String::new() };
            page.wrapped(&format!("  {sku:<24} "), &format!("{sentence}{more}"));
        }
        if telling.len() > MISSES {
            page.line("  and others; --json lists them");
        }
        page.gap();
    }
}

/// The first blank of each reason in a row, how many follow with the same one, and the reason.
fn telling(eye: &EyePlan) -> Vec<(&str, usize, String)> {
    let mut telling: Vec<(&str, usize, String)> = Vec::new();
    for miss in eye.near_misses.iter().filter(|miss| eye.lens.is_none() || miss.reason < Reason::Power) {
        let sentence = miss.reason.sentence(miss.by);
        match telling.last_mut() {
            Some((_, alike, before)) if *before == sentence => *alike += 1,
            _ => telling.push((&miss.blank.sku, 0, sentence)),
        }
    }
    telling
}
