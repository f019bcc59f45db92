//! One eye over its blank, at true size: does it cover, where is it tightest, and what would save it.
//!
//! Drawn in the lens's own plane, square to the axis in which a blank is round; a wall that leans shows its far end
//! broken.

use job::Eye;
use outline::Point;
use planner::{EyePlan, LensPlan, Plan};
use units::maths::{cos_deg, hypot, sin_deg};

use crate::hatch::hatch;
use crate::lines::{self, BEHIND, CENTRE, HATCH, MARK, OUTLINE, PALE, PUT, REACH, RIM, THIN};
use crate::scene::{Anchor, Circle, Frame, Ink, Item, Path, Run, Scene, Spot, Stroke, Weight, spot};
use crate::seen::{Seen, parameters};
use crate::sheet::{FIGURE, GREAT, LABEL, LEADING, Label, Place, Sheet, Sign, TEXT, around, holds, ring};
use crate::{figure, marks, typeface};

/// Width of the column of figures beside the chart.
const COLUMN: f64 = 58.0;
/// From the ring to the edge of the chart: ticks, names, the axis's flag.
const ROUND: f64 = 13.0;
/// The same above and below, where names are not as long as they are wide.
const HIGH: f64 = 9.5;
/// Radius of the glass through which the tightest place is seen, mm.
const GLASS: f64 = 16.0;
/// A margin smaller than this is shown enlarged.
const ENLARGED_BELOW: f64 = 2.0;

/// The eye over its blank; none without a blank.
#[must_use]
pub fn blank(plan: &Plan, eye: Eye) -> Option<Scene> {
    let eye_plan = plan.eyes[eye].as_ref()?;
    let lens = eye_plan.lens.as_ref()?;
    let over = Over::new(eye_plan, lens);
    let half = over.ring + ROUND;
    let width = 4.0 + 2.0 * half + COLUMN + 4.0;
    let centre = spot(4.0 + half, 4.0 + over.ring + HIGH);
    let seen = Seen::true_size(centre);
    let mut sheet = Sheet::new(width, 0.0);
    let beside = column(&mut sheet, &over, spot(width - 4.0 - COLUMN, 6.0));
    let glass = if over.enlarged() { 2.0 * GLASS + 5.0 } else { 0.0 };
    let foot = (centre.y + over.ring + HIGH).max(beside + glass - 8.0);
    sheet.height = foot + 9.0 + marks::TITLE_HIGH + 4.0;

    protractor(&mut sheet, centre, over.ring);
    ground(&mut sheet, &over, seen);
    shape(&mut sheet, &over, seen);
    fixed(&mut sheet, &over, seen);
    let number = plan.number.as_str();
    let view = format!("{} over its blank", figure::capital(&figure::eye(eye)));
    marks::title_block(&mut sheet, Some(number), &view, "facing the wearer, from the front", "1:1");
    marks::scale_bar(&mut sheet, spot(6.0, foot + 4.0));
    if over.enlarged() {
        enlargement(&mut sheet, &over, spot(width - 4.0 - GLASS, foot + 6.0 - GLASS));
    }
    sheet.reserve(Frame { left: width - 6.0 - COLUMN, top: 0.0, right: width, bottom: foot });
    tightest(&mut sheet, &over, seen);
    names(&mut sheet, &over, seen);
    let said = description(&over);
    Some(sheet.scene(format!("blank-{}", eye.word()), format!("{view}, order {number}"), said))
}

/// The lens over its blank, in its own plane: mm from the vertex, x to the viewer's right, y up.
struct Over<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    /// Front end of the wall.
    front: Vec<(f64, f64)>,
    /// Back end of the wall.
    back: Vec<(f64, f64)>,
    middle: (f64, f64),
    boxed_centre: (f64, f64),
    optical_centre: (f64, f64),
    /// The end of the wall that reaches farthest.
    tightest: (f64, f64),
    /// Radius of the graduated ring about the vertex.
    ring: f64,
}

