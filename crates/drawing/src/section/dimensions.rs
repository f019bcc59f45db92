//! The dimensions of a section: before the edge, in its bevel, behind it.

use units::maths::{cos_deg, sin_deg};

use crate::label::{Label, around};
use crate::lines::{self, MARK, THIN};
use crate::scene::{Anchor, Ink, Spot, Text, Weight, spot};
use crate::sheet::{FIGURE, LABEL, Sheet};
use crate::{figure, marks, typeface};

use super::profile::{Cut, In};
use super::{EDGE_AT, Part, REACHES, SCALE};

/// Where the chain of the square edge's parts stands, and the dimension of the whole.
const CHAIN_AT: f64 = 32.0;
const SQUARE_AT: f64 = 39.0;
/// Where the visible edge's dimension stands.
const VISIBLE_AT: f64 = EDGE_AT + SCALE * REACHES + 5.0;
/// Least distance from base line to base line.
const APART: f64 = 4.0;
/// Where the bevel's angle is written, mm of sheet from the apex.
const ARC: f64 = 8.0;

/// Levels before the edge: the square edge as a whole, and its parts at the cut outline.
pub(super) fn before(sheet: &mut Sheet, part: &Part<'_>, place: &dyn Fn(In) -> Spot) {
    let (front, back) = part.profile.square;
    let level = |depth: f64| place((0.0, depth)).y;
    let (levels, names): (Vec<f64>, &[&str]) = match (part.profile.cut, part.profile.line()) {
        (Cut::Bevel { .. }, Some(line)) => (vec![front, line, back], &["front shoulder", "back shoulder"]),
        (Cut::Groove { width, .. }, Some(line)) => {
            (vec![front, line - 0.5 * width, line + 0.5 * width, back], &["front wall", "groove", "back wall"])
        }
        _ => (vec![front, back], &[]),
    };
    let ends = (level(front), level(back));
    marks::dimension(sheet, spot(SQUARE_AT, ends.0), spot(SQUARE_AT, ends.1), THIN);
    let outer = if names.is_empty() { SQUARE_AT } else { CHAIN_AT };
    for y in [ends.0, ends.1] {
        sheet.line(&[spot(outer - 1.0, y), spot(EDGE_AT - 0.8, y)], THIN);
    }
    if !names.is_empty() {
        chain(sheet, CHAIN_AT, &levels, &level, names);
    }
    let words = vec![(Weight::Medium, figure::thickness(back - front)), (Weight::Regular, " square edge".to_owned())];
    let length = words.iter().map(|(w, t)| typeface::width(t, *w)).sum::<f64>() * LABEL;
    // Along its line where no level crosses it.
    let widest = levels.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    let room = widest.map_or(ends, |w| (level(w[0]), level(w[1])));
    let (at, anchor, upwards) = if length + 1.0 < room.1 - room.0 {
        (spot(SQUARE_AT - 1.2, 0.5 * (room.0 + room.1)), Anchor::Middle, true)
    } else {
        (spot(SQUARE_AT + 6.0, ends.1 + 4.6), Anchor::End, false)
    };
    sheet.write(Text { at, anchor, size: LABEL, ink: Ink::Ink, halo: Some(Ink::Paper), upwards, parts: words });
}

/// A chain of lengths on one line, a tick at each level, figure and name to its left.
fn chain(sheet: &mut Sheet, x: f64, levels: &[f64], level: &dyn Fn(f64) -> f64, names: &[&str]) {
    let ys: Vec<f64> = levels.iter().map(|&depth| level(depth)).collect();
    if let (Some(&first), Some(&last)) = (ys.first(), ys.last()) {
        sheet.line(&[spot(x, first), spot(x, last)], THIN);
    }
    for (i, &y) in ys.iter().enumerate() {
        sheet.line(&[spot(x - 0.7, y + 0.7), spot(x + 0.7, y - 0.7)], lines::as_wide(MARK, 0.3));
        if i > 0 && i + 1 < ys.len() {
            sheet.line(&[spot(x - 1.0, y), spot(EDGE_AT - 1.4, y)], THIN);
        }
    }
    // Each at the middle of what it names, but never on another.
    let mut at: Vec<f64> = ys.windows(2).map(|w| 0.5 * (w[0] + w[1])).collect();
    let middle = 0.5 * (at.len() - 1) as f64;
    let mean = at.iter().sum::<f64>() / at.len() as f64;
    if at.windows(2).any(|w| w[1] - w[0] < APART) {
        for (i, y) in at.iter_mut().enumerate() {
            *y = mean + APART * (i as f64 - middle);
        }
    }
    for (i, name) in names.iter().enumerate() {
        let parts =
            vec![(Weight::Medium, figure::thickness(levels[i + 1] - levels[i])), (Weight::Regular, format!(" {name}"))];
        sheet.write(Text {
            at: spot(x - 1.8, at[i] + 0.35 * LABEL),
            anchor: Anchor::End,
            size: LABEL,
            ink: Ink::Ink,
            halo: Some(Ink::Paper),
            upwards: false,
            parts,
        });
    }
}

