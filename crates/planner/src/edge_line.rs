//! The line that runs round the edge of the chosen lens, the apex of its bevel or the middle of its groove: size, seat in
//! the rim, visible edge, and what is to say about them.

mod asks;
mod form;
pub mod rim_groove;

use job::rules::{Rules, SizeUnit};
use job::{EdgeKind, EdgeRun, Eye, FrameMaterial, Mounting, Order};
use lens::{BevelWheel, Cutting, EDGE_PLACES, EdgeForm, EdgePlace, EdgeRules, NoSize, Seat, Size, Sized, VisibleEdge};
use outline::{Depth, SpaceLine};
use units::{Angle, Mm, Working, step};

pub(crate) use asks::{findings, idle, unseated};
pub(crate) use form::bevel_height;
pub use form::form;

use self::rim_groove::Sits;
use crate::plan::EyePlan;
use crate::shape::Shape;

/// A gap from which the rim has to be formed is told, mm: own choice.
pub(crate) const TO_FORM_MM: f64 = 0.3;

/// The apex of a bevel, seated in its rim, or the middle of a groove.
#[derive(Debug, Clone)]
pub struct EdgeLinePlan {
    /// Which of the two; never flat.
    pub edge: EdgeKind,
    /// Outline, places, edge, and the line: apex, or middle of the groove.
    pub sized: Sized,
    /// How it runs.
    pub run: EdgeRun,
    /// Where the rim lies as seen from the lens; none without a rim in space.
    pub seat: Option<Seat>,
    /// Frame curve of the rim line, D on 1.530; absent where the line tells none.
    pub frame_curve_d: Option<f64>,
    /// Bevel curve of the apex line, likewise.
    pub bevel_curve_d: Option<f64>,
    /// Length of the rim line in space; none without a rim in space.
    pub rim_3d: Option<Mm>,
    /// Length that the apex line was to have; absent where the size was given.
    pub wanted_3d: Option<Mm>,
    /// What the back edge takes of the room of each part that the order names.
    pub behind: Vec<Behind>,
    /// How much lower the wheel's own groove cuts the bevel where it runs steepest, and where; none where by nothing.
    pub lowered: Option<(Mm, Angle)>,
    /// How deep the bevel goes into the rim's groove, where the order states one.
    pub sits: Option<Sits>,
    /// The edge that is seen: front to back surface at the foot of the bevel, before the safety bevel.
    pub visible: Option<VisibleEdge>,
}

/// A part of the frame behind the lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Behind {
    /// Direction from the boxed centre, degrees.
    pub deg: f64,
    /// What it is.
    pub what: String,
    /// The room it leaves behind the line on the edge.
    pub room: Mm,
    /// How far the back edge stands behind the line: of a bevel its back shoulder.
    pub takes: Mm,
}

/// One row of it, in a direction from the boxed centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeLineRow {
    /// Its depth along the cutting axis from the front at the block point.
    pub depth: Mm,
    /// From there to the front surface at the cut outline: of a bevel the front shoulder.
    pub to_front: Mm,
    /// From there to the back surface at the cut outline: of a bevel the back shoulder.
    pub to_back: Mm,
    /// Visible edge, likewise.
    pub visible: Option<Mm>,
    /// Apex depth less the rim's, + = apex behind the rim; none without a rim in space.
    pub gap: Option<Mm>,
}

impl EdgeLinePlan {
    /// The row in a whole degree.
    #[must_use]
    pub fn row(&self, deg: u32) -> Option<EdgeLineRow> {
        let i = (deg as usize + EDGE_PLACES - 90) % EDGE_PLACES;
        let sized = &self.sized;
        let depth = *sized.line.depths().get(i)?;
        Some(EdgeLineRow {
            depth: Mm::new(depth),
            to_front: Mm::new(depth - sized.room.front.get(i)?),
            to_back: Mm::new(sized.room.back.get(i)? - depth),
            visible: self.visible.as_ref().and_then(|v| v.around.get(i).copied()).map(Mm::new),
            gap: sized.seated.as_ref().and_then(|seated| seated.gap.get(i).copied()).map(Mm::new),
        })
    }
}

