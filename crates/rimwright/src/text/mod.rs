//! Plans and outlines as a person at the bench reads them: 80 columns, findings first, the right eye on the left.

mod balance;
mod blanks;
mod comparison;
mod figures;
mod findings;
mod hands;
mod intake;
mod measured;
mod outline;
mod page;
mod process;
pub(crate) mod read_back;
mod recut;
mod summary;
mod words;
pub(crate) mod working;

use job::{Order, Rules};
use planner::{Measured, Plan};

pub(crate) use comparison::comparison;
pub(crate) use intake::intake;
pub(crate) use outline::outline;
pub(crate) use page::Page;
pub(crate) use recut::recut;
pub(crate) use summary::summary;

/// A whole plan.
pub(crate) fn plan(page: &mut Page, plan: &Plan, measured: Option<&Measured>, order: &Order, rules: &Rules) {
    title(page, plan, order, rules);
    findings::show(page, &plan.findings);
    findings::answers(page, &plan.findings);
    findings::verdict(page, plan);
    if let Some(measured) = measured {
        measured::show(page, measured);
    }
    blanks::chosen(page, plan);
    blanks::to_order(page, plan);
    hands::show(page, plan);
    let mut marks = process::Marks::default();
    process::steps(page, plan, &mut marks);
    figures::show(page, plan, rules);
    balance::show(page, plan);
    balance::doubt(page, plan, order);
    blanks::near_misses(page, plan);
    process::cautions(page, plan, &mut marks);
}

/// What was ordered, in three lines.
fn title(page: &mut Page, plan: &Plan, order: &Order, rules: &Rules) {
    let powers: Vec<String> =
        plan.planned().map(|eye| format!("{} {}", eye.eye.letter(), words::power(eye.power))).collect();
    page.rule(&format!("{}   {}", plan.number, powers.join("   ")));
    let mut lens = vec![order.lens.material.to_string()];
    lens.extend(rules.treatments.of(order.lens.treatments).map(str::to_owned));
    page.wrapped("", &lens.join(", "));
    let frame = &order.frame;
    let material = frame.material.map_or(String::new(), |m| format!(" {}", m.word()));
    page.wrapped(
        "",
        &format!(
            "{}{material}, {} edge, for {}",
            frame.mounting.word(),
            order.lens.edge.word(),
            order.lens.purpose.word()
        ),
    );
    page.gap();
}
