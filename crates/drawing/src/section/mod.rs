//! Sections through the edge, exactly ten times as large as life: the last millimetres of the lens, square to its outline,
//! as the edge is finished, and the rim that it goes into.

mod dimensions;
mod places;
mod profile;
mod words;

use job::{EdgeKind, Eye, Order, Rules};
use planner::{EyePlan, LensPlan, Plan};

use crate::hatch::hatch;
use crate::lines::{self, HATCH, MARK, OUTLINE, REACH, RIM, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::seen::Seen;
use crate::sheet::{FIGURE, LABEL, LEADING, Sheet, TEXT};
use crate::{figure, marks, title_block, typeface};

use places::{At, by_default, named};
use profile::{Cut, In, Profile};

pub(crate) use places::in_words;
pub(crate) use profile::{Cut as CutEdge, Profile as EdgeProfile, Side as EdgeSide};
pub(crate) use words::stands;

/// How much larger than life.
const SCALE: f64 = 10.0;
/// How much of the lens is shown, mm.
const REACHES: f64 = 6.0;
/// A4 less its margins.
const WIDE: f64 = 186.0;
const HIGH: f64 = 273.0;
/// Where the cut outline stands on the sheet.
const EDGE_AT: f64 = 61.0;
/// Where the words beside a section begin, and how long they may be.
const WORDS_AT: f64 = 148.0;
const WORDS: f64 = 34.0;
/// From the top of a section's part to the highest thing drawn, and from the lowest to the end of the part.
const OVER: f64 = 12.0;
const UNDER: f64 = 13.5;
/// The head of a sheet, and its foot.
const HEAD: f64 = 13.0;
const FOOT: f64 = 15.0 + title_block::HIGH + 4.0;
/// From the top of a part to the outline that shows where the section lies, and the box it fits in.
const KEY: f64 = 3.0;
const KEY_BOX: (f64, f64) = (24.0, 21.0);
/// Rim that is drawn outside its groove and beside its lips, where the groove is known, mm.
const RIM_BODY: f64 = 0.9;

/// Sections through the edge of one eye's lens: in these whole degrees about the boxed centre, or, where none is wanted,
/// where they tell most. None without a lens; more than one sheet where one is not enough.
#[must_use]
pub fn sections(plan: &Plan, eye: Eye, order: &Order, rules: &Rules, wanted: &[u32]) -> Vec<Scene> {
    let Some(eye_plan) = &plan.eyes[eye] else { return Vec::new() };
    let Some(lens) = &eye_plan.lens else { return Vec::new() };
    let at = if wanted.is_empty() { by_default(lens, order.lens.edge) } else { named(lens, wanted) };
    let of = Of { plan: eye_plan, lens, order, rules, cut: Cut::of(lens, order, rules) };
    let parts: Vec<Part> = at.into_iter().filter_map(|at| Part::new(&of, at)).collect();
    let mut sheets: Vec<Vec<&Part>> = Vec::new();
    let mut used = f64::INFINITY;
    for part in &parts {
        if used + part.high > HIGH {
            sheets.push(Vec::new());
            used = HEAD + FOOT;
        }
        used += part.high;
        if let Some(sheet) = sheets.last_mut() {
            sheet.push(part);
        }
    }
    let many = sheets.len();
    sheets.iter().enumerate().map(|(i, parts)| sheet(plan, &of, parts, (i + 1, many))).collect()
}

/// Whose sections.
struct Of<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    order: &'a Order,
    rules: &'a Rules,
    cut: Cut,
}

impl Of<'_> {
    /// Width of the safety bevel; none on an edge whose bevel is not known, and so not drawn.
    fn safety(&self) -> f64 {
        if self.cut == Cut::Flat && self.order.lens.edge == EdgeKind::Bevel {
            0.0
        } else {
            self.rules.bevel.safety.mm()
        }
    }
}

