//! Both lenses cut through level at their vertices, beside one another on one scale with the nose between them, and what
//! the two differ by.

use outline::{Outline, Point};
use planner::{EyePlan, LensPlan, Plan};
use units::Mm;

use crate::lines::{self, CENTRE, OUTLINE, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::seen::parameters;
use crate::sheet::{LABEL, Sheet, TEXT};
use crate::{figure, marks, title_block};

/// Narrowest sheet: A4 less its margins.
const SHEET: f64 = 186.0;
/// How much larger than life sections may be drawn: the first that has room.
const SCALES: [f64; 5] = [2.5, 2.0, 1.75, 1.5, 1.25];
/// Room between the nasal edges, and beside each temporal one.
const BETWEEN: f64 = 16.0;
const BESIDE: f64 = 9.0;
/// From the top of the sheet to the highest point of a section.
const OVER: f64 = 25.0;
/// From the lowest point of a section to the figures.
const UNDER: f64 = 20.0;
/// From row to row.
const ROW: f64 = 5.0;
/// Points along a section.
const POINTS: u32 = 160;

/// The two lenses in section; none unless both have their blanks.
///
/// The section lies at the level of each lens's vertex, which is its optical centre where no prism is ground; depths are
/// along each lens's own cutting axis, and the fronts stand level at the vertices.
#[must_use]
pub fn balance(plan: &Plan) -> Option<Scene> {
    let right = Section::new(plan.eyes.right.as_ref()?)?;
    let left = Section::new(plan.eyes.left.as_ref()?)?;
    let sections = [&right, &left];
    let wide = right.wide() + left.wide();
    let room = SHEET - BETWEEN - 2.0 * BESIDE;
    let scale = SCALES.into_iter().find(|scale| scale * wide <= room).unwrap_or(1.0);
    let width = (scale * wide + BETWEEN + 2.0 * BESIDE).max(SHEET);
    let over = sections.iter().map(|s| s.extent().0).fold(f64::INFINITY, f64::min);
    let under = sections.iter().map(|s| s.extent().1).fold(f64::NEG_INFINITY, f64::max);
    let rows = rows(&right, &left);
    let figures = OVER + scale * (under - over) + UNDER;
    let foot = figures + ROW * rows.len() as f64;
    let mut sheet = Sheet::new(width, foot + 14.0 + title_block::HIGH + 4.0);

    let middle = 0.5 * (width + scale * (right.wide() - left.wide()));
    let level = OVER - scale * over;
    for eye in job::Eye::BOTH {
        marks::eye_in_its_corner(&mut sheet, eye);
    }
    for section in sections {
        let nose = middle - 0.5 * BETWEEN * section.plan.eye.nasal();
        draw(&mut sheet, section, spot(nose - scale * section.nose, level), scale);
    }
    table(&mut sheet, &rows, figures);
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 6.0));
    let words = match figure::short(50.0 / scale).as_str() {
        "50" => "true size".to_owned(),
        of_lens => format!("50 mm on paper: {of_lens} mm of lens"),
    };
    sheet.words(spot(61.0, foot + 7.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, words);
    let number = plan.number.as_str();
    let view = "Both lenses in section";
    let seen = "from below, front up: right eye on the left";
    title_block::title_block(&mut sheet, Some(number), view, seen, &format!("{scale}:1"));
    let said: Vec<String> = rows.iter().map(Row::said).collect();
    Some(sheet.scene("balance".to_owned(), format!("{view}, order {number}"), format!("{}.", said.join("; "))))
}

/// One lens in section.
struct Section<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    /// From the viewer's left to the right: x, and front and back depth from the front at the vertex.
    course: Vec<(f64, f64, f64)>,
    /// x of the nasal edge and of the vertex.
    nose: f64,
    vertex: f64,
}

