//! An order at intake: the part that goes to the wearer, then the part that stays on the bench.

use job::{Finding, Order};

use super::findings;
use super::page::{Page, Weight};
use super::words::count;

/// The read-back with its questions, then the findings and the blocks that answer them.
pub(crate) fn intake(
    page: &mut Page,
    order: &Order,
    read_back: &[String],
    questions: &[(&Finding, String)],
    found: &[Finding],
) {
    page.rule(&format!("{}   to send to the wearer", order.number));
    for line in read_back {
        page.wrapped("", line);
    }
    if !questions.is_empty() {
        page.gap();
        page.line("Please tell us:");
        for (i, (_, question)) in questions.iter().enumerate() {
            page.wrapped(&format!("{:>3}. ", i + 1), question);
        }
    }
    page.gap();
    page.rule(&format!("{}   for the bench", order.number));
    findings::show(page, found);
    findings::answers(page, found);
    let open = found.iter().filter(|f| f.is_open()).count();
    match open {
        0 => page.weighty(Weight::Verdict, "NOTHING TO ASK: plan it, once the wearer agrees to what was read back."),
        _ => page.weighty(Weight::Ask, &format!("DO NOT ORDER YET: {} to settle.", count(open, "point", "points"))),
    }
}
