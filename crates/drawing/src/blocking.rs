//! The card for the blocker, at true size, drawn as the lens lies: front up as facing the wearer, back up mirrored.
//!
//! It says, in the order of the hands: where the dots go, what is written on the lens, where the block sits, and where the
//! two pen lines run that show a slip.

use job::Eye;
use job::rules::Lies;
use planner::{EyePlan, LensPlan, Plan};
use units::maths::{cos_deg, sin_deg};

use crate::label::{Label, Place, Sign, around};
use crate::lines::{self, BEHIND, CENTRE, OUTLINE, PUT, RIM, THIN};
use crate::pair::ray;
use crate::scene::{Anchor, Frame, Ink, Scene, Spot, Stroke, Text, Weight, spot};
use crate::seen::{Seen, halfway};
use crate::sheet::{FIGURE, GREAT, LABEL, LEADING, Sheet, TEXT, holds, round_about};
use crate::{figure, marks, title_block, typeface};

/// Width of the column of steps.
const COLUMN: f64 = 66.0;
/// Room round the blank's rim for the axis's name and the arrow.
const ROUND: f64 = 10.0;
/// Half the distance between the outer dots as drawn; on the lens it is the instrument's own.
const DOTS: f64 = 8.5;
/// Length of the arrow to the nose, mm.
const ARROW: f64 = 8.0;
/// Length of a pen line inside and outside the block's rim, mm.
const PEN: f64 = 4.0;

/// The card for the blocker; none without a blank.
#[must_use]
pub fn blocking(plan: &Plan, eye: Eye, lies: Lies) -> Option<Scene> {
    let eye_plan = plan.eyes[eye].as_ref()?;
    let lens = eye_plan.lens.as_ref()?;
    let mirrored = lies == Lies::BackUp;
    let rim = 0.5 * lens.blank.nominal.mm();
    let half = rim + ROUND;
    let width = 4.0 + 2.0 * half + COLUMN + 4.0;
    let mut sheet = Sheet::new(width, 0.0);
    let end = steps(&mut sheet, eye_plan, lens, spot(width - 4.0 - COLUMN, 6.0));
    // The blank's middle is the middle of the chart.
    let (mx, my) = lens.middle.xy(eye);
    let middle = spot(4.0 + half, 8.0 + rim + 8.0);
    let foot = (middle.y + rim + 6.0).max(end - 5.0);
    sheet.height = foot + 9.0 + title_block::HIGH + 4.0;
    let seen = Seen { origin: middle.by(if mirrored { mx } else { -mx }, my), scale: 1.0, mirrored };
    let mut card = Card { plan: eye_plan, lens, seen, middle, rim, arrow: middle };
    card.arrow = card.find_arrow();

    sheet.circle(middle, rim, Some(Ink::Water), Some(RIM));
    let outline = seen.outline(lens.cut.outline());
    sheet.area(&outline, None, Some(OUTLINE));
    for hole in &lens.holes {
        let (x, y) = hole.at.xy(eye);
        marks::hole(&mut sheet, seen.at(x, y), hole.diameter.mm());
    }
    card.block(&mut sheet);
    card.axis(&mut sheet);
    card.shift(&mut sheet);
    card.dots(&mut sheet);
    card.pen_marks(&mut sheet);
    marks::eye(&mut sheet, spot(4.0, 4.0), eye, 7.0);
    let name = figure::eye(eye);
    sheet.words(spot(12.6, 7.0), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, name);
    let side = if mirrored { "back up: mirrored" } else { "front up" };
    sheet.words(spot(12.6, 10.9), Anchor::Start, TEXT, Ink::Ink, Weight::SemiBold, side);
    title_block::scale_bar(&mut sheet, spot(6.0, foot + 4.0));
    let number = plan.number.as_str();
    let view = format!("{} on the blocker", figure::capital(&figure::eye(eye)));
    let words = if mirrored { "from the back, as the lens lies: mirrored" } else { "from the front, as the lens lies" };
    title_block::title_block(&mut sheet, Some(number), &view, words, "1:1");
    sheet.reserve(Frame { left: width - 6.0 - COLUMN, top: 0.0, right: width, bottom: foot });
    card.names(&mut sheet);
    let said = description(eye_plan, lens, side);
    Some(sheet.scene(format!("blocking-{}", eye.word()), format!("{view}, order {number}"), said))
}

