//! Square edges laid flat beneath one another on one scale, so that a customer sees which is thinner: the front edge is a
//! straight line, and below it hangs how thick the edge is there.
//!
//! Length runs as in the edge drawing, from the nose over the top to the temple and back underneath. Along is true size;
//! through is drawn larger, as the title block says. What an edge is held against lies over it as a broken line.

use job::Eye;
use planner::{LensPlan, Measured, Plan};
use units::Mm;

use crate::label::{Label, Place, Sign};
use crate::lines::{self, BEHIND, CENTRE, EDGE, MARK, PALE, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Text, Weight, spot};
use crate::sheet::{self, LABEL, LEADING, Sheet, TEXT};
use crate::unrolled::Unrolled;
use crate::{figure, marks, title_block, typeface};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// Room for a strip's words, where type has its usual size.
const WORDS: f64 = 56.0;
/// Room to the right of the longest strip, for the names of its rules.
const AFTER: f64 = 13.0;
/// Along a strip on the widest sheet with type of the usual size.
const LONGEST: f64 = sheet::WIDEST - WORDS;
/// How much larger than life edges that lie beside one another are drawn through.
const BESIDE: f64 = 2.0;
/// The same for an edge as measured over the label's: they differ by tenths.
const MEASURED: f64 = 4.0;
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
    /// What it would be otherwise, drawn broken; where none is named, the ordered one if it has the same outline.
    pub otherwise: Option<&'a LensPlan>,
    /// Whether it is the one that is ordered.
    pub chosen: bool,
}

