//! The figures beneath the pair from above.

use job::Eye;

use crate::figure;
use crate::lines::PALE;
use crate::scene::{Anchor, Ink, Weight, spot};
use crate::section::{CutEdge, stands};
use crate::sheet::{LABEL, Sheet};

use super::ROW;
use super::placed::Above;

/// A figure of each lens.
pub(super) struct Row {
    pub(super) name: &'static str,
    figures: Vec<(Eye, String)>,
}

impl Row {
    pub(super) fn of(&self, eye: Eye) -> Option<&str> {
        self.figures.iter().find(|f| f.0 == eye).map(|f| f.1.as_str())
    }
}

/// The figures, with those that a lens has.
pub(super) fn rows(lenses: &[Above<'_>]) -> Vec<Row> {
    let row = |name, of: &dyn Fn(&Above<'_>) -> Option<String>| Row {
        name,
        figures: lenses.iter().filter_map(|lens| Some((lens.plan.eye, of(lens)?))).collect(),
    };
    let square = |i: usize| {
        move |lens: &Above<'_>| {
            let (front, back) = lens.ends[i].profile.square;
            Some(figure::thickness(back - front))
        }
    };
    let before = |i: usize| move |lens: &Above<'_>| Some(figure::thickness(lens.ends[i].profile.row?.to_front.mm()));
    let gap = |i: usize| move |lens: &Above<'_>| Some(stands(lens.ends[i].profile.row?.gap?.mm()));
    let middle = |lens: &Above<'_>| {
        let [front, back] = lens.wall(0.0)?;
        Some(figure::thickness(back.1 - front.1))
    };
    let groove = lenses.iter().any(|lens| matches!(lens.ends[0].profile.cut, CutEdge::Groove { .. }));
    let [nose, temple, gap_nose, gap_temple] = if groove {
        ["groove from front, nose", "groove from front, temple", "groove at the nose", "groove at the temple"]
    } else {
        ["front shoulder, nose", "front shoulder, temple", "apex at the nose", "apex at the temple"]
    };
    let mut rows = vec![
        row("square edge, nose", &square(0)),
        row("thickness at the boxed centre", &middle),
        row("square edge, temple", &square(1)),
        row(nose, &before(0)),
        row(temple, &before(1)),
        row(gap_nose, &gap(0)),
        row(gap_temple, &gap(1)),
    ];
    rows.retain(|row| !row.figures.is_empty());
    rows
}

/// Names in the middle, figures on both sides.
pub(super) fn spine(sheet: &mut Sheet, rows: &[Row], lenses: &[Above<'_>], top: f64, k: f64) {
    let (middle, side) = (0.5 * sheet.width, 24.0 * k);
    for (i, row) in rows.iter().enumerate() {
        let y = top + ROW * k * (i as f64 + 0.6);
        let rule = y - 3.6 * k;
        sheet.line(&[spot(middle - side - 26.0 * k, rule), spot(middle + side + 26.0 * k, rule)], PALE);
        sheet.words(spot(middle, y), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, row.name);
        for lens in lenses {
            let Some(words) = row.of(lens.plan.eye) else { continue };
            let (x, anchor) = match lens.plan.eye {
                Eye::Right => (middle - side, Anchor::End),
                Eye::Left => (middle + side, Anchor::Start),
            };
            sheet.words(spot(x, y), anchor, LABEL, Ink::Ink, Weight::Medium, words);
        }
    }
}
