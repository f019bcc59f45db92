//! The same order side by side: in every material and series of blanks that can make it, in other frames, and with a
//! box, a blank or a centre a little different.
//!
//! Every row is a plan to its last figure, so that what is compared is what would be cut; doubt and balance are for the one
//! that is made. What the trade says of a material stands beside the figure for this very pair.

use std::collections::BTreeMap;
use std::sync::Arc;

use job::{Blank, Eye, Frame, MaterialId, Order, PerEye};
use optics::{Offset, PowerMatrix};
use units::{Angle, Mm, Working};

use crate::plan::{Bench, EyePlan, LensPlan, NearMiss, Plan};
use crate::shape::{FrameShapes, Shape};
use crate::shelf::Shelf;
use crate::to_square_figures;

/// How much smaller or larger a box is tried, mm of width and height.
const BOX_STEP_MM: f64 = 2.0;
/// How much smaller or larger a blank is tried, mm of diameter: the usual steps of stock, common practice, no source.
const DIAMETER_STEP_MM: f64 = 5.0;
/// How much thinner or thicker a centre is tried, mm.
const CENTRE_STEP_MM: f64 = 0.5;
/// Directions in which the edge of the field is looked at.
const FIELD_DIRECTIONS: u32 = 360;

/// Another frame that the same lenses might go into.
#[derive(Debug, Clone)]
pub struct OtherFrame {
    /// What it is called: the name of its file.
    pub name: String,
    /// What its file says.
    pub frame: Frame,
    /// Its shapes.
    pub shapes: FrameShapes,
}

/// An order beside its alternatives.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// The order as it stands.
    pub ordered: Candidate,
    /// What else the shelf can make of it in the order's own frame: by material, then by series.
    pub others: Vec<Candidate>,
    /// Materials in which the shelf has no pair for it, with what comes nearest.
    pub cannot: Vec<Cannot>,
    /// The order's own material in other frames.
    pub frames: Vec<Candidate>,
    /// What a little more or less of something would do; none where the order as it stands has no pair.
    pub little_changes: Vec<LittleChange>,
}

/// One way to make the order.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The frame, where it is not the order's own.
    pub frame: Option<String>,
    /// The material.
    pub material: MaterialId,
    /// Whether every lens that the order makes has its blank.
    pub made: bool,
    /// Whether its blanks are not on the shelf: figured for usual ones, as they would be ordered.
    pub to_order: bool,
    /// The plan.
    pub plan: Plan,
    /// Chromatic blur at the edge of the field.
    pub blur: PerEye<Option<Blur>>,
    /// Cost of the blanks, where the shelf has them all in one currency.
    pub cost: Option<job::blank::Cost>,
    /// How much thinner the trade's rule makes it than the order's own material, and how much thinner it is.
    pub thinner: Option<Thinner>,
}

/// Colour fringes at the edge of the field: transverse chromatism.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blur {
    /// Greatest prism that a line of sight meets at the cut outline, cm/m.
    pub prism_cm_per_m: f64,
    /// Where that is, degrees about the boxed centre.
    pub deg: f64,
    /// That prism over the Abbe number, cm/m.
    pub blur_cm_per_m: f64,
}

/// What is said of a material, and what holds for this pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thinner {
    /// Share by which the rule on the index alone makes a lens thinner than in the order's material.
    pub rule: f64,
    /// Share by which the thicker of the two lenses' thickest places is thinner.
    pub here: f64,
}

/// A material that cannot make it.
#[derive(Debug, Clone)]
pub struct Cannot {
    /// The material.
    pub material: MaterialId,
    /// The eye that has no blank; none where each has one, but no two of a pair.
    pub eye: Option<Eye>,
    /// What comes nearest.
    pub nearest: Option<NearMiss>,
}

/// A little more or less of something, and what it would do to the pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LittleChange {
    /// What is changed.
    pub what: Change,
    /// By how much, mm.
    pub by: Mm,
    /// What becomes of each lens.
    pub eyes: PerEye<Option<Becomes>>,
}

/// What is changed a little.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Box width and height alike, by a parallel curve; the distance between lenses stays.
    Box,
    /// Diameter of the blank; a plus blank's centre follows from it.
    Diameter,
    /// Centre thickness.
    Centre,
}

impl Change {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Box => "box",
            Self::Diameter => "diameter",
            Self::Centre => "centre",
        }
    }
}

/// What a lens becomes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Becomes {
    /// Thinnest square edge.
    pub thinnest: Mm,
    /// Thickest square edge.
    pub thickest: Mm,
    /// Thickness at the vertex.
    pub centre: Mm,
    /// Mass, square edge.
    pub mass_g: f64,
    /// Cut-out margin.
    pub margin: Mm,
}