/// Depth of the rim in which a bevel sits, or that sits in a groove: heights, else the sphere of the frame curve; none without either, or where the
/// mounting has no such rim.
fn rim_depth(order: &Order, shape: &Shape) -> Option<Depth> {
    let sits = matches!(
        (order.frame.mounting, order.lens.edge),
        (Mounting::FullRim, EdgeKind::Bevel) | (Mounting::GroovedRim, EdgeKind::Groove)
    );
    if !sits {
        return None;
    }
    shape.depth.clone().or_else(|| {
        let curve = shape.frame_curve_d.or(order.frame.frame_curve_d).filter(|&c| c > 0.0)?;
        Depth::sphere(Mm::new(530.0 / curve)).ok()
    })
}

/// How much longer than the rim the apex is wanted.
fn longer(order: &Order, rules: &Rules) -> Mm {
    let material = order.frame.material.unwrap_or(FrameMaterial::Unknown);
    rules.size.longer_3d.iter().find(|(of, _)| *of == material).map_or(Mm::ZERO, |(_, longer)| *longer)
}

/// The size with which blanks are tried before a lens is there to seat: as ordered, else what makes a flat outline as much
/// longer as is wanted.
pub(crate) fn first_offset(order: &Order, rules: &Rules, shape: &Shape) -> Option<Mm> {
    match order.frame.outline_allowance {
        Some(ordered) => Some(ordered),
        None if order.lens.edge == EdgeKind::Groove => None,
        None => rim_depth(order, shape).map(|_| longer(order, rules) / core::f64::consts::TAU),
    }
}

/// How the line on the edge runs: as ordered, else as the rules have it; a groove into which a rim goes follows the rim.
fn run(order: &Order, rules: &Rules) -> EdgeRun {
    order.lens.edge_line.unwrap_or(match order.lens.edge {
        EdgeKind::Groove if order.frame.mounting == Mounting::GroovedRim => EdgeRun::RIM,
        EdgeKind::Groove => rules.groove.line,
        EdgeKind::Bevel | EdgeKind::Flat => rules.bevel.line,
    })
}

/// The line on the edge of the chosen lens, seated in its rim where that has a depth; none for a flat edge, and none for a
/// bevel that is to follow a rim whose depth nobody knows.
///
/// # Errors
/// [`NoSize`] where the shape has no such size, the line no such curve, or the seat does not come to rest.
pub(crate) fn figure(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    eye_plan: &EyePlan,
    held: &Cutting,
) -> Result<Option<EdgeLinePlan>, NoSize> {
    let shape = &eye_plan.shape;
    let run = run(order, rules);
    let rim = rim_depth(order, shape).and_then(|depth| {
        let line = SpaceLine::of_rim(&shape.outline, &shape.outline.places(EDGE_PLACES), &depth)?;
        Some((line, eye_plan.circumference_3d?))
    });
    let (edge, run) = match (order.lens.edge, &rim) {
        (EdgeKind::Flat, _) => return Ok(None),
        (EdgeKind::Bevel, None) if run == EdgeRun::RIM => return Ok(None),
        (EdgeKind::Groove, None) if run == EdgeRun::RIM => (EdgeKind::Groove, EdgeRun::FRONT),
        (edge, _) => (edge, run),
    };
    let [front_shoulder, back_shoulder] = match edge {
        // Half the groove and its least wall.
        EdgeKind::Groove => [rules.groove.width / 2.0 + rules.groove.wall; 2],
        EdgeKind::Bevel | EdgeKind::Flat => [rules.least.front_shoulder, rules.least.back_shoulder],
    };
    let edge_rules = EdgeRules { front_shoulder, back_shoulder, gap_given: rules.bevel.gap_given, run };
    // A groove takes the rim in, and its size is the lens's own: only a bevel is made as long as its rim.
    let (size, wanted_3d) = match (order.frame.outline_allowance, &rim) {
        (None, Some((_, rim_3d))) if edge == EdgeKind::Bevel => {
            let length = *rim_3d + longer(order, rules);
            let guess = first_offset(order, rules, shape).unwrap_or_default();
            (Size::Length { length, guess }, Some(length))
        }
        (offset, _) => (Size::Offset(offset.unwrap_or_default()), None),
    };
    let sized = lens::sized(&shape.outline, rim.as_ref().map(|(line, _)| line), held, &edge_rules, size)?;
    if let (Some((_, rim_3d)), EdgeKind::Bevel) = (&rim, edge) {
        worked_size(w, eye_plan.eye, &sized, *rim_3d, wanted_3d);
    }
    let curve = |of: &SpaceLine| of.nearest_sphere().and_then(|s| s.curve_d());
    let mut plan = EdgeLinePlan {
        edge,
        run,
        seat: sized.seated.as_ref().map(|seated| seated.seat),
        frame_curve_d: rim.as_ref().and_then(|(line, _)| curve(line)),
        bevel_curve_d: curve(&sized.line),
        rim_3d: rim.map(|(_, rim_3d)| rim_3d),
        wanted_3d,
        sits: order
            .frame
            .rim_groove
            .filter(|_| edge == EdgeKind::Bevel)
            .map(|groove| Sits::of(groove, Angle::from_deg(rules.bevel.angle_deg), bevel_height(order, rules))),
        lowered: if edge == EdgeKind::Bevel { lowered(order, rules, &sized) } else { None },
        behind: Vec::new(),
        visible: None,
        sized,
    };
    let behind = order.frame.clearance.iter().filter_map(|part| {
        let takes = plan.row(libm::round(part.deg) as u32 % 360)?.to_back;
        Some(Behind { deg: part.deg, what: part.what.clone(), room: part.back, takes })
    });
    plan.behind = behind.collect();
    Ok(Some(plan))
}