/// One section, ready to be drawn.
struct Part<'a> {
    at: At,
    profile: Profile<'a>,
    finished: Vec<In>,
    /// The rim's body round its groove, where that is known.
    rim: Option<Vec<In>>,
    /// The depth of the rim's groove line, where a rim is seated.
    seated: Option<f64>,
    /// Least and greatest depth that is drawn.
    depths: (f64, f64),
    words: Vec<String>,
    high: f64,
}

impl<'a> Part<'a> {
    fn new(of: &Of<'a>, at: At) -> Option<Self> {
        let profile = Profile::new(of.lens, of.cut, at.deg)?;
        let finished = profile.finished(REACHES, of.safety())?;
        let seated = profile.row.and_then(|row| Some((row.depth - row.gap?).mm()));
        let rim = seated.and_then(|depth| rim_body(of, depth));
        let drawn = finished.iter().chain(rim.iter().flatten()).map(|p| p.1);
        let (least, most) = drawn
            .chain([profile.square.0, profile.square.1])
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), d| (a.min(d), b.max(d)));
        let words = words::beside(of, &profile, seated);
        let lines = words.len() as f64 * LABEL * LEADING;
        let beside = KEY + KEY_BOX.1 + 5.0 + lines + 2.0;
        let high = (OVER + SCALE * (most - least) + UNDER).max(beside);
        Some(Self { at, profile, finished, rim, seated, depths: (least, most), words, high })
    }
}

impl Part<'_> {
    /// A place of the section on the sheet, in a part that begins at `top`.
    fn place(&self, top: f64, (inwards, depth): In) -> Spot {
        spot(EDGE_AT + SCALE * inwards, top + OVER + SCALE * (depth - self.depths.0))
    }
}

/// The rim's body: round the groove, which is drawn as a V of its depth and width; the bevel goes in as far as it goes.
fn rim_body(of: &Of<'_>, depth: f64) -> Option<Vec<In>> {
    let (groove, sits) = (of.order.frame.rim_groove?, of.lens.edge_line.as_ref()?.sits?);
    let half = 0.5 * groove.width.mm();
    let (bottom, lips) = (-sits.short.mm(), sits.reach.mm());
    let chamfer = 0.3;
    let (outer, beyond) = (bottom - RIM_BODY, half + RIM_BODY);
    Some(vec![
        (bottom, depth),
        (lips, depth - half),
        (lips, depth - beyond),
        (outer + chamfer, depth - beyond),
        (outer, depth - beyond + chamfer),
        (outer, depth + beyond - chamfer),
        (outer + chamfer, depth + beyond),
        (lips, depth + beyond),
        (lips, depth + half),
    ])
}

fn sheet(plan: &Plan, of: &Of<'_>, parts: &[&Part<'_>], (which, many): (usize, usize)) -> Scene {
    let eye = of.plan.eye;
    let height = HEAD + parts.iter().map(|p| p.high).sum::<f64>() + FOOT;
    let mut sheet = Sheet::new(WIDE, height);
    marks::eye_in_its_corner(&mut sheet, eye);
    let mut top = HEAD;
    for part in parts {
        draw(&mut sheet, of, part, top);
        top += part.high;
    }
    foot(&mut sheet, of, parts, top);
    let number = plan.number.as_str();
    let mut view = "Sections through the edge".to_owned();
    let mut name = format!("section-{}", eye.word());
    if many > 1 {
        view.push_str(&format!(", sheet {which} of {many}"));
    }
    if which > 1 {
        name.push_str(&format!("-{which}"));
    }
    let seen = "square to the outline; front up, rim to the left";
    title_block::title_block(&mut sheet, Some(number), &view, seen, "10:1");
    // What looks for a place comes last.
    let mut top = HEAD;
    for part in parts {
        dimensions::safety(&mut sheet, part, of.safety(), &|at| part.place(top, at));
        top += part.high;
    }
    let title = format!("{view}, {}, order {number}", figure::eye(eye));
    let said: Vec<String> = parts.iter().map(|part| words::said(of, part)).collect();
    sheet.scene(name, title, said.join(" "))
}

