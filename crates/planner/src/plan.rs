//! The plan: everything decided before cutting.
//!
//! Places are counted from the boxed centre, + in (towards the nose) and + up, per eye. Figures that do not exist are
//! `None`, never zero.

pub use crate::shape::Shape;
use crate::shelf::Shelf;
use job::prescription::InUp;
use job::{Blank, Eye, Eyes, Finding, OrderNumber, PerEye, Rules};
use lens::CutOutline;
use std::sync::Arc;
use units::{CmPerM, Dioptre, Mm, Power, Working};

/// A place on the lens of one eye, from the boxed centre.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Towards the nose.
    pub inwards: Mm,
    /// Upwards.
    pub up: Mm,
}

impl Place {
    /// From the viewer's x and y.
    #[must_use]
    pub fn from_xy(eye: Eye, x: f64, y: f64) -> Self {
        Self { inwards: Mm::new(x * eye.nasal()), up: Mm::new(y) }
    }

    /// The viewer's x and y.
    #[must_use]
    pub fn xy(self, eye: Eye) -> (f64, f64) {
        (self.inwards.mm() * eye.nasal(), self.up.mm())
    }
}

/// The plan of one order.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The order's number.
    pub number: OrderNumber,
    /// Which eyes are made.
    pub made: Eyes,
    /// Edition of the tolerance standard.
    pub standard: String,
    /// Each eye that is made.
    pub eyes: PerEye<Option<EyePlan>>,
    /// The two together; for a single lens what can be told of it alone.
    pub pair: PairPlan,
    /// How it is made; absent until the plan is complete, and where no lens is planned.
    pub process: Option<crate::process::Process>,
    /// What there is to say, gravest first.
    pub findings: Vec<Finding>,
    /// How the figures came about; empty when it was not asked for.
    pub working: Working,
}

/// The plan of one eye.
#[derive(Debug, Clone)]
pub struct EyePlan {
    /// Which.
    pub eye: Eye,
    /// The frame's shape for this eye.
    pub shape: Arc<Shape>,
    /// Length of the traced outline in space, where its depth is known.
    pub circumference_3d: Option<Mm>,
    /// Distance between lenses that was used.
    pub between_lenses: Option<Mm>,
    /// Pupillary distance of this eye that was used, from the middle of the bridge.
    pub pd: Option<Mm>,
    /// The power that is made, in the form in which it was ordered.
    pub power: optics::OrderedPower,
    /// Where the pupil looks through: the ordered prism is to hold here. Absent where something needed is missing.
    pub reference_point: Option<Place>,
    /// Where the optical centre goes; absent where a ground prism leaves the lens none.
    pub optical_centre: Option<Place>,
    /// Where the lens's vertex goes: the optical centre of a lens without ground prism, the prism reference point of one
    /// with.
    pub vertex: Option<Place>,
    /// How much larger in radius the cut outline is than the traced one; `None` = nothing was asked.
    pub size_offset: Option<Mm>,
    /// Flat circumference of the cut outline less that of the traced one, where a size offset was asked.
    pub circumference_offset: Option<Mm>,
    /// What the machine is set to, where a size offset was asked.
    pub setting: Option<crate::recut::Setting>,
    /// Prism at the reference point.
    pub prism: PrismPlan,
    /// The lens out of its blank; absent without a blank.
    pub lens: Option<LensPlan>,
    /// Blanks that come near, and why they will not do; nearest first.
    pub near_misses: Vec<NearMiss>,
    /// What to order where the shelf has nothing.
    pub to_order: Option<ToOrder>,
}

impl EyePlan {
    /// The power of the lens that is there, as its label has it or as it was read, in the form of the order; without a
    /// lens the power ordered.
    #[must_use]
    pub fn made_power(&self) -> optics::OrderedPower {
        self.lens.as_ref().map_or(self.power, |lens| lens.power)
    }

    /// Whether the lens has prism ground into it, so that its dot is no optical centre.
    #[must_use]
    pub fn has_ground_prism(&self) -> bool {
        self.prism.ground != InUp::default()
    }
}

