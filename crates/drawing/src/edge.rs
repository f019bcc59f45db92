//! The edge unrolled, at true size both ways: length along it is arc length of the cut outline from the nasal end of the
//! horizontal centreline over the top, so that nose, top, temple and bottom of both eyes stand under one another.
//!
//! The left strip runs 180, 090, 000, 270, 180. The edge is the square one; on it run the apex of the bevel and the rim as
//! seated, or the middle of a groove.

use job::{EdgeKind, Eye};
use planner::edge_line::EdgeLinePlan;
use planner::{EyePlan, LensPlan, Plan};

use crate::label::{Label, Place, Sign};
use crate::lines::{self, CENTRE, EDGE, MARK, PALE, RIM, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::sheet::{LABEL, Sheet, TEXT};
use crate::unrolled::Unrolled;
use crate::{figure, marks, title_block, typeface};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Where every strip begins.
const START: f64 = 24.0;
/// Room to the right of the longest strip.
const AFTER: f64 = 9.0;
/// From the top of a strip's part to its highest line: places, flags.
const OVER: f64 = 15.5;
/// From a strip's lowest line to the end of its part: the scale, two rows of figures.
const UNDER: f64 = 18.0;
/// One more row.
const ROW: f64 = 4.6;
/// Length along the edge from one mark of the apex line to the next.
const APEX_STEP: f64 = 2.5;

/// The edge of both eyes, or of the one that is made; none without a blank.
#[must_use]
pub fn edge(plan: &Plan) -> Option<Scene> {
    let strips: Vec<Strip<'_>> =
        plan.planned().filter_map(|eye_plan| Some(Strip::new(eye_plan, eye_plan.lens.as_ref()?))).collect();
    let longest = strips.iter().map(|s| s.unrolled.whole).fold(0.0, f64::max);
    let first = strips.first()?;
    let width = (START + longest + AFTER).max(SHEET);
    let parts: f64 = strips.iter().map(|s| OVER + s.high() + s.under()).sum();
    let more = if strips.iter().any(|s| s.lens.edge_line.is_some()) { ROW } else { 0.0 };
    let height = 12.0 + parts + 15.0 + more + title_block::HIGH + 4.0;
    let mut sheet = Sheet::new(width, height);
    let words = "Read from the nose, over the top, to the temple, and back underneath. The front of the lens is up.";
    sheet.words(spot(START, 7.5), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, words);
    let mut y = 12.0;
    for strip in &strips {
        draw(&mut sheet, strip, y + OVER);
        y += OVER + strip.high() + strip.under();
    }
    title_block::scale_bar(&mut sheet, spot(START, y + 7.5));
    legend(&mut sheet, spot(START + 60.0, y + 8.2));
    if let Some(bevel) = strips.iter().find_map(|s| s.lens.edge_line.as_ref()) {
        line_legend(&mut sheet, spot(START + 60.0, y + 13.0), bevel);
    }
    let number = plan.number.as_str();
    let view = match strips.as_slice() {
        [_, _] => "The edge of both eyes, unrolled".to_owned(),
        _ => format!("The edge of the {}, unrolled", figure::eye(first.plan.eye)),
    };
    let seen = if strips.iter().any(|s| s.plan.eye == Eye::Left) {
        "edge on, front up; left eye mirrored"
    } else {
        "edge on, front up"
    };
    title_block::title_block(&mut sheet, Some(number), &view, seen, "1:1 along and through");
    let said: Vec<String> = strips.iter().map(Strip::description).collect();
    Some(sheet.scene("edge".to_owned(), format!("{view}, order {number}"), said.join(" ")))
}

/// One eye's edge.
struct Strip<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    unrolled: Unrolled<'a>,
    /// Length along the edge, front depth and back depth.
    course: Vec<(f64, (f64, f64))>,
    /// Least and greatest depth.
    depths: (f64, f64),
}