impl<'a> Over<'a> {
    fn new(plan: &'a EyePlan, lens: &'a LensPlan) -> Self {
        let cutting = &lens.cutting;
        let end = |p: Point, back: bool| {
            let depth = if back { cutting.back_depth(p) } else { cutting.front_depth(p) };
            let [x, y, _] = cutting.to_lens([p.x, p.y, depth.unwrap_or(0.0)]);
            (x, y)
        };
        let at = |place: planner::Place| {
            let (x, y) = place.xy(plan.eye);
            end(Point::new(x, y), false)
        };
        let outline = lens.cut.outline();
        let parameters = parameters(outline);
        let course = |back: bool| parameters.iter().map(|&t| end(outline.point(t), back)).collect::<Vec<_>>();
        let middle = at(lens.middle);
        let rim = outline.point(lens.coverage.tightest_deg.to_radians());
        let away = |p: (f64, f64)| hypot(p.0 - middle.0, p.1 - middle.1);
        let (front, back) = (end(rim, false), end(rim, true));
        Self {
            plan,
            lens,
            front: course(false),
            back: course(true),
            middle,
            boxed_centre: end(Point::ORIGIN, false),
            optical_centre: plan.optical_centre.map_or((0.0, 0.0), at),
            tightest: if away(front) >= away(back) { front } else { back },
            ring: hypot(middle.0, middle.1) + 0.5 * lens.blank.nominal.mm() + 1.6,
        }
    }

    fn margin(&self) -> f64 {
        self.lens.coverage.margin.mm()
    }

    fn short(&self) -> bool {
        self.margin() < 0.0
    }

    fn enlarged(&self) -> bool {
        self.margin() < ENLARGED_BELOW
    }

    /// Radius to which the blank may be used, allowance taken off.
    fn useful(&self) -> f64 {
        self.lens.coverage.usable_radius.mm() - self.lens.coverage.allowance.mm()
    }

    fn nominal(&self) -> f64 {
        0.5 * self.lens.blank.nominal.mm()
    }

    /// Unit vector from the blank's middle to the tightest point.
    fn towards_tightest(&self) -> (f64, f64) {
        let (dx, dy) = (self.tightest.0 - self.middle.0, self.tightest.1 - self.middle.1);
        let away = hypot(dx, dy).max(1e-9);
        (dx / away, dy / away)
    }

    fn leans(&self) -> bool {
        hypot(self.lens.block.tilt_in_deg, self.lens.block.tilt_up_deg) > 2.0
    }
}

/// Every 5 degrees a tick, every 30 a name.
fn protractor(sheet: &mut Sheet, centre: Spot, radius: f64) {
    sheet.circle(centre, radius, None, Some(PALE));
    for i in 0..72 {
        let deg = 5.0 * f64::from(i);
        let (x, y) = (cos_deg(deg), sin_deg(deg));
        let long = match i {
            i if i % 6 == 0 => 2.2,
            i if i % 2 == 0 => 1.5,
            _ => 0.9,
        };
        let out = |r: f64| centre.by(x * r, -y * r);
        let stroke = if i % 6 == 0 { lines::as_wide(MARK, 0.25) } else { lines::in_ink(PALE, Ink::Ink2) };
        sheet.line(&[out(radius), out(radius + long)], stroke);
        if i % 6 == 0 {
            let half = 0.5 * typeface::width("000", Weight::Regular) * LABEL;
            let r = radius + 3.0 + half * x.abs() + 0.5 * typeface::CAP * LABEL * y.abs();
            let at = out(r).by(0.0, 0.5 * typeface::CAP * LABEL);
            sheet.words(at, Anchor::Middle, LABEL, Ink::Ink2, Weight::Regular, figure::at(deg));
        }
    }
}

