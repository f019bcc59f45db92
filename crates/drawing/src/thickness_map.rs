//! How thick the lens is all over: lines of equal thickness every half millimetre, at twice its size.

use job::Eye;
use outline::{Outline, Point};
use planner::plan::Place as At;
use planner::{LensPlan, Plan};
use units::Mm;

use crate::contour::contours;
use crate::label::{Label, Place, Sign, around};
use crate::lines::{self, CENTRE, EQUAL, OUTLINE, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Stroke, Weight, spot};
use crate::seen::Seen;
use crate::sheet::{self, LABEL, Sheet, TEXT};
use crate::{figure, marks, title_block};

/// From one line to the next, mm of thickness.
const EVERY: f64 = 0.5;
/// How much larger than life the lens is drawn.
const SCALE: f64 = 2.0;
/// From one sample to the next, mm.
const STEP: f64 = 0.4;
/// A line shorter than this shrinks into the mark of the thinnest or thickest place, mm of lens.
const SHORTEST: f64 = 2.0;
/// Room beside the lens for its flags and names.
const BESIDE: f64 = 26.0;
/// Room over it: eye, up, flags.
const OVER: f64 = 21.0;
/// Room under it: flags.
const UNDER: f64 = 12.0;
/// Radius of the dot at a flagged place.
const DOT: f64 = 0.7;

/// The lens of one eye as a map; none without a blank.
#[must_use]
pub fn thickness_map(plan: &Plan, eye: Eye) -> Option<Scene> {
    let eye_plan = plan.eyes[eye].as_ref()?;
    let lens = eye_plan.lens.as_ref()?;
    let outline = lens.cut.outline();
    let boxed = outline.boxed();
    let (wide, high) = (SCALE * boxed.width.mm(), SCALE * boxed.height.mm());
    let (width, foot) = ((wide + 2.0 * BESIDE).max(150.0), high + OVER + UNDER);
    let mut sheet = Sheet::new(width, foot + 14.0 + title_block::HIGH + 4.0);
    let origin = spot(0.5 * width, OVER + 0.5 * high);
    let seen = Seen { origin, scale: SCALE, mirrored: false };
    let rim = seen.outline(outline);
    sheet.area(&rim, Some(Ink::Water), None);
    sheet.avoid(&rim, true, 40.0);
    centre_lines(&mut sheet, origin, 0.5 * wide, 0.5 * high);
    let courses = equal(&mut sheet, lens, &seen);
    heading(&mut sheet, eye, origin, 0.5 * wide);

    let at = |place: At| {
        let (x, y) = place.xy(eye);
        seen.at(x, y)
    };
    let centre = eye_plan.optical_centre.map(at).filter(|c| sheet::holds(&rim, *c));
    let pupil = eye_plan.reference_point.map(at);
    if let Some(pupil) = pupil {
        marks::pupil(&mut sheet, pupil, SCALE);
    }
    if let Some(centre) = centre {
        marks::optical_centre(&mut sheet, centre);
    }
    // Figures first: the extremes over the whole lens, then the points, then the lines' names where room is left.
    let flag = |sheet: &mut Sheet, name: &str, (mm, place): (Mm, At), sign: Sign| {
        let here = at(place);
        // Where the dot would blot the mark of the optical centre, the mark is dot enough.
        let merged = centre.is_some_and(|c| c.to(here) < 2.0 * DOT + 0.4);
        if !merged {
            sheet.circle(here, DOT, Some(Ink::Ink), None);
        }
        let words = vec![vec![(Weight::Regular, name.to_owned()), (Weight::SemiBold, figure::thickness(mm.mm()))]];
        let (to, short_of) = if merged { (centre.unwrap_or(here), 1.3) } else { (here, DOT) };
        let label = Label::of(TEXT, Ink::Ink, words).sign(sign).leads_to(to, short_of);
        let towards = units::maths::atan2_deg(origin.y - here.y, here.x - origin.x);
        (label.leader(lines::as_wide(THIN, 0.25)), around(here, 4.0, 30.0, if merged { 60.0 } else { towards }))
    };
    let both = [
        flag(&mut sheet, "thickest ", lens.thickness.greatest, Sign::Thickest),
        flag(&mut sheet, "thinnest ", lens.thickness.least, Sign::Thinnest),
    ];
    sheet.two_labels(&both);
    if let Some(centre) = centre {
        let label = Label::new(LABEL, Ink::Mark, Weight::Regular, "optical centre");
        let label = label.leads_to(centre, 1.3).leader(lines::in_ink(THIN, Ink::Mark));
        sheet.label(&label, &around(centre, 4.0, 30.0, 120.0));
    }
    if let Some(pupil) = pupil {
        let words = format!("before the pupil {}", figure::thickness(lens.thickness.reference_point.mm()));
        let radius = 0.5 * marks::PUPIL * SCALE;
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, words).leads_to(pupil, radius + 0.2);
        sheet.label(&label, &around(pupil, radius + 2.0, 34.0, 300.0));
    }
    names(&mut sheet, &courses, &seen, outline);
    sheet.area(&rim, None, Some(OUTLINE));
    if courses.is_empty() {
        let (least, most) = (lens.thickness.least.0.mm(), lens.thickness.greatest.0.mm());
        let words = format!(
            "No lines: from {} to {} mm all over, no half millimetre lies between.",
            figure::thickness(least),
            figure::thickness(most)
        );
        sheet.words(spot(0.5 * width, foot - 1.0), Anchor::Middle, TEXT, Ink::Ink2, Weight::Regular, words);
    }
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 6.0));
    legend(&mut sheet, spot(61.0, foot + 7.2), !courses.is_empty());
    let number = plan.number.as_str();
    let view = format!("Thickness of the {} lens", eye.word());
    title_block::title_block(&mut sheet, Some(number), &view, "facing the wearer", "2:1");
    Some(sheet.scene(format!("thickness-{}", eye.word()), format!("{view}, order {number}"), said(lens, &courses)))
}

