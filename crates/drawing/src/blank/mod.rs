//! One eye over its blank, at true size: does it cover, where is it tightest, and what would save it.
//!
//! Drawn in the lens's own plane, square to the axis in which a blank is round; a wall that leans shows its far end
//! broken.

mod column;
mod glass;
mod over;

use job::Eye;
use planner::Plan;
use units::maths::{cos_deg, hypot, sin_deg};

use crate::hatch::hatch;
use crate::label::{Label, Place, Sign, around};
use crate::lines::{self, BEHIND, CENTRE, HATCH, MARK, OUTLINE, PALE, PUT, REACH, RIM, THIN};
use crate::scene::{Anchor, Frame, Ink, Scene, Spot, Weight, spot};
use crate::seen::Seen;
use crate::sheet::{FIGURE, LABEL, Sheet, TEXT, holds, ring};
use crate::{figure, marks, title_block, typeface};

use column::column;
use glass::enlargement;
use over::{Over, outside, spots};

/// Width of the column of figures beside the chart.
const COLUMN: f64 = 58.0;
/// From the ring to the edge of the chart: ticks, names, the axis's flag.
const ROUND: f64 = 13.0;
/// The same above and below, where names are not as long as they are wide.
const HIGH: f64 = 9.5;
/// Radius of the glass through which the tightest place is seen, mm.
const GLASS: f64 = 16.0;
/// A margin smaller than this is shown enlarged.
const ENLARGED_BELOW: f64 = 2.0;

/// The eye over its blank; none without a blank.
#[must_use]
pub fn blank(plan: &Plan, eye: Eye) -> Option<Scene> {
    let eye_plan = plan.eyes[eye].as_ref()?;
    let lens = eye_plan.lens.as_ref()?;
    let over = Over::new(eye_plan, lens);
    let half = over.ring + ROUND;
    let width = 4.0 + 2.0 * half + COLUMN + 4.0;
    let centre = spot(4.0 + half, 4.0 + over.ring + HIGH);
    let seen = Seen::true_size(centre);
    let mut sheet = Sheet::new(width, 0.0);
    let beside = column(&mut sheet, &over, spot(width - 4.0 - COLUMN, 6.0));
    let glass = if over.enlarged() { 2.0 * GLASS + 5.0 } else { 0.0 };
    let foot = (centre.y + over.ring + HIGH).max(beside + glass - 8.0);
    sheet.height = foot + 9.0 + title_block::HIGH + 4.0;

    protractor(&mut sheet, centre, over.ring);
    ground(&mut sheet, &over, seen);
    shape(&mut sheet, &over, seen);
    fixed(&mut sheet, &over, seen);
    let number = plan.number.as_str();
    let view = format!("{} over its blank", figure::capital(&figure::eye(eye)));
    title_block::title_block(&mut sheet, Some(number), &view, "facing the wearer, from the front", "1:1");
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 4.0));
    if over.enlarged() {
        enlargement(&mut sheet, &over, spot(width - 4.0 - GLASS, foot + 6.0 - GLASS));
    }
    sheet.reserve(Frame { left: width - 6.0 - COLUMN, top: 0.0, right: width, bottom: foot });
    tightest(&mut sheet, &over, seen);
    names(&mut sheet, &over, seen);
    let said = description(&over);
    Some(sheet.scene(format!("blank-{}", eye.word()), format!("{view}, order {number}"), said))
}

