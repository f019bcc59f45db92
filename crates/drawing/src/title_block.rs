//! The foot of every sheet: the scale bar and the title block.

use crate::lines::{self, THIN};
use crate::scene::{Anchor, Ink, Spot, Weight, spot};
use crate::sheet::{LABEL, Sheet, TEXT};

/// The scale bar: exactly 50 mm, its upper left corner at `at`, its names above.
pub(crate) fn scale_bar(sheet: &mut Sheet, at: Spot) {
    let (part, high, rim) = (10.0, 1.3, 0.18);
    let block = |x: f64, width: f64, inset: f64| {
        [
            at.by(x + inset, inset),
            at.by(x + width - inset, inset),
            at.by(x + width - inset, high - inset),
            at.by(x + inset, high - inset),
        ]
    };
    // Filled edges, not outlines: the bar's length is that of its ink.
    sheet.area(&block(0.0, 5.0 * part, 0.0), Some(Ink::Ink), None);
    for i in [1.0, 3.0] {
        let open = [
            at.by(i * part, rim),
            at.by((i + 1.0) * part, rim),
            at.by((i + 1.0) * part, high - rim),
            at.by(i * part, high - rim),
        ];
        sheet.area(&open, Some(Ink::Paper), None);
    }
    sheet.words(at.by(0.0, -0.9), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "0");
    sheet.words(at.by(50.0, -0.9), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, "50 mm");
}

/// The title block: rules and cells along the foot of the sheet, [`HIGH`] mm high.
pub(crate) fn title_block(sheet: &mut Sheet, order: Option<&str>, view: &str, seen: &str, ratio: &str) {
    let (margin, pad) = (4.0, 1.6);
    let (high, taller) = (high(sheet.type_scale), high(sheet.type_scale) / HIGH);
    let top = sheet.height - margin - high;
    let mut cells: Vec<(&str, &str)> = Vec::new();
    if let Some(order) = order {
        cells.push(("order", order));
    }
    cells.extend([("view", view), ("seen", seen), ("scale as printed", ratio), ("lengths", "mm")]);
    let scale = sheet.type_scale;
    let wants = |(name, value): &(&str, &str)| {
        let name = crate::typeface::width(name, Weight::Regular) * LABEL * scale;
        name.max(crate::typeface::width(value, Weight::Medium) * TEXT * scale) + 2.0 * pad
    };
    let room = sheet.width - 2.0 * margin;
    let mut wide: Vec<f64> = cells.iter().map(wants).collect();
    let spare = room - wide.iter().sum::<f64>();
    if spare < 0.0 {
        // How it is seen is the longest text and the first to be cut.
        let longest = cells.len() - 3;
        wide[longest] += spare;
    } else {
        let each = spare / cells.len() as f64;
        wide.iter_mut().for_each(|w| *w += each);
    }
    let corners =
        [spot(margin, top), spot(margin + room, top), spot(margin + room, top + high), spot(margin, top + high)];
    sheet.area(&corners, None, Some(lines::as_wide(THIN, 0.3)));
    let mut x = margin;
    for (i, cell) in cells.iter().enumerate() {
        let wide = wide[i];
        if i > 0 {
            sheet.line(&[spot(x, top), spot(x, top + high)], THIN);
        }
        sheet.words(spot(x + pad, top + 3.3 * taller), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, cell.0);
        let value = crate::typeface::cut_to(cell.1, Weight::Medium, TEXT * scale, wide - 2.0 * pad + 0.01);
        sheet.words(spot(x + pad, top + 7.5 * taller), Anchor::Start, TEXT, Ink::Ink, Weight::Medium, value);
        x += wide;
    }
}

/// Height of the title block, mm.
pub(crate) const HIGH: f64 = 9.5;

/// Its height on a sheet whose type is larger by this factor: two lines of large type want more.
pub(crate) fn high(type_scale: f64) -> f64 {
    HIGH * (type_scale / 1.35).max(1.0)
}