/// The blank, and what of it is not to be used.
fn ground(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let middle = seen.at(over.middle.0, over.middle.1);
    sheet.circle(middle, over.nominal(), Some(Ink::Buff), None);
    let (outer, inner) = (ring(middle, over.nominal(), 360), ring(middle, over.useful(), 360));
    sheet.strokes(hatch(&[&outer, &inner], 45.0, 1.1), HATCH);
    sheet.circle(middle, over.useful(), None, Some(THIN));
    sheet.circle(middle, over.nominal(), None, Some(RIM));
}

fn spots(points: &[(f64, f64)], seen: Seen) -> Vec<Spot> {
    points.iter().map(|&(x, y)| seen.at(x, y)).collect()
}

/// The lens, what of it has no blank, centre lines, block, axis.
fn shape(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let front = spots(&over.front, seen);
    sheet.area(&front, Some(Ink::Water), None);
    let (x, y) = over.boxed_centre;
    let w = 0.5 * over.plan.shape.boxed.width.mm() + 4.0;
    sheet.line(&[seen.at(x - w, y), seen.at(x + w, y)], CENTRE);
    if over.leans() {
        sheet.area(&spots(&over.back, seen), None, Some(lines::as_wide(BEHIND, 0.2)));
    }
    if over.short() {
        for part in outside(over, seen) {
            sheet.area(&part, Some(Ink::Paper), None);
            for deg in [45.0, 135.0] {
                sheet.strokes(hatch(&[&part], deg, 0.75), lines::in_ink(lines::as_wide(HATCH, 0.22), Ink::Stop));
            }
            sheet.area(&part, None, Some(lines::in_ink(THIN, Ink::Stop)));
        }
    }
    sheet.area(&front, None, Some(OUTLINE));
    if let Some(diameter) = over.lens.block.diameter {
        let (x, y) = over.lens.block.at.xy(over.plan.eye);
        let at = seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1);
        sheet.circle(at, 0.5 * diameter.mm(), None, Some(BEHIND));
    }
    let centre = seen.at(over.optical_centre.0, over.optical_centre.1);
    if let Some((_, axis)) = over.plan.power.cylinder() {
        let (x, y) = (cos_deg(axis.deg()), sin_deg(axis.deg()));
        let out = |k: f64| centre.by(x * k, -y * k);
        sheet.line(&[out(over.ring + 2.0), out(-over.ring)], PUT);
        flag(sheet, out(over.ring), (x, y));
    }
    marks::boxed_centre(sheet, seen.at(over.boxed_centre.0, over.boxed_centre.1));
    if let Some(at) = over.plan.reference_point {
        let (x, y) = at.xy(over.plan.eye);
        marks::pupil(sheet, seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1));
    }
    marks::optical_centre(sheet, centre);
    if middle_differs(over) {
        marks::blank_middle(sheet, seen.at(over.middle.0, over.middle.1));
    }
}

fn middle_differs(over: &Over<'_>) -> bool {
    hypot(over.middle.0 - over.optical_centre.0, over.middle.1 - over.optical_centre.1) > 0.05
}

/// The axis's flag: a solid wedge that stands on the ring at the named end.
fn flag(sheet: &mut Sheet, at: Spot, (x, y): (f64, f64)) {
    let tail = at.by(x * 2.4, -y * 2.4);
    sheet.area(&[at, tail.by(-y * 1.0, -x * 1.0), tail.by(y * 1.0, x * 1.0)], Some(Ink::Mark), None);
}