/// Every 5 degrees a tick, every 30 a name.
fn protractor(sheet: &mut Sheet, centre: Spot, radius: f64) {
    sheet.circle(centre, radius, None, Some(PALE));
    for i in 0..72 {
        let deg = 5.0 * f64::from(i);
        let (x, y) = (cos_deg(deg), sin_deg(deg));
        let long = match i {
            i if i % 6 == 0 => 2.2,
            i if i % 2 == 0 => 1.5,
            _ => 0.9,
        };
        let out = |r: f64| centre.by(x * r, -y * r);
        let stroke = if i % 6 == 0 { lines::as_wide(MARK, 0.25) } else { lines::in_ink(PALE, Ink::Ink2) };
        sheet.line(&[out(radius), out(radius + long)], stroke);
        if i % 6 == 0 {
            let half = 0.5 * typeface::width("000", Weight::Regular) * LABEL;
            let r = radius + 3.0 + half * x.abs() + 0.5 * typeface::CAP * LABEL * y.abs();
            let at = out(r).by(0.0, 0.5 * typeface::CAP * LABEL);
            sheet.words(at, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, figure::at(deg));
        }
    }
}

/// The blank, and what of it is not to be used.
fn ground(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let middle = seen.at(over.middle.0, over.middle.1);
    sheet.circle(middle, over.nominal(), Some(Ink::Buff), None);
    let (outer, inner) = (ring(middle, over.nominal(), 360), ring(middle, over.useful(), 360));
    sheet.strokes(hatch(&[&outer, &inner], 45.0, 1.1), HATCH);
    sheet.circle(middle, over.useful(), None, Some(THIN));
    sheet.circle(middle, over.nominal(), None, Some(RIM));
}

/// The lens, what of it has no blank, centre lines, block, axis.
fn shape(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let front = spots(&over.front, seen);
    sheet.area(&front, Some(Ink::Water), None);
    let (x, y) = over.boxed_centre;
    let w = 0.5 * over.plan.shape.boxed.width.mm() + 4.0;
    sheet.line(&[seen.at(x - w, y), seen.at(x + w, y)], CENTRE);
    if over.leans() {
        sheet.area(&spots(&over.back, seen), None, Some(lines::as_wide(BEHIND, 0.2)));
    }
    if over.short() {
        for part in outside(over, seen) {
            sheet.area(&part, Some(Ink::Paper), None);
            for deg in [45.0, 135.0] {
                sheet.strokes(hatch(&[&part], deg, 0.75), lines::in_ink(lines::as_wide(HATCH, 0.22), Ink::Stop));
            }
            sheet.area(&part, None, Some(lines::in_ink(THIN, Ink::Stop)));
        }
    }
    sheet.area(&front, None, Some(OUTLINE));
    if let Some(diameter) = over.lens.block.diameter {
        let (x, y) = over.lens.block.at.xy(over.plan.eye);
        let at = seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1);
        sheet.circle(at, 0.5 * diameter.mm(), None, Some(BEHIND));
    }
    let centre = seen.at(over.dot.0, over.dot.1);
    if let Some((_, axis)) = over.plan.made_power().cylinder() {
        let (x, y) = (cos_deg(axis.deg()), sin_deg(axis.deg()));
        let out = |k: f64| centre.by(x * k, -y * k);
        sheet.line(&[out(over.ring + 2.0), out(-over.ring)], PUT);
        flag(sheet, out(over.ring), (x, y));
    }
    for hole in &over.lens.holes {
        let (x, y) = hole.at.xy(over.plan.eye);
        marks::hole(sheet, seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1), hole.diameter.mm());
    }
    marks::boxed_centre(sheet, seen.at(over.boxed_centre.0, over.boxed_centre.1));
    if let Some(at) = over.plan.reference_point {
        let (x, y) = at.xy(over.plan.eye);
        marks::pupil(sheet, seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1), 1.0);
    }
    marks::optical_centre(sheet, centre);
    if middle_differs(over) {
        marks::blank_middle(sheet, seen.at(over.middle.0, over.middle.1));
    }
}

fn middle_differs(over: &Over<'_>) -> bool {
    hypot(over.middle.0 - over.dot.0, over.middle.1 - over.dot.1) > 0.05
}

