//! How far the bevel's apex stands from the rim's groove line, all round, much enlarged: the rim is a straight line, laid out
//! as the edge strip is.

use job::{EdgeKind, Eye};
use lens::Seated;
use planner::edge_line::EdgeLinePlan;
use planner::{EyePlan, Plan};

use crate::label::{Label, Place};
use crate::lines::{self, CENTRE, EDGE, MARK, PALE, RIM, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::section::{in_words, stands};
use crate::sheet::{LABEL, Sheet, TEXT};
use crate::unrolled::Unrolled;
use crate::{edge, figure, marks, title_block, typeface};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Where every strip begins.
const START: f64 = 30.0;
/// Room to the right of the longest strip.
const AFTER: f64 = 9.0;
/// How much larger than life gaps may be drawn: the first that has room, in this much height each way.
const SCALES: [f64; 6] = [100.0, 50.0, 20.0, 10.0, 5.0, 2.0];
const TALLEST: f64 = 13.0;
/// Least height each way.
const LOWEST: f64 = 6.0;
/// From the top of a strip's part to its highest level: places, a flag; and from the lowest to its end: figures, words.
const OVER: f64 = 16.5;
const UNDER: f64 = 19.5;

/// The gap of every eye whose lens is seated in its rim; none where there is no such lens.
#[must_use]
pub fn gap(plan: &Plan) -> Option<Scene> {
    let strips: Vec<Strip<'_>> = plan.planned().filter_map(Strip::new).collect();
    let first = strips.first()?;
    let most = strips.iter().map(|s| s.seated.gap_greatest.mm().abs()).fold(0.0, f64::max);
    let scale = SCALES.into_iter().find(|scale| scale * most <= TALLEST).unwrap_or(1.0);
    let half = (scale * most + 1.5).max(LOWEST);
    let longest = strips.iter().map(|s| s.unrolled.whole).fold(0.0, f64::max);
    let width = (START + longest + AFTER).max(SHEET);
    let part = OVER + 2.0 * half + UNDER;
    let height = 12.0 + part * strips.len() as f64 + 18.0 + title_block::HIGH + 4.0;
    let mut sheet = Sheet::new(width, height);
    let words =
        "Read from the nose, over the top, to the temple, and back underneath. The rim is straight; front is up.";
    sheet.words(spot(4.0, 7.5), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, words);
    for (i, strip) in strips.iter().enumerate() {
        draw(&mut sheet, strip, 12.0 + part * i as f64 + OVER + half, half, scale);
    }
    let foot = 14.0 + part * strips.len() as f64;
    title_block::scale_bar(&mut sheet, spot(START, foot + 7.5));
    let k = sheet.type_scale;
    bar(&mut sheet, spot(START + 57.0, foot + 8.8), scale);
    legend(&mut sheet, spot(START + 57.0 + 27.0 * k, foot + 8.2), first.line.edge);
    let number = plan.number.as_str();
    let what = if first.line.edge == EdgeKind::Groove { "groove" } else { "bevel" };
    let view = match strips.as_slice() {
        [_, _] => format!("Gap between {what} and rim"),
        _ => format!("Gap between {what} and rim, {}", figure::eye(first.plan.eye)),
    };
    let seen = if strips.iter().any(|s| s.plan.eye == Eye::Left) {
        "edge on, front up; left eye mirrored"
    } else {
        "edge on, front up"
    };
    let ratio = format!("1:1 along, {scale}:1 across");
    title_block::title_block(&mut sheet, Some(number), &view, seen, &ratio);
    for (i, strip) in strips.iter().enumerate() {
        flag(&mut sheet, strip, 12.0 + part * i as f64 + OVER + half, half, scale);
    }
    let said: Vec<String> =
        strips.iter().map(|s| format!("{}: {}.", figure::capital(&figure::eye(s.plan.eye)), s.words())).collect();
    Some(sheet.scene("gap".to_owned(), format!("{view}, order {number}"), said.join(" ")))
}

/// One eye's gap.
struct Strip<'a> {
    plan: &'a EyePlan,
    line: &'a EdgeLinePlan,
    seated: &'a Seated,
    unrolled: Unrolled<'a>,
    /// Length along the edge and the gap there.
    course: Vec<(f64, f64)>,
}