impl From<&LensPlan> for Becomes {
    fn from(lens: &LensPlan) -> Self {
        Self {
            thinnest: lens.edge.thinnest,
            thickest: lens.edge.thickest,
            centre: lens.thickness.vertex,
            mass_g: lens.mass_g,
            margin: lens.coverage.margin,
        }
    }
}

impl Candidate {
    /// Mass of all its lenses, square edges; none where one has no blank.
    #[must_use]
    pub fn mass_g(&self) -> Option<f64> {
        self.made.then(|| self.plan.planned().filter_map(|e| e.lens.as_ref()).map(|l| l.mass_g).sum())
    }
}

/// Lays an order beside its alternatives.
#[must_use]
pub fn compare(order: &Order, shapes: &FrameShapes, others: &[OtherFrame], bench: &Bench<'_>) -> Comparison {
    let ordered = candidate(order, shapes, bench, None);
    let reference = ordered.made.then(|| thickest(&ordered.plan)).flatten();
    let against = |mut row: Candidate| {
        row.thinner = thinner(bench, &order.lens.material, reference, &row);
        row
    };
    let (mut rows, mut cannot, mut usual) = (Vec::new(), Vec::new(), Vec::new());
    for material in &bench.rules.materials {
        let Some(shelf) = bench.shelf else { continue };
        // What the order names of blanks belongs to its own material; here the choice is free.
        let mut free = order.clone();
        free.lens.material = material.id.clone();
        free.lens.blank = PerEye::default();
        let before = rows.len();
        for series in series(&free, shelf) {
            let (part, left) = shelf.part(&series, bench.left);
            let row = candidate(&free, shapes, &Bench { shelf: Some(&part), left: Some(&left), ..*bench }, None);
            if row.made && !same_blanks(&row.plan, &ordered.plan) {
                rows.push(against(row));
            }
        }
        if rows.len() == before && (material.id != order.lens.material || !ordered.made) {
            if shelf.has(&material.id) {
                cannot.extend(no_pair(&free, shapes, bench));
            }
            usual.extend(from_a_supplier(&free, shapes, bench).map(against));
        }
    }
    rows.append(&mut usual);
    let frames = others.iter().map(|other| against(in_frame(order, shapes, other, bench))).collect();
    let little_changes = if ordered.made { little_changes(order, shapes, &ordered.plan, bench) } else { Vec::new() };
    Comparison { ordered, others: rows, cannot, frames, little_changes }
}

