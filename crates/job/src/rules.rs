//! The rules in force: limits, process, habits of this bench.
//!
//! The built-in rules are a file of `exchange`, each value with its source; a shop's own file overrides what differs.

use units::Mm;

use crate::frame::words;
use crate::process::Process;
use crate::{EdgeRun, FrameMaterial, Material, MaterialId, TreatmentNames};

/// Every rule, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// Edition of the tolerance standard.
    pub edition: String,
    /// Material kept beyond the shape, per side.
    pub blank_allowance: Mm,
    /// Least thicknesses.
    pub least: Least,
    /// How a size is set.
    pub size: Size,
    /// The bevel.
    pub bevel: Bevel,
    /// The groove of the lens.
    pub groove: Groove,
    /// The wheels of the edger.
    pub wheel: Wheels,
    /// How a job is made.
    pub process: Process,
    /// Blocking.
    pub block: Block,
    /// Placing.
    pub placement: Placement,
    /// The eye behind the lens.
    pub eye: EyeModel,
    /// Noise of this bench's tracer; `None` = estimated from each trace.
    pub outline_noise: Option<Mm>,
    /// Instruments.
    pub readings: Readings,
    /// Half width of the error of a pupillary distance, pair, by who measured it.
    pub pd_doubt: PdDoubt,
    /// Spread of what a shelf row leaves open, and of what it states.
    pub doubt: Doubt,
    /// Intake limits.
    pub intake: Intake,
    /// Materials: built in, and the shop's own.
    pub materials: Vec<Material>,
    /// Treatments: the trade's, and the shop's own.
    pub treatments: TreatmentNames,
}

impl Rules {
    /// The material of an id.
    #[must_use]
    pub fn material(&self, id: &MaterialId) -> Option<&Material> {
        self.materials.iter().find(|m| m.id == *id)
    }
}

/// `[least]`: least thicknesses by mounting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// Grooved edge: cannot below this.
    pub groove_stop: Mm,
    /// Grooved edge: ask below this.
    pub groove_ask: Mm,
    /// Bevelled edge: ask below this.
    pub bevel_ask: Mm,
    /// Drilled edge: cannot below this.
    pub drilled_stop: Mm,
    /// Drilled edge: ask above this.
    pub drilled_most_ask: Mm,
    /// Between a hole's wall and the edge: ask below this.
    pub hole_wall_ask: Mm,
    /// The lens at a hole: ask below this.
    pub hole_edge_ask: Mm,
    /// Front shoulder.
    pub front_shoulder: Mm,
    /// Back shoulder.
    pub back_shoulder: Mm,
}

/// `[size]`: how a machine's size setting is meant.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// What one unit of the setting means.
    pub unit: SizeUnit,
    /// Smallest step of the setting.
    pub step: Mm,
    /// Each eye its own trace, or one mirrored.
    pub right_left: RightLeft,
    /// How much longer than the rim the apex is wanted, by frame material.
    pub longer_3d: Vec<(FrameMaterial, Mm)>,
}

/// What a size setting changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeUnit {
    /// The radius.
    Radius,
    /// The box width.
    Width,
    /// The circumference.
    Circumference,
}
words!(SizeUnit, Self::Radius = "radius", Self::Width = "width", Self::Circumference = "circumference");

/// Whether each eye keeps its own trace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RightLeft {
    /// Each its own.
    Own,
    /// The right one, mirrored for the left.
    Mirror,
}
words!(RightLeft, Self::Own = "own", Self::Mirror = "mirror");

/// `[bevel]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bevel {
    /// Included angle, degrees.
    pub angle_deg: f64,
    /// Height.
    pub height: Mm,
    /// Width of the safety bevel.
    pub safety: Mm,
    /// Gap given away for a better seat.
    pub gap_given: Mm,
    /// Height of a small bevel; `None` = as high as any other.
    pub small_height: Option<Mm>,
    /// How far further in than its foot the edge behind a stepped bevel stands.
    pub step: Mm,
    /// How the apex runs, where no order says.
    pub line: EdgeRun,
}

/// `[groove]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Groove {
    /// Width.
    pub width: Mm,
    /// Depth.
    pub depth: Mm,
    /// Least wall before and behind it.
    pub wall: Mm,
    /// How its middle runs, where no order says and no rim sits in it.
    pub line: EdgeRun,
}

/// `[wheel]`: the wheels of this bench's edger, and what of their size is overlooked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheels {
    /// Diameter of the wheel that cuts the shape first.
    pub rough: Mm,
    /// Diameter of the finishing wheels: where they touch the outline, which for a bevel is the bottom of the groove.
    pub bevel: Mm,
    /// What may stay in a hollow of the outline before the plan speaks of it.
    pub left: Mm,
    /// How much a bevel may be lowered on a steep edge before the plan speaks of it.
    pub thinned: Mm,
}

/// `[block]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// What the machine's axis follows.
    pub axis: CuttingAxis,
    /// Where the block sits.
    pub at: BlockAt,
    /// How the lens lies when it is blocked.
    pub lies: Lies,
    /// Diameters of the blocks on this bench, ascending.
    pub diameters: Vec<Mm>,
    /// Lens left beyond the block, at least.
    pub clear_least: Mm,
    /// Lens left beyond the block, wanted.
    pub clear_wanted: Mm,
    /// Least box height the clamp takes.
    pub clamp_least: Mm,
}

