//! One eye of a plan as JSON.

use job::prescription::InUp;
use job::{EdgeKind, Eye};
use planner::plan::{NearMiss, SemiFinished, Shape, ToOrder};
use planner::{EyePlan, PrismPlan};
use schemars::JsonSchema;
use serde::Serialize;
use units::{Axis, Mm, Power};

use super::figure::{Coarse, Direction, Fine, PlaceJson, PrismJson};
use super::lens::{
    AssumedJson, BehindJson, BlankJson, BlockJson, CoverageJson, EdgeJson, HoleJson, LashesJson, MarkingJson, SeatJson,
    SpreadJson, ThicknessJson,
};

/// The plan of one eye. Places are counted from the boxed centre: + in (towards the nose), + up.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EyeJson {
    /// The power that is made, as ordered.
    power: PowerJson,
    /// The traced outline, measured.
    #[serde(rename = "box")]
    boxed: BoxJson,
    /// Frame curve on index 1.530, D.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame_curve_d: Option<Fine>,
    /// The outline is the mirror image of the fellow eye's.
    #[serde(skip_serializing_if = "Option::is_none")]
    mirrored: Option<bool>,
    /// The point before the pupil: the ordered prism is to hold here.
    #[serde(skip_serializing_if = "Option::is_none")]
    reference_point: Option<ReferenceJson>,
    /// Where the optical centre goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    optical_centre: Option<PlaceJson>,
    /// How much larger than the traced outline the lens is cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<SizeJson>,
    /// Prism at the reference point.
    prism: PrismsJson,
    /// Blocking.
    #[serde(skip_serializing_if = "Option::is_none")]
    block: Option<BlockJson>,
    /// The blank, and how it lies.
    #[serde(skip_serializing_if = "Option::is_none")]
    blank: Option<BlankJson>,
    /// Does the blank cover the shape?
    #[serde(skip_serializing_if = "Option::is_none")]
    coverage: Option<CoverageJson>,
    /// Thickness.
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness: Option<ThicknessJson>,
    /// The square edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    edge: Option<EdgeJson>,
    /// The holes of a drilled lens, in the order's sequence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    holes: Vec<HoleJson>,
    /// Parts of the frame behind the lens, in the order's sequence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    clearance: Vec<BehindJson>,
    /// Room for the lashes; absent without a worn vertex distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    lashes: Option<LashesJson>,
    /// How the lens lies in the rim.
    #[serde(skip_serializing_if = "Option::is_none")]
    seat: Option<SeatJson>,
    /// Volume of the square lens, mm3.
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_mm3: Option<Coarse>,
    /// Mass of the square lens, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_g: Option<super::figure::Grams>,
    /// Volume once the bevel is on, before the safety bevel, mm3.
    #[serde(skip_serializing_if = "Option::is_none")]
    finished_volume_mm3: Option<Coarse>,
    /// Mass of that, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    finished_mass_g: Option<super::figure::Grams>,
    /// Marks and dots, before it is blocked.
    #[serde(skip_serializing_if = "Option::is_none")]
    marking: Option<MarkingJson>,
    /// Values that were assumed.
    #[serde(skip_serializing_if = "Option::is_none")]
    assumed: Option<Vec<AssumedJson>>,
    /// How far figures may move for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    spread: Option<Vec<SpreadJson>>,
    /// Blanks that come near, and why they will not do; nearest first.
    near_misses: Vec<NearMissJson>,
    /// What to order where the shelf has nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    to_order: Option<ToOrderJson>,
}

/// A power in the form in which it was written, and in the other one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct PowerJson {
    #[serde(flatten)]
    written: FormJson,
    /// The same power with the other sign of cylinder; absent for a sphere.
    #[serde(skip_serializing_if = "Option::is_none")]
    transposed: Option<FormJson>,
}

/// Sphere, cylinder, axis.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct FormJson {
    /// Sphere, as text with its sign.
    sphere_d: String,
    /// Cylinder, as text with its sign; absent where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    cylinder_d: Option<String>,
    /// Axis in degrees, above 0 to 180.
    #[serde(skip_serializing_if = "Option::is_none")]
    axis_deg: Option<Coarse>,
}