/// The rows that have the power of an eye in the order's material, series by series.
fn series(order: &Order, shelf: &Shelf) -> Vec<Vec<usize>> {
    let mut series: BTreeMap<(Option<&str>, bool), Vec<usize>> = BTreeMap::new();
    for &eye in order.eyes.made() {
        let Some(written) = order.prescription.to_make(eye) else { continue };
        for row in shelf.exactly(&order.lens.material, order.lens.kind, written.power()) {
            let blank = shelf.row(row);
            let key = (blank.series.as_deref(), blank.form == job::LensForm::Aspheric);
            let rows = series.entry(key).or_default();
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
    }
    series.into_values().collect()
}

fn candidate(order: &Order, shapes: &FrameShapes, bench: &Bench<'_>, frame: Option<String>) -> Candidate {
    let plan = to_square_figures(order, shapes, bench);
    let made = plan.planned().next().is_some() && plan.planned().all(|eye| eye.lens.is_some());
    let abbe = bench.rules.material(&order.lens.material).map(|m| m.abbe);
    let blur = PerEye::from_fn(|eye| plan.eyes[eye].as_ref().and_then(|e| blur(e, abbe?)));
    let cost = made.then(|| cost(&plan)).flatten();
    Candidate { frame, material: order.lens.material.clone(), made, to_order: false, plan, blur, cost, thinner: None }
}

/// The order as a supplier would make it in its material: blanks of the usual curve, as small and as thin as they may be.
fn from_a_supplier(order: &Order, shapes: &FrameShapes, bench: &Bench<'_>) -> Option<Candidate> {
    let none = Shelf::default();
    let wanted = to_square_figures(order, shapes, &Bench { shelf: Some(&none), left: None, ..*bench });
    let mut named = order.clone();
    let mut rows = Vec::new();
    for eye_plan in wanted.planned() {
        let ask = eye_plan.to_order.as_ref()?;
        let sku = eye_plan.eye.word().to_owned();
        named.lens.blank[eye_plan.eye] = Some(sku.clone());
        rows.push(Arc::new(ask.as_blank(order, eye_plan, sku)));
    }
    let shelf = Shelf::new(rows);
    let row = candidate(&named, shapes, &Bench { shelf: Some(&shelf), left: None, ..*bench }, None);
    row.made.then_some(Candidate { to_order: true, ..row })
}

/// The same wearer and lenses in another frame.
fn in_frame(order: &Order, shapes: &FrameShapes, other: &OtherFrame, bench: &Bench<'_>) -> Candidate {
    let mut moved = at_the_same_level(order, shapes, &other.shapes);
    moved.frame = other.frame.clone();
    moved.lens.edge = other.frame.mounting.usual_edge();
    candidate(&moved, &other.shapes, bench, Some(other.name.clone()))
}

/// The order with its heights kept from the horizontal centreline: how high a pupil stands in another frame is known only
/// once that sits on the nose.
fn at_the_same_level(order: &Order, from: &FrameShapes, to: &FrameShapes) -> Order {
    let mut moved = order.clone();
    for eye in Eye::BOTH {
        let taller = (to.eyes[eye].boxed.height - from.eyes[eye].boxed.height) / 2.0;
        for height in [&mut moved.wearer.pupil_height[eye], &mut moved.wearer.optical_centre_height[eye]] {
            *height = height.map(|h| h + taller);
        }
    }
    moved
}

fn same_blanks(one: &Plan, other: &Plan) -> bool {
    Eye::BOTH.into_iter().all(|eye| {
        let blank =
            |plan: &'_ Plan| plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).map(|l| Arc::clone(&l.blank));
        match (blank(one), blank(other)) {
            (Some(one), Some(other)) => Arc::ptr_eq(&one, &other),
            (one, other) => one.is_none() && other.is_none(),
        }
    })
}

fn no_pair(order: &Order, shapes: &FrameShapes, bench: &Bench<'_>) -> Option<Cannot> {
    let plan = to_square_figures(order, shapes, bench);
    let missing = plan.planned().find(|e| e.lens.is_none())?;
    // A blank in another material is no near miss of this one.
    let own = |miss: &&NearMiss| miss.blank.material == order.lens.material;
    let nearest = missing.near_misses.iter().find(own).cloned();
    let eye = nearest.as_ref().is_none_or(|n| n.reason != crate::Reason::NoMate).then_some(missing.eye);
    Some(Cannot { material: order.lens.material.clone(), eye, nearest })
}

fn cost(plan: &Plan) -> Option<job::blank::Cost> {
    let mut total: Option<job::blank::Cost> = None;
    for lens in plan.planned().filter_map(|e| e.lens.as_ref()) {
        let one = lens.blank.unit_cost?;
        total = Some(match total {
            None => one,
            Some(sum) if sum.currency == one.currency => {
                job::blank::Cost { minor: sum.minor.checked_add(one.minor)?, ..sum }
            }
            Some(_) => return None,
        });
    }
    total
}

/// The thickest place of either lens, rim included: what the customer sees of a minus lens, and feels of a plus.
fn thickest(plan: &Plan) -> Option<f64> {
    plan.planned().filter_map(|e| e.lens.as_ref()).map(|l| l.thickness.greatest.0.mm()).reduce(f64::max)
}

fn thinner(bench: &Bench<'_>, ordered: &MaterialId, reference: Option<f64>, row: &Candidate) -> Option<Thinner> {
    let (from, to) = (bench.rules.material(ordered)?, bench.rules.material(&row.material)?);
    if from.id == to.id || row.frame.is_some() {
        return None;
    }
    let here = thickest(&row.plan)?;
    let rule = 1.0 - optics::rules_of_thumb::relative_curvature(&mut Working::off(), from.n_d, to.n_d);
    Some(Thinner { rule, here: 1.0 - here / reference? })
}

/// The greatest prism over the cut outline, over the Abbe number.
fn blur(eye_plan: &EyePlan, abbe: f64) -> Option<Blur> {
    let (lens, vertex) = (eye_plan.lens.as_ref()?, eye_plan.vertex?);
    let power = PowerMatrix::of(&mut Working::off(), lens.power.computed());
    let (cx, cy) = vertex.xy(eye_plan.eye);
    let ground = crate::candidate::as_prism(eye_plan.eye, eye_plan.prism.ground);
    let outline = lens.cut.outline();
    let mut greatest: Option<(f64, f64)> = None;
    for i in 0..FIELD_DIRECTIONS {
        let deg = 360.0 / f64::from(FIELD_DIRECTIONS) * f64::from(i);
        let at = outline.point(outline.towards(Angle::from_deg(deg)));
        let offset = Offset { x: Mm::new(cx - at.x), y: Mm::new(cy - at.y) };
        let blur = optics::chromatism::transverse_at(&mut Working::off(), power, offset, ground, abbe).cm_per_m();
        if greatest.is_none_or(|(_, most)| blur > most + 1e-9) {
            greatest = Some((deg, blur));
        }
    }
    let (deg, blur_cm_per_m) = greatest?;
    Some(Blur { prism_cm_per_m: blur_cm_per_m * abbe, deg, blur_cm_per_m })
}

/// A smaller and a larger box, a smaller and a larger blank, a thinner and a thicker centre.
fn little_changes(order: &Order, shapes: &FrameShapes, ordered: &Plan, bench: &Bench<'_>) -> Vec<LittleChange> {
    let mut changes = Vec::new();
    for by in [-BOX_STEP_MM, BOX_STEP_MM] {
        let Some(shapes_then) = grown(shapes, Mm::new(by / 2.0)) else { continue };
        let order_then = at_the_same_level(order, shapes, &shapes_then);
        let eyes = remade(&order_then, &shapes_then, ordered, bench, |lens| (*lens.blank).clone());
        changes.push(LittleChange { what: Change::Box, by: Mm::new(by), eyes });
    }
    for by in [-DIAMETER_STEP_MM, DIAMETER_STEP_MM].map(Mm::new) {
        let eyes = remade(order, shapes, ordered, bench, |lens| {
            let mut blank = (*lens.blank).clone();
            blank.nominal += by;
            blank.usable = blank.usable.map(|usable| usable + by);
            blank.centre = Some(lens.thickness.vertex + grows_with_diameter(bench, lens, blank.nominal));
            blank
        });
        changes.push(LittleChange { what: Change::Diameter, by, eyes });
    }
    for by in [-CENTRE_STEP_MM, CENTRE_STEP_MM].map(Mm::new) {
        let eyes = remade(order, shapes, ordered, bench, |lens| {
            let mut blank = (*lens.blank).clone();
            blank.centre = Some(lens.thickness.vertex + by);
            // A thickness measured on the blank as it is goes with the centre.
            blank.check =
                blank.check.map(|check| job::blank::CheckThickness { thickness: check.thickness + by, ..check });
            blank
        });
        changes.push(LittleChange { what: Change::Centre, by, eyes });
    }
    changes
}

/// Both shapes with a parallel curve for an outline; none where that does not exist.
fn grown(shapes: &FrameShapes, radius: Mm) -> Option<FrameShapes> {
    let grown = |shape: &Arc<Shape>| {
        let outline = shape.outline.offset(radius).ok()?;
        let mut scaled = Shape::exact(outline);
        scaled.frame_curve_d = shape.frame_curve_d;
        Some(Arc::new(scaled))
    };
    let eyes = PerEye { right: grown(&shapes.eyes.right)?, left: grown(&shapes.eyes.left)? };
    Some(FrameShapes { eyes, between_lenses: shapes.between_lenses, doubts: Vec::new(), difference: None })
}

/// How much thicker a plus blank's centre is at another diameter, ground to the rules' edge at its rim; nothing for minus.
fn grows_with_diameter(bench: &Bench<'_>, lens: &LensPlan, nominal: Mm) -> Mm {
    let Some(material) = bench.rules.material(&lens.blank.material) else { return Mm::ZERO };
    let usual = |nominal: Mm| {
        let power = lens.power.computed();
        lens::assumed_centre(power, lens.index, lens.front_curve_1530, nominal, material, &bench.rules.doubt).value
    };
    Mm::new(usual(nominal) - usual(lens.blank.nominal))
}

/// The planned blanks, each changed, planned again.
fn remade(
    order: &Order,
    shapes: &FrameShapes,
    ordered: &Plan,
    bench: &Bench<'_>,
    change: impl Fn(&LensPlan) -> Blank,
) -> PerEye<Option<Becomes>> {
    let mut named = order.clone();
    let mut rows = Vec::new();
    for eye in Eye::BOTH {
        let Some(lens) = ordered.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()) else { continue };
        let blank = Blank { sku: eye.word().to_owned(), quantity: 1, ..change(lens) };
        named.lens.blank[eye] = Some(blank.sku.clone());
        rows.push(Arc::new(blank));
    }
    let shelf = Shelf::new(rows);
    let plan = to_square_figures(&named, shapes, &Bench { shelf: Some(&shelf), left: None, ..*bench });
    PerEye::from_fn(|eye| plan.eyes[eye].as_ref()?.lens.as_ref().map(Becomes::from))
}
