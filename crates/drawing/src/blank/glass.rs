//! The tightest place of a blank, enlarged.

use crate::hatch::hatch;
use crate::label::{Label, around};
use crate::lines::{self, HATCH, MARK, OUTLINE, RIM, THIN};
use crate::scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Spot, Stroke, Weight};
use crate::seen::Seen;
use crate::sheet::{FIGURE, Sheet, TEXT, ring};
use crate::{figure, marks};

use super::GLASS;
use super::over::{Over, outside, spots};

/// The tightest place through a glass.
pub(super) fn enlargement(sheet: &mut Sheet, over: &Over<'_>, at: Spot) {
    let radius = GLASS;
    // As large as shows the margin in a quarter of the glass, in the steps of drawing scales.
    let wanted = 0.5 * radius / over.margin().abs().max(0.05);
    let scale = [20.0, 10.0, 5.0, 4.0].into_iter().find(|s| *s <= wanted).unwrap_or(4.0);
    let (tx, ty) = over.tightest;
    let seen = Seen { origin: at.by(-tx * scale, ty * scale), scale, mirrored: false };
    let path = |spots: Vec<Spot>, closed: bool, fill: Option<Ink>, stroke: Option<Stroke>| {
        Item::Path(Path { runs: vec![Run { spots, closed }], fill, stroke })
    };
    let circle = |r: f64, fill: Option<Ink>, stroke: Option<Stroke>| {
        Item::Circle(Circle { centre: seen.at(over.middle.0, over.middle.1), radius: r * scale, fill, stroke })
    };
    let lens = spots(if over.tightest_at_back() { &over.back } else { &over.front }, seen);
    let mut items =
        vec![circle(over.nominal(), Some(Ink::Buff), None), path(lens.clone(), true, Some(Ink::Water), None)];
    let glass = ring(at, radius, 180);
    let middle = seen.at(over.middle.0, over.middle.1);
    let within = |r: f64| ring(middle, r * scale, 2880);
    let (outer, inner) = (within(over.nominal()), within(over.useful()));
    let strokes = |lines: Vec<Vec<Spot>>, stroke: Stroke| {
        let near = |l: &Vec<Spot>| {
            Frame { left: at.x - radius, right: at.x + radius, top: at.y - radius, bottom: at.y + radius }
                .meets(l[0], l[1])
        };
        let runs = lines.into_iter().filter(near).map(|spots| Run { spots, closed: false }).collect();
        Item::Path(Path { runs, fill: None, stroke: Some(stroke) })
    };
    items.push(strokes(hatch(&[&outer, &inner], 45.0, 1.6), HATCH));
    if over.short() {
        for part in outside(over, seen) {
            items.push(path(part.clone(), true, Some(Ink::Paper), None));
            for deg in [45.0, 135.0] {
                items.push(strokes(hatch(&[&part], deg, 1.1), lines::in_ink(lines::as_wide(HATCH, 0.25), Ink::Stop)));
            }
        }
    }
    items.push(circle(over.useful(), None, Some(THIN)));
    items.push(circle(over.nominal(), None, Some(RIM)));
    items.push(path(lens, true, None, Some(OUTLINE)));
    sheet.area(&glass, Some(Ink::Paper), None);
    sheet.inside(at, radius, items);
    sheet.circle(at, radius, None, Some(MARK));
    let (x, y) = over.towards_tightest();
    let limit = middle.by(x * over.useful() * scale, -y * over.useful() * scale);
    let ink = if over.short() { Ink::Stop } else { Ink::Ink };
    marks::dimension(sheet, at, limit, lines::as_wide(lines::in_ink(THIN, ink), 0.3));
    let words = figure::thickness(over.margin().abs());
    let half = crate::seen::halfway(at, limit);
    let label = Label::new(FIGURE, ink, Weight::SemiBold, words).leads_to(half, 0.4);
    let label = label.leader(lines::in_ink(THIN, ink));
    sheet.label(&label, &around(half, 4.0, 9.0, 60.0));
    let beside = at.by(-radius - 2.0, -radius + 4.0);
    sheet.words(
        beside,
        Anchor::End,
        TEXT,
        Ink::Ink,
        Weight::SemiBold,
        format!("at {}", figure::at(over.lens.coverage.tightest_deg)),
    );
    let ratio = format!("{scale:.0}:1");
    sheet.words(beside.by(0.0, 4.0), Anchor::End, TEXT, Ink::Ink2, Weight::Regular, ratio);
}