/// The lens on the sheet.
struct Card<'a> {
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    seen: Seen,
    middle: Spot,
    rim: f64,
    /// Where the arrow to the nose ends.
    arrow: Spot,
}

impl Card<'_> {
    fn place(&self, place: planner::Place) -> Spot {
        let (x, y) = place.xy(self.plan.eye);
        self.seen.at(x, y)
    }

    fn block_point(&self) -> Spot {
        self.place(self.lens.block.at)
    }

    /// The middle dot.
    fn dot(&self) -> Spot {
        let (at, from) = (self.lens.block.at, self.lens.marking.dot_from_block);
        self.place(planner::Place { inwards: at.inwards + from.inwards, up: at.up + from.up })
    }

    /// +1 where the nose is to the sheet's right.
    fn nasal(&self) -> f64 {
        self.plan.eye.nasal() * if self.seen.mirrored { -1.0 } else { 1.0 }
    }

    /// The block with its middle and its up line.
    fn block(&self, sheet: &mut Sheet) {
        let at = self.block_point();
        let r = self.lens.block.diameter.map(|d| 0.5 * d.mm());
        let reach = r.unwrap_or(6.0) + 2.0;
        sheet.line(&[at.by(-reach, 0.0), at.by(reach, 0.0)], CENTRE);
        sheet.line(&[at.by(0.0, -reach), at.by(0.0, reach)], CENTRE);
        if let Some(r) = r {
            sheet.circle(at, r, None, Some(lines::as_wide(BEHIND, 0.4)));
        }
        marks::boxed_centre(sheet, at);
    }

    fn axis(&self, sheet: &mut Sheet) {
        let Some((_, axis)) = self.plan.made_power().cylinder() else { return };
        let (named, other) = (self.axis_end(axis.deg()), self.axis_end(axis.deg() + 180.0));
        sheet.line(&[named, other], PUT);
        sheet.circle(named, 0.7, Some(Ink::Mark), None);
    }

    /// Where the axis line leaves the outline, and 3 mm more.
    fn axis_end(&self, deg: f64) -> Spot {
        let dot = self.plan.vertex.unwrap_or_default();
        let (x, y) = dot.xy(self.plan.eye);
        let out = ray(self.lens.cut.outline(), x, y, deg) + 3.0;
        self.seen.at(x + out * cos_deg(deg), y + out * sin_deg(deg))
    }

    /// How far the middle dot stands from the block point: two dimensions.
    fn shift(&self, sheet: &mut Sheet) {
        let (from, to) = (self.block_point(), self.dot());
        let thin = lines::as_wide(THIN, 0.25);
        let below = from.y.max(to.y) + 6.5;
        if (to.x - from.x).abs() > 0.05 {
            for end in [from, to] {
                sheet.line(&[end, spot(end.x, below + 1.0)], THIN);
            }
            marks::dimension(sheet, spot(from.x, below), spot(to.x, below), thin);
        }
        let aside = to.x.max(from.x) + 4.8;
        if (to.y - from.y).abs() > 0.05 {
            for end in [from, to] {
                sheet.line(&[end, spot(aside + 1.0, end.y)], THIN);
            }
            marks::dimension(sheet, spot(aside, from.y), spot(aside, to.y), thin);
        }
    }

    /// Three dots on the level of the vertex.
    fn dots(&self, sheet: &mut Sheet) {
        let at = self.dot();
        for x in [-DOTS, 0.0, DOTS] {
            sheet.circle(at.by(x, 0.0), if x == 0.0 { 0.75 } else { 0.6 }, Some(Ink::Mark), None);
        }
        sheet.circle(at, 1.5, None, Some(PUT));
    }

    /// What the pen writes: the eye's letter with an arrow to the nose, up, and two lines across block and lens.
    fn pen_marks(&self, sheet: &mut Sheet) {
        let k = self.nasal();
        let pen = Stroke { ink: Ink::Mark, width: 0.7, dashes: &[] };
        if let Some(r) = self.lens.block.diameter.map(|d| 0.5 * d.mm()) {
            let at = self.block_point();
            for deg in self.pen_lines() {
                let (x, y) = (cos_deg(deg), sin_deg(deg));
                let out = |d: f64| at.by(x * d, -y * d);
                let ends = [out(r - PEN), out(r + PEN)];
                sheet.line(&ends, pen);
                if (deg - 90.0).abs() < 31.0 {
                    // The other one is named; on this one nothing may lie.
                    sheet.reserve(round_about(&ends).grown(0.3));
                }
            }
        }
        let tip = self.arrow;
        let tail = tip.by(-k * ARROW, 0.0);
        sheet.line(&[tail, tip.by(-k * 2.0, 0.0)], pen);
        sheet.area(&[tip, tip.by(-k * 2.8, -1.3), tip.by(-k * 2.8, 1.3)], Some(Ink::Mark), None);
        sheet.write(Text {
            at: tail.by(-k * 3.0, 0.5 * typeface::CAP * GREAT),
            anchor: Anchor::Middle,
            size: GREAT,
            ink: Ink::Mark,
            halo: None,
            upwards: false,
            parts: vec![(Weight::SemiBold, self.plan.eye.letter().to_owned())],
        });
        marks::up(sheet, spot(self.middle.x, self.middle.y - self.rim - 6.5));
        let up = spot(self.middle.x + 2.0, self.middle.y - self.rim - 2.4);
        sheet.words(up, Anchor::Start, LABEL, Ink::Ink, Weight::Regular, "up");
    }

    /// Where the two pen lines cross the block's rim, degrees on the sheet: up, and towards the temple, since the nose's
    /// side may carry the letter and the arrow; turned aside where the axis runs.
    fn pen_lines(&self) -> [f64; 2] {
        let axis = self.plan.made_power().cylinder().map(|(_, axis)| self.seen.direction(axis.deg()));
        let on_axis = |deg: f64| axis.is_some_and(|axis| ((deg - axis + 90.0).rem_euclid(180.0) - 90.0).abs() < 15.0);
        let temple = if self.nasal() > 0.0 { 180.0 } else { 0.0 };
        let down = self.nasal() * 30.0;
        [(90.0, -down), (temple, down)].map(|(deg, aside)| if on_axis(deg) { deg + aside } else { deg })
    }

    /// Where the arrow to the nose ends: on the nose's side, low, beside the shape if there is room in the blank, else on
    /// it, clear of the block; never across the outline.
    fn find_arrow(&self) -> Spot {
        let k = self.nasal();
        let (outline, block) = (self.seen.outline(self.lens.cut.outline()), self.block_point());
        let clear_of_block = self.lens.block.diameter.map_or(0.0, |d| 0.5 * d.mm()) + 1.5;
        let corners = |tip: Spot| {
            [-2.8, 0.4, 3.6]
                .into_iter()
                .flat_map(move |y| (0..=8).map(move |i| tip.by(-k * (f64::from(i) / 8.0 * (ARROW + 6.0) - 0.8), y)))
        };
        let wanted = self.middle.by(k * 0.62 * self.rim, 0.62 * self.rim);
        let mut tips: Vec<Spot> = (-20..=20)
            .flat_map(|row| (0..=26).map(move |column| (f64::from(row) * 2.0, f64::from(column) * 1.6)))
            .map(|(y, x)| self.middle.by(k * x, y))
            .filter(|&tip| corners(tip).all(|c| c.to(self.middle) < self.rim - 1.0 && c.to(block) > clear_of_block))
            .collect();
        tips.sort_by(|a, b| a.to(wanted).total_cmp(&b.to(wanted)));
        let beside = tips.iter().find(|&&tip| corners(tip).all(|c| !holds(&outline, c)));
        let upon = || tips.iter().find(|&&tip| corners(tip).all(|c| holds(&outline, c)));
        beside.or_else(upon).copied().unwrap_or(wanted)
    }

    fn names(&self, sheet: &mut Sheet) {
        let tip = self.arrow.by(-self.nasal() * 3.0, 0.0);
        let places = around(tip, 2.6, 9.0, 270.0);
        sheet.label(&Label::new(LABEL, Ink::Ink, Weight::Regular, "nose"), &places);
        let put = lines::in_ink(THIN, Ink::Mark);
        let (from, dot) = (self.block_point(), self.dot());
        let label = Label::new(LABEL, Ink::Mark, Weight::Regular, format!("middle dot: {}", figure::dot(self.plan)));
        sheet.label(&label.leads_to(dot, 1.8).leader(put), &around(dot, 5.0, 24.0, 90.0 - 35.0 * self.nasal()));
        let shift = self.lens.marking.dot_from_block;
        if (dot.x - from.x).abs() > 0.05 {
            let parts = figure::in_up(shift.inwards.mm(), 0.0, 1, "");
            let at = spot(0.5 * (from.x + dot.x), from.y.max(dot.y) + 6.5);
            let label = Label::new(FIGURE, Ink::Ink, Weight::SemiBold, parts.join(""));
            sheet.label(&label.leads_to(at, 0.3), &around(at, 2.6, 12.0, 270.0));
        }
        if (dot.y - from.y).abs() > 0.05 {
            let parts = figure::in_up(0.0, shift.up.mm(), 1, "");
            let at = halfway(spot(dot.x.max(from.x) + 4.8, from.y), spot(dot.x.max(from.x) + 4.8, dot.y));
            let label = Label::new(FIGURE, Ink::Ink, Weight::SemiBold, parts.join(""));
            sheet.label(&label.leads_to(at, 0.3), &around(at, 1.6, 12.0, 0.0));
        }
        if let Some((_, axis)) = self.plan.made_power().cylinder() {
            let end = self.axis_end(axis.deg());
            let words = vec![vec![(Weight::Regular, "axis ".to_owned()), (Weight::SemiBold, figure::axis(axis.deg()))]];
            let towards = self.seen.direction(axis.deg());
            sheet.label(
                &Label::of(TEXT, Ink::Mark, words).leads_to(end, 1.0).leader(put),
                &around(end, 1.6, 12.0, towards),
            );
        }
        let same = dot.to(from) < 0.05;
        let words = if same { "block point, under the dot" } else { "block point" };
        let label = Label::new(LABEL, Ink::Ink, Weight::Regular, words);
        sheet.label(&label.leads_to(from, 1.4), &around(from, 5.0, 24.0, 250.0));
        if let Some(diameter) = self.lens.block.diameter {
            let r = 0.5 * diameter.mm();
            let places: Vec<Place> = (0..72)
                .map(|i| {
                    let deg = 225.0 + 5.0 * f64::from(if i % 2 == 0 { i / 2 } else { -(i + 1) / 2 });
                    let at = from.by((r - 2.2) * cos_deg(deg), -(r - 2.2) * sin_deg(deg));
                    Place { at, anchor: Anchor::Middle, cost: 0.08 * f64::from(i) }
                })
                .collect();
            sheet.label(&Label::new(LABEL, Ink::Ink, Weight::Regular, "block"), &places);
            let k = self.nasal();
            let [_, deg] = self.pen_lines();
            let out = r + PEN - 0.6;
            let line = from.by(out * cos_deg(deg), -out * sin_deg(deg));
            let label = Label::new(LABEL, Ink::Mark, Weight::Regular, "pen line");
            sheet.label(
                &label.leads_to(line, 0.8).leader(put),
                &around(line, 2.2, 12.0, if k > 0.0 { 120.0 } else { 60.0 }),
            );
        }
        let blank = &self.lens.blank;
        let words = format!("blank {}", figure::length(blank.nominal.mm()).trim_end_matches(".0"));
        let at = self.middle.by(0.0, self.rim - 4.0);
        let places: Vec<Place> = (0..40)
            .map(|i| {
                let deg = 270.0 + 7.0 * f64::from(if i % 2 == 0 { i / 2 } else { -(i + 1) / 2 });
                let r = self.rim - 4.0;
                let at = self.middle.by(r * cos_deg(deg), -r * sin_deg(deg));
                Place { at, anchor: Anchor::Middle, cost: 0.1 * f64::from(i) }
            })
            .chain([Place { at, anchor: Anchor::Middle, cost: 0.0 }])
            .collect();
        sheet.label(&Label::new(LABEL, Ink::Ink2, Weight::Regular, words), &places);
    }
}

