//! The lens out of its blank, as JSON.

use job::{EdgeKind, EdgeRun};
use planner::edge_line::{Behind, EdgeLinePlan};
use planner::holes::HolePlan;
use planner::lashes::LashRoom;
use planner::plan::{Assumed, BlockPlan, CoveragePlan, EdgePlan, Marking, Spread, ThicknessPlan};
use planner::{EyePlan, LensPlan};
use schemars::JsonSchema;
use serde::Serialize;

use super::eye::PowerJson;
use super::figure::{Coarse, Direction, Fine, PlaceJson, PrismJson};

/// Blocking. The block point, and the lean of the cutting axis in the lens's axes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct BlockJson {
    #[serde(flatten)]
    at: PlaceJson,
    /// atan2(in, towards viewer) of the cutting axis, degrees.
    tilt_in_deg: Coarse,
    /// atan2(up, towards viewer) of the cutting axis, degrees.
    tilt_up_deg: Coarse,
    /// Largest block of this bench that clears, mm; absent where none does.
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter_mm: Option<Fine>,
    /// Shortest radius of the shape about the block point, mm.
    shortest_radius_mm: Fine,
    /// Where that is, about the boxed centre.
    shortest_radius_deg: Direction,
}

impl From<&BlockPlan> for BlockJson {
    fn from(block: &BlockPlan) -> Self {
        Self {
            at: block.at.into(),
            tilt_in_deg: Coarse::new(block.tilt_in_deg),
            tilt_up_deg: Coarse::new(block.tilt_up_deg),
            diameter_mm: block.diameter.map(Fine::from),
            shortest_radius_mm: block.shortest_radius.into(),
            shortest_radius_deg: Direction::new(block.shortest_deg),
        }
    }
}

/// The blank: its row of the shelf, and how it lies.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct BlankJson {
    /// Stock-keeping unit.
    sku: String,
    /// Where it lies in the shop.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    /// Lens material.
    material: String,
    /// Series.
    #[serde(skip_serializing_if = "Option::is_none")]
    series: Option<String>,
    /// Supplier's lot.
    #[serde(skip_serializing_if = "Option::is_none")]
    lot: Option<String>,
    /// `spheric`, `aspheric` or `unknown`.
    form: &'static str,
    /// Labelled power.
    power: PowerJson,
    /// Nominal diameter, mm.
    nominal_mm: Fine,
    /// Usable diameter as the row states it, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    usable_mm: Option<Fine>,
    /// Refractive index.
    index: Fine,
    /// Density, g/cm3.
    density_g_cm3: Fine,
    /// Front curve on the lens's own index, D.
    front_curve_true_d: Fine,
    /// Front curve on index 1.530, D.
    front_curve_1530_d: Fine,
    /// The blank's middle as seen from the boxed centre, towards the nose, mm.
    middle_in_mm: Fine,
    /// The same, upwards, mm.
    middle_up_mm: Fine,
    /// Direction of the packet's 0-180 line.
    turn_deg: Direction,
    /// Where the prism reference point of a blank with ground prism goes, seen from the boxed centre, towards the nose, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    vertex_in_mm: Option<Fine>,
    /// The same, upwards, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    vertex_up_mm: Option<Fine>,
}

impl BlankJson {
    pub(super) fn new(eye: &EyePlan, lens: &LensPlan) -> Self {
        let blank = &lens.blank;
        let vertex = eye.vertex.filter(|_| eye.prism.ground != Default::default());
        Self {
            sku: blank.sku.clone(),
            place: blank.place.clone(),
            material: blank.material.to_string(),
            series: blank.series.clone(),
            lot: blank.lot.clone(),
            form: blank.form.word(),
            power: blank.power.into(),
            nominal_mm: blank.nominal.into(),
            usable_mm: blank.usable.map(Fine::from),
            index: Fine::new(lens.index),
            density_g_cm3: Fine::new(lens.density_g_cm3),
            front_curve_true_d: lens.front_curve_true.into(),
            front_curve_1530_d: lens.front_curve_1530.into(),
            middle_in_mm: lens.middle.inwards.into(),
            middle_up_mm: lens.middle.up.into(),
            turn_deg: Direction::new(lens.turn_deg),
            vertex_in_mm: vertex.map(|v| v.inwards.into()),
            vertex_up_mm: vertex.map(|v| v.up.into()),
        }
    }
}