/// Edges of one eye side by side; none without a row.
#[must_use]
pub fn strips(number: &str, eye: Eye, rows: &[EdgeRow<'_>]) -> Option<Scene> {
    let chosen = rows.iter().find(|row| row.chosen).map(|row| row.lens);
    let strips: Vec<Strip<'_>> = rows
        .iter()
        .map(|row| {
            let ordered = chosen.filter(|lens| !row.chosen && same_outline(lens, row.lens));
            let title = if row.chosen { format!("{}, ordered", row.title) } else { row.title.clone() };
            let details = row.details.iter().map(|words| vec![(Weight::Regular, words.clone())]).collect();
            Strip::new(eye, row.lens, row.otherwise.or(ordered), BESIDE).told(title, details, row.chosen)
        })
        .collect();
    let said: Vec<String> = strips.iter().map(Strip::description).collect();
    let titles = Titles {
        number,
        name: format!("strips-{}", eye.word()),
        view: format!("Edges of the {} side by side", figure::eye(eye)),
        seen: "edge on, laid flat",
        scale: "1:1 along, 2:1 through",
        said: said.join(" "),
        lines: ["this edge", "the one ordered"],
    };
    laid(&titles, &strips)
}

fn same_outline(a: &LensPlan, b: &LensPlan) -> bool {
    let (a, b) = (a.cut.outline(), b.cut.outline());
    (a.circumference().mm() - b.circumference().mm()).abs() < 1e-6
        && (a.boxed().width.mm() - b.boxed().width.mm()).abs() < 1e-6
}

/// What was read on the uncut lenses against their labels: the label's edge broken, the one to expect solid, and each
/// figure that moved, from the label's to the one as measured. None where neither eye has both.
#[must_use]
pub fn measured(measured: &Measured) -> Option<Scene> {
    let lens = |plan: &'_ Plan, eye: Eye| plan.eyes[eye].as_ref().and_then(|e| e.lens.clone());
    let lenses: Vec<(Eye, LensPlan, LensPlan)> = Eye::BOTH
        .into_iter()
        .filter_map(|eye| Some((eye, lens(&measured.label, eye)?, lens(&measured.read, eye)?)))
        .collect();
    let mut said = Vec::new();
    let strips: Vec<Strip<'_>> = lenses
        .iter()
        .map(|(eye, label, read)| {
            let figures = figures(label, read);
            let title = figure::capital(&figure::eye(*eye));
            let words: Vec<String> = figures.iter().map(Figure::said).collect();
            said.push(format!("{title}: {}.", words.join(", ")));
            let mut details = vec![vec![(Weight::Regular, read.blank.sku.clone())]];
            details.extend(figures.iter().map(Figure::line));
            Strip::new(*eye, read, Some(label), MEASURED).told(title, details, false)
        })
        .collect();
    let titles = Titles {
        number: measured.read.number.as_str(),
        name: "measured".to_owned(),
        view: "Measured against label, the edge".to_owned(),
        seen: "edge on, laid flat",
        scale: "1:1 along, 4:1 through",
        said: said.join(" "),
        lines: ["as measured", "by the label"],
    };
    laid(&titles, &strips)
}

/// A figure as the label gives it and as the reading does, both as written.
struct Figure {
    name: &'static str,
    label: String,
    read: String,
    unit: &'static str,
}

impl Figure {
    /// "thickest 4.53 → 4.80 mm", or the figure alone where it stays.
    fn line(&self) -> Vec<(Weight, String)> {
        if self.label == self.read {
            return vec![(Weight::Regular, format!("{} {} {}", self.name, self.read, self.unit))];
        }
        vec![
            (Weight::Regular, format!("{} {} \u{2192} ", self.name, self.label)),
            (Weight::SemiBold, format!("{} {}", self.read, self.unit)),
        ]
    }

    fn said(&self) -> String {
        let Self { name, label, read, unit } = self;
        if label == read { format!("{name} {read} {unit}") } else { format!("{name} {read} {unit}, label {label}") }
    }
}

fn figures(label: &LensPlan, read: &LensPlan) -> Vec<Figure> {
    let of = |name, unit, value: fn(&LensPlan) -> f64| Figure {
        name,
        label: figure::thickness(value(label)),
        read: figure::thickness(value(read)),
        unit,
    };
    vec![
        of("thickest", "mm", |lens| lens.edge.thickest.mm()),
        of("thinnest", "mm", |lens| lens.edge.thinnest.mm()),
        of("centre thickness", "mm", |lens| lens.thickness.vertex.mm()),
        of("cut-out margin", "mm", |lens| lens.coverage.margin.mm()),
        of("mass", "g", |lens| lens.mass_g),
    ]
}

/// What is written about all of them.
struct Titles<'a> {
    number: &'a str,
    name: String,
    view: String,
    seen: &'a str,
    scale: &'a str,
    said: String,
    /// Names of the full and of the broken line.
    lines: [&'a str; 2],
}

fn laid(titles: &Titles<'_>, strips: &[Strip<'_>]) -> Option<Scene> {
    let longest = strips.iter().map(|s| s.unrolled.whole).fold(0.0, f64::max);
    let first = strips.first().filter(|_| longest > 0.0)?;
    // Type grows with the sheet, and the room for words with the type.
    let scale = ((longest + AFTER) / LONGEST).max(1.0);
    let start = WORDS * scale;
    let width = (start + longest + AFTER).max(SHEET);
    let again = strips.windows(2).filter(|w| moved(&w[0], &w[1])).count();
    let parts: f64 = strips.iter().map(|s| s.part(scale)).sum::<f64>() + NAMES * again as f64;
    let head = 11.0 + 8.0 * scale;
    let mut sheet = Sheet::new(width, head + parts + 12.0 + title_block::high(scale) + 4.0);
    let words = "Front edge up, straight; below it the thickness. From the nose, over the top, to the temple, and back underneath.";
    let words = typeface::cut_to(words, Weight::Regular, TEXT * scale, width - 8.0);
    sheet.words(spot(4.0, 7.5), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, words);
    if strips.iter().all(|s| s.eye == first.eye) {
        marks::eye(&mut sheet, spot(7.0, head - 8.0), first.eye, 7.0);
    }
    let mut y = head;
    let mut before: Option<&Strip<'_>> = None;
    for strip in strips {
        // Places are named where they first stand, and again where another shape moves them.
        let named = before.is_none_or(|before| moved(before, strip));
        if named && before.is_some() {
            y += NAMES;
        }
        draw(&mut sheet, strip, start, y, named);
        before = Some(strip);
        y += strip.part(scale);
    }
    title_block::scale_bar(&mut sheet, spot(start, y + 5.5));
    if strips.iter().any(|s| !s.otherwise.is_empty()) {
        legend(&mut sheet, spot(start + 60.0, y + 6.2), titles.lines);
    }
    title_block::title_block(&mut sheet, Some(titles.number), &titles.view, titles.seen, titles.scale);
    let heading = format!("{}, order {}", titles.view, titles.number);
    Some(sheet.scene(titles.name.clone(), heading, titles.said.clone()))
}

/// Whether another shape moves the places along the edge.
fn moved(a: &Strip<'_>, b: &Strip<'_>) -> bool {
    (a.unrolled.whole - b.unrolled.whole).abs() > 0.5
}