/// The parts of the shape that lie beyond what may be used, as closed runs on the sheet.
fn outside(over: &Over<'_>, seen: Seen) -> Vec<Vec<Spot>> {
    let limit = over.useful();
    let away = |p: (f64, f64)| hypot(p.0 - over.middle.0, p.1 - over.middle.1);
    let far: &[(f64, f64)] = if over.tightest_at_back() { &over.back } else { &over.front };
    let n = far.len();
    let Some(start) = (0..n).find(|&i| away(far[i]) <= limit) else { return vec![spots(far, seen)] };
    let crossing = |p: (f64, f64), q: (f64, f64)| {
        let (a, b) = (away(p) - limit, away(q) - limit);
        let k = a / (a - b);
        (p.0 + (q.0 - p.0) * k, p.1 + (q.1 - p.1) * k)
    };
    let mut parts = Vec::new();
    let mut part: Vec<(f64, f64)> = Vec::new();
    for i in 0..n {
        let (p, q) = (far[(start + i) % n], far[(start + i + 1) % n]);
        match (away(p) > limit, away(q) > limit) {
            (false, true) => part = vec![crossing(p, q), q],
            (true, true) => part.push(q),
            (true, false) => {
                part.push(crossing(p, q));
                close_along(&mut part, over.middle, limit);
                parts.push(spots(&part, seen));
            }
            (false, false) => {}
        }
    }
    parts
}

/// Closes a part along the circle of what may be used.
fn close_along(part: &mut Vec<(f64, f64)>, middle: (f64, f64), radius: f64) {
    let (Some(&first), Some(&last)) = (part.first(), part.last()) else { return };
    let deg = |p: (f64, f64)| units::maths::atan2_deg(p.1 - middle.1, p.0 - middle.0);
    let (from, mut to) = (deg(last), deg(first));
    while to > from {
        to -= 360.0;
    }
    // The way back runs clockwise, less than half a turn; a longer one means that the part was met the other way round.
    if from - to > 180.0 {
        to += 360.0;
    }
    for i in 1..24 {
        let at = from + (to - from) * f64::from(i) / 24.0;
        part.push((middle.0 + radius * cos_deg(at), middle.1 + radius * sin_deg(at)));
    }
}

impl Over<'_> {
    fn tightest_at_back(&self) -> bool {
        let rim = self.lens.cut.outline().point(self.lens.coverage.tightest_deg.to_radians());
        let depth = self.lens.cutting.back_depth(rim).unwrap_or(0.0);
        let [x, y, _] = self.lens.cutting.to_lens([rim.x, rim.y, depth]);
        hypot(x - self.tightest.0, y - self.tightest.1) < 1e-9
    }
}

/// Up, nose and temple inside the blank, where they do not hide the shape.
fn fixed(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    marks::eye(sheet, spot(4.0, 4.0), over.plan.eye, 7.0);
    let name = figure::eye(over.plan.eye);
    sheet.words(spot(12.6, 7.0), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, name);
    let sku = typeface::cut_to(&over.lens.blank.sku, Weight::SemiBold, TEXT, 34.0);
    sheet.words(spot(12.6, 10.9), Anchor::Start, TEXT, Ink::Ink, Weight::SemiBold, sku);
    let middle = seen.at(over.middle.0, over.middle.1);
    let useful = over.useful();
    let top = middle.y - useful;
    marks::up(sheet, spot(middle.x + 3.0, top + 2.0));
    sheet.words(spot(middle.x + 5.0, top + 5.6), Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "up");
    // Beside the shape where there is room in the blank, else over it.
    let outline = spots(&over.front, seen);
    let level = seen.at(0.0, over.boxed_centre.1).y;
    let reach = |y: f64| (useful * useful - (y - middle.y) * (y - middle.y)).max(0.0).sqrt() - 1.2;
    let clear = |y: f64, k: f64| {
        (0..=6).all(|i| {
            [-1.5, 1.5]
                .into_iter()
                .all(|up| !holds(&outline, spot(middle.x + k * (reach(y) - 2.0 * f64::from(i)), y + up)))
        })
    };
    for (nasal, word) in [(true, "nose"), (false, "temple")] {
        let right = (over.plan.eye == Eye::Right) == nasal;
        let k = if right { 1.0 } else { -1.0 };
        let y = (3..18).map(|i| level + 2.0 * f64::from(i)).find(|&y| clear(y, k)).unwrap_or(level + 6.0);
        let tip = spot(middle.x + k * reach(y), y);
        if nasal {
            marks::nose(sheet, tip, right);
        } else {
            marks::temple(sheet, tip, right);
        }
        let anchor = if right { Anchor::End } else { Anchor::Start };
        sheet.words(tip.by(-k * 2.8, 0.9), anchor, LABEL, Ink::Ink, Weight::Regular, word);
    }
}