impl<'a> Section<'a> {
    fn new(plan: &'a EyePlan) -> Option<Self> {
        let lens = plan.lens.as_ref()?;
        let (vertex, level) = plan.vertex?.xy(plan.eye);
        let (low, high) = crossings(lens.cut.outline(), level)?;
        let zero = lens.cutting.front_depth(Point::new(vertex, level))?;
        let mut course = Vec::new();
        for i in 0..=POINTS {
            let x = low + (high - low) * f64::from(i) / f64::from(POINTS);
            let wall = lens.cutting.wall(Point::new(x, level))?;
            course.push((x, wall.front_depth.mm() - zero, wall.back_depth.mm() - zero));
        }
        let nose = if plan.eye.nasal() > 0.0 { high } else { low };
        Some(Self { plan, lens, course, nose, vertex })
    }

    fn wide(&self) -> f64 {
        self.course.last().map_or(0.0, |c| c.0) - self.course.first().map_or(0.0, |c| c.0)
    }

    /// Least and greatest depth.
    fn extent(&self) -> (f64, f64) {
        self.course.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), c| (a.min(c.1), b.max(c.2)))
    }

    /// Its ends: nasal, temporal.
    fn ends(&self) -> Option<[(f64, f64, f64); 2]> {
        let (first, last) = (*self.course.first()?, *self.course.last()?);
        Some(if self.plan.eye.nasal() > 0.0 { [last, first] } else { [first, last] })
    }

    /// Square edge at its ends: nasal, temporal.
    fn edges(&self) -> [f64; 2] {
        self.ends().map_or([0.0; 2], |ends| ends.map(|end| end.2 - end.1))
    }
}

/// Where the outline crosses a level, leftmost and rightmost; none where it lies beyond.
fn crossings(outline: &Outline, level: f64) -> Option<(f64, f64)> {
    let at = parameters(outline);
    let mut found = Vec::new();
    for (i, &from) in at.iter().enumerate() {
        let to = at.get(i + 1).copied().unwrap_or(core::f64::consts::TAU);
        let over = |t: f64| outline.point(t).y > level;
        if over(from) == over(to) {
            continue;
        }
        let (mut a, mut b) = (from, to);
        for _ in 0..50 {
            let t = 0.5 * (a + b);
            if over(t) == over(from) { a = t } else { b = t }
        }
        found.push(outline.point(a).x);
    }
    Some((found.iter().copied().reduce(f64::min)?, found.iter().copied().reduce(f64::max)?))
}

/// Draws a section whose x = 0 at the level of the vertex's front lies at `origin`.
fn draw(sheet: &mut Sheet, section: &Section<'_>, origin: Spot, scale: f64) {
    let at = |x: f64, depth: f64| origin.by(scale * x, scale * depth);
    let mut area: Vec<Spot> = section.course.iter().map(|c| at(c.0, c.1)).collect();
    area.extend(section.course.iter().rev().map(|c| at(c.0, c.2)));
    sheet.area(&area, Some(Ink::Water), Some(OUTLINE));
    let Some(ends) = section.ends() else { return };
    for ((x, front, back), (name, out)) in
        ends.into_iter().zip([("nose", section.plan.eye.nasal()), ("temple", -section.plan.eye.nasal())])
    {
        let (front, back) = (at(x, front).by(2.2 * out, 0.0), at(x, back).by(2.2 * out, 0.0));
        sheet.line(&[front, back], lines::as_wide(THIN, 0.3));
        for tick in [front, back] {
            sheet.line(&[tick.by(-0.9, 0.0), tick.by(0.9, 0.0)], lines::as_wide(THIN, 0.3));
        }
        // Figures stand under their own lens, so that those of the two noses keep apart.
        let (anchor, under) = (if out > 0.0 { Anchor::End } else { Anchor::Start }, back.by(0.9 * out, 0.0));
        let k = sheet.type_scale;
        let words = figure::thickness((back.y - front.y) / scale);
        sheet.words(under.by(0.0, 1.2 + 3.0 * k), anchor, TEXT, Ink::Ink, Weight::SemiBold, words);
        sheet.words(under.by(0.0, 1.2 + 6.4 * k), anchor, LABEL, Ink::Ink2, Weight::Regular, name);
    }
    let (front, back) = (at(section.vertex, 0.0), at(section.vertex, section.lens.thickness.vertex.mm()));
    sheet.line(&[front.by(0.0, -4.0), back.by(0.0, 3.0)], CENTRE);
    let words = format!(
        "centre thickness {}, front {} on 1.530",
        figure::thickness(section.lens.thickness.vertex.mm()),
        figure::signed(section.lens.front_curve_1530.dioptres())
    );
    sheet.words(front.by(0.0, -5.2), Anchor::Middle, LABEL, Ink::Ink, Weight::Regular, words);
}