/// The axis's flag: a solid wedge that stands on the ring at the named end.
fn flag(sheet: &mut Sheet, at: Spot, (x, y): (f64, f64)) {
    let tail = at.by(x * 2.4, -y * 2.4);
    sheet.area(&[at, tail.by(-y * 1.0, -x * 1.0), tail.by(y * 1.0, x * 1.0)], Some(Ink::Mark), None);
}

/// Up, nose and temple inside the blank, where they do not hide the shape.
fn fixed(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    marks::eye(sheet, spot(4.0, 4.0), over.plan.eye, 7.0);
    let name = figure::eye(over.plan.eye);
    sheet.words(spot(12.6, 7.0), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, name);
    let sku = typeface::cut_to(&over.lens.blank.sku, Weight::SemiBold, TEXT, 34.0);
    sheet.words(spot(12.6, 10.9), Anchor::Start, TEXT, Ink::Ink, Weight::SemiBold, sku);
    let middle = seen.at(over.middle.0, over.middle.1);
    let useful = over.useful();
    let top = middle.y - useful;
    marks::up(sheet, spot(middle.x + 3.0, top + 2.0));
    sheet.words(spot(middle.x + 5.0, top + 5.6), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "up");
    // Beside the shape where there is room in the blank, else over it.
    let outline = spots(&over.front, seen);
    let level = seen.at(0.0, over.boxed_centre.1).y;
    let reach = |y: f64| (useful * useful - (y - middle.y) * (y - middle.y)).max(0.0).sqrt() - 1.2;
    let clear = |y: f64, k: f64| {
        (0..=6).all(|i| {
            [-1.5, 1.5]
                .into_iter()
                .all(|up| !holds(&outline, spot(middle.x + k * (reach(y) - 2.0 * f64::from(i)), y + up)))
        })
    };
    for (nasal, word) in [(true, "nose"), (false, "temple")] {
        let right = (over.plan.eye == Eye::Right) == nasal;
        let k = if right { 1.0 } else { -1.0 };
        let y = (3..18).map(|i| level + 2.0 * f64::from(i)).find(|&y| clear(y, k)).unwrap_or(level + 6.0);
        let tip = spot(middle.x + k * reach(y), y);
        if nasal {
            marks::nose(sheet, tip, right);
        } else {
            marks::temple(sheet, tip, right);
        }
        let anchor = if right { Anchor::End } else { Anchor::Start };
        sheet.words(tip.by(-k * 2.8, 0.9), anchor, LABEL, Ink::Ink, Weight::Regular, word);
    }
}

/// The only dimension: how much is to spare, or short, at the tightest place.
fn tightest(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let (x, y) = over.towards_tightest();
    let middle = seen.at(over.middle.0, over.middle.1);
    let limit = middle.by(x * over.useful(), -y * over.useful());
    let rim = seen.at(over.tightest.0, over.tightest.1);
    let words = figure::length(over.margin().abs());
    if over.short() {
        sheet.line(&[middle, rim], lines::in_ink(REACH, Ink::Stop));
        sheet.circle(rim, 0.6, Some(Ink::Stop), None);
        let label = Label::new(FIGURE, Ink::Stop, Weight::SemiBold, format!("short by {words}")).sign(Sign::Stop);
        let label = label.leads_to(rim, 0.7).leader(lines::as_wide(lines::in_ink(THIN, Ink::Stop), 0.3));
        // Outside the ring, where nothing else is written.
        let out = over.ring - hypot(over.tightest.0, over.tightest.1) + 6.0;
        let towards = units::maths::atan2_deg(y, x);
        let mut places = around(rim, out, out + 14.0, towards);
        places.retain(|p| p.at.to(seen.origin) > over.ring + 7.0);
        sheet.label(&label, &places);
        return;
    }
    sheet.line(&[middle, rim], REACH);
    marks::dimension(sheet, rim, limit, lines::as_wide(THIN, 0.3));
    let label = Label::new(FIGURE, Ink::Ink, Weight::SemiBold, words);
    let at = crate::seen::halfway(rim, limit);
    let towards = units::maths::atan2_deg(y, x) + if x < 0.0 { 90.0 } else { -90.0 };
    sheet.label(&label.leads_to(at, 0.4), &around(at, 2.4, 9.0, towards));
}