/// The only dimension: how much is to spare, or short, at the tightest place.
fn tightest(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let (x, y) = over.towards_tightest();
    let middle = seen.at(over.middle.0, over.middle.1);
    let limit = middle.by(x * over.useful(), -y * over.useful());
    let rim = seen.at(over.tightest.0, over.tightest.1);
    let words = figure::length(over.margin().abs());
    if over.short() {
        sheet.line(&[middle, rim], lines::in_ink(REACH, Ink::Stop));
        sheet.circle(rim, 0.6, Some(Ink::Stop), None);
        let label = Label::new(FIGURE, Ink::Stop, Weight::SemiBold, format!("short by {words}")).sign(Sign::Stop);
        let label = label.leads_to(rim, 0.7).leader(lines::as_wide(lines::in_ink(THIN, Ink::Stop), 0.3));
        // Outside the ring, where nothing else is written.
        let out = over.ring - hypot(over.tightest.0, over.tightest.1) + 6.0;
        let towards = units::maths::atan2_deg(y, x);
        let mut places = around(rim, out, out + 14.0, towards);
        places.retain(|p| p.at.to(seen.origin) > over.ring + 7.0);
        sheet.label(&label, &places);
        return;
    }
    sheet.line(&[middle, rim], REACH);
    marks::dimension(sheet, rim, limit, lines::as_wide(THIN, 0.3));
    let label = Label::new(FIGURE, Ink::Ink, Weight::SemiBold, words);
    let at = crate::seen::halfway(rim, limit);
    let towards = units::maths::atan2_deg(y, x) + if x < 0.0 { 90.0 } else { -90.0 };
    sheet.label(&label.leads_to(at, 0.4), &around(at, 2.4, 9.0, towards));
}

/// Names of points and lines inside the chart.
fn names(sheet: &mut Sheet, over: &Over<'_>, seen: Seen) {
    let put = lines::in_ink(THIN, Ink::Mark);
    let centre = seen.at(over.optical_centre.0, over.optical_centre.1);
    if let Some((_, axis)) = over.plan.power.cylinder() {
        let (x, y) = (cos_deg(axis.deg()), sin_deg(axis.deg()));
        let end = centre.by(x * (over.ring + 2.4), -y * (over.ring + 2.4));
        let label = Label::new(FIGURE, Ink::Mark, Weight::SemiBold, figure::axis(axis.deg()));
        sheet.label(&label.leads_to(end, 1.0).leader(put), &around(end, 1.2, 9.0, axis.deg()));
    }
    let pupil = over.plan.reference_point.map(|at| {
        let (x, y) = at.xy(over.plan.eye);
        seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1)
    });
    let together = pupil.is_some_and(|p| p.to(centre) < 0.05);
    let words = match (together, middle_differs(over)) {
        (true, false) => vec!["optical centre, before the pupil,", "middle of the blank"],
        (true, true) => vec!["optical centre, before the pupil"],
        (false, false) => vec!["optical centre,", "middle of the blank"],
        (false, true) => vec!["optical centre"],
    };
    let parts = words.into_iter().map(|w| vec![(Weight::Regular, w.to_owned())]).collect();
    let label = Label::of(LABEL, Ink::Mark, parts).leads_to(centre, 1.3).leader(put);
    sheet.label(&label, &around(centre, 4.5, 26.0, 100.0));
    if let Some(pupil) = pupil.filter(|_| !together) {
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "before the pupil").leads_to(pupil, 2.3);
        sheet.label(&label, &around(pupil, 4.5, 22.0, 45.0));
    }
    let at = seen.at(over.boxed_centre.0, over.boxed_centre.1);
    let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "boxed centre").leads_to(at, 1.3);
    sheet.label(&label, &around(at, 4.5, 24.0, 290.0));
    if middle_differs(over) {
        let at = seen.at(over.middle.0, over.middle.1);
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, "middle of the blank").leads_to(at, 1.8);
        sheet.label(&label, &around(at, 4.5, 16.0, 200.0));
    }
    if let Some(diameter) = over.lens.block.diameter {
        let (x, y) = over.lens.block.at.xy(over.plan.eye);
        let at = seen.at(x + over.boxed_centre.0, y + over.boxed_centre.1);
        let places: Vec<Place> = (0..48)
            .map(|i| {
                let deg = 255.0 + 7.5 * f64::from(if i % 2 == 0 { i / 2 } else { -(i + 1) / 2 });
                let r = 0.5 * diameter.mm() - 2.4;
                let at = at.by(r * cos_deg(deg), -r * sin_deg(deg));
                Place { at, anchor: Anchor::Middle, cost: 0.1 * f64::from(i) }
            })
            .collect();
        let words = format!("block {}", short(diameter.mm()));
        sheet.label(&Label::new(LABEL, Ink::Ink2, Weight::Regular, words), &places);
    }
}