/// A figure of both lenses.
struct Row {
    name: &'static str,
    unit: &'static str,
    right: f64,
    left: f64,
    /// Whether it carries its sign.
    signed: bool,
}

impl Row {
    fn write(&self, value: f64) -> String {
        if self.signed { figure::signed(value) } else { figure::thickness(value) }
    }

    /// Right less left, of the figures as they are written, so that the three agree.
    fn apart(&self) -> f64 {
        let written = |value: f64| (value * 100.0).round();
        (written(self.right) - written(self.left)) / 100.0
    }

    fn said(&self) -> String {
        let (right, left) = (self.write(self.right), self.write(self.left));
        format!(
            "{} right {right}, left {left} {}, {} apart",
            self.name,
            self.unit,
            figure::thickness(self.apart().abs())
        )
    }
}

fn rows(right: &Section<'_>, left: &Section<'_>) -> Vec<Row> {
    let row = |name, unit, signed, of: &dyn Fn(&Section<'_>) -> f64| Row {
        name,
        unit,
        right: of(right),
        left: of(left),
        signed,
    };
    let mm = |value: Mm| value.mm();
    vec![
        row("square edge at the nose", "mm", false, &|s| s.edges()[0]),
        row("square edge at the temple", "mm", false, &|s| s.edges()[1]),
        row("thickest edge, all round", "mm", false, &|s| mm(s.lens.edge.thickest)),
        row("centre thickness", "mm", false, &|s| mm(s.lens.thickness.vertex)),
        row("front curve on 1.530", "D", true, &|s| s.lens.front_curve_1530.dioptres()),
        row("mass", "g", false, &|s| s.lens.mass_g),
    ]
}

/// The figures of both, their names between them, and what they differ by.
fn table(sheet: &mut Sheet, rows: &[Row], top: f64) {
    let k = sheet.type_scale;
    let middle = 0.5 * sheet.width;
    let (half, last) = (26.0 * k, 66.0 * k);
    let head = top - 0.2 * ROW;
    for (x, anchor, words) in [
        (middle - half, Anchor::End, "right"),
        (middle + half, Anchor::Start, "left"),
        (middle + last, Anchor::End, "right less left"),
    ] {
        sheet.words(spot(x, head - 1.4), anchor, LABEL, Ink::Ink2, Weight::Regular, words);
    }
    sheet.line(&[spot(middle - half - 10.0 * k, head), spot(middle + last, head)], THIN);
    for (i, row) in rows.iter().enumerate() {
        let y = top + ROW * (i as f64 + 0.6);
        let apart = row.apart();
        let name = format!("{}, {}", row.name, row.unit);
        sheet.words(spot(middle, y), Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, name);
        sheet.words(spot(middle - half, y), Anchor::End, TEXT, Ink::Ink, Weight::Regular, row.write(row.right));
        sheet.words(spot(middle + half, y), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, row.write(row.left));
        let words = if apart == 0.0 { figure::thickness(0.0) } else { figure::signed(apart) };
        let weight = if apart == 0.0 { Weight::Regular } else { Weight::Medium };
        sheet.words(spot(middle + last, y), Anchor::End, TEXT, Ink::Ink, weight, words);
    }
}
