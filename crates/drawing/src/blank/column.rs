//! The figures beside the chart, and how to read its lines.

use crate::hatch::hatch;
use crate::lines::{self, BEHIND, HATCH, OUTLINE, RIM, THIN};
use crate::scene::{Anchor, Ink, Spot, Stroke, Weight, spot};
use crate::sheet::{GREAT, LABEL, LEADING, Sheet, TEXT};
use crate::{figure, typeface};

use super::COLUMN;
use super::over::Over;

/// One figure of the column: large, its unit small, its meaning beneath.
struct Row {
    ink: Ink,
    figure: String,
    unit: &'static str,
    words: String,
}

/// Figures beside the chart, and how to read it; returns where it ends.
pub(super) fn column(sheet: &mut Sheet, over: &Over<'_>, at: Spot) -> f64 {
    let cover = &over.lens.coverage;
    let place = figure::at(cover.tightest_deg);
    let mut rows = Vec::new();
    if over.short() {
        let figure = figure::length(over.margin());
        rows.push(Row { ink: Ink::Stop, figure, unit: "mm", words: format!("does not cover: worst at {place}") });
    } else {
        let figure = figure::length(over.margin());
        rows.push(Row { ink: Ink::Ink, figure, unit: "mm", words: format!("to spare, tightest at {place}") });
    }
    let figure = figure::length(cover.smallest_blank.mm());
    rows.push(Row { ink: Ink::Ink, figure, unit: "mm", words: "smallest blank that covers".to_owned() });
    if let Some(centre) = over.plan.vertex {
        let parts = figure::in_up(centre.inwards.mm(), centre.up.mm(), 1, "");
        let (figure, rest) = match parts.as_slice() {
            [] => ("0.0".to_owned(), String::new()),
            [one] => (one.clone(), String::new()),
            [first, rest @ ..] => (first.clone(), format!(", {}", rest.join(", "))),
        };
        let words = format!("{} from the boxed centre", figure::dot(over.plan));
        rows.push(Row { ink: Ink::Ink, figure: format!("{figure}{rest}"), unit: "mm", words });
    }
    if let Some(rescue) = &cover.rescue {
        let cost = figure::prism(rescue.prism).map_or_else(|| "no prism".to_owned(), |p| format!("{p} of prism"));
        let words = format!("shift of the {} that would save it; costs {cost}", figure::dot(over.plan));
        rows.push(Row { ink: Ink::Stop, figure: figure::place(rescue.shift), unit: "mm", words });
    } else if over.short() {
        let words = "no small shift saves it: take a larger blank".to_owned();
        rows.push(Row { ink: Ink::Stop, figure: "none".to_owned(), unit: "", words });
    }
    let mut y = at.y;
    let rule = |sheet: &mut Sheet, y: f64| sheet.line(&[spot(at.x, y), spot(at.x + COLUMN, y)], THIN);
    for row in rows {
        rule(sheet, y);
        y += 6.2;
        let parts = vec![(Weight::Medium, row.figure.clone())];
        let wide = typeface::width(&row.figure, Weight::Medium) * GREAT;
        sheet.write(crate::scene::Text {
            at: spot(at.x, y),
            anchor: Anchor::Start,
            size: GREAT,
            ink: row.ink,
            halo: None,
            upwards: false,
            parts,
        });
        if !row.unit.is_empty() {
            let unit = spot(at.x + wide + 1.2, y);
            sheet.words(unit, Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, row.unit);
        }
        for line in typeface::wrapped(&row.words, Weight::Regular, TEXT, COLUMN) {
            y += LEADING * TEXT;
            sheet.words(spot(at.x, y), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, line);
        }
        y += 3.0;
    }
    rule(sheet, y);
    legend(sheet, over, spot(at.x, y + 4.2))
}

/// What the lines and tints mean.
fn legend(sheet: &mut Sheet, over: &Over<'_>, at: Spot) -> f64 {
    let cover = &over.lens.coverage;
    let rim = over.nominal() - cover.usable_radius.mm();
    let mut y = at.y;
    let wide = 11.0;
    let mut entry = |sheet: &mut Sheet, draw: &dyn Fn(&mut Sheet, f64), words: &str| {
        draw(sheet, y - 0.5 * typeface::CAP * LABEL);
        sheet.words(
            spot(at.x + wide + 2.0, y),
            Anchor::Start,
            LABEL,
            Ink::Ink,
            Weight::Regular,
            typeface::cut_to(words, Weight::Regular, LABEL, COLUMN - wide - 2.0),
        );
        y += 4.0;
    };
    let line =
        |stroke: Stroke| move |sheet: &mut Sheet, y: f64| sheet.line(&[spot(at.x, y), spot(at.x + wide, y)], stroke);
    let boxed =
        |y: f64| [spot(at.x, y - 1.2), spot(at.x + wide, y - 1.2), spot(at.x + wide, y + 1.2), spot(at.x, y + 1.2)];
    entry(sheet, &line(OUTLINE), "finished outline");
    if over.leans() {
        entry(sheet, &line(lines::as_wide(BEHIND, 0.2)), "its back end: the cutting axis leans");
    }
    let blank = &over.lens.blank;
    let words = format!("rim of the blank: {}, {}", figure::short(blank.nominal.mm()), blank.material.as_str());
    entry(sheet, &line(RIM), &words);
    let hatched = |sheet: &mut Sheet, y: f64| {
        sheet.area(&boxed(y), Some(Ink::Buff), None);
        sheet.strokes(hatch(&[&boxed(y)], 45.0, 1.1), HATCH);
        sheet.area(&boxed(y), None, Some(THIN));
    };
    let words =
        format!("not to be used: rim {}, allowance {}", figure::length(rim), figure::length(cover.allowance.mm()));
    entry(sheet, &hatched, &words);
    if over.lens.block.diameter.is_some() {
        entry(sheet, &line(BEHIND), "block");
    }
    if over.short() {
        let crossed = |sheet: &mut Sheet, y: f64| {
            for deg in [45.0, 135.0] {
                sheet.strokes(hatch(&[&boxed(y)], deg, 0.75), lines::in_ink(lines::as_wide(HATCH, 0.22), Ink::Stop));
            }
            sheet.area(&boxed(y), None, Some(lines::in_ink(THIN, Ink::Stop)));
        };
        entry(sheet, &crossed, "no lens here");
    }
    y
}