impl From<optics::OrderedPower> for PowerJson {
    fn from(power: optics::OrderedPower) -> Self {
        let transposed = power.cylinder().map(|_| power.transposed());
        Self {
            written: FormJson::new(power.sphere(), power.cylinder()),
            transposed: transposed.map(|other| FormJson::new(other.sphere(), other.cylinder())),
        }
    }
}

impl FormJson {
    fn new(sphere: Power, cylinder: Option<(Power, Axis)>) -> Self {
        Self {
            sphere_d: sphere.to_string(),
            cylinder_d: cylinder.map(|(power, _)| power.to_string()),
            axis_deg: cylinder.map(|(_, axis)| Coarse::new(axis.deg())),
        }
    }
}

/// The box and the lengths of an outline.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct BoxJson {
    /// Box width, mm.
    width_mm: Fine,
    /// Box height, mm.
    height_mm: Fine,
    /// Twice the longest radius from the boxed centre, mm.
    effective_diameter_mm: Fine,
    /// Where that radius points.
    effective_diameter_deg: Direction,
    /// Length of the smoothed outline, flat, mm.
    circumference_mm: Fine,
    /// Length of the straight lines between the raw points, mm.
    circumference_raw_mm: Fine,
    /// Length of the smoothed outline in space, mm; absent without depth.
    #[serde(skip_serializing_if = "Option::is_none")]
    circumference_3d_mm: Option<Fine>,
    /// Area, mm2.
    area_mm2: Coarse,
}

impl BoxJson {
    pub(super) fn new(shape: &Shape, circumference_3d: Option<Mm>) -> Self {
        Self {
            width_mm: shape.boxed.width.into(),
            height_mm: shape.boxed.height.into(),
            effective_diameter_mm: shape.boxed.effective_diameter.into(),
            effective_diameter_deg: Direction::new(shape.boxed.effective_diameter_at.deg()),
            circumference_mm: shape.circumference.into(),
            circumference_raw_mm: shape.circumference_raw.into(),
            circumference_3d_mm: circumference_3d.map(Fine::from),
            area_mm2: Coarse::new(shape.area_mm2),
        }
    }
}

/// The reference point and what placed it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ReferenceJson {
    #[serde(flatten)]
    at: PlaceJson,
    /// The eye's pupillary distance that was used, from the middle of the bridge, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pd_mm: Option<Fine>,
    /// The distance between lenses that was used, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    distance_between_lenses_mm: Option<Fine>,
}

/// Size against the traced outline, + = larger.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct SizeJson {
    /// In radius, mm.
    offset_radius_mm: Fine,
    /// In box width, mm.
    box_width_offset_mm: Fine,
    /// What the machine is set in: `radius`, `width` or `circumference`.
    #[serde(skip_serializing_if = "Option::is_none")]
    setting_of: Option<&'static str>,
    /// What it is set to for this size, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    setting_mm: Option<Fine>,
    /// What it is set to for the first cut, mm: larger by a step where the lens is tried in a rim.
    #[serde(skip_serializing_if = "Option::is_none")]
    first_setting_mm: Option<Fine>,
    /// Flat circumference of the cut outline less that of the traced one, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    circumference_offset_mm: Option<Fine>,
    /// Length of the bevel apex in space, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    apex_3d_mm: Option<Fine>,
    /// Length of the rim's groove line in space, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    rim_3d_mm: Option<Fine>,
    /// Length that the apex was to have, mm; absent where the order gives the size.
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted_3d_mm: Option<Fine>,
}

/// Prism from every side.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct PrismsJson {
    /// As prescribed.
    ordered: PrismJson,
    /// Given by the place of the optical centre.
    from_centration: PrismJson,
    /// Ground into the blank.
    ground: PrismJson,
    /// Ordered less what is made.
    residual: PrismJson,
}

impl From<&PrismPlan> for PrismsJson {
    fn from(prism: &PrismPlan) -> Self {
        Self {
            ordered: prism.ordered.into(),
            from_centration: prism.from_centration.into(),
            ground: prism.ground.into(),
            residual: prism.residual.into(),
        }
    }
}