impl<'a> Strip<'a> {
    fn new(plan: &'a EyePlan, lens: &'a LensPlan) -> Self {
        let unrolled = Unrolled::of(plan.eye, lens.cut.outline());
        let course = unrolled.course(|p| Some((lens.cutting.front_depth(p)?, lens.cutting.back_depth(p)?)));
        let depths = course.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), (_, c)| (a.min(c.0), b.max(c.1)));
        Self { plan, lens, unrolled, course, depths }
    }

    fn high(&self) -> f64 {
        (self.depths.1 - self.depths.0).max(0.0)
    }

    /// What stands beneath it.
    fn under(&self) -> f64 {
        UNDER + if self.lens.edge_line.is_some() { 2.0 * ROW } else { 0.0 }
    }

    /// Apex of the bevel or middle of the groove along the edge, and the rim beside it where the lens is seated.
    fn line(&self) -> Vec<(f64, (f64, Option<f64>))> {
        let Some(plan) = &self.lens.edge_line else { return Vec::new() };
        let row = |deg: u32| {
            let row = plan.row(deg)?;
            let apex = row.depth.mm();
            Some((self.unrolled.along(f64::from(deg)), (apex, row.gap.map(|gap| apex - gap.mm()))))
        };
        let mut line: Vec<_> = (0..360).filter_map(row).collect();
        line.sort_by(|a, b| a.0.total_cmp(&b.0));
        line
    }

    fn description(&self) -> String {
        let edge = &self.lens.edge;
        format!(
            "{}: square edge thinnest {} mm at {}, thickest {} mm at {}, {} mm round.",
            figure::capital(&figure::eye(self.plan.eye)),
            figure::thickness(edge.thinnest.mm()),
            figure::at(edge.thinnest_deg),
            figure::thickness(edge.thickest.mm()),
            figure::at(edge.thickest_deg),
            figure::length(self.unrolled.whole)
        )
    }
}

