//! What was read on the uncut lenses against their labels.

use inspection::Item;
use job::Eye;
use planner::{Measured, Plan};

use super::page::Page;
use super::words::{count, minus, signed, two};

/// Figures shown for each lens.
const MOST: usize = 6;

/// What moved, and by how much.
pub(super) fn show(page: &mut Page, measured: &Measured) {
    page.gap();
    page.line("Measured on the uncut: against the order, then what moved against the label:");
    for eye in Eye::BOTH {
        if measured.label.eyes[eye].is_none() {
            continue;
        }
        let read: Vec<String> = measured.items[eye].iter().filter(|item| item.read.is_some()).map(judged).collect();
        for item in &read {
            page.line(&format!("  {} {item}", eye.letter()));
        }
        let moved = &measured.moved[eye];
        let has_lens = |plan: &Plan| plan.eyes[eye].as_ref().is_some_and(|e| e.lens.is_some());
        if has_lens(&measured.label) && !has_lens(&measured.read) {
            page.line(&format!("  {} could not be figured from these readings", eye.letter()));
        } else if moved.is_empty() {
            page.line(&format!("  {} nothing moved", eye.letter()));
        }
        for m in moved.iter().take(MOST) {
            let figure = words(m.figure);
            page.line(&format!(
                "  {} {figure:<24} {:>8} was {:>8}  ({} {})",
                eye.letter(),
                two(m.read),
                two(m.label),
                signed(m.read - m.label),
                m.unit
            ));
        }
        if moved.len() > MOST {
            let more = count(moved.len() - MOST, "more figure", "more figures");
            page.line(&format!("    and {more} by less"));
        }
    }
    page.gap();
}

/// `sphere within, 0.04 of 0.12 D`.
fn judged(item: &Item) -> String {
    let (name, verdict) = (item.code.name(), item.verdict.word().replace('_', " "));
    match (item.error, item.limit) {
        (Some(error), Some(limit)) => minus(&format!("{name} {verdict}, {error} of {limit} {}", item.unit)),
        _ => format!("{name} {verdict}"),
    }
}

/// A figure's name as the rows of the plan call it.
fn words(figure: &'static str) -> &'static str {
    match figure {
        "edge.thickest_mm" => "thickest edge",
        "edge.thinnest_mm" => "thinnest edge",
        "thickness.optical_centre_mm" => "centre",
        "thickness.reference_point_mm" => "thickness at the pupil",
        "thickness.greatest_mm" => "thickest all over",
        "thickness.least_mm" => "thinnest all over",
        "coverage.margin_mm" => "to spare",
        "mass_g" => "mass",
        "blank.front_curve_1530_d" => "front on 1.530",
        "optical_centre.in_mm" => "optical centre, in",
        "optical_centre.up_mm" => "optical centre, up",
        "prism.residual.base_in_cm_per_m" => "prism left over, in",
        "prism.residual.base_up_cm_per_m" => "prism left over, up",
        other => other,
    }
}