/// Where the apex runs steeply round the edge, the wheel's own groove cuts the bevel lower: the most of it.
fn lowered(order: &Order, rules: &Rules, sized: &Sized) -> Option<(Mm, Angle)> {
    let wheel = BevelWheel {
        radius: rules.wheel.bevel / 2.0,
        angle: Angle::from_deg(rules.bevel.angle_deg),
        height: bevel_height(order, rules),
    };
    let (places, apex) = (&sized.places, sized.line.depths());
    // Every other place tells the lowering to a few micrometres.
    let edge: Vec<EdgePlace> = (0..places.len())
        .step_by(2)
        .map(|i| EdgePlace { at: places.at(i), normal: places.normal[i], apex_depth: Mm::new(apex[i]) })
        .collect();
    lens::most_lowered(&edge, &lens::bevel_lowered(&edge, &wheel))
}

/// How the size came about.
fn worked_size(w: &mut Working, eye: Eye, sized: &Sized, rim_3d: Mm, wanted_3d: Option<Mm>) {
    w.figure(eye.word(), "size.offset_radius_mm");
    w.uses(eye.word(), "box.circumference_3d_mm");
    let apex = sized.line.length().mm();
    match wanted_3d {
        Some(wanted) => {
            let longer = (wanted - rim_3d).mm();
            let rim = rim_3d.mm();
            let wanted = step!(w, wanted = rim + longer; rim["mm"], longer["mm"]; "mm", "rules: [size] longer_3d_mm");
            w.say(|| {
                format!(
                    "Found by search: the outline is grown, the lens seated anew, until the apex is so long in space; it is {apex:.6} mm, residual {:.1e} mm.",
                    wanted - apex
                )
            });
        }
        None => w.say(|| format!("As ordered; the apex is then {apex:.4} mm long in space.")),
    }
    let found = sized.offset.mm();
    step!(w, offset = found; found["mm"]; "mm", "of radius, the same all round");
}

/// Adds the edge that is seen; gives what bevel or groove take off the square lens, mm3.
pub(crate) fn finish(
    line: &mut EdgeLinePlan,
    order: &Order,
    rules: &Rules,
    held: &Cutting,
) -> Result<f64, lens::NoLens> {
    let Some(form) = form(line.edge, order, rules) else { return Ok(0.0) };
    // Without a bevel the edge that is seen is the square one.
    let height = if let EdgeForm::Bevel { height, .. } = form { height } else { Mm::ZERO };
    let sized = &line.sized;
    line.visible = Some(lens::visible_edge(held, &sized.places, height)?);
    lens::cut_off_mm3(held, &sized.places, &sized.room, &sized.line, form)
}

/// A size in what a machine is set in: its amount and what it is of.
#[must_use]
pub fn setting(unit: SizeUnit, offset: Mm) -> (Mm, &'static str) {
    let of = match unit {
        SizeUnit::Radius => "radius",
        SizeUnit::Width => "box width",
        SizeUnit::Circumference => "circumference",
    };
    (offset * per_radius(unit), of)
}

/// What one millimetre of radius is in the unit of a machine.
pub(crate) const fn per_radius(unit: SizeUnit) -> f64 {
    match unit {
        SizeUnit::Radius => 1.0,
        SizeUnit::Width => 2.0,
        SizeUnit::Circumference => core::f64::consts::TAU,
    }
}
