//! How the two lenses stand to each other, what would even them out, and which figures are in doubt.

use job::{Eye, Order};
use planner::balance::{Aim, By, Equalise, ImageSizes, MOST_ADDED_MM, VertexFrom, cost_words};
use planner::plan::{LensPlan, PairPlan, Spread};
use planner::{EyePlan, Plan};

use super::page::Page;
use super::words::{minus, one, sentence, signed, two};

/// Differences of image size that print as nothing, percent.
const NOTHING_PERCENT: f64 = 0.05;

/// Balance of the pair.
pub(super) fn show(page: &mut Page, plan: &Plan) {
    let Some(balance) = &plan.pair.balance else { return };
    page.wrapped("Balance: ", &images(&balance.image_size, balance.centre_difference.mm()));
    let (worn, too_much): (Vec<_>, Vec<_>) = balance.equalise.iter().partition(|way| is_worn(way));
    for way in worn {
        let Some(lens) = plan.eyes[way.eye].as_ref().and_then(|e| e.lens.as_ref()) else { continue };
        page.wrapped("  ", &even(way, lens));
    }
    if !too_much.is_empty() {
        let ways: Vec<String> =
            too_much.iter().map(|way| format!("for {}: {} {}", aim(way), way.eye.letter(), change(way))).collect();
        page.wrapped("  ", &format!("More than is worn, {}.", ways.join("; ")));
    }
    page.gap();
}

fn is_worn(way: &Equalise) -> bool {
    way.beyond.is_empty() && !(way.by == By::Centre && way.to - way.from > MOST_ADDED_MM)
}

fn aim(way: &Equalise) -> &'static str {
    match way.aim {
        Aim::ImageSize => "even images",
        Aim::Edge => "even thickest edges",
        Aim::FrontCurve => "one front curve",
    }
}

fn change(way: &Equalise) -> String {
    match way.by {
        By::Centre => format!("centre {} to {} mm", two(way.from), two(way.to)),
        By::FrontCurve => format!("front {} to {} on 1.530", signed(way.from), signed(way.to)),
    }
}

fn images(sizes: &ImageSizes, centres_apart: f64) -> String {
    let (across, up) = (sizes.horizontal_percent, sizes.vertical_percent);
    let from = match sizes.vertex_from {
        VertexFrom::Worn => "as worn",
        VertexFrom::Refraction => "as refracted",
        VertexFrom::Usual => "a usual one",
    };
    let eye = |percent: f64| if percent > 0.0 { "R" } else { "L" };
    let by = |percent: f64| one(percent.abs());
    let images = if across.abs() < NOTHING_PERCENT && up.abs() < NOTHING_PERCENT {
        "images of one size".to_owned()
    } else if eye(across) == eye(up) {
        format!("{} image larger by {} % across, {} up and down", eye(across), by(across), by(up))
    } else {
        format!("{} image larger by {} % across, {} by {} up and down", eye(across), by(across), eye(up), by(up))
    };
    format!(
        "centres {} mm apart; {images} (vertex distance {} mm, {from}).",
        two(centres_apart.abs()),
        one(sizes.vertex.mm())
    )
}

fn even(way: &Equalise, lens: &LensPlan) -> String {
    let [across, up] = way.image_size_percent.map(|percent| one(percent.abs()));
    let left = format!("; images then {across} % apart across, {up} up and down");
    let from = way.sku.as_ref().map_or_else(|| "to be surfaced".to_owned(), |sku| format!("on the shelf: {sku}"));
    format!("For {}: {} {}: {}{left}; {from}.", aim(way), way.eye.letter(), change(way), minus(&cost_words(way, lens)))
}

/// How far the figures may move, by the input that moves each most, and what is worth measuring again.
pub(super) fn doubt(page: &mut Page, plan: &Plan, order: &Order) {
    if plan.planned().all(|eye| eye.lens.is_none()) {
        return;
    }
    let mut row = |label: &str, figure: &str, show: fn(f64) -> String| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(|e| widest(e, figure)).map(|s| ends(s, show));
        page.spine(label, value(Eye::Right).as_deref(), value(Eye::Left).as_deref());
    };
    row("thinnest may be", "edge.thinnest_mm", two);
    row("thickest may be", "edge.thickest_mm", two);
    row("margin may be", "coverage.margin_mm", two);
    row("mass may be", "mass_g", one);
    page.gap();
    page.wrapped("", &worth(&plan.pair, order));
    page.gap();
}

/// The cause that moves a figure most.
fn widest<'a>(eye: &'a EyePlan, figure: &str) -> Option<&'a Spread> {
    let spreads = eye.lens.as_ref()?.spread.iter().filter(|s| s.figure == figure);
    spreads.max_by(|a, b| (a.high - a.low).total_cmp(&(b.high - b.low)))
}

fn ends(spread: &Spread, show: fn(f64) -> String) -> String {
    format!("{} to {}, {}", show(spread.low), show(spread.high), input(&spread.cause))
}

fn input(cause: &str) -> &str {
    match cause {
        "pd" => "PD",
        "front-curve" | "blank.front_curve_1530_d" => "front curve",
        "blank.centre_mm" => "centre",
        "check-thickness" => "check thickness",
        other => other,
    }
}

fn worth(pair: &PairPlan, order: &Order) -> String {
    match &pair.worth_measuring {
        Some(worth) => {
            let whose = worth.eye.map_or(String::new(), |eye| format!("{eye} "));
            format!("Worth measuring again: the {whose}{}: {}.", input(worth.input), sentence_end(&worth.why))
        }
        None if pair.pd_doubt.is_none() && order.wearer.far_pd.is_some() && pair.pd_error_allowed.is_some() => {
            "Who measured the PD is not said; of the rest nothing needs measuring again.".to_owned()
        }
        None => "Nothing needs measuring again: no input, as far off as it may be, takes a figure across a limit."
            .to_owned(),
    }
}

/// A sentence's end with U+2212 before figures.
fn sentence_end(text: &str) -> String {
    let capital = sentence(text);
    let mut letters = capital.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}
