//! How the job is made: one line a step, read with wet hands; what to take care of; who says so.

use planner::Plan;
use planner::process::{About, COMMON, Process, Source, Step};

use super::hands;
use super::page::Page;
use super::words::sentence;

/// The steps after the block. Not where something still stands against the first cut.
pub(super) fn steps(page: &mut Page, plan: &Plan, marks: &mut Marks) {
    let Some(process) = wanted(plan) else { return };
    let all = format!("all steps together, marking and blocking too: about {:.0}", process.minutes());
    page.wrapped(&format!("{:<15}{:>4}  ", "Then:", "min"), &all);
    let mut number = hands::STEPS;
    // Marking and blocking stand above, side by side.
    for line in process.steps.iter().filter(|line| !matches!(line.step, Step::Mark | Step::Block)) {
        let label = if line.step == Step::TakeOut {
            format!("   {}", name(line.step))
        } else {
            number += 1;
            format!("{number:>2} {}", name(line.step))
        };
        let minutes = if line.minutes > 0.0 { line.minutes.to_string() } else { String::new() };
        let says = format!("{}{}", sentence(&line.says), marks.of(&line.sources));
        page.wrapped(&format!("{label:<15}{minutes:>4}  "), &says);
    }
    page.gap();
}

/// What to take care of, and the sources of all that was said.
pub(super) fn cautions(page: &mut Page, plan: &Plan, marks: &mut Marks) {
    let Some(process) = wanted(plan) else { return };
    page.gap();
    let mut last = None;
    for caution in &process.cautions {
        let head = match caution.about {
            _ if last == Some(caution.about) => "",
            About::Frame => "Frame",
            About::Lens => "Lens",
            About::Coat => "Coat",
            About::Body => "You",
            About::Law => "First",
        };
        last = Some(caution.about);
        page.wrapped(&format!("{head:<7}"), &format!("{}.{}", sentence(&caution.says), marks.of(&caution.sources)));
    }
    marks.show(page);
    page.gap();
}

fn wanted(plan: &Plan) -> Option<&Process> {
    plan.process.as_ref().filter(|_| hands::ready(plan))
}

const fn name(step: Step) -> &'static str {
    match step {
        Step::PenLines => "pen lines",
        Step::SafetyBevel => "safety bevel",
        Step::TryIn => "try in",
        Step::TrueUp => "true frame",
        Step::Verify => "read",
        Step::TakeOut => "out again",
        other => other.word(),
    }
}

/// Sources by number, in the order in which they are met; common practice has no mark.
#[derive(Debug, Default)]
pub(super) struct Marks(Vec<Source>);

impl Marks {
    fn of(&mut self, sources: &[Source]) -> String {
        let mut numbers: Vec<String> = Vec::new();
        for source in sources.iter().filter(|source| **source != COMMON) {
            let at = self.0.iter().position(|known| known == source).unwrap_or_else(|| {
                self.0.push(*source);
                self.0.len() - 1
            });
            numbers.push((at + 1).to_string());
        }
        if numbers.is_empty() { String::new() } else { format!(" [{}]", numbers.join(",")) }
    }

    fn show(&self, page: &mut Page) {
        let mut pieces = vec!["unmarked = common practice, no source;".to_owned()];
        let last = self.0.len();
        pieces.extend(
            self.0
                .iter()
                .enumerate()
                .map(|(i, source)| format!("[{}] {}{}", i + 1, source.short, if i + 1 == last { "." } else { ";" })),
        );
        page.gap();
        page.pieces("Sources: ", &pieces);
    }
}