fn draw(sheet: &mut Sheet, of: &Of<'_>, part: &Part<'_>, top: f64) {
    let place = |at: In| part.place(top, at);
    let heading = format!("{} at {:03}, {}", part.at.letter, part.at.deg, in_words(of.plan.eye, part.at.deg));
    let size = FIGURE;
    sheet.words(spot(4.0, top + 4.0), Anchor::Start, size, Ink::Ink, Weight::SemiBold, heading.as_str());
    if let Some(why) = &part.at.why {
        let after = 4.0 + typeface::width(&heading, Weight::SemiBold) * size;
        sheet.words(spot(after, top + 4.0), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, format!(": {why}"));
    }
    if let Some(rim) = &part.rim {
        let body: Vec<Spot> = rim.iter().copied().map(place).collect();
        sheet.area(&body, Some(Ink::Buff), None);
        sheet.strokes(hatch(&[&body], 135.0, 2.0), HATCH);
    }
    lens(sheet, part, &place);
    if let Some(rim) = &part.rim {
        let body: Vec<Spot> = rim.iter().copied().map(place).collect();
        sheet.area(&body, None, Some(lines::as_wide(RIM, 0.35)));
    }
    dimensions::bevel(sheet, part, &place);
    dimensions::before(sheet, part, &place);
    dimensions::behind(sheet, part, &place);
    rim_line(sheet, part, &place);
    key(sheet, of, part, top + KEY);
    for (i, line) in part.words.iter().enumerate() {
        let y = top + KEY + KEY_BOX.1 + 5.0 + LABEL * LEADING * (i as f64 + 0.8);
        sheet.words(spot(WORDS_AT, y), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, line.as_str());
    }
}

/// The lens as it is finished, the square edge that it was cut from, and where it is broken off.
fn lens(sheet: &mut Sheet, part: &Part<'_>, place: &dyn Fn(In) -> Spot) {
    let area: Vec<Spot> = part.finished.iter().copied().map(place).collect();
    sheet.area(&area, Some(Ink::Water), None);
    sheet.strokes(hatch(&[&area], 45.0, 3.0), HATCH);
    if let Some([front, back]) = part.profile.sides() {
        let from = |n: f64, depth: &dyn Fn(f64) -> Option<f64>| -> Vec<Spot> {
            (0..=8).filter_map(|i| Some(place((n * f64::from(i) / 8.0, depth(n * f64::from(i) / 8.0)?)))).collect()
        };
        let mut square: Vec<Spot> = from(front.corner.0, &|n| part.profile.front(n));
        square.reverse();
        square.extend(from(back.corner.0, &|n| part.profile.back(n)));
        sheet.line(&square, REACH);
    }
    // Open where the lens is broken off.
    sheet.line(&area, OUTLINE);
    if let (Some(&first), Some(&last)) = (area.first(), area.last()) {
        let middle = 0.5 * (first.y + last.y);
        let zigzag = [
            first.by(0.0, -2.0),
            spot(first.x, middle - 1.6),
            spot(first.x + 1.4, middle - 0.7),
            spot(first.x - 1.4, middle + 0.7),
            spot(first.x, middle + 1.6),
            last.by(0.0, 2.0),
        ];
        sheet.line(&zigzag, THIN);
    }
}

/// Where the rim's groove line runs: a ring; without a known groove the level of the rim goes on outwards.
fn rim_line(sheet: &mut Sheet, part: &Part<'_>, place: &dyn Fn(In) -> Spot) {
    let Some(depth) = part.seated else { return };
    let at = place(part.rim.as_ref().and_then(|rim| rim.first().copied()).unwrap_or((0.0, depth)));
    sheet.circle(at, 0.9, None, Some(MARK));
    if part.rim.is_none() {
        sheet.line(&[at.by(-0.9, 0.0), at.by(-16.0, 0.0)], lines::as_wide(RIM, 0.3));
    }
}