/// The lines of equal thickness, whole millimetres the wider: how thick the lens is along each, and its course.
fn equal(sheet: &mut Sheet, lens: &LensPlan, seen: &Seen) -> Vec<(f64, Vec<Spot>)> {
    let length = |points: &[Point]| points.windows(2).map(|w| w[0].distance_to(w[1])).sum::<f64>();
    let lines = contours(&lens.cutting, lens.cut.outline(), EVERY, STEP);
    lines
        .into_iter()
        .filter(|line| length(&line.points) >= SHORTEST)
        .map(|line| {
            let spots: Vec<Spot> = line.points.iter().map(|&p| seen.point(p)).collect();
            sheet.strokes(vec![spots.clone()], stroke(is_whole(line.thickness)));
            (line.thickness, spots)
        })
        .collect()
}

fn is_whole(mm: f64) -> bool {
    (mm - mm.round()).abs() < 0.01
}

const fn stroke(whole: bool) -> Stroke {
    lines::in_ink(lines::as_wide(EQUAL, if whole { 0.3 } else { 0.16 }), Ink::Ink2)
}

fn centre_lines(sheet: &mut Sheet, origin: Spot, half_wide: f64, half_high: f64) {
    sheet.line(&[origin.by(-half_wide - 6.0, 0.0), origin.by(half_wide + 6.0, 0.0)], CENTRE);
    sheet.line(&[origin.by(0.0, -half_high - 6.0), origin.by(0.0, half_high + 4.0)], CENTRE);
}

/// The eye, up, nose and temple.
fn heading(sheet: &mut Sheet, eye: Eye, origin: Spot, half_wide: f64) {
    marks::eye(sheet, spot(4.0, 4.0), eye, 7.0);
    sheet.words(spot(12.6, 8.7), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, figure::eye(eye));
    marks::up(sheet, spot(origin.x, 5.0));
    sheet.words(spot(origin.x + 2.2, 9.6), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "up");
    let nasal = eye.nasal();
    let tip = |k: f64| origin.by(k * (half_wide + 8.0), 0.0);
    marks::nose(sheet, tip(nasal), nasal > 0.0);
    marks::temple(sheet, tip(-nasal), nasal < 0.0);
    for (word, k) in [("nose", nasal), ("temple", -nasal)] {
        let anchor = if k > 0.0 { Anchor::Start } else { Anchor::End };
        sheet.words(tip(k).by(1.2 * k, 0.9), anchor, LABEL, Ink::Ink, Weight::Regular, word);
    }
}

/// Each line's figure, whole millimetres first, rather not at the rim.
fn names(sheet: &mut Sheet, courses: &[(f64, Vec<Spot>)], seen: &Seen, outline: &Outline) {
    let from_rim = |at: Spot| {
        let t = units::maths::atan2_deg(seen.origin.y - at.y, at.x - seen.origin.x).to_radians();
        SCALE * outline.radius(t).0 - seen.origin.to(at)
    };
    for whole in [true, false] {
        for (thickness, spots) in courses.iter().filter(|c| is_whole(c.0) == whole) {
            let places: Vec<Place> = spots
                .iter()
                .step_by(5)
                .map(|&at| Place { at, anchor: Anchor::Middle, cost: 0.3 * (5.0 - from_rim(at)).max(0.0) })
                .collect();
            let weight = if whole { Weight::Medium } else { Weight::Regular };
            let label = Label::new(LABEL, Ink::Ink2, weight, figure::length(*thickness));
            sheet.label_if_room(&label, &places, 0.9, 5.0);
        }
    }
}

fn legend(sheet: &mut Sheet, at: Spot, lines: bool) {
    let k = sheet.type_scale;
    let entry = |sheet: &mut Sheet, x: f64, up: f64, words: &str| {
        sheet.words(at.by(x, -up), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    };
    entry(sheet, 0.0, 0.0, "50 mm on paper: 25 mm of lens");
    if lines {
        for (up, whole, words) in [(4.0 * k, true, "whole millimetres thick"), (0.0, false, "half millimetres")] {
            let from = at.by(42.0 * k, -0.9 - up);
            sheet.line(&[from, from.by(8.0, 0.0)], stroke(whole));
            entry(sheet, 42.0 * k + 10.0, up, words);
        }
    }
}

fn said(lens: &LensPlan, courses: &[(f64, Vec<Spot>)]) -> String {
    let extremes = format!(
        "Along the cutting axis thinnest {} mm, thickest {} mm, before the pupil {} mm;",
        figure::thickness(lens.thickness.least.0.mm()),
        figure::thickness(lens.thickness.greatest.0.mm()),
        figure::thickness(lens.thickness.reference_point.mm())
    );
    match courses {
        [] => format!("{extremes} no half millimetre lies between."),
        [first, .., last] => format!(
            "{extremes} lines of equal thickness every half millimetre from {} to {} mm.",
            figure::length(first.0),
            figure::length(last.0)
        ),
        [only] => format!("{extremes} one line of equal thickness, at {} mm.", figure::length(only.0)),
    }
}
