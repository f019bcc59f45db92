//! The pair from the front, at true size: boxes, centres, pupils, axis, prism, thickness round the rim and across the lens.

use job::Eye;
use outline::Outline;
use planner::{EyePlan, LensPlan, Plan};
use units::maths::{cos_deg, hypot, sin_deg};

use crate::contour::contours;
use crate::lines::{self, CENTRE, EQUAL, MARK, OUTLINE, PALE, PUT, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Text, Weight, spot};
use crate::seen::{Seen, course, halfway};
use crate::sheet::{FIGURE, LABEL, Label, Place, Sheet, Sign, TEXT, around};
use crate::{figure, marks};

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
    let height = ABOVE + high + BELOW + 4.0 + marks::TITLE_HIGH + 7.0;

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

    eye_names(&mut sheet, &seats);
    marks::up(&mut sheet, spot(middle, 4.0));
    sheet.words(spot(middle + 2.2, 8.6), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "up");
    sheet.words(spot(middle, foot + 20.2), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "nose");
    widths(&mut sheet, &seats, middle, known_bridge, bridge);
    heights(&mut sheet, &seats, level);
    distances(&mut sheet, &seats, middle, level, foot);
    let bar = spot((0.5 * width - 25.0).max(58.0), foot + BELOW);
    marks::scale_bar(&mut sheet, bar);
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
    marks::title_block(&mut sheet, Some(number), &view, seen, "1:1");

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

/// One eye on the sheet.
struct Seat<'a> {
    plan: &'a EyePlan,
    seen: Seen,
    /// The outline that is cut, or traced where there is no blank.
    outline: &'a Outline,
    /// Lines of equal thickness on the sheet.
    contours: Vec<(f64, Vec<Spot>)>,
}