/// Prism at the reference point, as base in and base up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PrismPlan {
    /// As prescribed.
    pub ordered: InUp,
    /// Given by the place of the optical centre.
    pub from_centration: InUp,
    /// Ground into the blank.
    pub ground: InUp,
    /// What is left: ordered less what is made.
    pub residual: InUp,
}

/// The lens as it will be cut.
#[derive(Debug, Clone)]
pub struct LensPlan {
    /// The blank.
    pub blank: Arc<Blank>,
    /// Its row on the shelf, counted from 0.
    pub row: usize,
    /// Direction of the packet's 0-180 line as blocked, degrees.
    pub turn_deg: f64,
    /// The power that this lens has: as labelled, or as it was read.
    pub power: optics::OrderedPower,
    /// The blank's middle as seen from the boxed centre.
    pub middle: Place,
    /// Front curve on the lens's own index.
    pub front_curve_true: Dioptre,
    /// Front curve on index 1.530.
    pub front_curve_1530: Dioptre,
    /// Refractive index.
    pub index: f64,
    /// Density in g/cm3.
    pub density_g_cm3: f64,
    /// The outline that is cut: the traced one grown by the size offset.
    pub cut: Arc<CutOutline>,
    /// The surfaces in the machine's frame.
    pub cutting: lens::Cutting,
    /// Blocking.
    pub block: BlockPlan,
    /// Does the blank cover the shape?
    pub coverage: CoveragePlan,
    /// Thickness of the lens.
    pub thickness: ThicknessPlan,
    /// The kind of edge that is cut.
    pub edge_kind: job::EdgeKind,
    /// Square edge.
    pub edge: EdgePlan,
    /// The apex of the bevel, seated in the rim, or the middle of the groove; absent where no rim is known that a bevel sits
    /// in, and on a flat edge.
    pub edge_line: Option<crate::edge_line::EdgeLinePlan>,
    /// Volume of the square lens.
    pub volume_mm3: f64,
    /// Its mass.
    pub mass_g: f64,
    /// What is left of it when bevel or groove is cut and the holes are drilled, before the safety bevel; absent while the line
    /// of a bevel is not known.
    pub finished: Option<Finished>,
    /// The holes, in the order's sequence.
    pub holes: Vec<crate::holes::HolePlan>,
    /// Room for the lashes; absent without a worn vertex distance.
    pub lashes: Option<crate::lashes::LashRoom>,
    /// Marks and dots.
    pub marking: Marking,
    /// Values that were assumed.
    pub assumed: Vec<Assumed>,
    /// Spread that they leave in the figures.
    pub spread: Vec<Spread>,
}

impl LensPlan {
    /// Where the blank's middle lies as seen from its optical centre, degrees: its long side. None where the two are one.
    #[must_use]
    pub fn long_side_deg(&self, eye: Eye) -> Option<f64> {
        let middle = crate::candidate::middle_in_lens(eye, &self.blank, self.turn_deg);
        (middle.x != 0.0 || middle.y != 0.0).then(|| middle.direction().direction_deg())
    }

    /// Whether the lens must lie as planned although its power is a sphere's: a film or a tint has a direction, and so have
    /// ground prism and a blank whose middle lies off its optical centre.
    #[must_use]
    pub fn has_a_direction(&self) -> bool {
        let has = |treatment| self.blank.treatments.has(treatment);
        has(job::Treatments::POLARISED)
            || has(job::Treatments::GRADIENT)
            || self.marking.dot_prism != InUp::default()
            || self.blank.middle_in != Mm::ZERO
            || self.blank.middle_up != Mm::ZERO
    }
}

/// The lens as it is finished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finished {
    /// Volume, mm3.
    pub volume_mm3: f64,
    /// Mass, g.
    pub mass_g: f64,
}

/// Blocking of one lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockPlan {
    /// The block point.
    pub at: Place,
    /// Lean of the cutting axis towards the nose in the lens's axes, degrees.
    pub tilt_in_deg: f64,
    /// Lean upwards, degrees.
    pub tilt_up_deg: f64,
    /// Diameter of the largest block that clears; absent where none does.
    pub diameter: Option<Mm>,
    /// Shortest radius of the shape about the block point.
    pub shortest_radius: Mm,
    /// Where that is, degrees about the boxed centre.
    pub shortest_deg: f64,
}

