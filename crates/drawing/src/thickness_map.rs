//! How thick the lens is all over: lines of equal thickness every half millimetre, at twice its size.

use job::Eye;
use planner::Plan;
use planner::plan::Place as At;
use units::Mm;

use crate::contour::contours;
use crate::label::{Label, Place, Sign, around};
use crate::lines::{self, CENTRE, EQUAL, MARK, OUTLINE, THIN};
use crate::scene::{Anchor, Ink, Scene, Weight, spot};
use crate::seen::Seen;
use crate::sheet::{LABEL, Sheet, TEXT};
use crate::{figure, marks, title_block};

/// From one line to the next, mm of thickness.
const EVERY: f64 = 0.5;
/// How much larger than life the lens is drawn.
const SCALE: f64 = 2.0;
/// From one sample to the next, mm.
const STEP: f64 = 0.4;
/// Room round the lens for its flags and names.
const ROUND: f64 = 22.0;

/// The lens of one eye as a map; none without a blank.
#[must_use]
pub fn thickness_map(plan: &Plan, eye: Eye) -> Option<Scene> {
    let eye_plan = plan.eyes[eye].as_ref()?;
    let lens = eye_plan.lens.as_ref()?;
    let outline = lens.cut.outline();
    let boxed = outline.boxed();
    let (wide, high) = (SCALE * boxed.width.mm(), SCALE * boxed.height.mm());
    let (width, foot) = ((wide + 2.0 * ROUND + 8.0).max(150.0), high + 2.0 * ROUND);
    let mut sheet = Sheet::new(width, foot + 14.0 + title_block::HIGH + 4.0);
    let origin = spot(0.5 * width, ROUND + 0.5 * high);
    let seen = Seen { origin, scale: SCALE, mirrored: false };
    let rim = seen.outline(outline);
    sheet.area(&rim, Some(Ink::Water), None);
    let (left, right) = (seen.at(-0.5 * boxed.width.mm() - 3.0, 0.0), seen.at(0.5 * boxed.width.mm() + 3.0, 0.0));
    sheet.line(&[left, right], CENTRE);
    let (top, bottom) = (seen.at(0.0, 0.5 * boxed.height.mm() + 3.0), seen.at(0.0, -0.5 * boxed.height.mm() - 3.0));
    sheet.line(&[top, bottom], CENTRE);
    let equal = contours(&lens.cutting, outline, EVERY, STEP);
    let mut courses = Vec::new();
    for contour in &equal {
        let whole = (contour.thickness - contour.thickness.round()).abs() < 0.01;
        let stroke = lines::in_ink(lines::as_wide(EQUAL, if whole { 0.3 } else { 0.16 }), Ink::Ink2);
        let spots: Vec<_> = contour.points.iter().map(|&p| seen.point(p)).collect();
        sheet.strokes(vec![spots.clone()], stroke);
        courses.push((contour.thickness, spots));
    }
    sheet.area(&rim, None, Some(OUTLINE));
    marks::eye(&mut sheet, spot(4.0, 4.0), eye, 7.0);
    sheet.words(spot(12.6, 8.7), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, figure::eye(eye));
    let nasal = eye.nasal();
    let tip = |k: f64| seen.at(k * (0.5 * boxed.width.mm() + 4.0), 0.0);
    marks::nose(&mut sheet, tip(nasal), nasal > 0.0);
    marks::temple(&mut sheet, tip(-nasal), nasal < 0.0);
    for (word, k) in [("nose", nasal), ("temple", -nasal)] {
        let anchor = if k > 0.0 { Anchor::Start } else { Anchor::End };
        sheet.words(tip(k).by(1.2 * k, 0.9), anchor, LABEL, Ink::Ink, Weight::Regular, word);
    }
    let at = |place: At| {
        let (x, y) = place.xy(eye);
        seen.at(x, y)
    };
    // Figures first: the extremes over the whole lens, then the points, then the lines' names where room is left.
    let mut flag = |name: &str, (mm, place): (Mm, At), sign: Sign| {
        let here = at(place);
        sheet.circle(here, 0.7, Some(Ink::Ink), None);
        let words = vec![vec![(Weight::Regular, name.to_owned()), (Weight::SemiBold, figure::thickness(mm.mm()))]];
        let label = Label::of(TEXT, Ink::Ink, words).sign(sign).leads_to(here, 0.7);
        let towards = units::maths::atan2_deg(origin.y - here.y, here.x - origin.x);
        sheet.label(&label.leader(lines::as_wide(THIN, 0.25)), &around(here, 4.0, 30.0, towards));
    };
    flag("thickest ", lens.thickness.greatest, Sign::Thickest);
    flag("thinnest ", lens.thickness.least, Sign::Thinnest);
    if let Some(centre) = eye_plan.optical_centre.map(at).filter(|c| crate::sheet::holds(&rim, *c)) {
        marks::optical_centre(&mut sheet, centre);
        let label = Label::new(LABEL, Ink::Mark, Weight::Regular, "optical centre");
        let label = label.leads_to(centre, 1.3).leader(lines::in_ink(THIN, Ink::Mark));
        sheet.label(&label, &around(centre, 4.0, 30.0, 110.0));
    }
    if let Some(pupil) = eye_plan.reference_point.map(at) {
        marks::pupil(&mut sheet, pupil);
        let words = format!("before the pupil {}", figure::thickness(lens.thickness.reference_point.mm()));
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, words).leads_to(pupil, 2.3);
        sheet.label(&label, &around(pupil, 4.0, 30.0, 300.0));
    }
    for (thickness, spots) in &courses {
        let places: Vec<Place> =
            spots.iter().step_by(9).map(|&at| Place { at, anchor: Anchor::Middle, cost: 0.0 }).collect();
        let label = Label::new(LABEL, Ink::Ink2, Weight::Regular, figure::length(*thickness));
        sheet.label_if_room(&label, &places, 1.2, 5.0);
    }
    if courses.is_empty() {
        let words = format!(
            "No line: the lens is {} mm thick, to less than half a millimetre, all over.",
            figure::length(lens.thickness.greatest.0.mm())
        );
        sheet.words(spot(0.5 * width, foot - 2.0), Anchor::Middle, TEXT, Ink::Ink2, Weight::Regular, words);
    }
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 6.0));
    sheet.words(spot(60.0, foot + 7.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "on paper: 25 mm of lens");
    let stroke = lines::in_ink(lines::as_wide(MARK, 0.3), Ink::Ink2);
    sheet.line(&[spot(100.0, foot + 6.3), spot(108.0, foot + 6.3)], stroke);
    sheet.words(spot(110.0, foot + 7.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "whole millimetres");
    let number = plan.number.as_str();
    let view = format!("Thickness of the {}, every 0.5 mm", figure::eye(eye));
    title_block::title_block(&mut sheet, Some(number), &view, "facing the wearer", "2:1");
    let said = format!(
        "Thinnest {} mm, thickest {} mm along the cutting axis, {} lines of equal thickness.",
        figure::thickness(lens.thickness.least.0.mm()),
        figure::thickness(lens.thickness.greatest.0.mm()),
        courses.len()
    );
    Some(sheet.scene(format!("thickness-{}", eye.word()), format!("{view}, order {number}"), said))
}
