//! One eye of a plan as JSON.

use planner::plan::{NearMiss, OrderThickness, Shape, ToOrder};
use planner::{EyePlan, PrismPlan};
use schemars::JsonSchema;
use serde::Serialize;
use units::{Axis, Mm, Power};

use super::figure::{Coarse, Direction, Fine, PlaceJson, PrismJson};
use super::lens::{AssumedJson, BlankJson, BlockJson, CoverageJson, EdgeJson, MarkingJson, SpreadJson, ThicknessJson};

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
    /// Volume of the square lens, mm3.
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_mm3: Option<Coarse>,
    /// Mass of the square lens, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_g: Option<super::figure::Grams>,
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
    /// Flat circumference of the cut outline less that of the traced one, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    circumference_offset_mm: Option<Fine>,
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
    #[serde(flatten)]
    power: PowerJson,
    /// Least nominal diameter with the blank's middle on the optical centre, mm.
    least_diameter_mm: Fine,
    /// Decentration that this diameter allows for.
    decentration: PlaceJson,
    /// Centre thickness to ask for, mm.
    centre_mm: Fine,
    /// The thinnest edge that this centre leaves, mm (plus lenses).
    #[serde(skip_serializing_if = "Option::is_none")]
    thinnest_edge_mm: Option<Fine>,
    /// Ground prism to ask for.
    prism: PrismJson,
}

impl From<&ToOrder> for ToOrderJson {
    fn from(order: &ToOrder) -> Self {
        let (centre, edge) = match order.thickness {
            OrderThickness::Centre(centre) => (centre, None),
            OrderThickness::CentreForEdge { centre, edge } => (centre, Some(edge)),
        };
        Self {
            power: optics::OrderedPower::new(order.sphere, order.cylinder).into(),
            least_diameter_mm: order.least_diameter.into(),
            decentration: order.decentration.into(),
            centre_mm: centre.into(),
            thinnest_edge_mm: edge.map(Fine::from),
            prism: order.prism.into(),
        }
    }
}

impl From<&EyePlan> for EyeJson {
    fn from(eye: &EyePlan) -> Self {
        let lens = eye.lens.as_ref();
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
                circumference_offset_mm: eye.circumference_offset.map(Fine::from),
            }),
            prism: (&eye.prism).into(),
            block: lens.map(|lens| (&lens.block).into()),
            blank: lens.map(|lens| BlankJson::new(eye, lens)),
            coverage: lens.map(|lens| (&lens.coverage).into()),
            thickness: lens.map(|lens| (&lens.thickness).into()),
            edge: lens.map(|lens| (&lens.edge).into()),
            volume_mm3: lens.map(|lens| Coarse::new(lens.volume_mm3)),
            mass_g: lens.map(|lens| super::figure::Grams::new(lens.mass_g)),
            marking: lens.map(|lens| (&lens.marking).into()),
            assumed: lens.map(|lens| lens.assumed.iter().map(AssumedJson::from).collect()),
            spread: lens.map(|lens| lens.spread.iter().map(SpreadJson::from).collect()),
            near_misses: eye.near_misses.iter().map(NearMissJson::from).collect(),
            to_order: eye.to_order.as_ref().map(ToOrderJson::from),
        }
    }
}
