//! Square edges laid flat beneath one another on one scale, so that a customer sees which is thinner: the front edge is a
//! straight line, and below it hangs how thick the edge is there.
//!
//! Length runs as in the edge drawing, from the nose over the top to the temple and back underneath. Through is drawn twice
//! as large as along.

use core::f64::consts::PI;

use job::Eye;
use outline::Outline;
use planner::{LensPlan, Measured, Plan};

use crate::label::{Label, Place, Sign};
use crate::lines::{self, BEHIND, CENTRE, EDGE, MARK, PALE, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::seen::parameters;
use crate::sheet::{LABEL, LEADING, Sheet, TEXT};
use crate::{figure, marks, title_block, typeface};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Where every strip begins: right of its words.
const START: f64 = 56.0;
/// Room to the right of the longest strip.
const AFTER: f64 = 9.0;
/// How much larger than life an edge is drawn through.
const THROUGH: f64 = 2.0;
/// Room over a strip for its flags.
const OVER: f64 = 6.5;
/// Room for the names of places.
const NAMES: f64 = 7.0;
/// Room under it.
const UNDER: f64 = 4.5;

/// One edge to lay beside others.
#[derive(Debug, Clone)]
pub struct EdgeRow<'a> {
    /// What it is: a material, a frame.
    pub title: String,
    /// A few words more, a line each.
    pub details: Vec<String>,
    /// The lens.
    pub lens: &'a LensPlan,
    /// What it would be otherwise, drawn broken.
    pub otherwise: Option<&'a LensPlan>,
    /// Whether it is the one that is ordered.
    pub chosen: bool,
}