/// What the cutting axis is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CuttingAxis {
    /// The normal of the front surface at the block point.
    FrontNormal,
    /// The lens axis.
    LensAxis,
}
words!(CuttingAxis, Self::FrontNormal = "front-normal", Self::LensAxis = "lens-axis");

/// Where the block sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockAt {
    /// At the boxed centre.
    BoxedCentre,
    /// At the optical centre.
    OpticalCentre,
}
words!(BlockAt, Self::BoxedCentre = "boxed-centre", Self::OpticalCentre = "optical-centre");

/// How a lens lies when it is blocked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lies {
    /// Front up: seen as the wearer is faced.
    FrontUp,
    /// Back up: seen as the wearer looks out.
    BackUp,
}
words!(Lies, Self::FrontUp = "front-up", Self::BackUp = "back-up");

/// `[placement]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Lower the optical centre of aspheric lenses for tilt.
    pub lower_aspheric: bool,
    /// Lower that of spheric lenses too; otherwise it is only advised.
    pub lower_spheric: bool,
    /// Front curves of a pair within this, dioptres on 1.530.
    pub curve_match_d: f64,
    /// Prism between the eyes that a wrong pupillary distance may cost, cm/m.
    pub pd_prism_cm_per_m: f64,
    /// Difference of the image sizes from which the plan speaks of it, percent.
    pub image_size_percent: f64,
}

/// `[eye]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EyeModel {
    /// Lens to the eye's centre of rotation along the horizontal line of sight.
    pub rotation: Mm,
    /// How far below the reference point the reading level lies.
    pub near_down: Mm,
    /// Back of the lens to the cornea, where the order states no vertex distance.
    pub vertex: Mm,
    /// How far before the cornea lashes reach.
    pub lashes: Mm,
}

/// `[readings]`: repeatability of each instrument, rms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Sphere and cylinder, dioptres.
    pub power_d: f64,
    /// Axis at 1 D of cylinder, degrees.
    pub axis_deg: f64,
    /// Place of a dot.
    pub place: Mm,
    /// Prism, cm/m.
    pub prism_cm_per_m: f64,
}

/// `[pd_doubt]`: how far a pupillary distance may be off, pair, mm, by who measured it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PdDoubt {
    /// Measured by the wearer.
    pub own: Mm,
    /// Pupillometer.
    pub pupillometer: Mm,
    /// Rule, trained examiner.
    pub rule_examiner: Mm,
    /// Rule and mirror, the wearer.
    pub rule_self: Mm,
    /// Telephone application.
    pub app: Mm,
    /// Not known.
    pub unknown: Mm,
}

/// `[doubt]`: spread of what a shelf row leaves open, and of what it states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// Assumed front curve, dioptres on 1.530, either way.
    pub front_curve_d: f64,
    /// Assumed centre thickness, either way.
    pub centre: Mm,
    /// Edge that an assumed plus blank is ground to at its rim.
    pub plus_blank_edge: Mm,
    /// A centre thickness that the row states, either way.
    pub label_centre: Mm,
    /// A front curve that the row states, dioptres on 1.530, either way.
    pub label_curve_d: f64,
    /// A centre thickness that was read on the uncut, either way.
    pub read_centre: Mm,
    /// A front curve that was read on the uncut, dioptres on 1.530, either way.
    pub read_curve_d: f64,
}

/// `[intake]`: when an order deserves a question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Intake {
    /// Right and left of opposite sign and further apart than this, dioptres.
    pub opposite_sign_d: f64,
    /// Right and left further apart than this, dioptres.
    pub anisometropia_d: f64,
    /// Smallest cylinder for the mirror check, dioptres.
    pub mirror_cylinder_d: f64,
    /// Furthest from mirror symmetry, degrees.
    pub mirror_deg: f64,
    /// Ask for the vertex distance beyond this power, dioptres.
    pub vertex_d: f64,
    /// Monocular pupillary distances apart.
    pub monocular_apart: Mm,
    /// Greatest monocular pupillary distance.
    pub monocular_most: Mm,
    /// Least monocular pupillary distance.
    pub monocular_least: Mm,
    /// Least binocular pupillary distance.
    pub binocular_least: Mm,
    /// Greatest binocular pupillary distance.
    pub binocular_most: Mm,
    /// Heights of the eyes apart.
    pub height_apart: Mm,
    /// Greatest prism of the pair, cm/m.
    pub prism_pair_cm_per_m: f64,
    /// Age of a prescription, years.
    pub prescription_years: i16,
    /// Age below which the wearer is a child, years.
    pub child_years: i16,
    /// Box width, least and most.
    pub box_width: (Mm, Mm),
    /// Box height, least and most.
    pub box_height: (Mm, Mm),
    /// Distance between lenses, least and most.
    pub between_lenses: (Mm, Mm),
    /// Usual additions, least and most, dioptres.
    pub add_d: (f64, f64),
}
