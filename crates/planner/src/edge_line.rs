//! The line that runs round the edge of the chosen lens, the apex of its bevel or the middle of its groove: size, seat in
//! the rim, visible edge, and what is to say about them.

use job::order::BevelKind;
use job::rules::{Rules, SizeUnit};
use job::{EdgeKind, Eye, Finding, FrameMaterial, Mounting, Order, kinds};
use lens::{
    BevelWheel, Cutting, EDGE_PLACES, EdgeForm, EdgePlace, EdgeRules, NoSize, Seat, Seated, Size, Sized, VisibleEdge,
};
use outline::{Depth, SpaceLine};
use units::maths::abs;
use units::{Angle, Mm, Working, step};

use crate::plan::EyePlan;
use crate::said::{at, fixed, mm1, mm2, signed2};
use crate::shape::Shape;

/// A turn of the rim beyond this is told, degrees: design.
const LEANS_DEG: f64 = 8.0;
/// A gap from which the rim has to be formed is told, mm: own choice.
const TO_FORM_MM: f64 = 0.3;

/// The apex of a bevel, seated in its rim, or the middle of a groove.
#[derive(Debug, Clone)]
pub struct EdgeLinePlan {
    /// Which of the two; never flat.
    pub edge: EdgeKind,
    /// Outline, places, edge, and the line: apex, or middle of the groove.
    pub sized: Sized,
    /// Where the rim lies as seen from the lens; none for a groove.
    pub seat: Option<Seat>,
    /// Frame curve of the rim line, D on 1.530; absent where the line tells none.
    pub frame_curve_d: Option<f64>,
    /// Bevel curve of the apex line, likewise.
    pub bevel_curve_d: Option<f64>,
    /// Length of the rim line in space; none for a groove.
    pub rim_3d: Option<Mm>,
    /// Length that the apex line was to have; absent where the size was given.
    pub wanted_3d: Option<Mm>,
    /// The edge that is seen, and what is left of the square lens; a plain V only.
    pub finished: Option<FinishedPlan>,
}

/// What the finished edge is.
#[derive(Debug, Clone)]
pub struct FinishedPlan {
    /// Front to back surface at the foot of the bevel, before the safety bevel.
    pub visible: VisibleEdge,
    /// Volume without what the bevel takes off.
    pub volume_mm3: f64,
    /// Its mass.
    pub mass_g: f64,
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
    /// Visible edge; a plain V only.
    pub visible: Option<Mm>,
    /// Apex depth less the rim's, + = apex behind the rim; none for a groove.
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
            visible: self.finished.as_ref().and_then(|f| f.visible.around.get(i).copied()).map(Mm::new),
            gap: sized.seated.as_ref().and_then(|seated| seated.gap.get(i).copied()).map(Mm::new),
        })
    }
}

/// Depth of the rim in which a bevel sits: heights, else the sphere of the frame curve; none without either, or where the
/// mounting has no such rim.
fn rim_depth(order: &Order, shape: &Shape) -> Option<Depth> {
    if order.frame.mounting != Mounting::FullRim || order.lens.edge != EdgeKind::Bevel {
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
        None => rim_depth(order, shape).map(|_| longer(order, rules) / core::f64::consts::TAU),
    }
}

/// Seats the chosen lens in its rim; none where there is no rim to seat it in.
///
/// # Errors
/// [`NoSize`] where the shape has no such size or the seat does not come to rest.
pub(crate) fn figure(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    eye_plan: &EyePlan,
    held: &Cutting,
) -> Result<Option<EdgeLinePlan>, NoSize> {
    let shape = &eye_plan.shape;
    if order.lens.edge == EdgeKind::Groove {
        return groove(order, rules, shape, held).map(Some);
    }
    let (Some(depth), Some(rim_3d)) = (rim_depth(order, shape), eye_plan.circumference_3d) else { return Ok(None) };
    let rim = SpaceLine::of_rim(&shape.outline, &shape.outline.places(EDGE_PLACES), &depth);
    let Some(rim) = rim else { return Ok(None) };
    let edge = EdgeRules {
        front_shoulder: rules.least.front_shoulder,
        back_shoulder: rules.least.back_shoulder,
        gap_given: rules.bevel.gap_given,
    };
    let (size, wanted_3d) = match order.frame.outline_allowance {
        Some(offset) => (Size::Offset(offset), None),
        None => {
            let length = rim_3d + longer(order, rules);
            let guess = first_offset(order, rules, shape).unwrap_or_default();
            (Size::Length { length, guess }, Some(length))
        }
    };
    let sized = lens::sized(&shape.outline, Some(&rim), held, &edge, size)?;
    let Some(seated) = &sized.seated else { return Ok(None) };
    worked_size(w, eye_plan.eye, &sized, rim_3d, wanted_3d);
    let curve = |of: &SpaceLine| of.nearest_sphere().and_then(|s| s.curve_d());
    Ok(Some(EdgeLinePlan {
        edge: EdgeKind::Bevel,
        seat: Some(seated.seat),
        frame_curve_d: curve(&rim),
        bevel_curve_d: curve(&sized.line),
        rim_3d: Some(rim_3d),
        wanted_3d,
        finished: None,
        sized,
    }))
}

