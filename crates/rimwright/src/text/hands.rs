//! What the hands do first, in their order: marking and blocking.

use job::{Eye, PerEye};
use planner::Plan;
use planner::plan::LensPlan;
use planner::process::Reason;

use super::page::Page;
use super::words::{at, one, place, power, prism};

/// How many steps these are.
pub(super) const STEPS: usize = 8;

/// Marking and blocking, the right lens first. Not where something still stands against the first cut.
pub(super) fn show(page: &mut Page, plan: &Plan) {
    if !ready(plan) {
        return;
    }
    let both = plan.planned().count() > 1;
    page.line(if both { "Hands, the right lens first, one lens out of its packet at a time:" } else { "Hands:" });
    let mut step = |label: &str, of: &dyn Fn(Eye, &LensPlan) -> String| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).map(|lens| of(eye, lens));
        page.step(label, value(Eye::Right).as_deref(), value(Eye::Left).as_deref());
    };
    step("1 focimeter", &|eye, l| match (l.power.cylinder(), l.long_side_deg(eye)) {
        (_, Some(deg)) => format!("{}, long side at {}", power(l.power), at(deg)),
        (Some(_), None) => power(l.power),
        (None, None) if l.has_a_direction() => format!("{}, packet's line at {}", power(l.power), at(l.turn_deg)),
        (None, None) => format!("{}, any turn", power(l.power)),
    });
    step("2 middle dot shows", &|_, l| prism(l.marking.dot_prism).unwrap_or_else(|| "no prism".to_owned()));
    step("3 dots", &|_, _| "three, level".to_owned());
    step("4 write", &|eye, _| format!("{}, arrow to the nose", eye.letter()));
    step("5 dot from block", &|_, l| place(l.marking.dot_from_block));
    let film = plan.process.as_ref().map_or(PerEye::default(), |process| {
        let held = |eye: Eye| process.eyes[eye].as_ref().map(|cut| cut.asks(Reason::SlipperyCoat));
        PerEye { right: held(Eye::Right), left: held(Eye::Left) }
    });
    step("6 film and pad", &|eye, _| match film[eye] {
        Some(true) => "gripping film, both sides".to_owned(),
        _ => "fresh pad, no grease".to_owned(),
    });
    step("7 block", &|_, l| match l.block.diameter {
        Some(diameter) => {
            let clears = l.block.shortest_radius.mm() - diameter.mm() / 2.0;
            format!("{:.0} mm clears by {} at {}", diameter.mm(), one(clears), at(l.block.shortest_deg))
        }
        None => "none here clears".to_owned(),
    });
    step("8 two pen lines", &|_, _| "across block and lens".to_owned());
    page.gap();
}

/// Nothing stands against it, and there is a lens to take in hand.
pub(super) fn ready(plan: &Plan) -> bool {
    plan.is_good() && plan.planned().any(|eye| eye.lens.is_some())
}
