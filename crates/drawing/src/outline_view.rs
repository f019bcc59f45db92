//! What is in a trace, at true size: both shapes with their boxes and longest radii, and the right one against the
//! mirrored left one, differences enlarged.

use job::Eye;
use planner::FrameShapes;
use planner::plan::Shape;
use units::maths::{cos_deg, sin_deg};

use crate::label::{Label, around};
use crate::lines::{self, BEHIND, CENTRE, OUTLINE, PALE, REACH, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Text, Weight, spot};
use crate::seen::{Seen, halfway};
use crate::sheet::{FIGURE, LABEL, Sheet, TEXT};
use crate::{figure, marks, title_block};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Distance between the boxes that is drawn where the records do not say.
const SKETCHED_BRIDGE: f64 = 18.0;
/// From the top of the sheet to the boxes.
const ABOVE: f64 = 26.0;
/// Differences are enlarged until the worst is about this long, mm.
const SHOWN: f64 = 4.0;

/// The shapes of a frame.
#[must_use]
pub fn outline(frame: &FrameShapes) -> Scene {
    let boxes = frame.eyes.as_ref().map(|s| (s.boxed.width.mm(), s.boxed.height.mm()));
    let bridge = frame.between_lenses.map_or(SKETCHED_BRIDGE, |d| d.mm());
    let widest = boxes.right.0.max(boxes.left.0);
    let high = boxes.right.1.max(boxes.left.1);
    let width = (2.0 * widest + bridge + 40.0).max(SHEET);
    let middle = 0.5 * width;
    let level = ABOVE + 0.5 * high;
    let table = ABOVE + high + 13.0;
    let figures = rows(frame);
    let against = table + 4.6 * figures.len() as f64 + 8.0;
    let deviation = frame.difference.is_some();
    let foot = if deviation { against + high + 2.0 * SHOWN + 8.0 } else { against };
    let mut sheet = Sheet::new(width, foot + 9.0 + title_block::HIGH + 4.0);
    for (eye, shape) in frame.eyes.iter() {
        let aside = 0.5 * (bridge + shape.boxed.width.mm());
        one(&mut sheet, eye, shape, Seen::true_size(spot(middle - eye.nasal() * aside, level)));
    }
    sheet.line(
        &[spot(middle - 0.5 * bridge - widest - 4.0, level), spot(middle + 0.5 * bridge + widest + 4.0, level)],
        CENTRE,
    );
    let words = frame.between_lenses.map_or_else(|| "not given".to_owned(), |d| figure::length(d.mm()));
    let (a, b) = (spot(middle - 0.5 * bridge, WIDTHS), spot(middle + 0.5 * bridge, WIDTHS));
    marks::dimension(&mut sheet, a, b, THIN);
    sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
    marks::eye(&mut sheet, spot(4.0, 4.0), Eye::Right, 7.0);
    let right = if frame.eyes.right.mirrored { "right eye: the left one, mirrored" } else { "right eye" };
    sheet.words(spot(12.6, 8.7), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, right);
    marks::eye(&mut sheet, spot(width - 11.0, 4.0), Eye::Left, 7.0);
    let left = if frame.eyes.left.mirrored { "left eye: the right one, mirrored" } else { "left eye" };
    sheet.words(spot(width - 12.6, 8.7), Anchor::End, TEXT, Ink::Ink, Weight::Regular, left);
    spine(&mut sheet, &figures, spot(middle, table));
    if deviation {
        differences(&mut sheet, frame, spot(middle, against + SHOWN + 0.5 * high));
    }
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 4.0));
    title_block::title_block(
        &mut sheet,
        None,
        "The outlines of a frame",
        "facing the wearer: right eye on the left",
        "1:1",
    );
    for (eye, shape) in frame.eyes.iter() {
        let aside = 0.5 * (bridge + shape.boxed.width.mm());
        names(&mut sheet, eye, shape, Seen::true_size(spot(middle - eye.nasal() * aside, level)));
    }
    sheet.scene("outline".to_owned(), "The outlines of a frame".to_owned(), description(frame))
}

/// Where the dimension line of the widths stands.
const WIDTHS: f64 = 19.0;