/// Names of points and lines inside the chart.
fn names(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let put = lines::in_ink(THIN, Ink::Mark);
    let centre = seen.at(over.dot.0, over.dot.1);
    if let Some((_, axis)) = over.plan.made_power().cylinder() {
        let (x, y) = (cos_deg(axis.deg()), sin_deg(axis.deg()));
        let end = centre.by(x * (over.ring + 2.4), -y * (over.ring + 2.4));
        let label = Label::new(FIGURE, Ink::Mark, Weight::SemiBold, figure::axis(axis.deg()));
        sheet.label(&label.leads_to(end, 1.0).leader(put), &around(end, 1.2, 9.0, axis.deg()));
    }
    let pupil = over.plan.reference_point.map(|at| {
        let (x, y) = at.xy(over.plan.eye);
        seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1)
    });
    let together = pupil.is_some_and(|p| p.to(centre) < 0.05);
    let dot = figure::dot(over.plan);
    let words = match (together, middle_differs(over)) {
        (true, false) => vec![format!("{dot}, before the pupil,"), "middle of the blank".to_owned()],
        (true, true) => vec![format!("{dot}, before the pupil")],
        (false, false) => vec![format!("{dot},"), "middle of the blank".to_owned()],
        (false, true) => vec![dot.to_owned()],
    };
    let parts = words.into_iter().map(|w| vec![(Weight::Regular, w)]).collect();
    let label = Label::of(LABEL, Ink::Mark, parts).leads_to(centre, 1.3).leader(put);
    sheet.label(&label, &around(centre, 4.5, 26.0, 100.0));
    if let Some(pupil) = pupil.filter(|_| !together) {
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "before the pupil").leads_to(pupil, 2.3);
        sheet.label(&label, &around(pupil, 4.5, 22.0, 45.0));
    }
    let at = seen.at(over.boxed_centre.0, over.boxed_centre.1);
    let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "boxed centre").leads_to(at, 1.3);
    sheet.label(&label, &around(at, 4.5, 24.0, 290.0));
    if middle_differs(over) {
        let at = seen.at(over.middle.0, over.middle.1);
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "middle of the blank").leads_to(at, 1.8);
        sheet.label(&label, &around(at, 4.5, 16.0, 200.0));
    }
    if let Some(diameter) = over.lens.block.diameter {
        let (x, y) = over.lens.block.at.xy(over.plan.eye);
        let at = seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1);
        let places: Vec<Place> = (0..48)
            .map(|i| {
                let deg = 255.0 + 7.5 * f64::from(if i % 2 == 0 { i / 2 } else { -(i + 1) / 2 });
                let r = 0.5 * diameter.mm() - 2.4;
                let at = at.by(r * cos_deg(deg), -r * sin_deg(deg));
                Place { at, anchor: Anchor::Middle, cost: 0.1 * f64::from(i) }
            })
            .collect();
        let words = format!("block {}", figure::short(diameter.mm()));
        sheet.label(&Label::new(LABEL, Ink::Ink2, Weight::Regular, words), &places);
    }
}

fn description(over: &Over<'_>) -> String {
    let cover = &over.lens.coverage;
    let (place, blank) = (figure::at(cover.tightest_deg), figure::short(over.lens.blank.nominal.mm()));
    let verdict = if over.short() {
        format!("A blank of {blank} mm does not cover: short by {} mm at {place}.", figure::length(-over.margin()))
    } else {
        format!("A blank of {blank} mm covers with {} mm to spare, tightest at {place}.", figure::length(over.margin()))
    };
    format!("{verdict} The smallest blank that covers has {} mm.", figure::length(cover.smallest_blank.mm()))
}