/// One step of the hands: its number, its figure, and the words.
struct StepLine {
    ink: Ink,
    figure: String,
    unit: &'static str,
    words: String,
    sign: Option<Sign>,
}

fn steps_of(plan: &EyePlan, lens: &LensPlan) -> Vec<StepLine> {
    let step =
        |figure: String, unit: &'static str, words: String| StepLine { ink: Ink::Ink, figure, unit, words, sign: None };
    let mut steps = Vec::new();
    let power = plan.made_power();
    let sphere = figure::power(power.sphere());
    let shows = figure::prism(lens.marking.dot_prism).unwrap_or_else(|| "no prism".to_owned());
    steps.push(match power.cylinder() {
        Some((cylinder, axis)) => step(
            format!("axis {}", figure::axis(axis.deg())),
            "",
            format!(
                "Set the focimeter: it reads {sphere} {} \u{d7} {}. Dot the lens where it shows {shows}.",
                figure::power(cylinder),
                figure::axis(axis.deg())
            ),
        ),
        None => {
            let (plano, ground) = (power.sphere() == units::Power::ZERO, plan.has_ground_prism());
            let turn = match (ground, lens.has_a_direction()) {
                (false, true) if lens.long_side_deg(plan.eye).is_some() => {
                    let deg = lens.long_side_deg(plan.eye).unwrap_or_default();
                    format!("Turn the blank's long side to {}", figure::at(deg))
                }
                (true, _) => format!("Turn the lens until the focimeter shows {shows}"),
                (false, true) => format!("Keep the packet's line at {}", figure::at(lens.turn_deg)),
                (false, false) => "Any turn serves".to_owned(),
            };
            let dot = match (plano, ground) {
                (true, _) => "dot the middle of the blank",
                (false, true) => "dot it there",
                (false, false) => "dot the lens where the focimeter shows no prism",
            };
            let (figure, unit) = if plano { ("plano".to_owned(), "") } else { (sphere, "D") };
            step(figure, unit, format!("{turn}; {dot}."))
        }
    });
    steps.push(step(
        plan.eye.letter().to_owned(),
        "",
        "Write the letter and the arrow to the nose before the lens leaves the focimeter.".to_owned(),
    ));
    let words = if lens.marking.dot_from_block == planner::Place::default() {
        "The middle dot is under the middle of the block."
    } else {
        "From the block point to the middle dot. Outer dots level."
    };
    steps.push(step(figure::place(lens.marking.dot_from_block), "mm", words.to_owned()));
    let clear = |d: f64| figure::length(lens.block.shortest_radius.mm() - 0.5 * d);
    steps.push(match lens.block.diameter {
        Some(d) => step(
            format!("block {}", figure::length(d.mm()).trim_end_matches(".0")),
            "mm",
            format!("Leaves {} of lens where it is least, at {}.", clear(d.mm()), figure::at(lens.block.shortest_deg)),
        ),
        None => StepLine {
            ink: Ink::Stop,
            figure: "no block".to_owned(),
            unit: "",
            words: format!(
                "None clears: the shape ends {} from the block point, at {}.",
                figure::length(lens.block.shortest_radius.mm()),
                figure::at(lens.block.shortest_deg)
            ),
            sign: Some(Sign::Stop),
        },
    });
    steps.push(step(
        "2 pen lines".to_owned(),
        "",
        "Across block and lens. If they no longer meet after roughing, the lens has slipped.".to_owned(),
    ));
    steps
}