/// Coverage of the shape by the blank.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct CoverageJson {
    /// Cut-out margin, mm; negative = does not cover.
    margin_mm: Fine,
    /// Where it is least, about the boxed centre.
    tightest_deg: Direction,
    /// Smallest nominal diameter that would do, allowance in, same unusable rim as this blank, mm.
    smallest_blank_mm: Fine,
    /// From the blank's middle to the furthest place of the wall, square to the blank's axis, mm.
    reach_mm: Fine,
    /// Allowance per side that is in the margin, mm.
    allowance_mm: Fine,
    /// Usable radius of the blank, mm.
    usable_radius_mm: Fine,
    /// The smallest shift of the optical centre that lets the blank cover, and the prism it costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    rescue: Option<RescueJson>,
}

/// A shift and its price.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct RescueJson {
    #[serde(flatten)]
    shift: PlaceJson,
    #[serde(flatten)]
    prism: PrismJson,
}

impl From<&CoveragePlan> for CoverageJson {
    fn from(coverage: &CoveragePlan) -> Self {
        Self {
            margin_mm: coverage.margin.into(),
            tightest_deg: Direction::new(coverage.tightest_deg),
            smallest_blank_mm: coverage.smallest_blank.into(),
            reach_mm: coverage.reach.into(),
            allowance_mm: coverage.allowance.into(),
            usable_radius_mm: coverage.usable_radius.into(),
            rescue: coverage.rescue.map(|r| RescueJson { shift: r.shift.into(), prism: r.prism.into() }),
        }
    }
}

/// Thickness.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct ThicknessJson {
    /// At the optical centre along the lens axis, as a caliper reads, mm; absent where a ground prism leaves none.
    #[serde(skip_serializing_if = "Option::is_none")]
    optical_centre_mm: Option<Fine>,
    /// At the vertex along the lens axis, mm: where a prism is ground, the prism reference point.
    #[serde(skip_serializing_if = "Option::is_none")]
    vertex_mm: Option<Fine>,
    /// At the reference point along the cutting axis, mm.
    reference_point_mm: Fine,
    /// Least over the whole lens, rim included, along the cutting axis, mm.
    least_mm: Fine,
    /// Where.
    least_at: PlaceJson,
    /// Greatest over the whole lens, rim included, along the cutting axis, mm.
    greatest_mm: Fine,
    /// Where.
    greatest_at: PlaceJson,
}

impl From<&ThicknessPlan> for ThicknessJson {
    fn from(thickness: &ThicknessPlan) -> Self {
        Self {
            optical_centre_mm: thickness.optical_centre.map(Fine::from),
            vertex_mm: (thickness.optical_centre != Some(thickness.vertex)).then(|| thickness.vertex.into()),
            reference_point_mm: thickness.reference_point.into(),
            least_mm: thickness.least.0.into(),
            least_at: thickness.least.1.into(),
            greatest_mm: thickness.greatest.0.into(),
            greatest_at: thickness.greatest.1.into(),
        }
    }
}

/// The square edge, along the cutting axis at the cut outline.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct EdgeJson {
    /// Thinnest place, mm.
    thinnest_mm: Fine,
    /// Where, about the boxed centre.
    thinnest_deg: Direction,
    /// Thickest place, mm.
    thickest_mm: Fine,
    /// Where, about the boxed centre.
    thickest_deg: Direction,
    /// Thinnest visible edge (front to back surface at the foot of the bevel), mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible_thinnest_mm: Option<Fine>,
    /// Where, about the boxed centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible_thinnest_deg: Option<Direction>,
    /// Thickest visible edge, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible_thickest_mm: Option<Fine>,
    /// Where, about the boxed centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible_thickest_deg: Option<Direction>,
    /// How much lower the wheel's own groove cuts the bevel where it runs steepest, mm; absent where by nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    lowered_mm: Option<Fine>,
    /// Where, about the boxed centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    lowered_deg: Option<Direction>,
    /// How the apex of the bevel or the middle of the groove runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<EdgeLineJson>,
    /// Every 5 degrees from 0 to 355.
    around: Vec<EdgeRowJson>,
}