fn legend(sheet: &mut Sheet, at: Spot, names: [&str; 2]) {
    let k = sheet.type_scale;
    for (x, stroke, words) in [(0.0, EDGE, names[0]), (11.0 + 22.0 * k, BEHIND, names[1])] {
        sheet.line(&[at.by(x, -0.9), at.by(x + 9.0, -0.9)], stroke);
        sheet.words(at.by(x + 11.0, 0.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, words);
    }
}

/// One edge laid flat.
struct Strip<'a> {
    eye: Eye,
    unrolled: Unrolled<'a>,
    lens: &'a LensPlan,
    title: String,
    details: Vec<Vec<(Weight, String)>>,
    chosen: bool,
    /// Length along the edge and thickness there.
    course: Vec<(f64, f64)>,
    otherwise: Vec<(f64, f64)>,
    /// Greatest thickness that is drawn.
    most: f64,
    /// How much larger than life it is drawn through.
    through: f64,
}

impl<'a> Strip<'a> {
    fn new(eye: Eye, lens: &'a LensPlan, otherwise: Option<&LensPlan>, through: f64) -> Self {
        let thickness = |lens: &LensPlan, unrolled: &Unrolled<'_>| {
            unrolled.course(|p| Some(lens.cutting.wall(p)?.thickness().mm()))
        };
        let unrolled = Unrolled::of(eye, lens.cut.outline());
        let course = thickness(lens, &unrolled);
        let otherwise = otherwise.map_or_else(Vec::new, |lens| thickness(lens, &Unrolled::of(eye, lens.cut.outline())));
        let most = course.iter().chain(&otherwise).map(|c| c.1).fold(0.0, f64::max);
        let (title, details) = (String::new(), Vec::new());
        Self { eye, unrolled, lens, title, details, chosen: false, course, otherwise, most, through }
    }

    fn told(self, title: String, details: Vec<Vec<(Weight, String)>>, chosen: bool) -> Self {
        Self { title, details, chosen, ..self }
    }

    fn description(&self) -> String {
        let edge = &self.lens.edge;
        format!(
            "{}: thickest {} mm at {}, thinnest {} mm at {}.",
            self.title,
            figure::thickness(edge.thickest.mm()),
            figure::at(edge.thickest_deg),
            figure::thickness(edge.thinnest.mm()),
            figure::at(edge.thinnest_deg)
        )
    }

    /// Height of its part of the sheet, whose type is larger by `scale`.
    fn part(&self, scale: f64) -> f64 {
        let words = scale * (TEXT * LEADING + LABEL * LEADING * self.details.len() as f64) + 1.5;
        OVER * scale + (self.through * self.most + UNDER).max(words)
    }
}

fn draw(sheet: &mut Sheet, strip: &Strip<'_>, start: f64, part: f64, named: bool) {
    let top = part + OVER * sheet.type_scale;
    let end = start + strip.unrolled.whole;
    let through = strip.through;
    let foot = top + through * strip.most;
    let at = |c: &(f64, f64)| spot(start + c.0, top + through * c.1);
    let back: Vec<Spot> = strip.course.iter().map(at).collect();
    let mut area = vec![spot(start, top), spot(end, top)];
    area.extend(back.iter().rev());
    sheet.area(&area, Some(Ink::Water), None);
    rules(sheet, strip, start, top);
    for deg in [0.0, 90.0, 180.0, 270.0] {
        let x = start + strip.unrolled.along(strip.unrolled.fellow(deg));
        sheet.line(&[spot(x, top), spot(x, foot)], CENTRE);
    }
    sheet.line(&[spot(end, top), spot(end, foot)], CENTRE);
    sheet.line(&[spot(start, top), spot(end, top)], EDGE);
    sheet.line(&back, EDGE);
    if !strip.otherwise.is_empty() {
        let otherwise: Vec<Spot> = strip.otherwise.iter().map(at).collect();
        sheet.line(&otherwise, BEHIND);
    }
    words(sheet, strip, start, top);
    if named {
        places(sheet, strip, start, part - 3.4);
    }
    flags(sheet, strip, start, top);
}