fn draw(sheet: &mut Sheet, strip: &Strip<'_>, top: f64) {
    let (left, end) = (START, START + strip.unrolled.whole);
    let foot = top + strip.high() + 2.2;
    let y = |depth: f64| top + depth - strip.depths.0;
    let front: Vec<Spot> = strip.course.iter().map(|&(along, (front, _))| spot(left + along, y(front))).collect();
    let back: Vec<Spot> = strip.course.iter().map(|&(along, (_, back))| spot(left + along, y(back))).collect();
    let mut area = front.clone();
    area.extend(back.iter().rev());
    sheet.area(&area, Some(Ink::Water), None);
    for deg in [0.0, 90.0, 180.0, 270.0] {
        let x = left + strip.unrolled.along(strip.unrolled.fellow(deg));
        sheet.line(&[spot(x, top - 2.4), spot(x, foot)], CENTRE);
    }
    sheet.line(&[spot(end, top - 2.4), spot(end, foot)], CENTRE);
    sheet.line(&front, EDGE);
    sheet.line(&back, EDGE);
    edge_line(sheet, strip, left, &y);
    marks::eye(sheet, spot(4.0, top + 0.5 * strip.high() - 5.0), strip.plan.eye, 7.0);
    let round = top + 0.5 * strip.high() + 5.6;
    let words = format!("{} round", figure::length(strip.unrolled.whole));
    sheet.words(spot(4.0, round), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    places(sheet, &strip.unrolled, START, top - 11.5);
    rows(sheet, strip, foot);
    flags(sheet, strip, top, &y);
}

/// The apex as small triangles, a groove as small squares; the rim as the chain of a neighbour.
fn edge_line(sheet: &mut Sheet, strip: &Strip<'_>, left: f64, y: &dyn Fn(f64) -> f64) {
    let line = strip.line();
    let rim: Vec<Spot> = line.iter().filter_map(|&(along, (_, rim))| Some(spot(left + along, y(rim?)))).collect();
    sheet.line(&rim, lines::as_wide(RIM, 0.2));
    let groove = strip.lens.edge_line.as_ref().is_some_and(|plan| plan.edge == EdgeKind::Groove);
    let mut next = 0.0;
    for &(along, (apex, _)) in &line {
        if along >= next {
            line_mark(sheet, spot(left + along, y(apex)), groove);
            next += APEX_STEP;
        }
    }
}

/// A mark of the apex, or of a groove's middle.
pub(crate) fn line_mark(sheet: &mut Sheet, at: Spot, groove: bool) {
    let corners: Vec<Spot> = if groove {
        [(-0.35, -0.35), (0.35, -0.35), (0.35, 0.35), (-0.35, 0.35)].map(|(x, y)| at.by(x, y)).to_vec()
    } else {
        [(-0.5, 0.4), (0.5, 0.4), (0.0, -0.5)].map(|(x, y)| at.by(x, y)).to_vec()
    };
    sheet.area(&corners, Some(Ink::Mark), None);
}

/// Nose, top, temple, bottom, nose.
pub(crate) fn places(sheet: &mut Sheet, unrolled: &Unrolled<'_>, start: f64, y: f64) {
    let beside = |sheet: &mut Sheet, x: f64, words: &str| {
        sheet.words(spot(x + 2.0, y + 0.9), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    };
    let x = |deg: f64| start + unrolled.along(unrolled.fellow(deg));
    let wedge = |x: f64| [spot(x, y + 1.0), spot(x - 1.1, y - 1.0), spot(x + 1.1, y - 1.0)];
    for x in [x(0.0), start + unrolled.whole] {
        sheet.area(&wedge(x), Some(Ink::Ink), None);
    }
    beside(sheet, x(0.0), "nose");
    let last = start + unrolled.whole - 2.0;
    sheet.words(spot(last, y + 0.9), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, "nose");
    marks::up(sheet, spot(x(90.0), y - 3.0));
    beside(sheet, x(90.0), "top");
    sheet.area(&wedge(x(180.0)), None, Some(lines::as_wide(MARK, 0.25)));
    beside(sheet, x(180.0), "temple");
    let at = spot(x(270.0), y + 1.2);
    sheet.line(&[at.by(0.0, -2.6), at], MARK);
    sheet.line(&[at.by(-0.8, -1.0), at, at.by(0.8, -1.0)], MARK);
    beside(sheet, x(270.0), "bottom");
}

/// The scale of directions, and the square edge beneath every thirtieth.
fn rows(sheet: &mut Sheet, strip: &Strip<'_>, y: f64) {
    let end = START + strip.unrolled.whole;
    sheet.line(&[spot(START, y), spot(end, y)], lines::in_ink(PALE, Ink::Ink));
    for (words, down) in [("at", 5.0), ("square edge", 9.6)] {
        sheet.words(spot(START - 4.5, y + down), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, words);
    }
    let row = |deg: f64| strip.lens.edge_line.as_ref()?.row(deg.round() as u32 % 360);
    if let Some(line) = &strip.lens.edge_line {
        let (before, behind) = match line.edge {
            EdgeKind::Groove => ("to the front", "to the back"),
            _ => ("front shoulder", "back shoulder"),
        };
        for (words, down) in [(before, 9.6 + ROW), (behind, 9.6 + 2.0 * ROW)] {
            sheet.words(spot(START - 4.5, y + down), Anchor::End, LABEL, Ink::Ink2, Weight::Regular, words);
        }
    }
    let named: Vec<(f64, f64)> = (0..=12)
        .map(|i| {
            let deg = 30.0 * f64::from(i);
            let x = if i == 12 { strip.unrolled.whole } else { strip.unrolled.along(strip.unrolled.fellow(deg)) };
            (strip.unrolled.fellow(deg).rem_euclid(360.0), START + x)
        })
        .collect();
    for i in 0..36 {
        if i % 3 != 0 {
            let x = START + strip.unrolled.along(10.0 * f64::from(i));
            sheet.line(&[spot(x, y), spot(x, y + 0.9)], lines::in_ink(PALE, Ink::Ink2));
        }
    }
    let square = |deg: f64| strip.lens.edge.around.iter().find(|r| (r.deg - deg).abs() < 0.01).map(|r| r.square.mm());
    let shown: Vec<f64> = named.iter().filter_map(|n| square(n.0)).collect();
    let least = shown.iter().copied().fold(f64::INFINITY, f64::min);
    let most = shown.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut free = f64::NEG_INFINITY;
    for &(deg, x) in &named {
        sheet.line(&[spot(x, y), spot(x, y + 1.6)], lines::as_wide(MARK, 0.25));
        let Some(mm) = square(deg) else { continue };
        let words = figure::length(mm);
        let half = 0.5 * typeface::width(&words, Weight::SemiBold) * TEXT;
        // Where the outline turns sharply two places may stand closer than their figures.
        if x - half < free {
            continue;
        }
        free = x + half + 0.6;
        sheet.words(spot(x, y + 5.0), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, figure::at(deg));
        let (extreme, heavy) = (mm == least || mm == most, mm == most);
        let weight = if extreme { Weight::SemiBold } else { Weight::Regular };
        sheet.words(spot(x, y + 9.6), Anchor::Middle, TEXT, Ink::Ink, weight, words);
        for (down, before) in [(9.6 + ROW, true), (9.6 + 2.0 * ROW, false)] {
            let Some(row) = row(deg) else { continue };
            let mm = if before { row.to_front.mm() } else { row.to_back.mm() };
            sheet.words(spot(x, y + down), Anchor::Middle, LABEL, Ink::Ink, Weight::Regular, figure::thickness(mm));
        }
        if extreme {
            let stroke = lines::as_wide(MARK, if heavy { 0.6 } else { 0.2 });
            sheet.line(&[spot(x - half - 0.4, y + 10.7), spot(x + half + 0.4, y + 10.7)], stroke);
        }
    }
}

/// Thinnest and thickest place, flagged over the strip.
fn flags(sheet: &mut Sheet, strip: &Strip<'_>, top: f64, y: &dyn Fn(f64) -> f64) {
    let edge = &strip.lens.edge;
    for (name, mm, deg, sign) in [
        ("thickest ", edge.thickest, edge.thickest_deg, Sign::Thickest),
        ("thinnest ", edge.thinnest, edge.thinnest_deg, Sign::Thinnest),
    ] {
        let rim = strip.lens.cut.outline().point(deg.to_radians());
        let (Some(front), Some(back)) = (strip.lens.cutting.front_depth(rim), strip.lens.cutting.back_depth(rim))
        else {
            continue;
        };
        let x = START + strip.unrolled.along(deg);
        let (front, back) = (spot(x, y(front)), spot(x, y(back)));
        sheet.line(&[spot(x, top - 5.4), back], lines::as_wide(THIN, 0.3));
        for end in [front, back] {
            sheet.circle(end, 0.5, Some(Ink::Ink), None);
        }
        let words = vec![vec![
            (Weight::Regular, name.to_owned()),
            (Weight::SemiBold, figure::thickness(mm.mm())),
            (Weight::Regular, format!(" at {}", figure::at(deg))),
        ]];
        let places: Vec<Place> = (0..30)
            .flat_map(|i| {
                let k = f64::from(i);
                [
                    Place { at: spot(x + 1.2 + k, top - 5.2), anchor: Anchor::Start, cost: 0.2 * k },
                    Place { at: spot(x - 1.2 - k, top - 5.2), anchor: Anchor::End, cost: 0.5 + 0.2 * k },
                ]
            })
            .collect();
        let at = spot(x, top - 5.2);
        sheet.label(&Label::of(TEXT, Ink::Ink, words).sign(sign).leads_to(at, 0.0), &places);
    }
}

fn line_legend(sheet: &mut Sheet, at: Spot, line: &EdgeLinePlan) {
    for along in [0.0, 4.5, 9.0] {
        line_mark(sheet, at.by(along, -0.9), line.edge == EdgeKind::Groove);
    }
    let words = if line.edge == EdgeKind::Groove { "middle of the groove" } else { "bevel apex" };
    sheet.words(at.by(11.0, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
    if line.seat.is_some() {
        sheet.line(&[at.by(40.0, -0.9), at.by(54.0, -0.9)], lines::as_wide(RIM, 0.2));
        sheet.words(at.by(56.0, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "rim, as seated");
    }
}

fn legend(sheet: &mut Sheet, at: Spot) {
    let entry = |sheet: &mut Sheet, x: f64, words: &str| {
        sheet.words(spot(x, at.y), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
    };
    sheet.line(&[at.by(0.0, -0.9), at.by(9.0, -0.9)], EDGE);
    entry(sheet, at.x + 11.0, "front and back edge");
    for (x, heavy, words) in [(40.0, false, "least of its row"), (72.0, true, "most of its row")] {
        let stroke = lines::as_wide(MARK, if heavy { 0.6 } else { 0.2 });
        sheet.line(&[at.by(x, 0.3), at.by(x + 6.0, 0.3)], stroke);
        entry(sheet, at.x + x + 8.0, words);
    }
}
