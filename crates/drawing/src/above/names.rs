//! Names and figures that look for a place.

use job::Eye;

use crate::figure;
use crate::label::{Label, Place, around};
use crate::scene::{Anchor, Ink, Weight};
use crate::section::CutEdge;
use crate::sheet::{LABEL, Sheet};

use super::placed::{Above, Set};

/// Names and figures that look for a place.
pub(super) fn names(sheet: &mut Sheet, lens: &Above<'_>, set: &Set, first: bool) {
    let at = |place: (f64, f64)| set.at(lens.set(place));
    for end in &lens.ends {
        let x = end.profile.x(0.0);
        let out = if x > 0.0 { 1.0 } else { -1.0 };
        let (front, back) = end.profile.square;
        let words = vec![
            vec![(Weight::SemiBold, figure::thickness(back - front))],
            vec![(Weight::Regular, end.name.to_owned())],
        ];
        let to = at((x + out * 2.4 / set.scale, 0.5 * (front + back)));
        let beyond = at((x, back)).by(-out * 2.0, -6.0 * set.k);
        let places: Vec<Place> = if end.name == "temple" {
            let anchor = if out > 0.0 { Anchor::Start } else { Anchor::End };
            vec![Place { at: to.by(out * 2.6, 0.0), anchor, cost: 0.0 }]
        } else {
            Vec::new()
        };
        let places = places.into_iter().chain(around(beyond, 0.5, 14.0, 90.0)).collect::<Vec<_>>();
        sheet.label(&Label::of(LABEL, Ink::Ink, words).leads_to(to, 0.6), &places);
    }
    if let Some([front, back]) = lens.wall(0.0) {
        let words = vec![vec![
            (Weight::Regular, "boxed centre ".to_owned()),
            (Weight::SemiBold, figure::thickness(back.1 - front.1)),
        ]];
        let to = at(front);
        let towards = if lens.plan.eye == Eye::Right { 240.0 } else { 300.0 };
        sheet.label(&Label::of(LABEL, Ink::Ink, words).leads_to(to, 0.4), &around(to, 5.0, 24.0, towards));
    }
    if !first {
        return;
    }
    if let Some(centre) = lens.plan.optical_centre {
        let (x, _) = centre.xy(lens.plan.eye);
        if let Some([_, back]) = lens.wall(x) {
            let to = at((x, back.1 + 3.0 / set.scale));
            let label = Label::new(LABEL, Ink::Mark, Weight::Regular, "optical centre");
            sheet.label(&label.leads_to(to, 0.4), &around(to, 4.0, 24.0, 120.0));
        }
    }
    if let Some(&place) = lens.rim.get(lens.rim.len() * 3 / 10) {
        let to = at(place);
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "rim, lower half");
        sheet.label(&label.leads_to(to, 0.3), &around(to, 5.0, 24.0, 240.0));
    }
    let end = &lens.ends[1];
    if let Some(depth) = end.profile.line() {
        let to = at((end.profile.x(0.0), depth));
        let words = if matches!(end.profile.cut, CutEdge::Groove { .. }) { "groove" } else { "bevel apex" };
        let label = Label::new(LABEL, Ink::Mark, Weight::Regular, words);
        sheet.label(&label.leads_to(to, 0.7), &around(to, 6.0, 24.0, 220.0));
    }
}
