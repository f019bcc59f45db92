//! What is written on and about the lenses of the pair: thickness, axis, prism, points.

use job::Eye;
use planner::LensPlan;
use units::maths::{cos_deg, sin_deg};

use crate::figure;
use crate::label::{Label, Place, Sign, around};
use crate::lines::{self, MARK, THIN};
use crate::scene::{Anchor, Ink, Spot, Weight, spot};
use crate::sheet::{LABEL, Sheet, TEXT};

use super::seat::{Seat, axis_ends, prism_base};

/// Eight figures inside the rim.
pub(super) fn soundings(sheet: &mut Sheet, seat: &Seat<'_>) {
    let Some(lens) = &seat.plan.lens else { return };
    for step in 0..8 {
        let deg = 45.0 * f64::from(step);
        let Some(row) = lens.edge.around.iter().find(|r| (r.deg - deg).abs() < 0.01) else { continue };
        let (rim, words) = (seat.rim(deg), figure::length(row.square.mm()));
        let (x, y) = (cos_deg(deg), sin_deg(deg));
        let inwards = |k: f64| rim.by(-x * k, y * k);
        sheet.line(&[inwards(0.0), inwards(1.7)], MARK);
        let half = 0.5 * crate::typeface::width(&words, Weight::Regular) * TEXT;
        let reach = 2.3 + half * x.abs() + 1.1 * y.abs();
        let places: Vec<Place> = (0..10)
            .flat_map(|i| [-2.0, -1.0, 0.0, 1.0, 2.0].map(|side| (f64::from(i) * 0.4, side)))
            .map(|(k, side)| {
                let at = inwards(reach + k).by(-y * side * 1.4, -x * side * 1.4);
                Place { at, anchor: Anchor::Middle, cost: 0.6 * k + 1.2 * f64::abs(side) }
            })
            .collect();
        sheet.label(&Label::new(TEXT, Ink::Ink, Weight::Regular, words), &places);
    }
}

/// What carries a figure: axis, prism; or that there is no blank.
pub(super) fn powers(sheet: &mut Sheet, seat: &Seat<'_>) {
    if let (Some(at), Some((_, axis))) = (seat.plan.vertex, seat.plan.made_power().cylinder()) {
        let (named, _) = axis_ends(seat, at, axis.deg());
        let words = vec![vec![(Weight::Regular, "axis ".to_owned()), (Weight::SemiBold, figure::axis(axis.deg()))]];
        sheet.label(&Label::of(TEXT, Ink::Mark, words), &around(named, 1.4, 9.0, axis.deg()));
    }
    if let (Some(at), Some((x, y)), Some(words)) =
        (seat.plan.reference_point, prism_base(seat.plan), figure::prism(seat.plan.prism.ordered))
    {
        let wedge = seat.place(at).by(x * 6.5, -y * 6.5);
        let label = Label::new(TEXT, Ink::Mark, Weight::SemiBold, format!("prism {words}"))
            .leader(lines::in_ink(THIN, Ink::Mark));
        sheet.label(&label.leads_to(wedge, 1.4), &around(wedge, 2.8, 12.0, 90.0));
    }
    if seat.plan.lens.is_none() {
        let label = Label::new(TEXT, Ink::Stop, Weight::SemiBold, "no blank: no thickness").sign(Sign::Stop);
        sheet.label(&label, &flags(seat, seat.seen.origin.by(0.0, 100.0)));
    }
}

/// Names of the points: optical centre, the place before the pupil, boxed centre.
pub(super) fn points(sheet: &mut Sheet, seat: &Seat<'_>) {
    let eye = seat.plan.eye;
    if let Some(at) = seat.plan.vertex {
        let centre = seat.place(at);
        let together = seat.plan.reference_point.is_some_and(|r| seat.place(r).to(centre) < 0.05);
        let dot = figure::dot(seat.plan);
        let words = if together { format!("{dot}, before the pupil") } else { dot.to_owned() };
        let label = Label::new(LABEL, Ink::Mark, Weight::Regular, words).leader(lines::in_ink(THIN, Ink::Mark));
        sheet.label(&label.leads_to(centre, 1.3), &around(centre, 4.0, 26.0, 125.0));
        if let Some(r) = seat.plan.reference_point.filter(|_| !together) {
            let pupil = seat.place(r);
            let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "before the pupil");
            sheet.label(&label.leads_to(pupil, 2.3), &around(pupil, 4.0, 22.0, 305.0));
        }
    }
    let centre = seat.seen.origin;
    let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "boxed centre");
    sheet
        .label(&label.leads_to(centre, 1.3), &around(centre, 4.0, 22.0, if eye == Eye::Right { 235.0 } else { 305.0 }));
}

/// Thinnest and thickest place, flagged outside the rim.
pub(super) fn extremes(sheet: &mut Sheet, seat: &Seat<'_>) {
    let Some(LensPlan { edge, .. }) = &seat.plan.lens else { return };
    let flag = |sheet: &mut Sheet, name: &str, mm: units::Mm, deg: f64, sign: Sign| {
        let rim = seat.rim(deg);
        sheet.circle(rim, 0.55, Some(Ink::Ink), None);
        let words = vec![vec![
            (Weight::Regular, name.to_owned()),
            (Weight::SemiBold, figure::thickness(mm.mm())),
            (Weight::Regular, format!(" at {}", figure::at(deg))),
        ]];
        let label = Label::of(TEXT, Ink::Ink, words).sign(sign).leads_to(rim, 0.5).leader(lines::as_wide(THIN, 0.25));
        (label, flags(seat, rim))
    };
    let both = [
        flag(sheet, "thickest ", edge.thickest, edge.thickest_deg, Sign::Thickest),
        flag(sheet, "thinnest ", edge.thinnest, edge.thinnest_deg, Sign::Thinnest),
    ];
    sheet.two_labels(&both);
}

/// Places over and under the box, where the flags stand.
fn flags(seat: &Seat<'_>, rim: Spot) -> Vec<Place> {
    let (left, top, right, bottom) = seat.boxed();
    let mut places = Vec::new();
    for (y, far) in [
        (top - 4.2, (rim.y - top).abs()),
        (bottom + 4.2, (bottom - rim.y).abs()),
        (bottom + 8.4, (bottom - rim.y).abs() + 2.0),
        (top - 8.4, (rim.y - top).abs() + 2.0),
    ] {
        for i in 0..=40 {
            let x = left - 18.0 + (right - left + 36.0) * f64::from(i) / 40.0;
            places.push(Place { at: spot(x, y), anchor: Anchor::Middle, cost: 0.8 * far + 0.12 * (x - rim.x).abs() });
        }
    }
    places
}

/// Names of the lines at each whole millimetre, where there is room.
pub(super) fn equal_names(sheet: &mut Sheet, seat: &Seat<'_>) {
    for (thickness, spots) in &seat.contours {
        if spots.len() < 12 || (thickness - thickness.round()).abs() > 0.01 {
            continue;
        }
        let places: Vec<Place> =
            spots.iter().step_by(2).map(|&at| Place { at, anchor: Anchor::Middle, cost: 0.0 }).collect();
        // One crossing is its own line; a dimension line on top of it, and it stays unnamed.
        let label = Label::new(LABEL, Ink::Ink2, Weight::Regular, figure::length(*thickness));
        sheet.label_if_room(&label, &places, 1.6, 5.0);
    }
}
