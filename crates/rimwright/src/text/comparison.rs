//! An order side by side with its alternatives, for the customer at the counter.

use job::{Eye, Order, Severity};
use planner::compare::{Becomes, Candidate, Change, Comparison};
use planner::plan::LensPlan;

use super::page::{Page, Weight};
use super::words::{self, minus, one, two};

/// The whole comparison.
pub(crate) fn comparison(page: &mut Page, comparison: &Comparison, order: &Order) {
    let ordered = &comparison.ordered;
    let powers: Vec<String> =
        ordered.plan.planned().map(|eye| format!("{} {}", eye.eye.letter(), words::power(eye.power))).collect();
    page.rule(&format!("{}   {}   side by side", order.number, powers.join("   ")));
    page.gap();
    head(page);
    row(page, ordered, &format!("{} (ordered)", ordered.material));
    let (stock, usual): (Vec<_>, Vec<_>) = comparison.others.iter().partition(|row| !row.to_order);
    for other in stock {
        row(page, other, other.material.as_str());
    }
    if !usual.is_empty() {
        page.gap();
        page.wrapped(
            "",
            "Not on the shelf, as a supplier would make it: usual curve, least diameter, centre for the least edge. Blanks in stock are often thicker than that: the two kinds of rows are not quite alike.",
        );
        for other in usual {
            row(page, other, other.material.as_str());
        }
    }
    page.gap();
    cannot(page, comparison);
    if !comparison.frames.is_empty() {
        head(page);
        for frame in &comparison.frames {
            row(page, frame, frame.frame.as_deref().unwrap_or_default());
        }
        page.wrapped("", "Heights in another frame are taken at the same distance from its horizontal centreline; measure them again on the face.");
        page.gap();
    }
    little_changes(page, comparison);
    page.wrapped(
        "",
        "Edges are square, as cut. Blur is the greatest prism at the rim over the Abbe number: the fringe that a white line shows there, in prism dioptres; from 0.10 on wearers are usually said to complain (from memory, no standard's limit). The rule on the index alone, (n \u{2212} 1) against (n \u{2212} 1) of the ordered material, is what is said of a material; here is what holds for the thickest place of this very pair.",
    );
}

/// 80 columns: a name, and what both eyes have.
fn columns(page: &mut Page, weight: Option<Weight>, cells: [&str; 6]) {
    let [name, thickest, centre, mass, blur, cost] = cells;
    let line = format!("{name:<27}{thickest:>12}{centre:>12}{mass:>7}{blur:>13}{cost:>9}");
    match weight {
        Some(weight) => page.weighty(weight, &line),
        None => page.line(&line),
    }
}

fn head(page: &mut Page) {
    columns(page, Some(Weight::Quiet), ["", "thickest", "centre", "both", "blur", ""]);
    columns(page, Some(Weight::Quiet), ["", "R / L mm", "R / L mm", "g", "R / L", "cost"]);
}

fn of_eyes<'a>(row: &'a Candidate, figure: impl Fn(Eye, &'a LensPlan) -> Option<String>) -> String {
    let value = |eye: Eye| {
        let lens = row.plan.eyes[eye].as_ref()?.lens.as_ref();
        Some(lens.and_then(|l| figure(eye, l)).unwrap_or_else(|| "none".to_owned()))
    };
    [Eye::Right, Eye::Left].into_iter().filter_map(value).collect::<Vec<_>>().join(" / ")
}

