//! How the lens is held: film or pad, block, and what a turn on it would cost.

use job::Rules;
use units::Dioptre;
use units::maths::{abs, sin_deg};

use super::gentle::{Gentle, Reason};
use super::source::{CLEAN_PADS, COMMON, GEOMETRY, LARGEST_BLOCK, SLIPPERY_PADS};
use super::{Job, Line, Step};
use crate::plan::EyePlan;
use crate::said::{fixed, mm2};

/// What a turn of the lens on its block costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// The turn, degrees.
    pub turn_deg: f64,
    /// Cylinder that nobody ordered.
    pub adds: Dioptre,
    /// What makes this lens turn; empty = nothing beyond what any lens has.
    pub because: Vec<Reason>,
}

/// 2 C sin of the turn: what is left when a cylinder is crossed with its own turned inverse.
pub(super) fn slip(rules: &Rules, plan: &EyePlan, gentle: &[Gentle]) -> Option<Slip> {
    let (cylinder, _) = plan.made_power().cylinder()?;
    let turn_deg = rules.process.slip_deg;
    Some(Slip {
        turn_deg,
        adds: Dioptre::new(2.0 * abs(cylinder.dioptre().dioptres()) * sin_deg(turn_deg)),
        because: gentle.iter().map(|g| g.reason).filter(|reason| reason.slips()).collect(),
    })
}

/// Marking, blocking, and the look at the pen lines.
pub(super) fn steps(job: &Job<'_>, steps: &mut Vec<Line>) {
    let minutes = &job.rules.process.minutes;
    steps.push(job.line(
        Step::Mark,
        "look over the surfaces, focimeter, three dots, letter, arrow to the nose",
        minutes.mark,
        &[COMMON],
    ));
    let mut sources = vec![LARGEST_BLOCK, COMMON];
    let held = if job.lenses.iter().any(|made| made.cut.asks(Reason::SlipperyCoat)) {
        sources.push(SLIPPERY_PADS);
        "gripping film, or a pad made for slippery coats, on both sides"
    } else {
        sources.push(CLEAN_PADS);
        "a fresh pad, pressed; no grease on lens or pad"
    };
    let block = job.each(|made| {
        Some(match made.lens.block.diameter {
            Some(diameter) => format!("{} mm", fixed(diameter.mm(), 0)),
            None => "none here clears".to_owned(),
        })
    });
    let says = format!("{held}; block {}; two pen lines across block and lens", block.unwrap_or_default());
    steps.push(job.line(Step::Block, says, minutes.block, &sources));
    let mut sources = vec![COMMON];
    let mut says = "must still meet".to_owned();
    let costs = job.each(|made| made.cut.slip.as_ref().map(|slip| format!("{} D", mm2(slip.adds.dioptres()))));
    if let Some(costs) = costs {
        let turn = job.rules.process.slip_deg;
        let unit = if turn == 1.0 { "degree" } else { "degrees" };
        says.push_str(&format!("; a turn of {} {unit} adds {costs} of cylinder", short(turn)));
        sources.push(GEOMETRY);
    }
    steps.push(job.line(Step::PenLines, says, 0.0, &sources));
}

/// One decimal where there is one.
fn short(value: f64) -> String {
    let text = fixed(value, 1);
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}
