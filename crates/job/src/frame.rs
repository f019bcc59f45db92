//! The frame as ordered or traced: what the outline stands for, mounting, angles.

use units::Mm;

use crate::Eye;

/// The frame of an order.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// The record file of its outline, as written in the order.
    pub outline: String,
    /// What the traced outline is of.
    pub outline_of: Option<OutlineOf>,
    /// What was traced.
    pub outline_from: Option<OutlineFrom>,
    /// How much larger in radius the lens is to be than the traced outline.
    pub outline_allowance: Option<Mm>,
    /// Kind of mounting.
    pub mounting: Mounting,
    /// Frame material.
    pub material: Option<FrameMaterial>,
    /// Whether the frame is the wearer's own.
    pub owner: Option<FrameOwner>,
    /// Distance between lenses, where the records lack it.
    pub distance_between_lenses: Option<Mm>,
    /// Frame curve on index 1.530 in dioptres, where the records have no depth.
    pub frame_curve_d: Option<f64>,
    /// Depth and width of the rim's groove.
    pub rim_groove: Option<RimGroove>,
    /// Face form angle per side, degrees, + temporal edge back.
    pub face_form_deg: Option<f64>,
    /// Pantoscopic angle, degrees, + bottom towards the face.
    pub pantoscopic_deg: Option<f64>,
    /// Holes of a drilled mounting.
    pub holes: Vec<Hole>,
    /// Parts of the frame that need room behind the lens.
    pub clearance: Vec<Clearance>,
}

/// What a traced outline is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutlineOf {
    /// The bottom of the rim's groove.
    RimGroove,
    /// The apex of a bevelled lens.
    BevelApex,
    /// The edge of a cut lens.
    LensEdge,
    /// A demonstration lens.
    DemoLens,
    /// A pattern.
    Pattern,
}

/// Where an outline came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutlineFrom {
    /// The frame of this job.
    ThisFrame,
    /// Its demonstration lens.
    DemoLens,
    /// An earlier trace of the same model.
    EarlierTrace,
    /// Sizes as printed by the maker.
    PrintedSizes,
}

/// Kind of mounting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mounting {
    /// A rim all round.
    FullRim,
    /// A cord in a groove of the lens.
    NylonCord,
    /// A rim that sits in a groove of the lens.
    GroovedRim,
    /// Holes through the lens.
    Drilled,
}

impl Mounting {
    /// The kind of edge that it takes.
    #[must_use]
    pub const fn usual_edge(self) -> crate::EdgeKind {
        match self {
            Self::FullRim => crate::EdgeKind::Bevel,
            Self::NylonCord | Self::GroovedRim => crate::EdgeKind::Groove,
            Self::Drilled => crate::EdgeKind::Flat,
        }
    }
}

/// Frame material, by chemistry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FrameMaterial {
    /// Cellulose acetate.
    Acetate,
    /// Cellulose propionate.
    Propionate,
    /// Polyamide.
    Polyamide,
    /// Epoxy resin.
    Epoxy,
    /// Cellulose nitrate: burns.
    Nitrate,
    /// Metal.
    Metal,
    /// Not known.
    Unknown,
}

/// Whose frame it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameOwner {
    /// Sold by the shop.
    Shop,
    /// The wearer's own.
    Wearer,
}

/// The rim's groove.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimGroove {
    /// Depth.
    pub depth: Mm,
    /// Width.
    pub width: Mm,
}

/// A hole of a drilled mounting, from the boxed centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// Which lens.
    pub eye: Eye,
    /// Towards the nose.
    pub inwards: Mm,
    /// Upwards.
    pub up: Mm,
    /// Diameter.
    pub diameter: Mm,
}

/// Room that a part of the frame needs behind the lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearance {
    /// Direction from the boxed centre, degrees.
    pub deg: f64,
    /// Room behind the bevel apex.
    pub back: Mm,
    /// What needs it.
    pub what: String,
}

macro_rules! words {
    ($name:ty, $($variant:path = $word:literal),+ $(,)?) => {
        impl $name {
            /// Every word that a file may use, with its meaning.
            pub const WORDS: &'static [(&'static str, Self)] = &[$(($word, $variant)),+];

            /// The word of a file.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $($variant => $word),+ }
            }
        }
    };
}
pub(crate) use words;

words!(
    OutlineOf,
    Self::RimGroove = "rim-groove",
    Self::BevelApex = "bevel-apex",
    Self::LensEdge = "lens-edge",
    Self::DemoLens = "demo-lens",
    Self::Pattern = "pattern"
);
words!(
    OutlineFrom,
    Self::ThisFrame = "this-frame",
    Self::DemoLens = "demo-lens",
    Self::EarlierTrace = "earlier-trace",
    Self::PrintedSizes = "printed-sizes"
);
words!(
    Mounting,
    Self::FullRim = "full-rim",
    Self::NylonCord = "nylon-cord",
    Self::GroovedRim = "grooved-rim",
    Self::Drilled = "drilled"
);
words!(
    FrameMaterial,
    Self::Acetate = "acetate",
    Self::Propionate = "propionate",
    Self::Polyamide = "polyamide",
    Self::Epoxy = "epoxy",
    Self::Nitrate = "nitrate",
    Self::Metal = "metal",
    Self::Unknown = "unknown"
);
words!(FrameOwner, Self::Shop = "shop", Self::Wearer = "wearer");
