//! An order: one pair of lenses for one frame.

use core::fmt;

use jiff::civil::Date;
use units::Mm;

use crate::frame::words;
use crate::{EdgeRun, Eye, Eyes, Frame, MaterialId, PerEye, Prescription, Treatments};

/// One job: one pair of lenses (or one lens) for one frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Its number for life.
    pub number: OrderNumber,
    /// The day it was taken: the plan's "today".
    pub taken: Date,
    /// The eyes that are made.
    pub eyes: Eyes,
    /// Who will wear it.
    pub wearer: Wearer,
    /// What was prescribed.
    pub prescription: Prescription,
    /// What it goes into.
    pub frame: Frame,
    /// What is to be made.
    pub lens: LensOrder,
    /// Answers to findings that asked.
    pub answers: Vec<Answer>,
}

/// An order number: digits, typed at a machine and printed as a bar code; leading zeros stay.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OrderNumber(String);

impl OrderNumber {
    /// Takes 1 to 12 digits.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let good = (1..=12).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
        good.then(|| Self(text.to_owned()))
    }

    /// As written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// By value, then as written: the order in which a folder is planned and stock is given.
    #[must_use]
    pub fn sort_key(&self) -> (usize, &str, &str) {
        let digits = self.0.trim_start_matches('0');
        (digits.len(), digits, &self.0)
    }
}

impl fmt::Display for OrderNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Who will wear the pair, and what was measured on the face.
#[derive(Debug, Clone, PartialEq)]
pub struct Wearer {
    /// Year of birth.
    pub born: Option<i16>,
    /// Far pupillary distance.
    pub far_pd: Option<FarPd>,
    /// Near pupillary distance of each eye, from the middle of the bridge.
    pub near_pd: PerEye<Option<Mm>>,
    /// Height of the pupil above the lowest tangent of the lens.
    pub pupil_height: PerEye<Option<Mm>>,
    /// Height of the optical centre as it is to be, used as it stands.
    pub optical_centre_height: PerEye<Option<Mm>>,
    /// Height of the segment top (multifocal).
    pub segment_height: PerEye<Option<Mm>>,
    /// Height of the fitting cross (progressive-power).
    pub fitting_height: PerEye<Option<Mm>>,
    /// Who measured the pupillary distance, with what.
    pub measured_by: Option<MeasuredBy>,
    /// Vertex distance as worn.
    pub worn_vertex: Option<Mm>,
}

/// Far pupillary distance as it was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FarPd {
    /// From the middle of the bridge to each pupil.
    Monocular(PerEye<Option<Mm>>),
    /// Between the pupils; halved, with a note.
    Binocular(Mm),
    /// The optical centres go to the boxed centres (plano only).
    BoxedCentres,
}

/// How the pupillary distance was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeasuredBy {
    /// By the wearer, in whatever way.
    Own,
    /// With a pupillometer.
    Pupillometer,
    /// With a rule, by a trained examiner.
    RuleExaminer,
    /// With a rule and a mirror, by the wearer.
    RuleSelf,
    /// With a telephone application.
    App,
    /// Not known.
    Unknown,
}
words!(
    MeasuredBy,
    Self::Own = "self",
    Self::Pupillometer = "pupillometer",
    Self::RuleExaminer = "rule-examiner",
    Self::RuleSelf = "rule-self",
    Self::App = "app",
    Self::Unknown = "unknown"
);

/// What is to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct LensOrder {
    /// What the pair is for.
    pub purpose: LensUse,
    /// Distance from the lens to the task, for near and intermediate use.
    pub task_distance: Option<Mm>,
    /// Kind of lens.
    pub kind: LensType,
    /// Lens material.
    pub material: MaterialId,
    /// Treatments ordered.
    pub treatments: Treatments,
    /// Kind of edge.
    pub edge: EdgeKind,
    /// Kind of bevel.
    pub bevel: Option<BevelKind>,
    /// How the apex of the bevel or the middle of the groove runs, where not as the rules say.
    pub edge_line: Option<EdgeRun>,
    /// Exactly these blanks.
    pub blank: PerEye<Option<String>>,
    /// Centre thickness wanted.
    pub centre: PerEye<Option<Mm>>,
    /// Least edge thickness wanted.
    pub least_edge: PerEye<Option<Mm>>,
    /// Front curve wanted, dioptres on 1.530.
    pub front_curve_d: PerEye<Option<f64>>,
    /// For a single lens: the lens of the fellow eye that it must match.
    pub mate: Option<Mate>,
}

/// What a pair is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LensUse {
    /// Distance.
    Distance,
    /// Near.
    Near,
    /// In between.
    Intermediate,
}
words!(LensUse, Self::Distance = "distance", Self::Near = "near", Self::Intermediate = "intermediate");

/// Kind of lens by power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LensType {
    /// One power all over.
    SingleVision,
    /// With a segment.
    Multifocal,
    /// Power grows downwards.
    ProgressivePower,
}
words!(
    LensType,
    Self::SingleVision = "single-vision",
    Self::Multifocal = "multifocal",
    Self::ProgressivePower = "progressive-power"
);

/// Kind of edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeKind {
    /// A ridge that sits in the rim's groove.
    Bevel,
    /// A channel for cord or rim.
    Groove,
    /// Flat, for drilling.
    Flat,
}
words!(EdgeKind, Self::Bevel = "bevel", Self::Groove = "groove", Self::Flat = "flat");

/// Kind of bevel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BevelKind {
    /// A plain V.
    V,
    /// A small V.
    Small,
    /// Stepped.
    Stepped,
}
words!(BevelKind, Self::V = "v", Self::Small = "small", Self::Stepped = "stepped");

/// The fellow eye's lens, which a single lens must match.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mate {
    /// Its material.
    pub material: Option<MaterialId>,
    /// Its series.
    pub series: Option<String>,
    /// Its front curve and the index on which that is stated.
    pub front_curve: Option<crate::FrontCurve>,
    /// Its centre thickness.
    pub centre: Option<Mm>,
}

/// A person's answer to a finding. It holds only while its figure is the one the finding prints.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Code of the finding.
    pub code: String,
    /// The eye, where the finding has one.
    pub eye: Option<Eye>,
    /// The finding's printed value when it was answered.
    pub figure: String,
    /// Why it may stand.
    pub reason: String,
    /// Who says so.
    pub who: String,
}