fn one(sheet: &mut Sheet, eye: Eye, shape: &Shape, seen: Seen) {
    let rim = seen.outline(&shape.outline);
    sheet.area(&rim, Some(Ink::Water), None);
    let (w, h) = (0.5 * shape.boxed.width.mm(), 0.5 * shape.boxed.height.mm());
    sheet.area(&[seen.at(-w, h), seen.at(w, h), seen.at(w, -h), seen.at(-w, -h)], None, Some(PALE));
    sheet.area(&rim, None, Some(OUTLINE));
    let longest = shape.outline.point(shape.boxed.effective_diameter_at.rad());
    sheet.line(&[seen.origin, seen.point(longest)], REACH);
    sheet.circle(seen.point(longest), 0.55, Some(Ink::Ink), None);
    marks::boxed_centre(sheet, seen.origin);
    let (a, b) = (spot(seen.origin.x - w, WIDTHS), spot(seen.origin.x + w, WIDTHS));
    marks::dimension(sheet, a, b, THIN);
    for end in [a, b] {
        sheet.line(&[end.by(0.0, -1.0), spot(end.x, seen.origin.y - h - 0.6)], THIN);
    }
    let words = figure::length(shape.boxed.width.mm());
    sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
    let out = -eye.nasal();
    let edge = seen.origin.x + out * w;
    let (x, top, bottom) = (edge + out * 8.0, seen.origin.y - h, seen.origin.y + h);
    marks::dimension(sheet, spot(x, top), spot(x, bottom), THIN);
    for y in [top, bottom] {
        sheet.line(&[spot(edge + out * 0.8, y), spot(x + out, y)], THIN);
    }
    sheet.write(Text {
        at: spot(x - 0.9, seen.origin.y),
        anchor: Anchor::Middle,
        size: FIGURE,
        ink: Ink::Ink,
        halo: Some(Ink::Paper),
        upwards: true,
        parts: vec![(Weight::Medium, figure::length(shape.boxed.height.mm()))],
    });
}

fn names(sheet: &mut Sheet, eye: Eye, shape: &Shape, seen: Seen) {
    let longest = shape.outline.point(shape.boxed.effective_diameter_at.rad());
    let half = halfway(seen.origin, seen.point(longest));
    let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "longest radius");
    sheet.label(&label.leads_to(half, 0.4), &around(half, 3.4, 30.0, 270.0));
    if eye == Eye::Right {
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "boxed centre");
        sheet.label(&label.leads_to(seen.origin, 1.3), &around(seen.origin, 4.0, 14.0, 270.0));
    }
}

/// A line of the table: what, right, left.
struct Row {
    what: &'static str,
    right: Option<String>,
    left: Option<String>,
}

fn rows(frame: &FrameShapes) -> Vec<Row> {
    let row = |what, of: &dyn Fn(&Shape) -> Option<String>| Row {
        what,
        right: of(&frame.eyes.right),
        left: of(&frame.eyes.left),
    };
    let mm = figure::thickness;
    let longest = |s: &Shape| {
        let place = figure::at(s.boxed.effective_diameter_at.direction_deg());
        Some(format!("{} at {place}", mm(s.boxed.effective_diameter.mm())))
    };
    let mut rows = vec![
        row("effective diameter", &longest),
        row("circumference, smoothed", &|s| Some(mm(s.circumference.mm()))),
        row("circumference, raw points", &|s| Some(mm(s.circumference_raw.mm()))),
        row("circumference in space", &|s| s.circumference_3d.map(|l| mm(l.mm()))),
        row("area, mm\u{b2}", &|s| Some(figure::length(s.area_mm2))),
        row("frame curve on 1.530, D", &|s| s.frame_curve_d.map(mm)),
        row("noise of the trace", &|s| (s.noise.mm() > 0.0).then(|| format!("{:.3}", s.noise.mm()))),
    ];
    rows.retain(|r| r.right.is_some() || r.left.is_some());
    rows
}