fn row(page: &mut Page, row: &Candidate, name: &str) {
    let thickest = of_eyes(row, |_, l| Some(two(l.edge.thickest.mm())));
    let centre = of_eyes(row, |_, l| Some(two(l.thickness.vertex.mm())));
    let blur = of_eyes(row, |eye, _| row.blur[eye].map(|b| two(b.blur_cm_per_m)));
    let mass = row.mass_g().map_or_else(String::new, one);
    let cost = row.cost.map_or_else(String::new, |c| format!("{}.{:02}", c.minor / 100, c.minor % 100));
    columns(page, None, [name, &thickest, &centre, &mass, &blur, &cost]);
    let blank = |eye: Eye| {
        let lens = row.plan.eyes[eye].as_ref()?.lens.as_ref()?;
        Some(if row.to_order {
            format!("{} {:.0} mm", eye.letter(), lens.blank.nominal.mm())
        } else {
            format!("{} {}", eye.letter(), lens.blank.sku)
        })
    };
    let blanks = Eye::BOTH.into_iter().filter_map(blank).collect::<Vec<_>>().join(", ");
    let mut said = vec![match (blanks.is_empty(), row.to_order) {
        (true, _) => "nothing on the shelf".to_owned(),
        (false, true) => format!("{blanks} across"),
        (false, false) => blanks,
    }];
    if let Some(cost) = row.cost {
        said.push(format!("cost in {}", String::from_utf8_lossy(&cost.currency)));
    }
    if let Some(thinner) = row.thinner {
        said.push(format!("by the rule {}, here {}", than(thinner.rule), than(thinner.here)));
    }
    for (severity, word) in [(Severity::Stop, "stop"), (Severity::Ask, "ask")] {
        let open = row.plan.findings.iter().filter(|f| f.is_open() && f.kind.severity == severity);
        said.extend(open.map(|f| match f.eye {
            Some(eye) => format!("{word} {} {}", eye.letter(), f.kind.code),
            None => format!("{word} {}", f.kind.code),
        }));
    }
    page.wrapped("  ", &said.join("; "));
}

/// `14 % thinner`, `8 % thicker`, `as thick`.
fn than(share: f64) -> String {
    match format!("{:.0}", 100.0 * share.abs()).as_str() {
        "0" => "as thick".to_owned(),
        percent => format!("{percent} % {}", if share < 0.0 { "thicker" } else { "thinner" }),
    }
}

fn cannot(page: &mut Page, comparison: &Comparison) {
    for cannot in &comparison.cannot {
        let eye = cannot.eye.map_or(String::new(), |eye| format!("{eye} eye: "));
        let why = match &cannot.nearest {
            Some(miss) => format!("{}: {}", miss.blank.sku, minus(&miss.reason.sentence(miss.by))),
            None => "no blank near this power".to_owned(),
        };
        page.wrapped(&format!("Not in {}: ", cannot.material), &format!("{eye}{why}"));
    }
    page.gap();
}

fn little_changes(page: &mut Page, comparison: &Comparison) {
    if comparison.little_changes.is_empty() {
        return;
    }
    let line = |page: &mut Page, weight, cells: [&str; 6]| {
        let [name, thickest, thinnest, centre, mass, margin] = cells;
        let text = format!("{name:<20}{thickest:>13}{thinnest:>13}{centre:>13}{mass:>7}{margin:>14}");
        match weight {
            Some(weight) => page.weighty(weight, &text),
            None => page.line(&text),
        }
    };
    line(page, Some(Weight::Quiet), ["A little changed", "thickest", "thinnest", "centre", "g", "to spare"]);
    for change in &comparison.little_changes {
        let by = minus(&format!("{:+.1}", change.by.mm()));
        let name = match change.what {
            Change::Box => format!("box {by} mm"),
            Change::Diameter => format!("blank {by} mm"),
            Change::Centre => format!("centre {by} mm"),
        };
        let of = |figure: fn(&Becomes) -> f64| {
            let made = comparison.ordered.plan.made.made().iter();
            made.map(|&eye| change.eyes[eye].as_ref().map_or_else(|| "none".to_owned(), |b| two(figure(b))))
                .collect::<Vec<_>>()
                .join(" / ")
        };
        let mass: Option<f64> =
            comparison.ordered.plan.made.made().iter().map(|&e| change.eyes[e].map(|b| b.mass_g)).sum();
        line(
            page,
            None,
            [
                &name,
                &of(|b| b.thickest.mm()),
                &of(|b| b.thinnest.mm()),
                &of(|b| b.centre.mm()),
                &mass.map_or_else(String::new, one),
                &of(|b| b.margin.mm()),
            ],
        );
    }
    page.gap();
}