impl<'a> Strip<'a> {
    fn new(plan: &'a EyePlan) -> Option<Self> {
        let lens = plan.lens.as_ref()?;
        let line = lens.edge_line.as_ref()?;
        let seated = line.sized.seated.as_ref()?;
        let unrolled = Unrolled::of(plan.eye, lens.cut.outline());
        let mut course = Vec::new();
        for deg in 0..360 {
            course.push((unrolled.along(f64::from(deg)), line.row(deg)?.gap?.mm()));
        }
        course.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (start, first) = *course.first()?;
        course.push((start + unrolled.whole, first));
        Some(Self { plan, line, seated, unrolled, course })
    }

    fn greatest_deg(&self) -> f64 {
        self.seated.gap_greatest_at.direction_deg()
    }

    fn words(&self) -> String {
        let seated = self.seated;
        let mut words = format!("rms {}", figure::thickness(seated.gap_rms.mm()));
        let deg = self.greatest_deg();
        let place = in_words(self.plan.eye, libm::round(deg) as u32 % 360);
        let greatest = stands(seated.gap_greatest.mm());
        words.push_str(&format!("; at the most {greatest} at {}, {place}", figure::at(deg)));
        if let (Some(frame), Some(bevel)) = (self.line.frame_curve_d, self.line.bevel_curve_d) {
            let name = if self.line.edge == EdgeKind::Groove { "groove's curve" } else { "bevel curve" };
            words.push_str(&format!("; frame curve {} D, {name} {} D", figure::signed(frame), figure::signed(bevel)));
        }
        words
    }
}

fn draw(sheet: &mut Sheet, strip: &Strip<'_>, level: f64, half: f64, scale: f64) {
    let end = START + strip.unrolled.whole;
    let at = |along: f64, gap: f64| spot(START + along, level + scale * gap);
    let curve: Vec<Spot> = strip.course.iter().map(|&(along, gap)| at(along, gap)).collect();
    // Between rim and apex: what is open.
    let mut area = curve.clone();
    area.push(spot(curve.last().map_or(end, |s| s.x), level));
    area.push(spot(curve.first().map_or(START, |s| s.x), level));
    sheet.area(&area, Some(Ink::Buff), None);
    for deg in [0.0, 90.0, 180.0, 270.0] {
        let x = START + strip.unrolled.along(strip.unrolled.fellow(deg));
        sheet.line(&[spot(x, level - half), spot(x, level + half)], CENTRE);
    }
    sheet.line(&[spot(end, level - half), spot(end, level + half)], CENTRE);
    sheet.line(&[spot(START, level), spot(end, level)], RIM);
    sheet.line(&curve, EDGE);
    let mut next = 0.0;
    for &(along, gap) in &strip.course {
        if along >= next && along < strip.unrolled.whole {
            edge::line_mark(sheet, at(along, gap), strip.line.edge == EdgeKind::Groove);
            next += 5.0;
        }
    }
    for (y, words) in [(level - 3.4, "before"), (level + 5.2, "behind")] {
        sheet.words(spot(START - 6.0, y), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, words);
    }
    sheet.words(spot(START - 6.0, level + 0.9), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, "the rim");
    marks::eye(sheet, spot(4.0, level - 3.5), strip.plan.eye, 7.0);
    edge::places(sheet, &strip.unrolled, START, level - half - 11.5);
    rows(sheet, strip, level + half + 1.5);
}

