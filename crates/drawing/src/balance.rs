//! Both lenses cut through level at their vertices, beneath one another with the nose at the left: what one sees of the
//! two side by side.

use planner::{EyePlan, LensPlan, Plan};

use crate::lines::{self, CENTRE, OUTLINE, THIN};
use crate::scene::{Anchor, Ink, Scene, Spot, Weight, spot};
use crate::seen::course;
use crate::sheet::{LABEL, Sheet, TEXT};
use crate::{figure, marks, title_block};

/// How much larger than life the sections are drawn.
const SCALE: f64 = 2.0;
/// Where the nasal edge stands.
const START: f64 = 34.0;
/// Room over a section.
const OVER: f64 = 12.0;
/// Points along a section.
const POINTS: u32 = 120;

/// The two lenses in section; none unless both have their blanks.
#[must_use]
pub fn balance(plan: &Plan) -> Option<Scene> {
    let right = Section::new(plan.eyes.right.as_ref()?)?;
    let left = Section::new(plan.eyes.left.as_ref()?)?;
    let wide = [&right, &left].map(|s| SCALE * s.wide).into_iter().fold(0.0, f64::max);
    let width = (START + wide + 42.0).max(186.0);
    let heights = [&right, &left].map(|s| SCALE * s.deep + OVER + 9.0);
    let foot = 10.0 + heights[0] + heights[1];
    let mut sheet = Sheet::new(width, foot + 22.0 + title_block::HIGH + 4.0);
    draw(&mut sheet, &right, 10.0 + OVER);
    draw(&mut sheet, &left, 10.0 + heights[0] + OVER);
    let apart = |name: &str, right: f64, left: f64, unit: &str| {
        format!("{name} {} {unit} apart", figure::thickness((right - left).abs()))
    };
    let (r, l) = (right.lens, left.lens);
    let words = [
        apart("thickest edges", r.edge.thickest.mm(), l.edge.thickest.mm(), "mm"),
        apart("centres", r.thickness.vertex.mm(), l.thickness.vertex.mm(), "mm"),
        apart("front curves on 1.530", r.front_curve_1530.dioptres(), l.front_curve_1530.dioptres(), "D"),
        apart("masses", r.mass_g, l.mass_g, "g"),
    ]
    .join("; ");
    sheet.words(spot(6.0, foot + 4.0), Anchor::Start, TEXT, Ink::Ink, Weight::Medium, words.clone());
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 13.0));
    sheet.words(spot(60.0, foot + 14.2), Anchor::Start, LABEL, Ink::Ink2, Weight::Regular, "on paper: 25 mm of lens");
    let number = plan.number.as_str();
    let view = "Both lenses in section";
    title_block::title_block(&mut sheet, Some(number), view, "from below, nose at the left", "2:1");
    Some(sheet.scene("balance".to_owned(), format!("{view}, order {number}"), format!("{}.", figure::capital(&words))))
}

/// One lens in section.
struct Section<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    /// From the nasal edge outwards: front and back depth.
    course: Vec<(f64, f64, f64)>,
    wide: f64,
    deep: f64,
    least: f64,
    /// How far the vertex lies from the nasal edge.
    vertex: f64,
}

impl<'a> Section<'a> {
    fn new(plan: &'a EyePlan) -> Option<Self> {
        let lens = plan.lens.as_ref()?;
        let (vertex_x, level) = plan.vertex?.xy(plan.eye);
        let (low, high) = crossings(lens, level)?;
        let nasal = plan.eye.nasal();
        let nose = if nasal > 0.0 { high } else { low };
        let mut course = Vec::new();
        for i in 0..=POINTS {
            let out = (high - low) * f64::from(i) / f64::from(POINTS);
            let wall = lens.cutting.wall(outline::Point::new(nose - nasal * out, level))?;
            course.push((out, wall.front_depth.mm(), wall.back_depth.mm()));
        }
        let least = course.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
        let most = course.iter().map(|c| c.2).fold(f64::NEG_INFINITY, f64::max);
        let vertex = (nose - vertex_x) * nasal;
        Some(Self { plan, lens, course, wide: high - low, deep: most - least, least, vertex })
    }
}

/// Where the outline crosses a level; none where it lies beyond.
fn crossings(lens: &LensPlan, level: f64) -> Option<(f64, f64)> {
    let points = course(lens.cut.outline());
    let mut at = Vec::new();
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        if (p.y > level) != (q.y > level) {
            at.push(p.x + (level - p.y) / (q.y - p.y) * (q.x - p.x));
        }
    }
    // A hair inside, so that the wall is met at both ends.
    let low = at.iter().copied().reduce(f64::min)?;
    let high = at.iter().copied().reduce(f64::max)?;
    Some((low, high))
}

fn draw(sheet: &mut Sheet, section: &Section<'_>, top: f64) {
    let at = |out: f64, depth: f64| spot(START + SCALE * out, top + SCALE * (depth - section.least));
    let front: Vec<Spot> = section.course.iter().map(|c| at(c.0, c.1)).collect();
    let back: Vec<Spot> = section.course.iter().map(|c| at(c.0, c.2)).collect();
    let mut area = front;
    area.extend(back.iter().rev());
    sheet.area(&area, Some(Ink::Water), Some(OUTLINE));
    marks::eye(sheet, spot(4.0, top - 2.0), section.plan.eye, 7.0);
    sheet.words(spot(4.0, top + 9.0), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, figure::eye(section.plan.eye));
    let [Some(&nose), Some(&temple)] = [section.course.first(), section.course.last()] else { return };
    let end = |sheet: &mut Sheet, c: (f64, f64, f64), anchor: Anchor, k: f64, name: &str| {
        let (front, back) = (at(c.0, c.1).by(k, 0.0), at(c.0, c.2).by(k, 0.0));
        sheet.line(&[front, back], lines::as_wide(THIN, 0.3));
        for tick in [front, back] {
            sheet.line(&[tick.by(-0.8, 0.0), tick.by(0.8, 0.0)], lines::as_wide(THIN, 0.3));
        }
        let middle = spot(front.x + 0.6 * k, 0.5 * (front.y + back.y));
        let words = figure::thickness(c.2 - c.1);
        sheet.words(middle.by(0.0, 1.1), anchor, TEXT, Ink::Ink, Weight::SemiBold, words);
        sheet.words(middle.by(0.0, 4.6), anchor, LABEL, Ink::Ink2, Weight::Regular, name);
    };
    end(sheet, nose, Anchor::End, -2.2, "nose");
    end(sheet, temple, Anchor::Start, 2.2, "temple");
    let x = START + SCALE * section.vertex;
    let here =
        section.course.iter().min_by(|a, b| (a.0 - section.vertex).abs().total_cmp(&(b.0 - section.vertex).abs()));
    if let Some(c) = here {
        let (front, back) = (at(c.0, c.1), at(c.0, c.2));
        sheet.line(&[spot(x, front.y - 3.0), spot(x, back.y + 2.0)], CENTRE);
    }
    let words = format!(
        "centre {}, front {} on 1.530",
        figure::thickness(section.lens.thickness.vertex.mm()),
        figure::signed(section.lens.front_curve_1530.dioptres())
    );
    sheet.words(spot(x, top - 5.0), Anchor::Middle, TEXT, Ink::Ink, Weight::Regular, words);
}
