//! The pair from the front, at true size: boxes, centres, pupils, axis, prism, thickness round the rim and across the lens.

mod dimensions;
mod labels;
mod seat;
pub(crate) use seat::ray;

use job::Eye;
use planner::{EyePlan, Plan};

use crate::contour::contours;
use crate::lines::{CENTRE, EQUAL, OUTLINE, PALE, PUT};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::seen::Seen;
use crate::sheet::{LABEL, Sheet};
use crate::{figure, marks, title_block};

use dimensions::{distances, heights, widths};
use labels::{equal_names, extremes, points, powers, soundings};
use seat::{Seat, axis_ends, prism_base};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Room beside the boxes for heights and names, mm.
const BESIDE: f64 = 26.0;
/// From the top of the sheet to the boxes.
const ABOVE: f64 = 35.0;
/// From the boxes to the scale bar.
const BELOW: f64 = 27.0;
/// Bridge that is drawn where nobody gave one.
const SKETCHED_BRIDGE: f64 = 18.0;

/// The pair from the front; none where no eye is planned. One eye alone is drawn on its side of the bridge.
#[must_use]
pub fn pair(plan: &Plan) -> Option<Scene> {
    let eyes: Vec<&EyePlan> = plan.planned().collect();
    let first = eyes.first()?;
    let known_bridge = eyes.iter().find_map(|e| e.between_lenses).map(|d| d.mm());
    let bridge = known_bridge.unwrap_or(SKETCHED_BRIDGE);
    let width_of = |eye: Eye| plan.eyes[eye].as_ref().map(|e| e.shape.boxed.width.mm());
    let both = eyes.len() == 2;
    let reach = |eye: Eye| width_of(eye).map_or(12.0, |w| w + 0.5 * bridge + BESIDE);
    let (left, right) = (reach(Eye::Right), reach(Eye::Left));
    let width = if both { (2.0 * left.max(right)).max(SHEET) } else { (left + right).max(SHEET - 26.0) };
    let middle = if both { 0.5 * width } else { left + 0.5 * (width - left - right) };
    let high = eyes.iter().map(|e| e.shape.boxed.height.mm()).fold(0.0, f64::max);
    let level = ABOVE + 0.5 * high;
    let height = ABOVE + high + BELOW + 4.0 + title_block::HIGH + 7.0;

    let mut sheet = Sheet::new(width, height);
    let mut seats: Vec<Seat<'_>> = eyes
        .iter()
        .map(|&plan| {
            let aside = 0.5 * (bridge + plan.shape.boxed.width.mm());
            let seen = Seen::true_size(spot(middle - plan.eye.nasal() * aside, level));
            Seat {
                plan,
                seen,
                outline: plan.lens.as_ref().map_or(&plan.shape.outline, |l| l.cut.outline()),
                contours: Vec::new(),
            }
        })
        .collect();

    bridge_sketch(&mut sheet, middle, level, bridge, &seats);
    for seat in &mut seats {
        lens(&mut sheet, seat);
    }
    let ends = seats.iter().map(|s| 0.5 * s.plan.shape.boxed.width.mm() + 4.0);
    let reach = ends.fold(0.0, f64::max);
    let (from, to) = seats.iter().fold((middle, middle), |(a, b), s| {
        (f64::min(a, s.seen.origin.x - reach), f64::max(b, s.seen.origin.x + reach))
    });
    sheet.line(&[spot(from, level), spot(to, level)], CENTRE);
    let foot = level + 0.5 * high;
    sheet.line(&[spot(middle, 16.0), spot(middle, foot + 17.0)], CENTRE);

    for seat in &seats {
        marks::eye_in_its_corner(&mut sheet, seat.plan.eye);
    }
    marks::up(&mut sheet, spot(middle, 4.0));
    sheet.words(spot(middle + 2.2, 8.6), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "up");
    sheet.words(spot(middle, foot + 20.2), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "nose");
    widths(&mut sheet, &seats, middle, known_bridge, bridge);
    heights(&mut sheet, &seats, level);
    distances(&mut sheet, &seats, middle, level, foot);
    let bar = spot((0.5 * width - 25.0).max(58.0), foot + BELOW);
    title_block::scale_bar(&mut sheet, bar);
    let mut legend = Vec::new();
    if eyes.iter().any(|e| e.lens.is_some()) {
        legend.push("Figures at the rim: square edge.".to_owned());
        legend.push("Fine lines: equal thickness, each 0.5.".to_owned());
    }
    if !both {
        let words = known_bridge.map_or_else(|| "not given".to_owned(), figure::length);
        legend.push(format!("Distance between lenses: {words}."));
    }
    for (i, words) in legend.iter().rev().enumerate() {
        let at = spot(4.0, bar.y + 1.1 - 3.4 * i as f64);
        sheet.words(at, Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words.as_str());
    }
    let number = plan.number.as_str();
    let view = match (both, first.eye) {
        (true, _) => "The pair from the front".to_owned(),
        (false, eye) => format!("The {} from the front", figure::eye(eye)),
    };
    let seen = if both { "facing the wearer: right eye on the left" } else { "facing the wearer" };
    title_block::title_block(&mut sheet, Some(number), &view, seen, "1:1");

    for seat in &seats {
        soundings(&mut sheet, seat);
    }
    for seat in &seats {
        powers(&mut sheet, seat);
        extremes(&mut sheet, seat);
    }
    if let Some(seat) = seats.first() {
        points(&mut sheet, seat);
    }
    for seat in &seats {
        equal_names(&mut sheet, seat);
    }
    Some(sheet.scene("pair".to_owned(), format!("{view}, order {number}"), description(&eyes, known_bridge)))
}

