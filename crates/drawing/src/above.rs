//! The pair in its front, seen from above: both lenses cut through level at their boxed centres, set as far apart and turned
//! as much as the frame sets them; where the bevel lies, where the rim runs, where eyes and optical centres stand.
//!
//! The reader faces the wearer, as everywhere: the right eye stands on the left, the front is towards the reader.

use job::{Eye, Order, Rules};
use outline::Point;
use planner::{EyePlan, LensPlan, Plan};
use units::maths::{cos_deg, sin_deg};

use crate::label::{Label, Place, around};
use crate::lines::{self, CENTRE, MARK, OUTLINE, PALE, PUT, REACH, RIM, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::section::{CutEdge, EdgeProfile, EdgeSide, stands};
use crate::seen::halfway;
use crate::sheet::{FIGURE, LABEL, Sheet};
use crate::{edge, figure, marks, title_block};

/// A4 less its margins, upright and laid across.
const UPRIGHT: f64 = 186.0;
const ACROSS: f64 = 273.0;
/// Room beside each temporal edge.
const BESIDE: f64 = 17.0;
/// What stands over the lenses: eyes, the distances of the pupils; what under them: distance between lenses, face form.
const OVER: f64 = 34.0;
const UNDER: f64 = 24.0;
/// From row to row of the figures.
const ROW: f64 = 5.0;
/// Bridge that is drawn where nobody gave one.
const SKETCHED_BRIDGE: f64 = 18.0;
/// Radius of the ring that stands for a pupil.
const PUPIL: f64 = 1.0;
/// Points along a surface.
const POINTS: u32 = 120;

/// The pair from above, or the one lens that is made; none without a lens.
///
/// The section lies at the level of the boxed centres; depths are along each lens's own cutting axis, which face form turns
/// outwards. The bevels (grooves, else the edges) stand level at the nose.
#[must_use]
pub fn above(plan: &Plan, order: &Order, rules: &Rules) -> Option<Scene> {
    let bridge = plan.planned().find_map(|eye| eye.between_lenses).map(|d| d.mm());
    let face_form = order.frame.face_form_deg;
    let of = Of { bridge: bridge.unwrap_or(SKETCHED_BRIDGE), face_form: face_form.unwrap_or_default() };
    let lenses: Vec<Above<'_>> = plan.planned().filter_map(|eye| Above::new(&of, eye, order, rules)).collect();
    let first = lenses.first()?;
    let both = lenses.len() == 2;
    let reach = |eye: Eye| {
        let lens = lenses.iter().find(|lens| lens.plan.eye == eye);
        lens.map_or(0.5 * of.bridge, |lens| lens.frame_extent().0)
    };
    let (left, right) = (reach(Eye::Right), reach(Eye::Left));
    let room = |scale: f64| scale * (left + right) + 2.0 * BESIDE;
    // Twice as large as life where a sheet has room for it.
    let (scale, width) = match (room(2.0), room(1.0)) {
        (twice, _) if twice <= UPRIGHT => (2.0, UPRIGHT),
        (twice, _) if twice <= ACROSS => (2.0, twice),
        (_, once) => (1.0, once.max(UPRIGHT)),
    };
    let (front, back) =
        lenses.iter().map(|l| l.frame_extent().1).fold((0.0, 0.0), |(a, b), (c, d)| (f64::min(a, c), f64::max(b, d)));
    let rows = rows(&lenses);
    let mut sheet = Sheet::new(width, 100.0);
    let k = sheet.type_scale;
    let level = OVER * k + scale * back;
    let lowest = level - scale * front;
    let table = lowest + UNDER * k;
    let foot = table + ROW * k * (rows.len() as f64 + 1.2);
    sheet.height = foot + 14.0 * k + title_block::high(k) + 4.0;
    let middle = 0.5 * width + 0.5 * scale * (left - right);
    let set = Set { middle, level, scale, front: lowest, k };

    head(&mut sheet, &lenses, &set);
    for lens in &lenses {
        draw(&mut sheet, lens, &set);
    }
    pupils(&mut sheet, &lenses, &set);
    between(&mut sheet, &of, bridge, both, &set);
    for lens in &lenses {
        turned(&mut sheet, lens, &of, &set);
    }
    spine(&mut sheet, &rows, &lenses, table, k);
    let bar = spot(6.0, foot + 6.0 * k);
    title_block::scale_bar(&mut sheet, bar);
    let mut words = match scale {
        1.0 => "true size".to_owned(),
        _ => "50 mm on paper: 25 mm of lens".to_owned(),
    };
    if face_form.is_none() {
        words.push_str("; face form not given: drawn flat");
    }
    sheet.words(bar.by(55.0, 1.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    let number = plan.number.as_str();
    let view = match (both, first.plan.eye) {
        (true, _) => "The pair from above".to_owned(),
        (false, eye) => format!("The {} from above", figure::eye(eye)),
    };
    let seen = if both { "front towards you: right eye on the left" } else { "front towards you" };
    title_block::title_block(&mut sheet, Some(number), &view, seen, &format!("{scale}:1"));
    for (i, lens) in lenses.iter().enumerate() {
        names(&mut sheet, lens, &set, i == 0);
    }
    let said: Vec<String> = lenses.iter().map(|lens| lens.description(&rows, bridge, face_form)).collect();
    Some(sheet.scene("above".to_owned(), format!("{view}, order {number}"), said.join(" ")))
}

/// How the frame sets its lenses.
struct Of {
    /// Distance between lenses.
    bridge: f64,
    /// Face form of each side, degrees.
    face_form: f64,
}

/// Where the pair lies on the sheet.
struct Set {
    /// The middle of the bridge.
    middle: f64,
    /// The plane of the front: depth 0.
    level: f64,
    scale: f64,
    /// The lowest line of the lenses.
    front: f64,
    /// How much larger type is.
    k: f64,
}

impl Set {
    /// A place of the front, across and deep, on the sheet.
    fn at(&self, (across, depth): (f64, f64)) -> Spot {
        spot(self.middle + self.scale * across, self.level - self.scale * depth)
    }
}

/// One lens in the front.
struct Above<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    /// Where its boxed centre stands from the middle of the bridge, to the viewer's right.
    centre: f64,
    /// Its turn about the vertical: face form, + on either side where the temple is back.
    turn: f64,
    /// Depth along the cutting axis that stands level with the front.
    zero: f64,
    /// The edge at the nose and at the temple.
    ends: [End<'a>; 2],
    /// The level section, in the lens's own x and depth, round.
    area: Vec<(f64, f64)>,
    /// The lower half of the rim as seated, likewise, from the viewer's left to the right; empty without one.
    rim: Vec<(f64, f64)>,
}

/// One end of the section.
struct End<'a> {
    name: &'static str,
    profile: EdgeProfile<'a>,
}

impl<'a> Above<'a> {
    fn new(of: &Of, plan: &'a EyePlan, order: &Order, rules: &Rules) -> Option<Self> {
        let lens = plan.lens.as_ref()?;
        let cut = CutEdge::of(lens, order, rules);
        let nasal = plan.eye.nasal();
        let (nose, temple) = if nasal > 0.0 { (0, 180) } else { (180, 0) };
        let end = |name, deg| Some(End { name, profile: EdgeProfile::level(lens, cut, deg)? });
        let ends = [end("nose", nose)?, end("temple", temple)?];
        let [at_nose, at_temple] = &ends;
        let zero = at_nose.profile.line().unwrap_or(0.5 * (at_nose.profile.square.0 + at_nose.profile.square.1));
        let mut area = surface(&at_temple.profile, &at_nose.profile, true)?;
        area.extend(round(&at_nose.profile, false)?);
        let mut back = surface(&at_temple.profile, &at_nose.profile, false)?;
        back.reverse();
        area.extend(back);
        area.extend(round(&at_temple.profile, true)?);
        let rim = match &lens.edge_line {
            Some(line) => {
                let places = &line.sized.places;
                let at = |deg: u32| {
                    let row = line.row(deg)?;
                    let i = (deg as usize + places.len() - 90) % places.len();
                    Some((*places.x.get(i)?, (row.depth - row.gap?).mm()))
                };
                (180..=360).filter_map(|deg| at(deg % 360)).collect()
            }
            None => Vec::new(),
        };
        let turn = of.face_form;
        let centre = -nasal * 0.5 * (of.bridge + plan.shape.boxed.width.mm() * cos_deg(turn));
        Some(Self { plan, lens, centre, turn, zero, ends, area, rim })
    }

    /// A place of the lens in the front: across from the middle of the bridge, and deep.
    fn set(&self, (x, depth): (f64, f64)) -> (f64, f64) {
        let (c, s, deep) = (cos_deg(self.turn), sin_deg(self.turn) * self.plan.eye.nasal(), depth - self.zero);
        (self.centre + x * c + deep * s, deep * c - x * s)
    }

    /// How far it reaches from the middle of the bridge, and its least and greatest depth in the front.
    fn frame_extent(&self) -> (f64, (f64, f64)) {
        let places = self.area.iter().chain(&self.rim).map(|&at| self.set(at));
        places.fold((0.0, (f64::INFINITY, f64::NEG_INFINITY)), |(reach, (a, b)), (across, depth)| {
            (f64::max(reach, across.abs()), (f64::min(a, depth), f64::max(b, depth)))
        })
    }

    /// Front and back of the lens at one x at the level of the boxed centre.
    fn wall(&self, x: f64) -> Option<[(f64, f64); 2]> {
        let wall = self.lens.cutting.wall(Point::new(x, 0.0))?;
        Some([(x, wall.front_depth.mm()), (x, wall.back_depth.mm())])
    }

    fn description(&self, rows: &[Row], bridge: Option<f64>, face_form: Option<f64>) -> String {
        let mm = |value: Option<f64>| value.map_or_else(|| "not given".to_owned(), figure::length);
        let figures: Vec<String> =
            rows.iter().filter_map(|row| Some(format!("{} {}", row.name, row.of(self.plan.eye)?))).collect();
        format!(
            "{}: distance between lenses {}, face form {}; {}.",
            figure::capital(&figure::eye(self.plan.eye)),
            mm(bridge),
            mm(face_form),
            figures.join(", ")
        )
    }
}

/// A surface from the corner of the edge at the temple to that at the nose.
fn surface(temple: &EdgeProfile<'_>, nose: &EdgeProfile<'_>, front: bool) -> Option<Vec<(f64, f64)>> {
    let corner = |profile: &EdgeProfile<'_>| {
        let [f, b] = profile.sides()?;
        Some(profile.x(if front { f.corner.0 } else { b.corner.0 }))
    };
    let (from, to) = (corner(temple)?, corner(nose)?);
    (0..=POINTS)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / f64::from(POINTS);
            let inwards = (nose.x(0.0) - x).abs();
            Some((x, if front { nose.front(inwards)? } else { nose.back(inwards)? }))
        })
        .collect()
}