/// Coverage of the shape by the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoveragePlan {
    /// Cut-out margin; negative = does not cover.
    pub margin: Mm,
    /// Where it is least, degrees about the boxed centre.
    pub tightest_deg: f64,
    /// Greatest distance from the blank's middle to the wall, square to the blank's axis.
    pub reach: Mm,
    /// Allowance per side that is in the margin.
    pub allowance: Mm,
    /// Usable radius of the blank.
    pub usable_radius: Mm,
    /// Smallest nominal diameter that would do.
    pub smallest_blank: Mm,
    /// What would save it, where it does not cover.
    pub rescue: Option<Rescue>,
}

/// The smallest shift of the optical centre that lets a blank cover, and its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rescue {
    /// The shift.
    pub shift: Place,
    /// Prism that it costs at the reference point.
    pub prism: InUp,
}

/// Thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThicknessPlan {
    /// At the optical centre along the lens axis, as a caliper reads; absent where a ground prism leaves none on the
    /// lens.
    pub optical_centre: Option<Mm>,
    /// At the vertex along the lens axis: the blank's own centre thickness.
    pub vertex: Mm,
    /// At the reference point, along the cutting axis.
    pub reference_point: Mm,
    /// Least over the whole lens, rim included, and where.
    pub least: (Mm, Place),
    /// Greatest over the whole lens, rim included, and where.
    pub greatest: (Mm, Place),
}

/// The square edge.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgePlan {
    /// Thinnest place.
    pub thinnest: Mm,
    /// Where, degrees about the boxed centre.
    pub thinnest_deg: f64,
    /// Thickest place.
    pub thickest: Mm,
    /// Where, degrees about the boxed centre.
    pub thickest_deg: f64,
    /// Every 5 degrees from 0 to 355.
    pub around: Vec<EdgeRow>,
}

/// One row of the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeRow {
    /// Direction about the boxed centre.
    pub deg: f64,
    /// Square edge.
    pub square: Mm,
    /// Front surface at the cut outline, along the cutting axis from the front at the block point.
    pub front_depth: Mm,
    /// Back surface likewise.
    pub back_depth: Mm,
}

/// What goes onto the lens before it is blocked, in the order of the hands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marking {
    /// Axis to set on the focimeter, degrees; absent for a sphere. The power is shown in the form ordered.
    pub focimeter_axis_deg: Option<f64>,
    /// Prism that the focimeter must show at the dot: none at an optical centre, the ground prism at the prism reference
    /// point.
    pub dot_prism: InUp,
    /// The middle dot (the vertex) as seen from the block point.
    pub dot_from_block: Place,
    /// The middle dot as seen from the blank's middle.
    pub dot_from_blank_middle: Place,
}

/// A value that was assumed.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Which figure.
    pub figure: &'static str,
    /// The value taken.
    pub value: f64,
    /// Why this one.
    pub why: String,
}

/// How far a figure may move.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Which figure of the plan.
    pub figure: &'static str,
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// What leaves it open.
    pub cause: String,
}

/// A blank that comes near.
#[derive(Debug, Clone, PartialEq)]
pub struct NearMiss {
    /// Its row.
    pub blank: Arc<Blank>,
    /// Why it will not do.
    pub reason: Reason,
    /// By how much, in the reason's own unit (mm, D, pieces).
    pub by: f64,
}

/// Why a blank will not do, from the nearest miss to the furthest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// Does not cover; `by` in mm of radius.
    TooSmall,
    /// None left.
    NoneLeft,
    /// Kept for another order.
    Reserved,
    /// The other eye's.
    OtherEye,
    /// Treatment missing or not wanted; `by` counts them.
    Treatments,
    /// May not be turned to this axis; `by` in degrees.
    CannotTurn,
    /// May not be shifted as far as the eye asks; `by` in mm.
    CannotShift,
    /// Nothing on the shelf of the same series for the fellow eye.
    NoMate,
    /// Thinner than can be made; `by` in mm.
    TooThin,
    /// Its prism is not the one ordered and its power cannot make up for it; `by` in cm/m.
    Prism,
    /// Surfaces that do not reach the rim or that the power cannot have.
    Surfaces,
    /// One surface is not done.
    SemiFinished,
    /// Other power; `by` in D of power difference.
    Power,
    /// Other material.
    Material,
    /// Other kind of lens.
    Kind,
}