/// The bevel's angle and height, the groove's depth: from the edge inwards.
pub(super) fn bevel(sheet: &mut Sheet, part: &Part<'_>, place: &dyn Fn(In) -> Spot) {
    let Some(line) = part.profile.line() else { return };
    let lowest = place((0.0, part.depths.1)).y;
    let (deep, name, from) = match part.profile.cut {
        Cut::Bevel { steep, height, .. } => {
            let half = libm::atan(steep).to_degrees();
            let apex = place((0.0, line));
            let reach = part.profile.sides().map_or(0.0, |sides| {
                let longest = sides.iter().map(|s| s.corner.0.min(height)).fold(f64::INFINITY, f64::min);
                SCALE * longest / cos_deg(half).max(0.1)
            });
            let r = ARC.min(reach - 0.6);
            if r > 2.0 {
                let arc: Vec<Spot> = (0..=24)
                    .map(|i| {
                        let deg = -half + 2.0 * half * f64::from(i) / 24.0;
                        apex.by(r * cos_deg(deg), r * sin_deg(deg))
                    })
                    .collect();
                sheet.line(&arc, THIN);
            }
            let words = format!("{}\u{b0}", figure::short(2.0 * half));
            let at = spot(apex.x + r.max(SCALE * height) + 1.2, apex.y + 0.35 * LABEL);
            sheet.words(at, Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
            (height, "bevel height", line)
        }
        Cut::Groove { depth, width } => (depth, "groove depth", line + 0.5 * width),
        Cut::Flat => return,
    };
    let y = lowest + 6.0;
    let (a, b) = (spot(EDGE_AT, y), spot(EDGE_AT + SCALE * deep, y));
    marks::dimension(sheet, a, b, THIN);
    let foot = part.profile.back(deep).unwrap_or(from);
    for (at, from) in [(a, place((0.0, from)).y), (b, place((deep, foot)).y)] {
        sheet.line(&[at.by(0.0, 1.0), spot(at.x, from + 0.8)], THIN);
    }
    let parts = [(Weight::Medium, figure::thickness(deep)), (Weight::Regular, format!(" {name}"))];
    sheet.write(Text {
        at: spot(b.x + 4.4, y + 0.35 * LABEL),
        anchor: Anchor::Start,
        size: LABEL,
        ink: Ink::Ink,
        halo: Some(Ink::Paper),
        upwards: false,
        parts: parts.to_vec(),
    });
}

/// The safety bevel: named where it breaks the back, else the front.
pub(super) fn safety(sheet: &mut Sheet, part: &Part<'_>, wide: f64, place: &dyn Fn(In) -> Spot) {
    let Some([front, back]) = part.profile.sides() else { return };
    if wide <= 0.0 || !(front.wall || back.wall) {
        return;
    }
    let (side, down) = if back.wall { (back, 1.0) } else { (front, -1.0) };
    let corner = place(side.corner).by(1.1, -0.9 * down);
    let words = vec![vec![(Weight::Regular, "safety bevel ".to_owned()), (Weight::Medium, figure::thickness(wide))]];
    let towards = -60.0 * down;
    sheet.label(&Label::of(LABEL, Ink::Ink, words).leads_to(corner, 0.0), &around(corner, 6.5, 30.0, towards));
}

/// Behind the edge: what is seen of it, from surface to surface at the bevel's foot.
pub(super) fn behind(sheet: &mut Sheet, part: &Part<'_>, place: &dyn Fn(In) -> Spot) {
    let Cut::Bevel { height, .. } = part.profile.cut else { return };
    let Some(visible) = part.profile.row.and_then(|row| row.visible) else { return };
    let (Some(front), Some(back)) = (part.profile.front(height), part.profile.back(height)) else { return };
    let (top, bottom) = (place((height, front)), place((height, back)));
    for at in [top, bottom] {
        sheet.line(&[at.by(0.8, 0.0), spot(VISIBLE_AT + 1.0, at.y)], THIN);
    }
    marks::dimension(sheet, spot(VISIBLE_AT, top.y), spot(VISIBLE_AT, bottom.y), THIN);
    let middle = 0.5 * (top.y + bottom.y);
    let x = VISIBLE_AT + 1.8;
    sheet.words(
        spot(x, middle - 0.2),
        Anchor::Start,
        FIGURE,
        Ink::Ink,
        Weight::Medium,
        figure::thickness(visible.mm()),
    );
    sheet.words(spot(x, middle + 3.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "visible edge");
}
