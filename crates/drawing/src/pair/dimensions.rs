//! Dimensions of the pair: widths above, heights outside, distances of the pupils below.

use job::Eye;

use crate::lines::{PALE, THIN};
use crate::scene::{Anchor, Ink, Spot, Text, Weight, spot};
use crate::seen::halfway;
use crate::sheet::{FIGURE, LABEL, Sheet};
use crate::{figure, marks};

use super::seat::Seat;

/// A level dimension with its figure over the line.
fn level_dimension(sheet: &mut Sheet, a: Spot, b: Spot, words: &str) {
    marks::dimension(sheet, a, b, THIN);
    let at = halfway(a, b).by(0.0, -0.9);
    sheet.words(at, Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
}

/// Where the dimension line of the widths stands.
const WIDTHS: f64 = 20.0;

pub(super) fn widths(sheet: &mut Sheet, seats: &[Seat<'_>], middle: f64, known: Option<f64>, bridge: f64) {
    for seat in seats {
        let (left, top, right, _) = seat.boxed();
        let words = figure::length(seat.plan.shape.boxed.width.mm());
        level_dimension(sheet, spot(left, WIDTHS), spot(right, WIDTHS), &words);
        for x in [left, right] {
            sheet.line(&[spot(x, WIDTHS - 1.0), spot(x, top - 0.6)], THIN);
        }
    }
    let half = 0.5 * bridge;
    let words = known.map_or_else(|| "not given".to_owned(), figure::length);
    if seats.len() == 2 {
        level_dimension(sheet, spot(middle - half, WIDTHS), spot(middle + half, WIDTHS), &words);
    }
}

/// Heights outside: of the box, and of the reference point above the lowest tangent.
pub(super) fn heights(sheet: &mut Sheet, seats: &[Seat<'_>], level: f64) {
    for seat in seats {
        let (left, top, right, bottom) = seat.boxed();
        let (edge, out) = match seat.plan.eye {
            Eye::Right => (left, -1.0),
            Eye::Left => (right, 1.0),
        };
        let mut column = |x: f64, from: f64, to: f64, words: &str| {
            marks::dimension(sheet, spot(x, from), spot(x, to), THIN);
            for y in [from, to] {
                sheet.line(&[spot(edge + out * 0.8, y), spot(x + out, y)], THIN);
            }
            sheet.write(Text {
                at: spot(x - 0.9, 0.5 * (from + to)),
                anchor: Anchor::Middle,
                size: FIGURE,
                ink: Ink::Ink,
                halo: Some(Ink::Paper),
                upwards: true,
                parts: vec![(Weight::Medium, words.to_owned())],
            });
        };
        column(edge + out * 17.0, top, bottom, &figure::length(bottom - top));
        if let Some(at) = seat.plan.reference_point {
            let up = level - at.up.mm();
            column(edge + out * 10.0, up, bottom, &figure::length(bottom - up));
            let pupil = seat.place(at).x;
            sheet.line(&[spot(edge + out * 0.8, up), spot(pupil, up)], PALE);
        }
    }
}

/// Distances of the pupils from the middle of the bridge.
pub(super) fn distances(sheet: &mut Sheet, seats: &[Seat<'_>], middle: f64, level: f64, foot: f64) {
    let line = foot + 14.0;
    for seat in seats {
        let (Some(at), Some(pd)) = (seat.plan.reference_point, seat.plan.pd) else { continue };
        let x = seat.place(at).x;
        sheet.line(&[spot(x, level - at.up.mm()), spot(x, line + 1.0)], PALE);
        let drawn = (middle - x).abs();
        level_dimension(sheet, spot(x, line), spot(middle, line), &figure::length(pd.mm()));
        // With face form the distance along the lens is longer than the one between pupil and nose.
        if (drawn - pd.mm()).abs() >= 0.05 {
            let words = format!("{} along the lens", figure::length(drawn));
            let at = spot(0.5 * (x + middle), line + 3.4);
            sheet.words(at, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        }
    }
}