/// A small outline with the line of the section and its letter.
fn key(sheet: &mut Sheet, of: &Of<'_>, part: &Part<'_>, top: f64) {
    let outline = of.lens.cut.outline();
    let boxed = &outline.boxed();
    let scale = (KEY_BOX.0 / boxed.width.mm()).min(KEY_BOX.1 / boxed.height.mm()) * 0.86;
    let seen = Seen { scale, ..Seen::true_size(spot(WORDS_AT + 17.0, top + 0.5 * KEY_BOX.1)) };
    let rim = seen.outline(outline);
    sheet.area(&rim, Some(Ink::Water), None);
    sheet.area(&rim, None, Some(lines::as_wide(OUTLINE, 0.35)));
    let t = f64::from(part.at.deg).to_radians();
    let (at, out) = (seen.point(outline.point(t)), outline.normal(t));
    let along = |by: f64| at.by(by * out.x, -by * out.y);
    sheet.line(&[along(-5.0), along(4.2)], lines::as_wide(THIN, 0.25));
    for (from, to) in [(-5.0, -3.6), (2.8, 4.2)] {
        sheet.line(&[along(from), along(to)], lines::as_wide(MARK, 0.7));
    }
    let letter = along(-6.8).by(0.0, 0.35 * LABEL);
    sheet.words(letter, Anchor::Middle, LABEL, Ink::Ink, Weight::SemiBold, part.at.letter);
    let nasal = of.plan.eye.nasal();
    let nose = seen.at(nasal * 0.5 * boxed.width.mm(), 0.0).by(nasal * 4.4, 0.0);
    if (nose.y - along(3.5).y).abs() > 3.0 || (nose.x - along(3.5).x) * nasal > 4.0 {
        marks::nose(sheet, nose, nasal > 0.0);
    }
}

/// The bar of one millimetre, the legend, the bar of every sheet.
fn foot(sheet: &mut Sheet, of: &Of<'_>, parts: &[&Part<'_>], top: f64) {
    title_block::scale_bar(sheet, spot(4.0, top + 7.5));
    let bar = spot(62.0, top + 7.5);
    let ends = [bar, bar.by(SCALE, 0.0), bar.by(SCALE, 1.3), bar.by(0.0, 1.3)];
    sheet.area(&ends, Some(Ink::Ink), None);
    sheet.words(bar.by(0.5 * SCALE, -0.9), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "1 mm of lens");
    let mut x = 84.0;
    let mut entry = |sheet: &mut Sheet, wide: f64, words: &str, mark: &dyn Fn(&mut Sheet, Spot)| {
        mark(sheet, spot(x, top + 8.2));
        sheet.words(spot(x + wide + 1.6, top + 9.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
        x += wide + 1.6 + typeface::width(words, Weight::Regular) * LABEL + 5.0;
    };
    entry(sheet, 8.0, "square edge", &|sheet, at| sheet.line(&[at, at.by(8.0, 0.0)], REACH));
    if parts.iter().any(|p| p.seated.is_some()) {
        let words = if matches!(of.cut, Cut::Groove { .. }) { "rim line" } else { "rim's groove line" };
        entry(sheet, 1.8, words, &|sheet, at| sheet.circle(at.by(0.9, 0.0), 0.9, None, Some(MARK)));
    }
    if parts.iter().any(|p| p.rim.is_some()) {
        entry(sheet, 8.0, "rim", &|sheet, at| sheet.line(&[at, at.by(8.0, 0.0)], lines::as_wide(RIM, 0.35)));
    } else if parts.iter().any(|p| p.seated.is_some()) && of.order.frame.rim_groove.is_none() {
        entry(sheet, 8.0, "its level", &|sheet, at| sheet.line(&[at, at.by(8.0, 0.0)], lines::as_wide(RIM, 0.3)));
    }
}