/// A blank that comes near.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct NearMissJson {
    /// Stock-keeping unit.
    sku: String,
    /// Why it will not do.
    reason: &'static str,
    /// By how much.
    by: Fine,
    /// Unit of `by`; absent where it counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    /// Where it lies.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
}

impl From<&NearMiss> for NearMissJson {
    fn from(near: &NearMiss) -> Self {
        Self {
            sku: near.blank.sku.clone(),
            reason: near.reason.word(),
            by: Fine::new(near.by),
            unit: Some(near.reason.unit()).filter(|unit| !unit.is_empty()),
            place: near.blank.place.clone(),
        }
    }
}

/// What to ask the supplier for.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ToOrderJson {
    /// In minus-cylinder form.
    #[serde(flatten)]
    power: PowerJson,
    /// The power as ordered.
    as_ordered: FormJson,
    /// Lens material.
    material: String,
    /// Its refractive index on the d line.
    index_d: Fine,
    /// Spheric, or aspheric where the fellow lens is.
    #[schemars(extend("enum" = ["spheric", "aspheric"]))]
    form: &'static str,
    /// Series to match, where the fellow lens has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    series: Option<String>,
    /// Treatments: the fellow lens's, else the order's.
    treatments: Vec<String>,
    /// Front curve to match, D on index 1.530.
    front_curve_1530_d: Fine,
    /// Whose curve that is: the order's own, the fellow eye's chosen blank, the fellow lens that the order describes, or
    /// the usual one of this power (Vogel's rule).
    #[schemars(extend("enum" = ["order", "fellow-blank", "fellow-lens", "usual"]))]
    front_curve_from: &'static str,
    /// Least nominal diameter with the blank's middle on the optical centre (with ground prism: on the reference point),
    /// mm.
    least_diameter_mm: Fine,
    /// Decentration that this diameter allows for: where that point stands.
    decentration: PlaceJson,
    /// Centre thickness to ask for, at that point, mm.
    centre_mm: Fine,
    /// The thinnest edge that this centre leaves, mm.
    thinnest_edge_mm: Fine,
    /// Greatest thickness along the lens axis over the shape, mm.
    greatest_mm: Fine,
    /// Ground prism to ask for.
    prism: PrismJson,
    /// The same as amount and base; absent where none is ground.
    #[serde(skip_serializing_if = "Option::is_none")]
    prism_at_reference_point: Option<BaseJson>,
    /// Semi-finished blanks in stock that could be surfaced to it: material, kind, eye, form, what lies in the material,
    /// front curve, diameter and centre were checked.
    semi_finished: Vec<SemiFinishedJson>,
    /// What to settle before it is ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    cautions: Option<Vec<String>>,
}

/// A prism by its amount and the direction of its base.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct BaseJson {
    /// Amount, cm/m.
    amount_cm_per_m: Fine,
    /// Direction of the base, for the viewer.
    base_deg: Direction,
}

impl BaseJson {
    fn of(eye: Eye, prism: InUp) -> Option<Self> {
        let (amount, base_deg) = crate::surfacing_order::amount_and_base(eye, prism)?;
        Some(Self { amount_cm_per_m: Fine::new(amount), base_deg: Direction::new(base_deg) })
    }
}

/// A semi-finished blank in stock.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct SemiFinishedJson {
    /// Stock-keeping unit.
    sku: String,
    /// Cut-out margin with the blank's middle on the same point, mm.
    margin_mm: Fine,
    /// Its front curve less the one wanted, D on index 1.530.
    front_curve_off_d: Fine,
    /// Its centre thickness less the lens's greatest thickness along the axis, mm.
    centre_to_spare_mm: Fine,
    /// Where it lies.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
}

impl From<&SemiFinished> for SemiFinishedJson {
    fn from(semi: &SemiFinished) -> Self {
        Self {
            sku: semi.blank.sku.clone(),
            margin_mm: semi.margin.into(),
            front_curve_off_d: semi.curve_off.into(),
            centre_to_spare_mm: semi.spare.into(),
            place: semi.blank.place.clone(),
        }
    }
}

