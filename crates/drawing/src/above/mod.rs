//! The pair in its front, seen from above: both lenses cut through level at their boxed centres, set as far apart and turned
//! as much as the frame sets them; where the bevel lies, where the rim runs, where eyes and optical centres stand.
//!
//! The reader faces the wearer, as everywhere: the right eye stands on the left, the front is towards the reader.

mod figures;
mod names;
mod placed;

use job::{Eye, Order, Rules};
use planner::Plan;
use units::maths::{cos_deg, sin_deg};

use crate::lines::{self, CENTRE, MARK, OUTLINE, PALE, PUT, REACH, RIM, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::section::CutEdge;
use crate::seen::halfway;
use crate::sheet::{FIGURE, LABEL, Sheet};
use crate::{edge, figure, marks, title_block};

use figures::{rows, spine};
use names::names;
use placed::{Above, Of, Set};

/// A4 less its margins, upright and laid across.
const UPRIGHT: f64 = 186.0;
const ACROSS: f64 = 273.0;
/// Room beside each temporal edge.
const BESIDE: f64 = 17.0;
/// What stands over the lenses: eyes, the distances of the pupils; what under them: distance between lenses, face form.
const OVER: f64 = 34.0;
const UNDER: f64 = 24.0;
/// From row to row of the figures.
const ROW: f64 = 5.0;
/// Bridge that is drawn where nobody gave one.
const SKETCHED_BRIDGE: f64 = 18.0;
/// Radius of the ring that stands for a pupil.
const PUPIL: f64 = 1.0;

/// The pair from above, or the one lens that is made; none without a lens.
///
/// The section lies at the level of the boxed centres; depths are along each lens's own cutting axis, which face form turns
/// outwards. The bevels (grooves, else the edges) stand level at the nose.
#[must_use]
pub fn above(plan: &Plan, order: &Order, rules: &Rules) -> Option<Scene> {
    let bridge = plan.planned().find_map(|eye| eye.between_lenses).map(|d| d.mm());
    let face_form = order.frame.face_form_deg;
    let of = Of { bridge: bridge.unwrap_or(SKETCHED_BRIDGE), face_form: face_form.unwrap_or_default() };
    let lenses: Vec<Above<'_>> = plan.planned().filter_map(|eye| Above::new(&of, eye, order, rules)).collect();
    let first = lenses.first()?;
    let both = lenses.len() == 2;
    let reach = |eye: Eye| {
        let lens = lenses.iter().find(|lens| lens.plan.eye == eye);
        lens.map_or(0.5 * of.bridge, |lens| lens.frame_extent().0)
    };
    let (left, right) = (reach(Eye::Right), reach(Eye::Left));
    let room = |scale: f64| scale * (left + right) + 2.0 * BESIDE;
    // Twice as large as life where a sheet has room for it.
    let (scale, width) = match (room(2.0), room(1.0)) {
        (twice, _) if twice <= UPRIGHT => (2.0, UPRIGHT),
        (twice, _) if twice <= ACROSS => (2.0, twice),
        (_, once) => (1.0, once.max(UPRIGHT)),
    };
    let (front, back) =
        lenses.iter().map(|l| l.frame_extent().1).fold((0.0, 0.0), |(a, b), (c, d)| (f64::min(a, c), f64::max(b, d)));
    let rows = rows(&lenses);
    let mut sheet = Sheet::new(width, 100.0);
    let k = sheet.type_scale;
    let level = OVER * k + scale * back;
    let lowest = level - scale * front;
    let table = lowest + UNDER * k;
    let foot = table + ROW * k * (rows.len() as f64 + 1.2);
    sheet.height = foot + 14.0 * k + title_block::high(k) + 4.0;
    let middle = 0.5 * width + 0.5 * scale * (left - right);
    let set = Set { middle, level, scale, front: lowest, k };

    head(&mut sheet, &lenses, &set);
    for lens in &lenses {
        draw(&mut sheet, lens, &set);
    }
    pupils(&mut sheet, &lenses, &set);
    between(&mut sheet, &of, bridge, both, &set);
    for lens in &lenses {
        turned(&mut sheet, lens, &of, &set);
    }
    spine(&mut sheet, &rows, &lenses, table, k);
    let bar = spot(6.0, foot + 6.0 * k);
    title_block::scale_bar(&mut sheet, bar);
    let mut words = match scale {
        1.0 => "true size".to_owned(),
        _ => "50 mm on paper: 25 mm of lens".to_owned(),
    };
    if face_form.is_none() {
        words.push_str("; face form not given: drawn flat");
    }
    sheet.words(bar.by(55.0, 1.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    let number = plan.number.as_str();
    let view = match (both, first.plan.eye) {
        (true, _) => "The pair from above".to_owned(),
        (false, eye) => format!("The {} from above", figure::eye(eye)),
    };
    let seen = if both { "front towards you: right eye on the left" } else { "front towards you" };
    title_block::title_block(&mut sheet, Some(number), &view, seen, &format!("{scale}:1"));
    for (i, lens) in lenses.iter().enumerate() {
        names(&mut sheet, lens, &set, i == 0);
    }
    let said: Vec<String> = lenses.iter().map(|lens| lens.description(&rows, bridge, face_form)).collect();
    Some(sheet.scene("above".to_owned(), format!("{view}, order {number}"), said.join(" ")))
}

/// Eyes, and which way they look.
fn head(sheet: &mut Sheet, lenses: &[Above<'_>], set: &Set) {
    for lens in lenses {
        marks::eye_in_its_corner(sheet, lens.plan.eye);
    }
    sheet.words(spot(set.middle, 7.0 * set.k), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "the wearer");
    sheet.line(&[spot(set.middle, 9.0 * set.k), spot(set.middle, set.front + 16.0 * set.k)], CENTRE);
}

fn draw(sheet: &mut Sheet, lens: &Above<'_>, set: &Set) {
    let at = |place: (f64, f64)| set.at(lens.set(place));
    let area: Vec<Spot> = lens.area.iter().copied().map(at).collect();
    sheet.area(&area, Some(Ink::Water), Some(lines::as_wide(OUTLINE, if set.scale > 1.0 { 0.5 } else { 0.35 })));
    if !lens.rim.is_empty() {
        let rim: Vec<Spot> = lens.rim.iter().copied().map(at).collect();
        sheet.line(&rim, lines::as_wide(RIM, 0.25));
    }
    if let Some([front, back]) = lens.wall(0.0) {
        sheet.line(&[at(front).by(0.0, 2.0), at(back).by(0.0, -2.0)], CENTRE);
    }
    for end in &lens.ends {
        let x = end.profile.x(0.0);
        if let Some(depth) = end.profile.line() {
            edge::line_mark(sheet, at((x, depth)), matches!(end.profile.cut, CutEdge::Groove { .. }));
        }
        // The square edge, beside it.
        let out = if x > 0.0 { 1.0 } else { -1.0 };
        let (front, back) = end.profile.square;
        let beside = |depth: f64| at((x + out * 2.4 / set.scale, depth));
        let (a, b) = (beside(front), beside(back));
        sheet.line(&[a, b], lines::as_wide(THIN, 0.3));
        for depth in [front, back] {
            let (from, to) = (at((x + out * 1.4 / set.scale, depth)), at((x + out * 3.4 / set.scale, depth)));
            sheet.line(&[from, to], lines::as_wide(THIN, 0.3));
        }
    }
    if let Some(centre) = lens.plan.optical_centre {
        let (x, _) = centre.xy(lens.plan.eye);
        if let Some([front, back]) = lens.wall(x) {
            let (from, to) = (at((x, front.1 - 3.0 / set.scale)), at((x, back.1 + 3.0 / set.scale)));
            sheet.line(&[from, to], PUT);
            sheet.circle(halfway(at(front), at(back)), 0.85, None, Some(PUT));
        }
    }
}

/// Lines straight ahead through the pupils, and their distances from the middle of the bridge.
fn pupils(sheet: &mut Sheet, lenses: &[Above<'_>], set: &Set) {
    let y = 17.0 * set.k;
    for lens in lenses {
        let (Some(pd), Some(_)) = (lens.plan.pd, lens.plan.reference_point) else { continue };
        let across = -lens.plan.eye.nasal() * pd.mm();
        let x = set.at((across, 0.0)).x;
        sheet.line(&[spot(x, y - 1.5), spot(x, set.front + 3.0)], CENTRE);
        sheet.circle(spot(x, y + 5.0 * set.k), PUPIL, Some(Ink::Paper), Some(MARK));
        sheet.circle(spot(x, y + 5.0 * set.k), 0.3, Some(Ink::Ink), None);
        let (a, b) = (spot(x, y), spot(set.middle, y));
        marks::dimension(sheet, a, b, THIN);
        let words = figure::length(pd.mm());
        sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
        let (anchor, aside) = if across < 0.0 { (Anchor::End, -2.2) } else { (Anchor::Start, 2.2) };
        let at = spot(x + aside, y + 5.9 * set.k);
        sheet.words(at, anchor, LABEL, Ink::Ink2, Weight::Regular, "pupil");
    }
}

/// The distance between lenses, under them.
fn between(sheet: &mut Sheet, of: &Of, known: Option<f64>, both: bool, set: &Set) {
    let y = set.front + 13.0 * set.k;
    let words = known.map_or_else(|| "not given".to_owned(), figure::length);
    if !both {
        let words = format!("distance between lenses {words}");
        sheet.words(spot(set.middle, y + 4.0 * set.k), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        return;
    }
    let half = 0.5 * of.bridge;
    let (a, b) = (set.at((-half, 0.0)), set.at((half, 0.0)));
    for end in [a, b] {
        sheet.line(&[end.by(0.0, 0.8), spot(end.x, y + 1.0)], PALE);
    }
    let (a, b) = (spot(a.x, y), spot(b.x, y));
    marks::dimension(sheet, a, b, THIN);
    sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
    let under = halfway(a, b).by(0.0, 4.0 * set.k);
    sheet.words(under, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "distance between lenses");
}

/// The plane of the front, and the lens's own, which face form turns back from it.
fn turned(sheet: &mut Sheet, lens: &Above<'_>, of: &Of, set: &Set) {
    if of.face_form.abs() < 0.05 {
        return;
    }
    let nasal = lens.plan.eye.nasal();
    let width = lens.plan.shape.boxed.width.mm();
    let nose = (nasal * 0.5 * width, lens.zero);
    let temple = (-nasal * (0.5 * width + 3.0), lens.zero);
    let from = set.at(lens.set(nose));
    let flat = spot(from.x - nasal * set.scale * (width + 3.0), from.y);
    sheet.line(&[from, flat], REACH);
    sheet.line(&[from, set.at(lens.set(temple))], REACH);
    let r = set.scale * (width + 1.0);
    let arc: Vec<Spot> = (0..=12)
        .map(|i| {
            let deg = of.face_form * f64::from(i) / 12.0;
            from.by(-nasal * r * cos_deg(deg), -r * sin_deg(deg))
        })
        .collect();
    sheet.line(&arc, THIN);
    let words = format!("face form {}\u{b0}", figure::short(of.face_form));
    let (anchor, at) = match lens.plan.eye {
        Eye::Right => (Anchor::Start, spot(flat.x, flat.y + 4.2 * set.k)),
        Eye::Left => (Anchor::End, spot(flat.x, flat.y + 4.2 * set.k)),
    };
    sheet.words(at, anchor, LABEL, Ink::Ink, Weight::Regular, words);
}