impl Seat<'_> {
    fn place(&self, place: planner::Place) -> Spot {
        let (x, y) = place.xy(self.plan.eye);
        self.seen.at(x, y)
    }

    fn rim(&self, deg: f64) -> Spot {
        self.seen.point(self.outline.point(deg.to_radians()))
    }

    /// The box on the sheet: left, top, right, bottom.
    fn boxed(&self) -> (f64, f64, f64, f64) {
        let (w, h) = (0.5 * self.plan.shape.boxed.width.mm(), 0.5 * self.plan.shape.boxed.height.mm());
        let o = self.seen.origin;
        (o.x - w, o.y - h, o.x + w, o.y + h)
    }
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
        for contour in contours(&lens.cutting, seat.outline, 0.5) {
            let spots: Vec<Spot> = contour.points.iter().map(|&p| seat.seen.point(p)).collect();
            sheet.line(&spots, EQUAL);
            seat.contours.push((contour.thickness, spots));
        }
    }
    let (left, top, right, bottom) = seat.boxed();
    sheet.area(&[spot(left, top), spot(right, top), spot(right, bottom), spot(left, bottom)], None, Some(PALE));
    sheet.area(&rim, None, Some(OUTLINE));
    marks::boxed_centre(sheet, seat.seen.origin);
    if let Some(at) = seat.plan.reference_point {
        marks::pupil(sheet, seat.place(at));
    }
    if let Some(at) = seat.plan.optical_centre {
        let centre = seat.place(at);
        if let Some((_, axis)) = seat.plan.power.cylinder() {
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

/// Unit vector to the base of the ordered prism, y up.
fn prism_base(plan: &EyePlan) -> Option<(f64, f64)> {
    let (x, y) = (plan.prism.ordered.base_in.cm_per_m() * plan.eye.nasal(), plan.prism.ordered.base_up.cm_per_m());
    let amount = hypot(x, y);
    (amount > 0.004).then(|| (x / amount, y / amount))
}

/// Where the axis line ends: 3.5 mm outside the outline at its named end, 2 mm at the other.
fn axis_ends(seat: &Seat<'_>, centre: planner::Place, axis_deg: f64) -> (Spot, Spot) {
    let (x, y) = centre.xy(seat.plan.eye);
    let end = |deg: f64, beyond: f64| {
        let out = ray(seat.outline, x, y, deg) + beyond;
        seat.seen.at(x + out * cos_deg(deg), y + out * sin_deg(deg))
    };
    (end(axis_deg, 3.5), end(axis_deg + 180.0, 2.0))
}

/// How far it is from a place inside along a direction to the outline, mm; nought from outside.
pub(crate) fn ray(outline: &Outline, x: f64, y: f64, deg: f64) -> f64 {
    let (dx, dy) = (cos_deg(deg), sin_deg(deg));
    let points = course(outline);
    let mut best = 0.0;
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let (ex, ey) = (q.x - p.x, q.y - p.y);
        let det = dx * -ey + ex * dy;
        if det.abs() < 1e-12 {
            continue;
        }
        let (fx, fy) = (p.x - x, p.y - y);
        let (along, share) = ((fx * -ey + ex * fy) / det, (dx * fy - dy * fx) / det);
        if (0.0..=1.0).contains(&share) && along > best {
            best = along;
        }
    }
    best
}

fn eye_names(sheet: &mut Sheet, seats: &[Seat<'_>]) {
    for seat in seats {
        let side = 7.0;
        match seat.plan.eye {
            Eye::Right => {
                marks::eye(sheet, spot(4.0, 4.0), Eye::Right, side);
                sheet.words(spot(12.6, 8.7), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, "right eye");
            }
            Eye::Left => {
                let at = sheet.width - 4.0 - side;
                marks::eye(sheet, spot(at, 4.0), Eye::Left, side);
                sheet.words(spot(at - 1.6, 8.7), Anchor::End, TEXT, Ink::Ink, Weight::Regular, "left eye");
            }
        }
    }
}

/// A level dimension with its figure over the line.
fn level_dimension(sheet: &mut Sheet, a: Spot, b: Spot, words: &str) {
    marks::dimension(sheet, a, b, THIN);
    let at = halfway(a, b).by(0.0, -0.9);
    sheet.words(at, Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
}

/// Where the dimension line of the widths stands.
const WIDTHS: f64 = 20.0;

fn widths(sheet: &mut Sheet, seats: &[Seat<'_>], middle: f64, known: Option<f64>, bridge: f64) {
    for seat in seats {
        let (left, top, right, _) = seat.boxed();
        let words = figure::length(seat.plan.shape.boxed.width.mm());
        level_dimension(sheet, spot(left, WIDTHS), spot(right, WIDTHS), &words);
        for x in [left, right] {
            sheet.line(&[spot(x, WIDTHS - 1.0), spot(x, top - 0.6)], THIN);
        }
    }
    let half = 0.5 * bridge;
    let words = known.map_or_else(|| "not given".to_owned(), figure::length);
    if seats.len() == 2 {
        level_dimension(sheet, spot(middle - half, WIDTHS), spot(middle + half, WIDTHS), &words);
    }
}

/// Heights outside: of the box, and of the reference point above the lowest tangent.
fn heights(sheet: &mut Sheet, seats: &[Seat<'_>], level: f64) {
    for seat in seats {
        let (left, top, right, bottom) = seat.boxed();
        let (edge, out) = match seat.plan.eye {
            Eye::Right => (left, -1.0),
            Eye::Left => (right, 1.0),
        };
        let mut column = |x: f64, from: f64, to: f64, words: &str| {
            marks::dimension(sheet, spot(x, from), spot(x, to), THIN);
            for y in [from, to] {
                sheet.line(&[spot(edge + out * 0.8, y), spot(x + out, y)], THIN);
            }
            sheet.write(Text {
                at: spot(x - 0.9, 0.5 * (from + to)),
                anchor: Anchor::Middle,
                size: FIGURE,
                ink: Ink::Ink,
                halo: Some(Ink::Paper),
                upwards: true,
                parts: vec![(Weight::Medium, words.to_owned())],
            });
        };
        column(edge + out * 17.0, top, bottom, &figure::length(bottom - top));
        if let Some(at) = seat.plan.reference_point {
            let up = level - at.up.mm();
            column(edge + out * 10.0, up, bottom, &figure::length(bottom - up));
            let pupil = seat.place(at).x;
            sheet.line(&[spot(edge + out * 0.8, up), spot(pupil, up)], PALE);
        }
    }
}

/// Distances of the pupils from the middle of the bridge.
fn distances(sheet: &mut Sheet, seats: &[Seat<'_>], middle: f64, level: f64, foot: f64) {
    let line = foot + 14.0;
    for seat in seats {
        let (Some(at), Some(pd)) = (seat.plan.reference_point, seat.plan.pd) else { continue };
        let x = seat.place(at).x;
        sheet.line(&[spot(x, level - at.up.mm()), spot(x, line + 1.0)], PALE);
        let drawn = (middle - x).abs();
        level_dimension(sheet, spot(x, line), spot(middle, line), &figure::length(pd.mm()));
        // With face form the distance along the lens is longer than the one between pupil and nose.
        if (drawn - pd.mm()).abs() >= 0.05 {
            let words = format!("{} along the lens", figure::length(drawn));
            let at = spot(0.5 * (x + middle), line + 3.4);
            sheet.words(at, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        }
    }
}

/// Eight figures inside the rim.
fn soundings(sheet: &mut Sheet, seat: &Seat<'_>) {
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
fn powers(sheet: &mut Sheet, seat: &Seat<'_>) {
    if let (Some(at), Some((_, axis))) = (seat.plan.optical_centre, seat.plan.power.cylinder()) {
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
fn points(sheet: &mut Sheet, seat: &Seat<'_>) {
    let eye = seat.plan.eye;
    if let Some(at) = seat.plan.optical_centre {
        let centre = seat.place(at);
        let together = seat.plan.reference_point.is_some_and(|r| seat.place(r).to(centre) < 0.05);
        let words = if together { "optical centre, before the pupil" } else { "optical centre" };
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
fn extremes(sheet: &mut Sheet, seat: &Seat<'_>) {
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
fn equal_names(sheet: &mut Sheet, seat: &Seat<'_>) {
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
        if let Some(at) = plan.optical_centre {
            words.push_str(&format!(", optical centre {} from the boxed centre", figure::place(at)));
        }
        if let Some((_, axis)) = plan.power.cylinder() {
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