/// Edges of one eye side by side; none without a row.
#[must_use]
pub fn strips(number: &str, eye: Eye, rows: &[EdgeRow<'_>]) -> Option<Scene> {
    let view = format!("Edges of the {} side by side", figure::eye(eye));
    let said: Vec<String> = rows.iter().map(describe).collect();
    laid(number, "strips", &view, &rows.iter().map(|row| (eye, row.clone())).collect::<Vec<_>>(), said.join(" "))
        .map(|scene| Scene { name: format!("strips-{}", eye.word()), ..scene })
}

/// What was read on the uncut lenses against their labels: the label's edge broken, the one to expect solid. None where
/// neither eye has both.
#[must_use]
pub fn measured(measured: &Measured) -> Option<Scene> {
    let rows: Vec<(Eye, EdgeRow<'_>)> = Eye::BOTH
        .into_iter()
        .filter_map(|eye| {
            let lens = |plan: &'_ Plan| plan.eyes[eye].as_ref().and_then(|e| e.lens.clone());
            lens(&measured.label).and(lens(&measured.read))?;
            let (label, read) =
                (measured.label.eyes[eye].as_ref()?.lens.as_ref()?, measured.read.eyes[eye].as_ref()?.lens.as_ref()?);
            let was = |name: &str, read: f64, label: f64, unit: &str| {
                let (read, label) = (figure::thickness(read), figure::thickness(label));
                if read == label {
                    format!("{name} {read} {unit}")
                } else {
                    format!("{name} {read}, label {label} {unit}")
                }
            };
            let details = vec![
                label.blank.sku.clone(),
                was("thickest", read.edge.thickest.mm(), label.edge.thickest.mm(), "mm"),
                was("thinnest", read.edge.thinnest.mm(), label.edge.thinnest.mm(), "mm"),
                was("centre", read.thickness.vertex.mm(), label.thickness.vertex.mm(), "mm"),
                was("to spare", read.coverage.margin.mm(), label.coverage.margin.mm(), "mm"),
                was("mass", read.mass_g, label.mass_g, "g"),
            ];
            let title = figure::capital(&figure::eye(eye));
            Some((eye, EdgeRow { title, details, lens: read, otherwise: Some(label), chosen: false }))
        })
        .collect();
    let said: Vec<String> =
        rows.iter().map(|(_, row)| format!("{}: {}.", row.title, row.details[1..].join(", "))).collect();
    laid(measured.read.number.as_str(), "measured", "Measured against label, the edge", &rows, said.join(" "))
}

fn describe(row: &EdgeRow<'_>) -> String {
    let edge = &row.lens.edge;
    format!(
        "{}: thickest {} mm at {}, thinnest {} mm at {}.",
        row.title,
        figure::thickness(edge.thickest.mm()),
        figure::at(edge.thickest_deg),
        figure::thickness(edge.thinnest.mm()),
        figure::at(edge.thinnest_deg)
    )
}

fn laid(number: &str, name: &str, view: &str, rows: &[(Eye, EdgeRow<'_>)], said: String) -> Option<Scene> {
    let strips: Vec<Strip<'_>> = rows.iter().map(|(eye, row)| Strip::new(*eye, row)).collect();
    let longest = strips.iter().map(|s| s.whole).fold(0.0, f64::max);
    if strips.is_empty() || longest == 0.0 {
        return None;
    }
    let width = (START + longest + AFTER).max(SHEET);
    let again = strips.windows(2).filter(|w| (w[0].whole - w[1].whole).abs() > 0.5).count();
    let scale = Sheet::new(width, 0.0).type_scale;
    let parts: f64 = strips.iter().map(|s| s.part(scale)).sum::<f64>() + NAMES * again as f64;
    let head = 18.0;
    let mut sheet = Sheet::new(width, head + parts + 12.0 + title_block::HIGH + 4.0);
    let words = "Front edge up, straight; below it the thickness. From the nose, over the top, to the temple, and back underneath.";
    sheet.words(spot(4.0, 7.5), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, words);
    let eye = strips[0].eye;
    if strips.iter().all(|s| s.eye == eye) {
        marks::eye(&mut sheet, spot(7.0, head - 6.6), eye, 7.0);
    }
    let mut y = head;
    let mut before: Option<f64> = None;
    for strip in &strips {
        // Places are named where they first stand, and again where another shape moves them.
        let named = before.is_none_or(|whole| (whole - strip.whole).abs() > 0.5);
        if named && before.is_some() {
            y += NAMES;
        }
        draw(&mut sheet, strip, y, named);
        before = Some(strip.whole);
        y += strip.part(scale);
    }
    title_block::scale_bar(&mut sheet, spot(START, y + 5.5));
    if strips.iter().any(|s| !s.otherwise.is_empty()) {
        legend(&mut sheet, spot(START + 60.0, y + 6.2));
    }
    title_block::title_block(&mut sheet, Some(number), view, "edge on, laid flat", "1:1 along, 2:1 through");
    Some(sheet.scene(name.to_owned(), format!("{view}, order {number}"), said))
}

fn legend(sheet: &mut Sheet, at: Spot) {
    for (x, stroke, words) in [(0.0, EDGE, "as measured"), (34.0, BEHIND, "by the label")] {
        sheet.line(&[at.by(x, -0.9), at.by(x + 9.0, -0.9)], stroke);
        sheet.words(at.by(x + 11.0, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
    }
}

/// One edge laid flat.
struct Strip<'a> {
    eye: Eye,
    row: &'a EdgeRow<'a>,
    /// Length along the edge and thickness there.
    course: Vec<(f64, f64)>,
    otherwise: Vec<(f64, f64)>,
    whole: f64,
    /// Greatest thickness that is drawn.
    most: f64,
}

impl<'a> Strip<'a> {
    fn new(eye: Eye, row: &'a EdgeRow<'a>) -> Self {
        let (course, whole) = course(eye, row.lens);
        let otherwise = row.otherwise.map_or_else(Vec::new, |lens| self::course(eye, lens).0);
        let most = course.iter().chain(&otherwise).map(|c| c.1).fold(0.0, f64::max);
        Self { eye, row, course, otherwise, whole, most }
    }

    /// Height of its part of the sheet, whose type is larger by `scale`.
    fn part(&self, scale: f64) -> f64 {
        let words = scale * (TEXT * LEADING + LABEL * LEADING * self.row.details.len() as f64) + 1.5;
        OVER * scale + (THROUGH * self.most + UNDER).max(words)
    }

    fn along(&self, deg: f64) -> f64 {
        let outline = self.row.lens.cut.outline();
        let t = outline.towards(units::Angle::from_deg(deg.rem_euclid(360.0)));
        along(self.eye, outline, t)
    }

    /// Direction that stands where the right eye has this one.
    fn fellow(&self, deg: f64) -> f64 {
        match self.eye {
            Eye::Right => deg,
            Eye::Left => (180.0 - deg).rem_euclid(360.0),
        }
    }
}

/// Thickness along the edge, from the nasal end over the top, and the length of the whole.
fn course(eye: Eye, lens: &LensPlan) -> (Vec<(f64, f64)>, f64) {
    let outline = lens.cut.outline();
    let whole = outline.circumference().mm();
    let mut course: Vec<(f64, f64)> = parameters(outline)
        .into_iter()
        .filter_map(|t| Some((along(eye, outline, t), lens.cutting.wall(outline.point(t))?.thickness().mm())))
        .collect();
    course.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let Some(&(start, thickness)) = course.first() {
        course.push((start + whole, thickness));
    }
    (course, whole)
}

/// Length from the nasal end of the centreline over the top: anticlockwise for the right eye, clockwise for the left.
fn along(eye: Eye, outline: &Outline, t: f64) -> f64 {
    let lengths = outline.lengths();
    match eye {
        Eye::Right => lengths.up_to(t).mm(),
        Eye::Left => (lengths.up_to(PI).mm() - lengths.up_to(t).mm()).rem_euclid(lengths.circumference().mm()),
    }
}

fn draw(sheet: &mut Sheet, strip: &Strip<'_>, part: f64, named: bool) {
    let top = part + OVER * sheet.type_scale;
    let end = START + strip.whole;
    let foot = top + THROUGH * strip.most;
    // A line for every millimetre, named at the strip's left.
    for mm in 1..=strip.most.ceil() as u32 {
        let y = top + THROUGH * f64::from(mm);
        if y <= foot + THROUGH {
            sheet.line(&[spot(START, y), spot(end, y)], PALE);
        }
    }
    let at = |c: &(f64, f64)| spot(START + c.0, top + THROUGH * c.1);
    let back: Vec<Spot> = strip.course.iter().map(at).collect();
    let mut area = vec![spot(START, top), spot(end, top)];
    area.extend(back.iter().rev());
    sheet.area(&area, Some(Ink::Water), None);
    for deg in [0.0, 90.0, 180.0, 270.0] {
        let x = START + strip.along(strip.fellow(deg));
        sheet.line(&[spot(x, top - 1.4), spot(x, foot)], CENTRE);
    }
    sheet.line(&[spot(end, top - 1.4), spot(end, foot)], CENTRE);
    sheet.line(&[spot(START, top), spot(end, top)], EDGE);
    sheet.line(&back, EDGE);
    if !strip.otherwise.is_empty() {
        let otherwise: Vec<Spot> = strip.otherwise.iter().map(at).collect();
        sheet.line(&otherwise, BEHIND);
    }
    words(sheet, strip, top);
    if named {
        places(sheet, strip, part - 3.4);
    }
    flags(sheet, strip, top);
}

/// What it is, at the left; the ordered one has a bar beside it.
fn words(sheet: &mut Sheet, strip: &Strip<'_>, top: f64) {
    let row = strip.row;
    let scale = sheet.type_scale;
    let wide = (START - 12.0) / scale;
    let mut y = top + 1.8;
    let weight = if row.chosen { Weight::SemiBold } else { Weight::Medium };
    let title = if row.chosen { format!("{}, ordered", row.title) } else { row.title.clone() };
    sheet.words(spot(7.0, y), Anchor::Start, TEXT, Ink::Ink, weight, typeface::cut_to(&title, weight, TEXT, wide));
    let from = y - TEXT * 0.8 * scale;
    for line in &row.details {
        y += LABEL * LEADING * scale;
        let line = typeface::cut_to(line, Weight::Regular, LABEL, wide);
        sheet.words(spot(7.0, y), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, line);
    }
    if row.chosen {
        sheet.line(&[spot(4.8, from), spot(4.8, y + 0.4)], lines::as_wide(MARK, 1.2));
    }
}

/// Nose, top, temple, bottom, nose.
fn places(sheet: &mut Sheet, strip: &Strip<'_>, y: f64) {
    let x = |deg: f64| START + strip.along(strip.fellow(deg));
    let last = START + strip.whole;
    for (x, words) in [(x(0.0), "nose"), (x(90.0), "top"), (x(180.0), "temple"), (x(270.0), "bottom"), (last, "nose")] {
        sheet.words(spot(x, y + 0.9), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        sheet.line(&[spot(x, y + 1.8), spot(x, y + 3.4)], lines::as_wide(MARK, 0.25));
    }
}

/// Thinnest and thickest place, flagged over the strip.
fn flags(sheet: &mut Sheet, strip: &Strip<'_>, top: f64) {
    let edge = &strip.row.lens.edge;
    for (name, mm, deg, sign) in [
        ("thickest ", edge.thickest, edge.thickest_deg, Sign::Thickest),
        ("thinnest ", edge.thinnest, edge.thinnest_deg, Sign::Thinnest),
    ] {
        let x = START + strip.along(deg);
        let back = spot(x, top + THROUGH * mm.mm());
        sheet.line(&[spot(x, top - 2.2), back], lines::as_wide(THIN, 0.3));
        sheet.circle(back, 0.5, Some(Ink::Ink), None);
        let words = vec![vec![
            (Weight::Regular, name.to_owned()),
            (Weight::SemiBold, figure::thickness(mm.mm())),
            (Weight::Regular, format!(" at {}", figure::at(deg))),
        ]];
        let places: Vec<Place> = (0..12)
            .flat_map(|i| {
                let k = f64::from(i);
                [
                    Place { at: spot(x + 0.8 + k, top - 1.9), anchor: Anchor::Start, cost: 0.2 * k },
                    Place { at: spot(x - 0.8 - k, top - 1.9), anchor: Anchor::End, cost: 0.5 + 0.2 * k },
                ]
            })
            .collect();
        sheet.label(&Label::of(LABEL, Ink::Ink, words).sign(sign).leads_to(spot(x, top - 2.2), 0.0), &places);
    }
}