/// The scale of directions, the gap beneath every thirtieth, and the words.
fn rows(sheet: &mut Sheet, strip: &Strip<'_>, y: f64) {
    let end = START + strip.unrolled.whole;
    sheet.line(&[spot(START, y), spot(end, y)], lines::in_ink(PALE, Ink::Ink));
    for (words, down) in [("at", 5.0), ("gap, behind +", 9.6)] {
        sheet.words(spot(START - 6.0, y + down), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, words);
    }
    let mut free = f64::NEG_INFINITY;
    for i in 0..=12 {
        let fellow = strip.unrolled.fellow(30.0 * f64::from(i));
        let along = if i == 12 { strip.unrolled.whole } else { strip.unrolled.along(fellow) };
        let (x, deg) = (START + along, libm::round(fellow).rem_euclid(360.0));
        sheet.line(&[spot(x, y), spot(x, y + 1.6)], lines::as_wide(MARK, 0.25));
        let Some(gap) = strip.line.row(deg as u32).and_then(|row| row.gap) else { continue };
        let words = written(gap.mm());
        let half = 0.5 * typeface::width(&words, Weight::Regular) * LABEL;
        if x - half < free {
            continue;
        }
        free = x + half + 0.6;
        sheet.words(spot(x, y + 5.0), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, figure::at(deg));
        sheet.words(spot(x, y + 9.6), Anchor::Middle, LABEL, Ink::Ink, Weight::Regular, words);
    }
    let words = format!("Gap {}.", strip.words());
    sheet.words(spot(START, y + 15.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
}

/// A gap with its sign, but for none.
fn written(gap: f64) -> String {
    let words = figure::thickness(gap.abs());
    if words == "0.00" { words } else { figure::signed(gap) }
}

/// The greatest gap: from the rim to the apex, with its figure.
fn flag(sheet: &mut Sheet, strip: &Strip<'_>, level: f64, half: f64, scale: f64) {
    let gap = strip.seated.gap_greatest.mm();
    if gap.abs() < 0.005 {
        return;
    }
    let deg = strip.greatest_deg();
    let x = START + strip.unrolled.along(deg);
    let (rim, apex) = (spot(x, level), spot(x, level + scale * gap));
    let top = level - half - 3.2;
    sheet.line(&[spot(x, top - 0.6), if gap > 0.0 { apex } else { rim }], lines::as_wide(THIN, 0.3));
    for end in [rim, apex] {
        sheet.circle(end, 0.5, Some(Ink::Ink), None);
    }
    let place = in_words(strip.plan.eye, libm::round(deg) as u32 % 360);
    let words = vec![vec![
        (Weight::Regular, "greatest ".to_owned()),
        (Weight::SemiBold, figure::thickness(gap.abs())),
        (
            Weight::Regular,
            format!(" {} the rim at {}, {place}", if gap > 0.0 { "behind" } else { "before" }, figure::at(deg)),
        ),
    ]];
    let places: Vec<Place> = (0..40)
        .flat_map(|i| {
            let k = f64::from(i);
            [
                Place { at: spot(x + 1.2 + k, top), anchor: Anchor::Start, cost: 0.2 * k },
                Place { at: spot(x - 1.2 - k, top), anchor: Anchor::End, cost: 0.5 + 0.2 * k },
            ]
        })
        .collect();
    sheet.label(&Label::of(TEXT, Ink::Ink, words).leads_to(spot(x, top), 0.0), &places);
}

/// A bar upright: so much gap.
fn bar(sheet: &mut Sheet, foot: Spot, scale: f64) {
    // The longest of these that is no longer than a centimetre.
    let mm = [2.0, 1.0, 0.5, 0.2, 0.1].into_iter().find(|mm| mm * scale <= 10.0).unwrap_or(0.1);
    let long = mm * scale;
    let corners = [foot, foot.by(1.3, 0.0), foot.by(1.3, -long), foot.by(0.0, -long)];
    sheet.area(&corners, Some(Ink::Ink), None);
    let words = format!("{mm} mm of gap");
    sheet.words(foot.by(3.0, 0.35 * LABEL - 0.5 * long), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
}

fn legend(sheet: &mut Sheet, at: Spot, edge: EdgeKind) {
    let k = sheet.type_scale;
    sheet.line(&[at.by(0.0, -0.9), at.by(12.0, -0.9)], RIM);
    sheet.words(at.by(13.5, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "rim, as seated");
    let at = at.by(15.0 + 18.0 * k, 0.0);
    sheet.line(&[at.by(0.0, -0.9), at.by(9.0, -0.9)], EDGE);
    edge::line_mark(sheet, at.by(4.5, -0.9), edge == EdgeKind::Groove);
    let words = if edge == EdgeKind::Groove { "middle of the groove" } else { "bevel apex" };
    sheet.words(at.by(10.5, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
}