/// One place of the edge.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct EdgeRowJson {
    /// Direction about the boxed centre.
    deg: Direction,
    /// Square edge, mm.
    square_mm: Fine,
    /// Front surface, along the cutting axis from the front at the block point, growing towards the eye, mm.
    front_depth_mm: Fine,
    /// Back surface likewise, mm.
    back_depth_mm: Fine,
    /// Bevel apex likewise, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    apex_depth_mm: Option<Fine>,
    /// From the apex to the front surface at the cut outline, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    front_shoulder_mm: Option<Fine>,
    /// From the apex to the back surface at the cut outline, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    back_shoulder_mm: Option<Fine>,
    /// Visible edge: front to back surface at the foot of the bevel, before the safety bevel, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    visible_mm: Option<Fine>,
    /// Apex depth less the depth of the rim as seated, + = apex behind the rim, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    gap_mm: Option<Fine>,
    /// Middle of the groove, along the cutting axis from the front at the block point, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    groove_depth_mm: Option<Fine>,
    /// From the middle of the groove to the front surface at the cut outline, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    groove_from_front_mm: Option<Fine>,
    /// From the middle of the groove to the back surface at the cut outline, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    groove_from_back_mm: Option<Fine>,
}

impl EdgeJson {
    /// `flat` tells that the edge is not bevelled: what is seen of it is then the square edge.
    pub(super) fn new(edge: &EdgePlan, line: Option<&EdgeLinePlan>, flat: bool) -> Self {
        let square = |figure: Fine| flat.then_some(figure);
        let visible = line.and_then(|line| line.visible.as_ref());
        Self {
            visible_thinnest_mm: visible.map(|v| v.thinnest.into()).or(square(edge.thinnest.into())),
            visible_thinnest_deg: visible
                .map(|v| v.thinnest_at.direction_deg())
                .or(flat.then_some(edge.thinnest_deg))
                .map(Direction::new),
            visible_thickest_mm: visible.map(|v| v.thickest.into()).or(square(edge.thickest.into())),
            visible_thickest_deg: visible
                .map(|v| v.thickest_at.direction_deg())
                .or(flat.then_some(edge.thickest_deg))
                .map(Direction::new),
            thinnest_mm: edge.thinnest.into(),
            thinnest_deg: Direction::new(edge.thinnest_deg),
            thickest_mm: edge.thickest.into(),
            thickest_deg: Direction::new(edge.thickest_deg),
            lowered_mm: line.and_then(|line| line.lowered).map(|(most, _)| most.into()),
            lowered_deg: line.and_then(|line| line.lowered).map(|(_, at)| Direction::new(at.direction_deg())),
            line: line.map(EdgeLineJson::from),
            around: edge
                .around
                .iter()
                .map(|row| {
                    let of = |edge| line.filter(|line| line.edge == edge).and_then(|line| line.row(row.deg as u32));
                    let (apex, groove) = (of(EdgeKind::Bevel), of(EdgeKind::Groove));
                    let either = apex.or(groove);
                    EdgeRowJson {
                        deg: Direction::new(row.deg),
                        square_mm: row.square.into(),
                        front_depth_mm: row.front_depth.into(),
                        back_depth_mm: row.back_depth.into(),
                        apex_depth_mm: apex.map(|b| b.depth.into()),
                        front_shoulder_mm: apex.map(|b| b.to_front.into()),
                        back_shoulder_mm: apex.map(|b| b.to_back.into()),
                        visible_mm: either.and_then(|b| b.visible).map(Fine::from).or(square(row.square.into())),
                        gap_mm: either.and_then(|b| b.gap).map(Fine::from),
                        groove_depth_mm: groove.map(|b| b.depth.into()),
                        groove_from_front_mm: groove.map(|b| b.to_front.into()),
                        groove_from_back_mm: groove.map(|b| b.to_back.into()),
                    }
                })
                .collect(),
        }
    }
}

