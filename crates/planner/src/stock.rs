//! A folder of orders: stock is given in order of number, after each order was planned as if it were alone.

use job::{Finding, Order, kinds};
use units::Working;

use crate::plan::{Bench, Plan};
use crate::shape::FrameShapes;
use crate::shelf::Shelf;
use crate::{rank, to_figures};

/// Gives stock to plans in order of number. An order whose blank went to a lower number is planned again with what is
/// left, and says so.
///
/// `jobs` and `plans` run alike; plans come back in the same order, each to its figures: what is left decides only those,
/// and [`crate::complete()`] need not wait for the orders before.
#[must_use]
pub fn allocate(jobs: &[(&Order, &FrameShapes)], mut plans: Vec<Plan>, bench: &Bench<'_>, shelf: &Shelf) -> Vec<Plan> {
    let mut left = shelf.quantities();
    let mut turn: Vec<usize> = (0..plans.len().min(jobs.len())).collect();
    turn.sort_by_key(|&i| jobs[i].0.number.sort_key());
    for i in turn {
        if !take(&plans[i], &mut left) {
            let lost = lost(&plans[i], &left);
            let (order, frame) = jobs[i];
            let working = if plans[i].working.is_on() { Working::on() } else { Working::off() };
            let mut again = to_figures(order, frame, &Bench { left: Some(&left), ..*bench }, working);
            again.findings.push(Finding::new(&kinds::STOCK_GIVEN, "blank.sku", lost.clone()).says(
                format!("the last of {lost} went to an order with a lower number"),
                "order more, or change the numbers' turn",
            ));
            rank(&mut again.findings, &order.answers);
            take(&again, &mut left);
            plans[i] = again;
        }
    }
    plans
}

/// Takes a plan's blanks off the stock, all or none.
fn take(plan: &Plan, left: &mut [u32]) -> bool {
    let rows: Vec<usize> = plan.planned().filter_map(|e| e.lens.as_ref()).map(|l| l.row).collect();
    for (i, &row) in rows.iter().enumerate() {
        if left[row] == 0 {
            for &given in &rows[..i] {
                left[given] += 1;
            }
            return false;
        }
        left[row] -= 1;
    }
    true
}

/// The blanks that are no longer there.
fn lost(plan: &Plan, left: &[u32]) -> String {
    let mut gone: Vec<&str> = Vec::new();
    for lens in plan.planned().filter_map(|e| e.lens.as_ref()) {
        let needed = plan.planned().filter_map(|e| e.lens.as_ref()).filter(|l| l.row == lens.row).count();
        if (left[lens.row] as usize) < needed && !gone.contains(&lens.blank.sku.as_str()) {
            gone.push(&lens.blank.sku);
        }
    }
    gone.join(" and ")
}