impl ToOrderJson {
    fn new(eye: Eye, order: &ToOrder) -> Self {
        Self {
            power: optics::OrderedPower::new(order.sphere, order.cylinder).into(),
            as_ordered: FormJson::new(order.ordered.sphere(), order.ordered.cylinder()),
            material: order.material.to_string(),
            index_d: Fine::new(order.index),
            form: order.form.word(),
            series: order.series.clone(),
            treatments: order.treatment_names.clone(),
            front_curve_1530_d: order.front_curve.curve_1530.into(),
            front_curve_from: order.front_curve.from.word(),
            least_diameter_mm: order.least_diameter.into(),
            decentration: order.decentration.into(),
            centre_mm: order.thickness.centre().into(),
            thinnest_edge_mm: order.thinnest_edge.into(),
            greatest_mm: order.greatest.into(),
            prism: order.prism.into(),
            prism_at_reference_point: BaseJson::of(eye, order.prism),
            semi_finished: order.semi_finished.iter().map(SemiFinishedJson::from).collect(),
            cautions: Some(order.cautions.clone()).filter(|cautions| !cautions.is_empty()),
        }
    }
}

impl From<&EyePlan> for EyeJson {
    fn from(eye: &EyePlan) -> Self {
        let lens = eye.lens.as_ref();
        let line = lens.and_then(|lens| lens.edge_line.as_ref());
        let finished = lens.and_then(|lens| lens.finished);
        Self {
            power: eye.power.into(),
            boxed: BoxJson::new(&eye.shape, eye.circumference_3d),
            frame_curve_d: eye.shape.frame_curve_d.map(Fine::new),
            mirrored: eye.shape.mirrored.then_some(true),
            reference_point: eye.reference_point.map(|at| ReferenceJson {
                at: at.into(),
                pd_mm: eye.pd.map(Fine::from),
                distance_between_lenses_mm: eye.between_lenses.map(Fine::from),
            }),
            optical_centre: eye.optical_centre.map(PlaceJson::from),
            size: eye.size_offset.map(|offset| SizeJson {
                offset_radius_mm: offset.into(),
                box_width_offset_mm: (offset * 2.0).into(),
                setting_of: eye.setting.map(|setting| setting.unit.word()),
                setting_mm: eye.setting.map(|setting| setting.planned.into()),
                first_setting_mm: eye.setting.map(|setting| setting.first.into()),
                circumference_offset_mm: eye.circumference_offset.map(Fine::from),
                apex_3d_mm: line.filter(|line| line.seat.is_some()).map(|line| line.sized.line.length().into()),
                rim_3d_mm: line.and_then(|line| line.rim_3d).map(Fine::from),
                wanted_3d_mm: line.and_then(|line| line.wanted_3d).map(Fine::from),
            }),
            prism: (&eye.prism).into(),
            block: lens.map(|lens| (&lens.block).into()),
            blank: lens.map(|lens| BlankJson::new(eye, lens)),
            coverage: lens.map(|lens| (&lens.coverage).into()),
            thickness: lens.map(|lens| (&lens.thickness).into()),
            edge: lens.map(|lens| EdgeJson::new(&lens.edge, line, lens.edge_kind == EdgeKind::Flat)),
            holes: lens.map_or_else(Vec::new, |lens| lens.holes.iter().map(HoleJson::from).collect()),
            clearance: line.map_or_else(Vec::new, |line| line.behind.iter().map(BehindJson::from).collect()),
            lashes: lens.and_then(|lens| lens.lashes).map(LashesJson::from),
            seat: line.and_then(SeatJson::of),
            volume_mm3: lens.map(|lens| Coarse::new(lens.volume_mm3)),
            mass_g: lens.map(|lens| super::figure::Grams::new(lens.mass_g)),
            finished_volume_mm3: finished.map(|f| Coarse::new(f.volume_mm3)),
            finished_mass_g: finished.map(|f| super::figure::Grams::new(f.mass_g)),
            marking: lens.map(|lens| (&lens.marking).into()),
            assumed: lens.map(|lens| lens.assumed.iter().map(AssumedJson::from).collect()),
            spread: lens.map(|lens| lens.spread.iter().map(SpreadJson::from).collect()),
            near_misses: eye.near_misses.iter().map(NearMissJson::from).collect(),
            to_order: eye.to_order.as_ref().map(|order| ToOrderJson::new(eye.eye, order)),
        }
    }
}