/// A band between the lenses, so that the eye sees spectacles; it measures nothing.
fn bridge_sketch(sheet: &mut Sheet, middle: f64, level: f64, bridge: f64, seats: &[Seat<'_>]) {
    let (half, base, rise, thick) = (0.5 * bridge, level - 4.0, 4.0, 3.2);
    let curve = |x: f64, lift: f64| spot(middle + x, base - lift * (1.0 - x * x / (half * half)));
    let reach = |eye: Eye| if seats.iter().any(|s| s.plan.eye == eye) { half } else { 0.0 };
    let (from, to) = (-reach(Eye::Right), reach(Eye::Left));
    let xs: Vec<f64> = (0..=24).map(|i| from + (to - from) * f64::from(i) / 24.0).collect();
    let mut band: Vec<Spot> = xs.iter().map(|&x| curve(x, rise)).collect();
    band.extend(xs.iter().rev().map(|&x| curve(x, rise).by(0.0, thick)));
    sheet.area(&band, Some(Ink::Buff), None);
    sheet.avoid(&band, true, 6.0);
}

fn lens(sheet: &mut Sheet, seat: &mut Seat<'_>) {
    let rim = seat.seen.outline(seat.outline);
    sheet.area(&rim, Some(Ink::Water), None);
    if let Some(lens) = &seat.plan.lens {
        for contour in contours(&lens.cutting, seat.outline, 0.5, 1.0) {
            let spots: Vec<Spot> = contour.points.iter().map(|&p| seat.seen.point(p)).collect();
            sheet.line(&spots, EQUAL);
            seat.contours.push((contour.thickness, spots));
        }
    }
    let (left, top, right, bottom) = seat.boxed();
    sheet.area(&[spot(left, top), spot(right, top), spot(right, bottom), spot(left, bottom)], None, Some(PALE));
    sheet.area(&rim, None, Some(OUTLINE));
    for hole in seat.plan.lens.iter().flat_map(|lens| &lens.holes) {
        marks::hole(sheet, seat.place(hole.at), hole.diameter.mm());
    }
    marks::boxed_centre(sheet, seat.seen.origin);
    if let Some(at) = seat.plan.reference_point {
        marks::pupil(sheet, seat.place(at), 1.0);
    }
    if let Some(at) = seat.plan.vertex {
        let centre = seat.place(at);
        if let Some((_, axis)) = seat.plan.made_power().cylinder() {
            let (named, other) = axis_ends(seat, at, axis.deg());
            sheet.line(&[named, other], PUT);
            sheet.circle(named, 0.6, Some(Ink::Mark), None);
        }
        marks::optical_centre(sheet, centre);
    }
    if let (Some(at), Some((x, y))) = (seat.plan.reference_point, prism_base(seat.plan)) {
        let gap = 0.5 * marks::PUPIL + 0.9;
        marks::prism(sheet, seat.place(at).by(x * gap, -y * gap), (x, y));
    }
}

fn description(eyes: &[&EyePlan], bridge: Option<f64>) -> String {
    let mut said = Vec::new();
    if let Some(bridge) = bridge {
        said.push(format!("Distance between lenses {} mm.", figure::length(bridge)));
    }
    for plan in eyes {
        let boxed = &plan.shape.boxed;
        let mut words = format!(
            "{}: box {} by {} mm",
            figure::capital(&figure::eye(plan.eye)),
            figure::length(boxed.width.mm()),
            figure::length(boxed.height.mm())
        );
        if let Some(at) = plan.vertex {
            words.push_str(&format!(", {} {} from the boxed centre", figure::dot(plan), figure::place(at)));
        }
        if let Some((_, axis)) = plan.made_power().cylinder() {
            words.push_str(&format!(", axis {}", figure::axis(axis.deg())));
        }
        if let Some(prism) = figure::prism(plan.prism.ordered) {
            words.push_str(&format!(", prism {prism}"));
        }
        if let Some(lens) = &plan.lens {
            let edge = &lens.edge;
            words.push_str(&format!(
                ", square edge thinnest {} mm at {}, thickest {} mm at {}",
                figure::thickness(edge.thinnest.mm()),
                figure::at(edge.thinnest_deg),
                figure::thickness(edge.thickest.mm()),
                figure::at(edge.thickest_deg)
            ));
        }
        words.push('.');
        said.push(words);
    }
    said.join(" ")
}