/// The steps beside the chart; returns where they end.
fn steps(sheet: &mut Sheet, plan: &EyePlan, lens: &LensPlan, at: Spot) -> f64 {
    let mut y = at.y;
    for (i, step) in steps_of(plan, lens).into_iter().enumerate() {
        sheet.line(&[spot(at.x, y), spot(at.x + COLUMN, y)], THIN);
        let first = y + 6.0;
        sheet.words(spot(at.x, first), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, (i + 1).to_string());
        let left = at.x + 5.0;
        let mut x = left;
        if step.sign.is_some() {
            marks::octagon(sheet, spot(x + 2.0, first - 2.0), 2.0);
            x += 5.0;
        }
        let wide = typeface::width(&step.figure, Weight::Medium) * GREAT;
        sheet.words(spot(x, first), Anchor::Start, GREAT, step.ink, Weight::Medium, step.figure);
        if !step.unit.is_empty() {
            sheet.words(spot(x + wide + 1.2, first), Anchor::Start, TEXT, Ink::Ink2, Weight::Regular, step.unit);
        }
        y = first;
        for line in typeface::wrapped(&step.words, Weight::Regular, TEXT, COLUMN - 5.0) {
            y += LEADING * TEXT;
            sheet.words(spot(left, y), Anchor::Start, TEXT, Ink::Ink, Weight::Regular, line);
        }
        y += 2.8;
    }
    sheet.line(&[spot(at.x, y), spot(at.x + COLUMN, y)], THIN);
    y
}

fn description(plan: &EyePlan, lens: &LensPlan, side: &str) -> String {
    let steps: Vec<String> = steps_of(plan, lens)
        .into_iter()
        .enumerate()
        .map(|(i, s)| {
            let unit = if s.unit.is_empty() { String::new() } else { format!(" {}", s.unit) };
            format!("{}. {}{unit}: {}", i + 1, s.figure, s.words)
        })
        .collect();
    format!("The lens lies {side}. {}", steps.join(" "))
}