impl Reason {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::TooSmall => "too-small",
            Self::NoneLeft => "none-left",
            Self::Reserved => "reserved",
            Self::OtherEye => "other-eye",
            Self::Treatments => "treatments",
            Self::CannotTurn => "cannot-turn",
            Self::CannotShift => "cannot-shift",
            Self::NoMate => "no-mate",
            Self::TooThin => "too-thin",
            Self::Prism => "prism",
            Self::Surfaces => "surfaces",
            Self::SemiFinished => "semi-finished",
            Self::Power => "power",
            Self::Material => "material",
            Self::Kind => "kind",
        }
    }

    /// The unit of `by`.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::TooSmall | Self::CannotShift | Self::TooThin => "mm",
            Self::CannotTurn => "deg",
            Self::Prism => "cm/m",
            Self::Power => "D",
            _ => "",
        }
    }
}

impl Reason {
    /// The reason in a sentence's end, with its amount.
    #[must_use]
    pub fn sentence(self, by: f64) -> String {
        use crate::said::{fixed, mm2};
        match self {
            Self::TooSmall => format!("it is {} mm too small at the tightest place", mm2(by)),
            Self::NoneLeft => "none is left".to_owned(),
            Self::Reserved => "it is kept for another order".to_owned(),
            Self::OtherEye => "it is for the other eye".to_owned(),
            Self::Treatments => "its treatments are not the ones ordered".to_owned(),
            Self::CannotTurn => format!("it would have to be turned by {} degrees and may not", fixed(by, 1)),
            Self::CannotShift => format!("its optical centre would have to move {} mm and may not", mm2(by)),
            Self::NoMate => "no blank of its series serves the other eye".to_owned(),
            Self::TooThin => format!("its edge would run out by {} mm", mm2(by)),
            Self::Prism => format!("its prism would be {} prism dioptres off", mm2(by)),
            Self::Surfaces => "its surfaces cannot be figured for this shape".to_owned(),
            Self::SemiFinished => "one surface is not done".to_owned(),
            Self::Power => format!("its power is {} D off", mm2(by)),
            Self::Material => "it is another material".to_owned(),
            Self::Kind => "it is another kind of lens".to_owned(),
        }
    }
}

/// What to order where the shelf has nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct ToOrder {
    /// The power as ordered.
    pub ordered: optics::OrderedPower,
    /// Sphere to ask for, minus-cylinder form.
    pub sphere: Power,
    /// Cylinder and axis to ask for, minus-cylinder form.
    pub cylinder: Option<(Power, units::Axis)>,
    /// Lens material.
    pub material: job::MaterialId,
    /// Its refractive index on the d line.
    pub index: f64,
    /// Spheric, or aspheric where the fellow lens is.
    pub form: job::LensForm,
    /// Series to match, where the fellow lens has one.
    pub series: Option<String>,
    /// Treatments: the fellow lens's, else the order's.
    pub treatments: job::Treatments,
    /// The same by name.
    pub treatment_names: Vec<String>,
    /// Front curve to match.
    pub front_curve: CurveWanted,
    /// Least nominal diameter, with its middle on the optical centre (with ground prism: on the reference point).
    pub least_diameter: Mm,
    /// Decentration that the diameter allows for: where that point stands, from the boxed centre.
    pub decentration: Place,
    /// Centre thickness to ask for, at that point; with the thinnest edge where that decides it.
    pub thickness: OrderThickness,
    /// Thinnest square edge that this centre leaves.
    pub thinnest_edge: Mm,
    /// Greatest thickness along the lens axis over the shape.
    pub greatest: Mm,
    /// Ground prism to ask for, with its base at the reference point.
    pub prism: InUp,
    /// Semi-finished blanks in stock that could be surfaced to it.
    pub semi_finished: Vec<SemiFinished>,
    /// What to settle before it is ordered, as sentences' ends.
    pub cautions: Vec<String>,
}

/// A front curve that is wanted, and whose it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveWanted {
    /// On index 1.530.
    pub curve_1530: Dioptre,
    /// Where it comes from.
    pub from: CurveFrom,
}