/// A rule for every millimetre of thickness, named at the right as closely as the type allows.
fn rules(sheet: &mut Sheet, strip: &Strip<'_>, start: f64, top: f64) {
    let end = start + strip.unrolled.whole;
    let apart = (1.1 * LABEL * sheet.type_scale / strip.through).ceil().max(1.0) as u32;
    for mm in 0..=strip.most.floor() as u32 {
        let y = top + strip.through * f64::from(mm);
        if mm > 0 {
            sheet.line(&[spot(start, y), spot(end, y)], PALE);
        }
        if mm % apart == 0 {
            let words = if mm == 0 { "0 mm".to_owned() } else { mm.to_string() };
            let at = spot(end + 1.4, y + 0.35 * LABEL * sheet.type_scale);
            sheet.words(at, Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
        }
    }
}

/// What it is, at the left; the ordered one has a bar beside it.
fn words(sheet: &mut Sheet, strip: &Strip<'_>, start: f64, top: f64) {
    let scale = sheet.type_scale;
    let wide = start - 12.0;
    let mut y = top + 1.8;
    let weight = if strip.chosen { Weight::SemiBold } else { Weight::Medium };
    let title = typeface::cut_to(&strip.title, weight, TEXT * scale, wide);
    sheet.words(spot(7.0, y), Anchor::Start, TEXT, Ink::Ink, weight, title);
    let from = y - TEXT * 0.8 * scale;
    for line in &strip.details {
        y += LABEL * LEADING * scale;
        let mut room = wide;
        let mut parts = Vec::new();
        for (weight, words) in line {
            let words = typeface::cut_to(words, *weight, LABEL * scale, room);
            room -= typeface::width(&words, *weight) * LABEL * scale;
            parts.push((*weight, words));
        }
        let (anchor, ink) = (Anchor::Start, Ink::Ink2);
        sheet.write(Text { at: spot(7.0, y), anchor, size: LABEL, ink, halo: None, upwards: false, parts });
    }
    if strip.chosen {
        sheet.line(&[spot(4.8, from), spot(4.8, y + 0.4)], lines::as_wide(MARK, 1.2));
    }
}

/// Nose, top, temple, bottom, nose.
fn places(sheet: &mut Sheet, strip: &Strip<'_>, start: f64, y: f64) {
    let x = |deg: f64| start + strip.unrolled.along(strip.unrolled.fellow(deg));
    let last = start + strip.unrolled.whole;
    for (x, words) in [(x(0.0), "nose"), (x(90.0), "top"), (x(180.0), "temple"), (x(270.0), "bottom"), (last, "nose")] {
        sheet.words(spot(x, y + 0.9), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, words);
        sheet.line(&[spot(x, y + 1.8), spot(x, y + 3.4)], lines::as_wide(MARK, 0.25));
    }
}

/// Thinnest and thickest place, flagged over the strip.
fn flags(sheet: &mut Sheet, strip: &Strip<'_>, start: f64, top: f64) {
    let edge = &strip.lens.edge;
    let level = top - 0.9 - 0.4 * LABEL * sheet.type_scale;
    let flag = |sheet: &mut Sheet, name: &str, (mm, deg): (Mm, f64), sign: Sign| {
        let x = start + strip.unrolled.along(deg);
        let back = spot(x, top + strip.through * mm.mm());
        sheet.line(&[spot(x, top - 0.9 - 0.8 * LABEL * sheet.type_scale), back], lines::as_wide(THIN, 0.3));
        sheet.circle(back, 0.5, Some(Ink::Ink), None);
        let words = vec![vec![
            (Weight::Regular, name.to_owned()),
            (Weight::SemiBold, figure::thickness(mm.mm())),
            (Weight::Regular, format!(" at {}", figure::at(deg))),
        ]];
        let places: Vec<Place> = (0..40)
            .flat_map(|i| {
                let k = 0.5 * f64::from(i);
                [
                    Place { at: spot(x + 0.9 + k, level), anchor: Anchor::Start, cost: 0.4 * k },
                    Place { at: spot(x - 0.9 - k, level), anchor: Anchor::End, cost: 0.5 + 0.4 * k },
                ]
            })
            .collect();
        (Label::of(LABEL, Ink::Ink, words).sign(sign).leads_to(spot(x, level), 1.5), places)
    };
    let both = [
        flag(sheet, "thickest ", (edge.thickest, edge.thickest_deg), Sign::Thickest),
        flag(sheet, "thinnest ", (edge.thinnest, edge.thinnest_deg), Sign::Thinnest),
    ];
    sheet.two_labels(&both);
}