/// The edge between its corners, from the front to the back, or the other way.
fn round(profile: &EdgeProfile<'_>, from_back: bool) -> Option<Vec<(f64, f64)>> {
    let [front, EdgeSide { then: mut behind, .. }] = profile.sides()?;
    behind.reverse();
    let mut edge = front.then;
    edge.append(&mut behind);
    if from_back {
        edge.reverse();
    }
    Some(edge.into_iter().map(|(inwards, depth)| (profile.x(inwards), depth)).collect())
}

/// Eyes, and which way they look.
fn head(sheet: &mut Sheet, lenses: &[Above<'_>], set: &Set) {
    for lens in lenses {
        marks::eye_in_its_corner(sheet, lens.plan.eye);
    }
    sheet.words(spot(set.middle, 7.0 * set.k), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "the wearer");
    sheet.line(&[spot(set.middle, 9.0 * set.k), spot(set.middle, set.front + 16.0 * set.k)], CENTRE);
}

fn draw(sheet: &mut Sheet, lens: &Above<'_>, set: &Set) {
    let at = |place: (f64, f64)| set.at(lens.set(place));
    let area: Vec<Spot> = lens.area.iter().copied().map(at).collect();
    sheet.area(&area, Some(Ink::Water), Some(lines::as_wide(OUTLINE, if set.scale > 1.0 { 0.5 } else { 0.35 })));
    if !lens.rim.is_empty() {
        let rim: Vec<Spot> = lens.rim.iter().copied().map(at).collect();
        sheet.line(&rim, lines::as_wide(RIM, 0.25));
    }
    if let Some([front, back]) = lens.wall(0.0) {
        sheet.line(&[at(front).by(0.0, 2.0), at(back).by(0.0, -2.0)], CENTRE);
    }
    for end in &lens.ends {
        let x = end.profile.x(0.0);
        if let Some(depth) = end.profile.line() {
            edge::line_mark(sheet, at((x, depth)), matches!(end.profile.cut, CutEdge::Groove { .. }));
        }
        // The square edge, beside it.
        let out = if x > 0.0 { 1.0 } else { -1.0 };
        let (front, back) = end.profile.square;
        let beside = |depth: f64| at((x + out * 2.4 / set.scale, depth));
        let (a, b) = (beside(front), beside(back));
        sheet.line(&[a, b], lines::as_wide(THIN, 0.3));
        for depth in [front, back] {
            let (from, to) = (at((x + out * 1.4 / set.scale, depth)), at((x + out * 3.4 / set.scale, depth)));
            sheet.line(&[from, to], lines::as_wide(THIN, 0.3));
        }
    }
    if let Some(centre) = lens.plan.optical_centre {
        let (x, _) = centre.xy(lens.plan.eye);
        if let Some([front, back]) = lens.wall(x) {
            let (from, to) = (at((x, front.1 - 3.0 / set.scale)), at((x, back.1 + 3.0 / set.scale)));
            sheet.line(&[from, to], PUT);
            sheet.circle(halfway(at(front), at(back)), 0.85, None, Some(PUT));
        }
    }
}

/// Lines straight ahead through the pupils, and their distances from the middle of the bridge.
fn pupils(sheet: &mut Sheet, lenses: &[Above<'_>], set: &Set) {
    let y = 17.0 * set.k;
    for lens in lenses {
        let (Some(pd), Some(_)) = (lens.plan.pd, lens.plan.reference_point) else { continue };
        let across = -lens.plan.eye.nasal() * pd.mm();
        let x = set.at((across, 0.0)).x;
        sheet.line(&[spot(x, y - 1.5), spot(x, set.front + 3.0)], CENTRE);
        sheet.circle(spot(x, y + 5.0 * set.k), PUPIL, Some(Ink::Paper), Some(MARK));
        sheet.circle(spot(x, y + 5.0 * set.k), 0.3, Some(Ink::Ink), None);
        let (a, b) = (spot(x, y), spot(set.middle, y));
        marks::dimension(sheet, a, b, THIN);
        let words = figure::length(pd.mm());
        sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
        let (anchor, aside) = if across < 0.0 { (Anchor::End, -2.2) } else { (Anchor::Start, 2.2) };
        let at = spot(x + aside, y + 5.9 * set.k);
        sheet.words(at, anchor, LABEL, Ink::Ink2, Weight::Regular, "pupil");
    }
}

/// The distance between lenses, under them.
fn between(sheet: &mut Sheet, of: &Of, known: Option<f64>, both: bool, set: &Set) {
    let y = set.front + 13.0 * set.k;
    let words = known.map_or_else(|| "not given".to_owned(), figure::length);
    if !both {
        let words = format!("distance between lenses {words}");
        sheet.words(spot(set.middle, y + 4.0 * set.k), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        return;
    }
    let half = 0.5 * of.bridge;
    let (a, b) = (set.at((-half, 0.0)), set.at((half, 0.0)));
    for end in [a, b] {
        sheet.line(&[end.by(0.0, 0.8), spot(end.x, y + 1.0)], PALE);
    }
    let (a, b) = (spot(a.x, y), spot(b.x, y));
    marks::dimension(sheet, a, b, THIN);
    sheet.words(halfway(a, b).by(0.0, -0.9), Anchor::Middle, FIGURE, Ink::Ink, Weight::Medium, words);
    let under = halfway(a, b).by(0.0, 4.0 * set.k);
    sheet.words(under, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, "distance between lenses");
}

/// The plane of the front, and the lens's own, which face form turns back from it.
fn turned(sheet: &mut Sheet, lens: &Above<'_>, of: &Of, set: &Set) {
    if of.face_form.abs() < 0.05 {
        return;
    }
    let nasal = lens.plan.eye.nasal();
    let width = lens.plan.shape.boxed.width.mm();
    let nose = (nasal * 0.5 * width, lens.zero);
    let temple = (-nasal * (0.5 * width + 3.0), lens.zero);
    let from = set.at(lens.set(nose));
    let flat = spot(from.x - nasal * set.scale * (width + 3.0), from.y);
    sheet.line(&[from, flat], REACH);
    sheet.line(&[from, set.at(lens.set(temple))], REACH);
    let r = set.scale * (width + 1.0);
    let arc: Vec<Spot> = (0..=12)
        .map(|i| {
            let deg = of.face_form * f64::from(i) / 12.0;
            from.by(-nasal * r * cos_deg(deg), -r * sin_deg(deg))
        })
        .collect();
    sheet.line(&arc, THIN);
    let words = format!("face form {}\u{b0}", figure::short(of.face_form));
    let (anchor, at) = match lens.plan.eye {
        Eye::Right => (Anchor::Start, spot(flat.x, flat.y + 4.2 * set.k)),
        Eye::Left => (Anchor::End, spot(flat.x, flat.y + 4.2 * set.k)),
    };
    sheet.words(at, anchor, LABEL, Ink::Ink, Weight::Regular, words);
}

/// Names and figures that look for a place.
fn names(sheet: &mut Sheet, lens: &Above<'_>, set: &Set, first: bool) {
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

/// A figure of each lens.
struct Row {
    name: &'static str,
    figures: Vec<(Eye, String)>,
}

impl Row {
    fn of(&self, eye: Eye) -> Option<&str> {
        self.figures.iter().find(|f| f.0 == eye).map(|f| f.1.as_str())
    }
}

fn rows(lenses: &[Above<'_>]) -> Vec<Row> {
    let row = |name, of: &dyn Fn(&Above<'_>) -> Option<String>| Row {
        name,
        figures: lenses.iter().filter_map(|lens| Some((lens.plan.eye, of(lens)?))).collect(),
    };
    let square = |i: usize| {
        move |lens: &Above<'_>| {
            let (front, back) = lens.ends[i].profile.square;
            Some(figure::thickness(back - front))
        }
    };
    let before = |i: usize| move |lens: &Above<'_>| Some(figure::thickness(lens.ends[i].profile.row?.to_front.mm()));
    let gap = |i: usize| move |lens: &Above<'_>| Some(stands(lens.ends[i].profile.row?.gap?.mm()));
    let middle = |lens: &Above<'_>| {
        let [front, back] = lens.wall(0.0)?;
        Some(figure::thickness(back.1 - front.1))
    };
    let groove = lenses.iter().any(|lens| matches!(lens.ends[0].profile.cut, CutEdge::Groove { .. }));
    let [nose, temple, gap_nose, gap_temple] = if groove {
        ["groove from front, nose", "groove from front, temple", "groove at the nose", "groove at the temple"]
    } else {
        ["front shoulder, nose", "front shoulder, temple", "apex at the nose", "apex at the temple"]
    };
    let mut rows = vec![
        row("square edge, nose", &square(0)),
        row("thickness at the boxed centre", &middle),
        row("square edge, temple", &square(1)),
        row(nose, &before(0)),
        row(temple, &before(1)),
        row(gap_nose, &gap(0)),
        row(gap_temple, &gap(1)),
    ];
    rows.retain(|row| !row.figures.is_empty());
    rows
}

/// Names in the middle, figures on both sides.
fn spine(sheet: &mut Sheet, rows: &[Row], lenses: &[Above<'_>], top: f64, k: f64) {
    let (middle, side) = (0.5 * sheet.width, 24.0 * k);
    for (i, row) in rows.iter().enumerate() {
        let y = top + ROW * k * (i as f64 + 0.6);
        let rule = y - 3.6 * k;
        sheet.line(&[spot(middle - side - 26.0 * k, rule), spot(middle + side + 26.0 * k, rule)], PALE);
        sheet.words(spot(middle, y), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, row.name);
        for lens in lenses {
            let Some(words) = row.of(lens.plan.eye) else { continue };
            let (x, anchor) = match lens.plan.eye {
                Eye::Right => (middle - side, Anchor::End),
                Eye::Left => (middle + side, Anchor::Start),
            };
            sheet.words(spot(x, y), anchor, LABEL, Ink::Ink, Weight::Medium, words);
        }
    }
}