/// Where a wanted front curve comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveFrom {
    /// The order names it.
    Order,
    /// The fellow eye's chosen blank, as near as the two powers let it be.
    Fellow,
    /// The fellow lens that the order describes.
    Mate,
    /// Vogel's rule: nothing is there to match.
    Usual,
}

impl CurveFrom {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Order => "order",
            Self::Fellow => "fellow-blank",
            Self::Mate => "fellow-lens",
            Self::Usual => "usual",
        }
    }
}

/// A semi-finished blank in stock that could be surfaced to what is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct SemiFinished {
    /// Its row.
    pub blank: Arc<Blank>,
    /// Cut-out margin with its middle on the optical centre (with ground prism: on the reference point).
    pub margin: Mm,
    /// Its front curve less the one wanted, on 1.530.
    pub curve_off: Dioptre,
    /// Its stated centre thickness less the greatest thickness of the lens along the axis.
    pub spare: Mm,
}

/// The thickness to ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OrderThickness {
    /// Centre thickness (minus lenses).
    Centre(Mm),
    /// Centre thickness that leaves this thinnest edge (plus lenses).
    CentreForEdge {
        /// Centre thickness.
        centre: Mm,
        /// Thinnest edge it leaves.
        edge: Mm,
    },
}

/// The two lenses together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PairPlan {
    /// Residual base in, right plus left.
    pub horizontal_imbalance: Option<CmPerM>,
    /// Residual base up, right less left.
    pub vertical_imbalance: Option<CmPerM>,
    /// Vertical prism at the reading level, right less left, all prism counted.
    pub near_vertical_imbalance: Option<CmPerM>,
    /// Error of the pupillary distance that spends the prism the rules allow.
    pub pd_error_allowed: Option<Mm>,
    /// How far off the pupillary distance may be, by the way it was measured.
    pub pd_doubt: Option<Mm>,
    /// Thickest edge, right less left.
    pub edge_difference: Option<Mm>,
    /// Front curve on 1.530, right less left.
    pub front_curve_difference: Option<Dioptre>,
    /// Mass of the lenses together.
    pub mass_g: Option<f64>,
    /// Prescribed prism between the eyes, where there is any.
    pub prism: Option<crate::pair_prism::PairPrism>,
    /// How the two lenses stand to each other, and what would even them out.
    pub balance: Option<crate::balance::Balance>,
    /// How far the figures of the pair may move.
    pub spread: Vec<Spread>,
    /// The one input that is worth measuring again; absent where no doubt alone takes a figure across a limit.
    pub worth_measuring: Option<WorthMeasuring>,
}

/// An input whose doubt takes a figure across a limit.
#[derive(Debug, Clone, PartialEq)]
pub struct WorthMeasuring {
    /// Its stable word: `pd`, `centre`, `front-curve`, `check-thickness`, `trace`.
    pub input: &'static str,
    /// The eye whose lens it is; `None` for the pupillary distance.
    pub eye: Option<Eye>,
    /// The figure that crosses, as a path of that eye's plan or of the plan.
    pub figure: &'static str,
    /// The figure as planned.
    pub value: f64,
    /// Lowest that it may be.
    pub low: f64,
    /// Highest that it may be.
    pub high: f64,
    /// The limit that lies between.
    pub limit: f64,
    /// Why, as a sentence's end.
    pub why: String,
}

impl Plan {
    /// Whether nothing keeps the pair from being cut: no stop, no unanswered ask.
    #[must_use]
    pub fn is_good(&self) -> bool {
        !self.findings.iter().any(Finding::is_open)
    }

    /// The eyes that are planned, right first.
    pub fn planned(&self) -> impl Iterator<Item = &EyePlan> {
        Eye::BOTH.into_iter().filter_map(|eye| self.eyes[eye].as_ref())
    }
}

/// What a plan is made from besides the order.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// Blanks in stock; `None` where no shelf was given.
    pub shelf: Option<&'a Shelf>,
    /// Pieces left of each row; `None` = as many as the shelf says.
    pub left: Option<&'a [u32]>,
    /// The rules in force.
    pub rules: &'a Rules,
    /// What was read on the uncut lenses: takes the place of what their labels say.
    pub uncut: PerEye<Option<job::Uncut>>,
}