/// A length without a needless decimal.
fn short(mm: f64) -> String {
    let text = figure::length(mm);
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}

/// One figure of the column: large, its unit small, its meaning beneath.
struct Row {
    ink: Ink,
    figure: String,
    unit: &'static str,
    words: String,
}

/// Figures beside the chart, and how to read it; returns where it ends.
fn column(sheet: &mut Sheet, over: &Over<'_>, at: Spot) -> f64 {
    let cover = &over.lens.coverage;
    let place = figure::at(cover.tightest_deg);
    let mut rows = Vec::new();
    if over.short() {
        let figure = figure::length(over.margin());
        rows.push(Row { ink: Ink::Stop, figure, unit: "mm", words: format!("does not cover: worst at {place}") });
    } else {
        let figure = figure::length(over.margin());
        rows.push(Row { ink: Ink::Ink, figure, unit: "mm", words: format!("to spare, tightest at {place}") });
    }
    let figure = figure::length(cover.smallest_blank.mm());
    rows.push(Row { ink: Ink::Ink, figure, unit: "mm", words: "smallest blank that covers".to_owned() });
    if let Some(centre) = over.plan.optical_centre {
        let parts = figure::in_up(centre.inwards.mm(), centre.up.mm(), 1, "");
        let (figure, rest) = match parts.as_slice() {
            [] => ("0.0".to_owned(), String::new()),
            [one] => (one.clone(), String::new()),
            [first, rest @ ..] => (first.clone(), format!(", {}", rest.join(", "))),
        };
        let words = "optical centre from the boxed centre".to_owned();
        rows.push(Row { ink: Ink::Ink, figure: format!("{figure}{rest}"), unit: "mm", words });
    }
    if let Some(rescue) = &cover.rescue {
        let cost = figure::prism(rescue.prism).map_or_else(|| "no prism".to_owned(), |p| format!("{p} of prism"));
        let words = format!("shift of the optical centre that would save it; costs {cost}");
        rows.push(Row { ink: Ink::Stop, figure: figure::place(rescue.shift), unit: "mm", words });
    } else if over.short() {
        let words = "no small shift saves it: take a larger blank".to_owned();
        rows.push(Row { ink: Ink::Stop, figure: "none".to_owned(), unit: "", words });
    }
    let mut y = at.y;
    let rule = |sheet: &mut Sheet, y: f64| sheet.line(&[spot(at.x, y), spot(at.x + COLUMN, y)], THIN);
    for row in rows {
        rule(sheet, y);
        y += 6.2;
        let parts = vec![(Weight::Medium, row.figure.clone())];
        let wide = typeface::width(&row.figure, Weight::Medium) * GREAT;
        sheet.write(crate::scene::Text {
            at: spot(at.x, y),
            anchor: Anchor::Start,
            size: GREAT,
            ink: row.ink,
            halo: None,
            upwards: false,
            parts,
        });
        if !row.unit.is_empty() {
            let unit = spot(at.x + wide + 1.2, y);
            sheet.words(unit, Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, row.unit);
        }
        for line in typeface::wrapped(&row.words, Weight::Regular, TEXT, COLUMN) {
            y += LEADING * TEXT;
            sheet.words(spot(at.x, y), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, line);
        }
        y += 3.0;
    }
    rule(sheet, y);
    legend(sheet, over, spot(at.x, y + 4.2))
}

