//! How figures came about, step by step.

use planner::Plan;
use units::working::{Step, printed};

use super::page::Page;
use crate::failure::Failure;

/// Shows everything.
const ALL: &str = "all";

/// The names of the figures that a wish speaks of, right before left: one by its whole name, both eyes' by the name
/// without the eye, or all. Empty where this plan has none of them.
pub(crate) fn wanted<'a>(plan: &'a Plan, wish: &str) -> Vec<&'a str> {
    let mut names: Vec<&str> = plan
        .working
        .figures()
        .map(|(name, _)| name)
        .filter(|name| wish == ALL || *name == wish || of_an_eye(name) == wish)
        .collect();
    names.sort_by_key(|name| (name.starts_with("left."), *name));
    names
}

/// The failure that lists what there is.
pub(crate) fn unknown(plan: &Plan, wish: &str) -> Failure {
    let mut known: Vec<&str> = plan.working.figures().map(|(name, _)| of_an_eye(name)).collect();
    known.sort_unstable();
    known.dedup();
    Failure::new(
        format!("the plan of {} has no working of `{wish}`", plan.number),
        format!("write {ALL}, or one of\n    {}", known.join("\n    ")),
    )
}

fn of_an_eye(name: &str) -> &str {
    name.strip_prefix("right.").or_else(|| name.strip_prefix("left.")).unwrap_or(name)
}

/// The figures and what they build on, each once, what is built on first.
pub(crate) fn in_turn<'a>(plan: &'a Plan, names: &[&'a str]) -> Vec<&'a str> {
    let mut turn = Vec::new();
    let mut open: Vec<&str> = Vec::new();
    for name in names {
        visit(plan, name, &mut open, &mut turn);
    }
    turn
}

fn visit<'a>(plan: &'a Plan, name: &'a str, open: &mut Vec<&'a str>, turn: &mut Vec<&'a str>) {
    // A circle of figures would be a fault of the planner; it must not hang the command.
    if turn.contains(&name) || open.contains(&name) {
        return;
    }
    let Some(steps) = plan.working.steps(name) else { return };
    open.push(name);
    for step in steps {
        if let Step::Uses(other) = step {
            visit(plan, other, open, turn);
        }
    }
    open.pop();
    turn.push(name);
}

/// Shows figures with all that they build on.
pub(crate) fn show(page: &mut Page, plan: &Plan, names: &[&str]) {
    for name in in_turn(plan, names) {
        page.gap();
        page.line(name);
        for step in plan.working.steps(name).unwrap_or_default() {
            show_step(page, step);
        }
    }
}

fn show_step(page: &mut Page, step: &Step) {
    match step {
        Step::Formula { symbol, formula, inputs, value, unit, source } => {
            page.wrapped(&format!("  {symbol} = "), formula);
            let pieces: Vec<String> = inputs
                .iter()
                .enumerate()
                .map(|(i, input)| {
                    let comma = if i + 1 < inputs.len() { "," } else { "" };
                    format!("{} = {}{comma}", input.name, with_unit(input.value, input.unit))
                })
                .collect();
            if !pieces.is_empty() {
                page.pieces("      with ", &pieces);
            }
            page.line(&format!("      gives {}", with_unit(*value, unit)));
            if !source.is_empty() {
                page.wrapped("      source: ", source);
            }
        }
        Step::Said(said) => page.wrapped("  ", said),
        Step::Uses(other) => page.line(&format!("  builds on {other}")),
    }
}

fn with_unit(value: f64, unit: &str) -> String {
    if unit.is_empty() { printed(value) } else { format!("{} {unit}", printed(value)) }
}