/// A hole of a drilled lens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct HoleJson {
    #[serde(flatten)]
    at: PlaceJson,
    /// Diameter, mm.
    diameter_mm: Fine,
    /// From its wall to the cut outline, mm; negative where it breaks through the edge or lies outside.
    wall_mm: Fine,
    /// Thickness of the lens at its middle along the cutting axis, mm; absent outside the lens.
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness_mm: Option<Fine>,
}

impl From<&HolePlan> for HoleJson {
    fn from(hole: &HolePlan) -> Self {
        Self {
            at: hole.at.into(),
            diameter_mm: hole.diameter.into(),
            wall_mm: hole.wall.into(),
            thickness_mm: hole.thickness.map(Fine::from),
        }
    }
}

/// Room for the lashes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct LashesJson {
    /// From the back of the lens to the plane of the cornea where it is least, within 12 mm of the pupil, mm.
    room_mm: Fine,
    /// Where, about the pupil.
    deg: Direction,
}

impl From<LashRoom> for LashesJson {
    fn from(least: LashRoom) -> Self {
        Self { room_mm: least.room.into(), deg: Direction::new(least.deg) }
    }
}

/// A part of the frame behind the lens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct BehindJson {
    /// Direction about the boxed centre.
    deg: Direction,
    /// What it is.
    what: String,
    /// The room that it leaves behind bevel or groove, mm.
    back_mm: Fine,
    /// How far the back edge stands behind it, mm.
    takes_mm: Fine,
}

impl From<&Behind> for BehindJson {
    fn from(part: &Behind) -> Self {
        Self {
            deg: Direction::new(part.deg),
            what: part.what.clone(),
            back_mm: part.room.into(),
            takes_mm: part.takes.into(),
        }
    }
}

/// How the line on the edge runs: one of four, and how far the room on the edge holds it off that.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct EdgeLineJson {
    /// `rim`, `front` or `back`.
    #[serde(skip_serializing_if = "Option::is_none")]
    along: Option<&'static str>,
    /// So far behind the front surface, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    from_front_mm: Option<Fine>,
    /// So much of the edge before it.
    #[serde(skip_serializing_if = "Option::is_none")]
    share: Option<Fine>,
    /// On a sphere of this curve, D on 1.530.
    #[serde(skip_serializing_if = "Option::is_none")]
    curve_d: Option<Fine>,
    /// How far it is held off, at most, mm; absent along the rim.
    #[serde(skip_serializing_if = "Option::is_none")]
    held_mm: Option<Fine>,
    /// Where that is, about the boxed centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    held_deg: Option<Direction>,
}

impl From<&EdgeLinePlan> for EdgeLineJson {
    fn from(line: &EdgeLinePlan) -> Self {
        let held = line.sized.run.as_ref();
        let mut json = Self {
            along: None,
            from_front_mm: None,
            share: None,
            curve_d: None,
            held_mm: held.map(|run| run.held.into()),
            held_deg: held.map(|run| Direction::new(run.held_at.direction_deg())),
        };
        match line.run {
            EdgeRun::Along(beside) => json.along = Some(beside.word()),
            EdgeRun::FromFront(by) => json.from_front_mm = Some(by.into()),
            EdgeRun::Share(share) => json.share = Some(Fine::new(share)),
            EdgeRun::Curve(curve_d) => json.curve_d = Some(Fine::new(curve_d)),
        }
        json
    }
}