/// What the lines and tints mean.
fn legend(sheet: &mut Sheet, over: &Over<'_>, at: Spot) -> f64 {
    let cover = &over.lens.coverage;
    let rim = over.nominal() - cover.usable_radius.mm();
    let mut y = at.y;
    let wide = 11.0;
    let mut entry = |sheet: &mut Sheet, draw: &dyn Fn(&mut Sheet, f64), words: &str| {
        draw(sheet, y - 0.5 * typeface::CAP * LABEL);
        sheet.words(
            spot(at.x + wide + 2.0, y),
            Anchor::Start,
            LABEL,
            Ink::Ink,
            Weight::Regular,
            typeface::cut_to(words, Weight::Regular, LABEL, COLUMN - wide - 2.0),
        );
        y += 4.0;
    };
    let line =
        |stroke: Stroke| move |sheet: &mut Sheet, y: f64| sheet.line(&[spot(at.x, y), spot(at.x + wide, y)], stroke);
    let boxed =
        |y: f64| [spot(at.x, y - 1.2), spot(at.x + wide, y - 1.2), spot(at.x + wide, y + 1.2), spot(at.x, y + 1.2)];
    entry(sheet, &line(OUTLINE), "finished outline");
    if over.leans() {
        entry(sheet, &line(lines::as_wide(BEHIND, 0.2)), "its back end: the cutting axis leans");
    }
    let blank = &over.lens.blank;
    let words = format!("rim of the blank: {}, {}", short(blank.nominal.mm()), blank.material.as_str());
    entry(sheet, &line(RIM), &words);
    let hatched = |sheet: &mut Sheet, y: f64| {
        sheet.area(&boxed(y), Some(Ink::Buff), None);
        sheet.strokes(hatch(&[&boxed(y)], 45.0, 1.1), HATCH);
        sheet.area(&boxed(y), None, Some(THIN));
    };
    let words =
        format!("not to be used: rim {}, allowance {}", figure::length(rim), figure::length(cover.allowance.mm()));
    entry(sheet, &hatched, &words);
    if over.lens.block.diameter.is_some() {
        entry(sheet, &line(BEHIND), "block");
    }
    if over.short() {
        let crossed = |sheet: &mut Sheet, y: f64| {
            for deg in [45.0, 135.0] {
                sheet.strokes(hatch(&[&boxed(y)], deg, 0.75), lines::in_ink(lines::as_wide(HATCH, 0.22), Ink::Stop));
            }
            sheet.area(&boxed(y), None, Some(lines::in_ink(THIN, Ink::Stop)));
        };
        entry(sheet, &crossed, "no lens here");
    }
    y
}