/// Names in the middle, figures on both sides.
fn spine(sheet: &mut Sheet, rows: &[Row], at: Spot) {
    let side = 24.0;
    let rule =
        |sheet: &mut Sheet, y: f64| sheet.line(&[spot(at.x - side - 22.0, y), spot(at.x + side + 22.0, y)], PALE);
    for (i, row) in rows.iter().enumerate() {
        let y = at.y + 4.6 * i as f64;
        rule(sheet, y);
        let line = y + 3.4;
        sheet.words(spot(at.x, line), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, row.what);
        for (value, x, anchor) in [(&row.right, at.x - side, Anchor::End), (&row.left, at.x + side, Anchor::Start)] {
            let none = "none".to_owned();
            let words = value.as_ref().unwrap_or(&none).clone();
            sheet.words(spot(x, line), anchor, TEXT, Ink::Ink, Weight::Medium, words);
        }
    }
    rule(sheet, at.y + 4.6 * rows.len() as f64);
}

/// The right outline, and the mirrored left one with its differences enlarged.
fn differences(sheet: &mut Sheet, frame: &FrameShapes, at: Spot) {
    let Some(difference) = &frame.difference else { return };
    let seen = Seen::true_size(at);
    let (right, left) = (&frame.eyes.right.outline, frame.eyes.left.outline.mirrored());
    let worst = difference.worst.mm().abs();
    let times = [100.0, 50.0, 20.0, 10.0, 5.0, 2.0].into_iter().find(|t| t * worst <= SHOWN).unwrap_or(1.0);
    let rim = seen.outline(right);
    sheet.area(&rim, None, Some(lines::as_wide(OUTLINE, 0.4)));
    let other: Vec<Spot> = (0..720)
        .map(|i| {
            let t = f64::from(i) * core::f64::consts::PI / 360.0;
            let (here, there) = (right.radius(t).0, left.radius(t).0);
            let r = here + (there - here) * times;
            seen.at(r * libm::cos(t), r * libm::sin(t))
        })
        .collect();
    sheet.area(&other, None, Some(BEHIND));
    let t = difference.worst_at.rad();
    let (here, there) = (right.radius(t).0, left.radius(t).0);
    let deg = difference.worst_at.direction_deg();
    let end = |r: f64| seen.at(r * cos_deg(deg), r * sin_deg(deg));
    let place = end(here + (there - here) * times);
    sheet.circle(place, 0.55, Some(Ink::Ink), None);
    let words = [
        (Weight::SemiBold, "right against mirrored left".to_owned()),
        (Weight::Regular, "full line: right".to_owned()),
        (Weight::Regular, format!("broken: left mirrored, differences \u{d7} {times:.0}")),
        (Weight::Regular, format!("root mean square {:.3}", difference.rms.mm())),
    ];
    for (i, (weight, words)) in words.into_iter().enumerate() {
        let beside = at.by(0.5 * frame.eyes.right.boxed.width.mm() + SHOWN + 4.0, -4.5 + 3.6 * i as f64);
        sheet.words(beside, Anchor::Start, LABEL, Ink::Ink, weight, words);
    }
    let words = vec![vec![
        (Weight::Regular, "worst ".to_owned()),
        (Weight::SemiBold, figure::thickness(worst)),
        (Weight::Regular, format!(" at {}", figure::at(deg))),
    ]];
    sheet.label(&Label::of(TEXT, Ink::Ink, words).leads_to(place, 0.6), &around(place, 3.0, 16.0, deg));
}

fn description(frame: &FrameShapes) -> String {
    let mut said = Vec::new();
    for (eye, shape) in frame.eyes.iter() {
        let boxed = &shape.boxed;
        said.push(format!(
            "{}{}: box {} by {} mm, effective diameter {} mm, {} mm round.",
            figure::capital(&figure::eye(eye)),
            if shape.mirrored { ", mirrored" } else { "" },
            figure::length(boxed.width.mm()),
            figure::length(boxed.height.mm()),
            figure::length(boxed.effective_diameter.mm()),
            figure::thickness(shape.circumference.mm())
        ));
    }
    if let Some(difference) = &frame.difference {
        said.push(format!(
            "Right against mirrored left: {:.3} mm root mean square, {} mm at {} at the most.",
            difference.rms.mm(),
            figure::thickness(difference.worst.mm().abs()),
            figure::at(difference.worst_at.direction_deg())
        ));
    }
    said.join(" ")
}