/// The groove of a lens: along the front, through the middle of a thin edge; its least walls stand before and behind it
/// where the edge has room for them.
fn groove(order: &Order, rules: &Rules, shape: &Shape, held: &Cutting) -> Result<EdgeLinePlan, NoSize> {
    let from_middle = rules.groove.width / 2.0 + rules.groove.wall;
    let edge = EdgeRules { front_shoulder: from_middle, back_shoulder: from_middle, gap_given: rules.bevel.gap_given };
    let offset = order.frame.outline_allowance.unwrap_or_default();
    let sized = lens::sized(&shape.outline, None, held, &edge, Size::Offset(offset))?;
    Ok(EdgeLinePlan {
        edge: EdgeKind::Groove,
        sized,
        seat: None,
        frame_curve_d: None,
        bevel_curve_d: None,
        rim_3d: None,
        wanted_3d: None,
        finished: None,
    })
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

/// Adds the edge that is seen and the mass that is left.
pub(crate) fn finish(
    line: &mut EdgeLinePlan,
    order: &Order,
    rules: &Rules,
    held: &Cutting,
    volume_mm3: f64,
    density_g_cm3: f64,
) -> Result<(), lens::NoLens> {
    let (form, height) = match line.edge {
        EdgeKind::Groove => {
            // Without a bevel the edge that is seen is the square one.
            (EdgeForm::Groove { width: rules.groove.width, depth: rules.groove.depth }, Mm::ZERO)
        }
        _ if order.lens.bevel.is_some_and(|kind| kind != BevelKind::V) => return Ok(()),
        _ => {
            let (angle, height) = (Angle::from_deg(rules.bevel.angle_deg), rules.bevel.height);
            (EdgeForm::Bevel { angle, height }, height)
        }
    };
    let sized = &line.sized;
    let off = lens::cut_off_mm3(held, &sized.places, &sized.room, &sized.line, form)?;
    let volume_mm3 = volume_mm3 - off;
    line.finished = Some(FinishedPlan {
        visible: lens::visible_edge(held, &sized.places, height)?,
        volume_mm3,
        mass_g: volume_mm3 * density_g_cm3 / 1000.0,
    });
    Ok(())
}

/// What the line on the edge asks.
pub(crate) fn findings(eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    squeezed(eye, line, rules, found);
    if let (Some(seat), Some(seated)) = (&line.seat, &line.sized.seated) {
        thinned(eye, line, rules, found);
        leans(eye, seat, found);
        to_form(eye, line, seated, found);
    }
}

/// An edge without room for the bevel's least shoulders, or the groove and its least walls.
fn squeezed(eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    let Some(squeezed) = line.sized.room.squeezed else { return };
    let (thinnest, place) = (squeezed.thinnest.mm(), at(squeezed.at.direction_deg()));
    let (kind, wanted, said, mend) = if line.edge == EdgeKind::Groove {
        let walls = mm2((0.5 * (thinnest - rules.groove.width.mm())).max(0.0));
        (
            &kinds::GROOVE_WALLS_THIN,
            rules.groove.width + rules.groove.wall * 2.0,
            format!("the edge is {} mm at {place}: the walls beside the groove are {walls} mm there", mm2(thinnest)),
            "take a thicker lens; a wall so thin breaks out",
        )
    } else {
        (
            &kinds::SHOULDERS_SHORT,
            rules.least.front_shoulder + rules.least.back_shoulder,
            format!(
                "the edge is less than both least shoulders, {} mm at {place}: the apex divides it there",
                mm2(thinnest)
            ),
            "expect a lower bevel there; a thicker lens would hold better",
        )
    };
    found.push(
        Finding::new(kind, "edge.thinnest_mm", mm2(thinnest))
            .of(eye)
            .limit(mm2(wanted.mm()))
            .unit("mm")
            .weighs(wanted.mm() - thinnest)
            .says(said, mend),
    );
}

/// A rim that lies far askew on the lens.
fn leans(eye: Eye, seat: &Seat, found: &mut Vec<Finding>) {
    let (x, y) = (seat.tilt_x.deg(), seat.tilt_y.deg());
    let most = if abs(x) > abs(y) { x } else { y };
    if abs(most) > LEANS_DEG {
        found.push(
            Finding::new(&kinds::SEAT_LEANS, "seat.tilt_deg", fixed(most, 1))
                .of(eye)
                .limit(fixed(LEANS_DEG, 1))
                .unit("deg")
                .weighs(abs(most) / 10.0)
                .says(
                    format!("the rim would lie {} degrees askew on this lens", fixed(abs(most), 1)),
                    "true the front and trace again; or take a lens nearer to the frame curve",
                ),
        );
    }
}

/// A bevel that leaves the rim by more than a rim gives by itself.
fn to_form(eye: Eye, line: &EdgeLinePlan, seated: &Seated, found: &mut Vec<Finding>) {
    let gap = seated.gap_greatest.mm();
    if abs(gap) > TO_FORM_MM {
        let curves = match (line.frame_curve_d, line.bevel_curve_d) {
            (Some(frame), Some(apex)) => {
                format!(" (frame curve {} D, bevel curve {} D)", signed2(frame), signed2(apex))
            }
            _ => String::new(),
        };
        let place = at(seated.gap_greatest_at.direction_deg());
        let stands = if gap < 0.0 { "before" } else { "behind" };
        found.push(
            Finding::new(&kinds::RIM_TO_FORM, "seat.gap_greatest_mm", signed2(gap))
                .of(eye)
                .limit(mm2(TO_FORM_MM))
                .unit("mm")
                .weighs(abs(gap))
                .says(
                    format!("the bevel would stand {} mm {stands} the rim at {place}{curves}", mm2(abs(gap))),
                    "form the rim to the bevel before mounting, or take a lens nearer to the frame curve",
                ),
        );
    }
}

/// Where the apex runs steeply round the edge, the wheel's own groove cuts the bevel lower.
fn thinned(eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    let (places, apex) = (&line.sized.places, line.sized.line.depths());
    let wheel = BevelWheel {
        radius: rules.wheel.bevel / 2.0,
        angle: Angle::from_deg(rules.bevel.angle_deg),
        height: rules.bevel.height,
    };
    // Every other place tells the lowering to a few micrometres.
    let edge: Vec<EdgePlace> = (0..places.len())
        .step_by(2)
        .map(|i| EdgePlace { at: places.at(i), normal: places.normal[i], apex_depth: Mm::new(apex[i]) })
        .collect();
    let Some((most, place)) = lens::most_lowered(&edge, &lens::bevel_lowered(&edge, &wheel)) else { return };
    if most > rules.wheel.thinned {
        found.push(
            Finding::new(&kinds::BEVEL_THINNED, "bevel.lowered_mm", mm2(most.mm()))
                .of(eye)
                .limit(mm2(rules.wheel.thinned.mm()))
                .unit("mm")
                .weighs(most.mm())
                .says(
                    format!(
                        "the bevel runs so steeply that a wheel of {} mm cuts it {} mm lower at {}",
                        mm1(rules.wheel.bevel.mm()),
                        mm2(most.mm()),
                        at(place.direction_deg())
                    ),
                    "look at the bevel there after the first cut; a smaller wheel or a flatter bevel curve leaves more",
                ),
        );
    }
}

/// The finding of a lens that cannot be seated.
pub(crate) fn unseated(eye: Eye, no: &NoSize) -> Finding {
    match no {
        NoSize::Outline { offset, .. } => crate::size_refused(eye, Some(*offset)),
        NoSize::Lens(no) => Finding::new(&kinds::NOT_SEATED, "seat", "none").of(eye).weighs(1.0).says(
            format!("the lens could not be seated in its rim: {no}"),
            "check trace depth and frame curve; figures of size and bevel are missing",
        ),
    }
}

/// A size in what a machine is set in: its amount and what it is of.
#[must_use]
pub fn setting(unit: SizeUnit, offset: Mm) -> (Mm, &'static str) {
    match unit {
        SizeUnit::Radius => (offset, "radius"),
        SizeUnit::Width => (offset * 2.0, "box width"),
        SizeUnit::Circumference => (offset * core::f64::consts::TAU, "circumference"),
    }
}