/// The tightest place through a glass.
fn enlargement(sheet: &mut Sheet, over: &Over<'_>, at: Spot) {
    let radius = GLASS;
    // As large as shows the margin in a quarter of the glass, in the steps of drawing scales.
    let wanted = 0.5 * radius / over.margin().abs().max(0.05);
    let scale = [20.0, 10.0, 5.0, 4.0].into_iter().find(|s| *s <= wanted).unwrap_or(4.0);
    let (tx, ty) = over.tightest;
    let seen = Seen { origin: at.by(-tx * scale, ty * scale), scale, mirrored: false };
    let path = |spots: Vec<Spot>, closed: bool, fill: Option<Ink>, stroke: Option<Stroke>| {
        Item::Path(Path { runs: vec![Run { spots, closed }], fill, stroke })
    };
    let circle = |r: f64, fill: Option<Ink>, stroke: Option<Stroke>| {
        Item::Circle(Circle { centre: seen.at(over.middle.0, over.middle.1), radius: r * scale, fill, stroke })
    };
    let lens = spots(if over.tightest_at_back() { &over.back } else { &over.front }, seen);
    let mut items =
        vec![circle(over.nominal(), Some(Ink::Buff), None), path(lens.clone(), true, Some(Ink::Water), None)];
    let glass = ring(at, radius, 180);
    let middle = seen.at(over.middle.0, over.middle.1);
    let within = |r: f64| ring(middle, r * scale, 2880);
    let (outer, inner) = (within(over.nominal()), within(over.useful()));
    let strokes = |lines: Vec<Vec<Spot>>, stroke: Stroke| {
        let near = |l: &Vec<Spot>| {
            Frame { left: at.x - radius, right: at.x + radius, top: at.y - radius, bottom: at.y + radius }
                .meets(l[0], l[1])
        };
        let runs = lines.into_iter().filter(near).map(|spots| Run { spots, closed: false }).collect();
        Item::Path(Path { runs, fill: None, stroke: Some(stroke) })
    };
    items.push(strokes(hatch(&[&outer, &inner], 45.0, 1.6), HATCH));
    if over.short() {
        for part in outside(over, seen) {
            items.push(path(part.clone(), true, Some(Ink::Paper), None));
            for deg in [45.0, 135.0] {
                items.push(strokes(hatch(&[&part], deg, 1.1), lines::in_ink(lines::as_wide(HATCH, 0.25), Ink::Stop)));
            }
        }
    }
    items.push(circle(over.useful(), None, Some(THIN)));
    items.push(circle(over.nominal(), None, Some(RIM)));
    items.push(path(lens, true, None, Some(OUTLINE)));
    sheet.area(&glass, Some(Ink::Paper), None);
    sheet.inside(at, radius, items);
    sheet.circle(at, radius, None, Some(MARK));
    let (x, y) = over.towards_tightest();
    let limit = middle.by(x * over.useful() * scale, -y * over.useful() * scale);
    let ink = if over.short() { Ink::Stop } else { Ink::Ink };
    marks::dimension(sheet, at, limit, lines::as_wide(lines::in_ink(THIN, ink), 0.3));
    let words = figure::thickness(over.margin().abs());
    let half = crate::seen::halfway(at, limit);
    let label = Label::new(FIGURE, ink, Weight::SemiBold, words).leads_to(half, 0.4);
    let label = label.leader(lines::in_ink(THIN, ink));
    sheet.label(&label, &around(half, 4.0, 9.0, 60.0));
    let beside = at.by(-radius - 2.0, -radius + 4.0);
    sheet.words(
        beside,
        Anchor::End,
        TEXT,
        Ink::Ink,
        Weight::SemiBold,
        format!("at {}", figure::at(over.lens.coverage.tightest_deg)),
    );
    let ratio = format!("{scale:.0}:1");
    sheet.words(beside.by(0.0, 4.0), Anchor::End, TEXT, Ink::Ink2, Weight::Regular, ratio);
}

fn description(over: &Over<'_>) -> String {
    let cover = &over.lens.coverage;
    let (place, blank) = (figure::at(cover.tightest_deg), short(over.lens.blank.nominal.mm()));
    let verdict = if over.short() {
        format!("A blank of {blank} mm does not cover: short by {} mm at {place}.", figure::length(-over.margin()))
    } else {
        format!("A blank of {blank} mm covers with {} mm to spare, tightest at {place}.", figure::length(over.margin()))
    };
    format!("{verdict} The smallest blank that covers has {} mm.", figure::length(cover.smallest_blank.mm()))
}