/// Where the rim lies as seen from the lens, and how the apex meets it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct SeatJson {
    /// How far before the front at the block point the rim's turning point lies, mm: the point at the rim line's mean depth
    /// under the boxed centre.
    forward_mm: Fine,
    /// Turn of the rim about the viewer's right, right-hand rule, degrees.
    tilt_x_deg: Coarse,
    /// Then about the vertical, degrees.
    tilt_y_deg: Coarse,
    /// Root mean square of the gap along the apex, mm.
    gap_rms_mm: Fine,
    /// The least that any seat gives, mm.
    gap_least_rms_mm: Fine,
    /// The gap that is greatest in amount, signed, + = apex behind the rim, mm.
    gap_greatest_mm: Fine,
    /// Where, about the boxed centre.
    gap_greatest_deg: Direction,
    /// Greatest distance between apex and seated rim in the plane of the outline, mm.
    side_greatest_mm: Fine,
    /// Frame curve: the sphere nearest to the rim line, D on 1.530; absent where the line tells none.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame_curve_d: Option<Fine>,
    /// Bevel curve: the sphere nearest to the apex line, likewise.
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_curve_d: Option<Fine>,
    /// How deep the bevel goes into the rim's groove, mm; absent where the order does not state the groove.
    #[serde(skip_serializing_if = "Option::is_none")]
    reach_mm: Option<Fine>,
    /// What stops it there: `bottom` of the groove, its `lips`, or the bevel's own `shoulders`.
    #[serde(skip_serializing_if = "Option::is_none")]
    stopped_by: Option<&'static str>,
    /// How far above the bottom of the groove the apex stays, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    short_mm: Option<Fine>,
    /// How far the shoulders stand off the rim, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    stands_off_mm: Option<Fine>,
}

impl SeatJson {
    pub(super) fn of(line: &EdgeLinePlan) -> Option<Self> {
        let (seated, seat) = (line.sized.seated.as_ref()?, line.seat?);
        Some(Self {
            forward_mm: seat.forward.into(),
            tilt_x_deg: Coarse::new(seat.tilt_x.deg()),
            tilt_y_deg: Coarse::new(seat.tilt_y.deg()),
            gap_rms_mm: seated.gap_rms.into(),
            gap_least_rms_mm: seated.gap_least_rms.into(),
            gap_greatest_mm: seated.gap_greatest.into(),
            gap_greatest_deg: Direction::new(seated.gap_greatest_at.direction_deg()),
            side_greatest_mm: seated.side_greatest.into(),
            frame_curve_d: line.frame_curve_d.map(Fine::new),
            bevel_curve_d: line.bevel_curve_d.map(Fine::new),
            reach_mm: line.sits.map(|sits| sits.reach.into()),
            stopped_by: line.sits.map(|sits| sits.stopped_by.word()),
            short_mm: line.sits.map(|sits| sits.short.into()),
            stands_off_mm: line.sits.map(|sits| sits.off.into()),
        })
    }
}

/// What goes onto the lens before it is blocked.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct MarkingJson {
    /// Axis to set on the focimeter, degrees; absent for a sphere.
    #[serde(skip_serializing_if = "Option::is_none")]
    focimeter_axis_deg: Option<Coarse>,
    /// Prism that the focimeter shows at the middle dot.
    dot_prism: PrismJson,
    /// The middle dot as seen from the block point.
    dot_from_block: PlaceJson,
    /// The middle dot as seen from the blank's middle.
    dot_from_blank_middle: PlaceJson,
}

impl From<&Marking> for MarkingJson {
    fn from(marking: &Marking) -> Self {
        Self {
            focimeter_axis_deg: marking.focimeter_axis_deg.map(Coarse::new),
            dot_prism: marking.dot_prism.into(),
            dot_from_block: marking.dot_from_block.into(),
            dot_from_blank_middle: marking.dot_from_blank_middle.into(),
        }
    }
}

/// A value that was assumed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct AssumedJson {
    /// Which figure.
    figure: &'static str,
    /// The value taken, in the figure's own unit.
    value: Fine,
    /// Why this one.
    why: String,
}

impl From<&Assumed> for AssumedJson {
    fn from(assumed: &Assumed) -> Self {
        Self { figure: assumed.figure, value: Fine::new(assumed.value), why: assumed.why.clone() }
    }
}

/// How far a figure may move.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct SpreadJson {
    /// Which figure of this eye.
    figure: &'static str,
    /// Lowest, in the figure's own unit.
    low: Fine,
    /// Highest.
    high: Fine,
    /// What leaves it open.
    cause: String,
}

impl From<&Spread> for SpreadJson {
    fn from(spread: &Spread) -> Self {
        Self {
            figure: spread.figure,
            low: Fine::new(spread.low),
            high: Fine::new(spread.high),
            cause: spread.cause.clone(),
        }
    }
}
