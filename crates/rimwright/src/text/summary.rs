//! A day of orders in a line each.

use job::Severity;
use planner::Plan;

use super::findings::open;
use super::page::{Page, Weight};
use super::words::{count, sentence};

/// How the day stands: plans in order of number, and how many files could not be read.
pub(crate) fn summary(page: &mut Page, plans: &[&Plan], faulty: usize) {
    page.gap();
    page.rule("the day");
    let good = plans.iter().filter(|plan| plan.is_good()).count();
    page.line(&format!(
        "{} planned: {good} ready to make, {} to settle first.",
        count(plans.len(), "order", "orders"),
        plans.len() - good
    ));
    if faulty > 0 {
        page.weighty(Weight::Stop, &format!("{} could not be read; see the faults.", count(faulty, "order", "orders")));
    }
    page.gap();
    for plan in plans {
        let (stops, asks) = (open(plan, Severity::Stop), open(plan, Severity::Ask));
        let (weight, state) = match (stops, asks) {
            (0, 0) => (Weight::Quiet, "ready".to_owned()),
            (0, n) => (Weight::Ask, count(n, "question", "questions")),
            (n, _) => (Weight::Stop, count(n, "stop", "stops")),
        };
        let what = match plan.findings.iter().find(|f| f.is_open()) {
            Some(first) => {
                let eye = first.eye.map_or(String::new(), |eye| format!("{}: ", eye.letter()));
                format!("{eye}{}", sentence(&first.sentence))
            }
            None => plan
                .planned()
                .filter_map(|eye| eye.lens.as_ref().map(|lens| format!("{} {}", eye.eye.letter(), lens.blank.sku)))
                .collect::<Vec<_>>()
                .join(", "),
        };
        page.wrapped_under(weight, &format!("{:<8} {state:<12} ", plan.number.as_str()), &what);
    }
}
