//! `[process]`: when a lens is cut with less pressure, in what steps, and how long each step of a job takes.

use units::Mm;

use crate::Mounting;
use crate::frame::words;

/// What a lens material is by its chemistry, as far as cutting, drilling and solvents are concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LensFamily {
    /// Allyl diglycol carbonate.
    Allyl,
    /// Poly(methyl methacrylate).
    Acrylic,
    /// Acrylic-allyl resins of middle index.
    AcrylicAllyl,
    /// Polycarbonate.
    Polycarbonate,
    /// Urethane-urea.
    Urethane,
    /// Thiourethanes.
    Thiourethane,
    /// Episulfides.
    Episulfide,
    /// Glass.
    Glass,
    /// None of these, or not known.
    Unknown,
}
words!(
    LensFamily,
    Self::Allyl = "allyl",
    Self::Acrylic = "acrylic",
    Self::AcrylicAllyl = "acrylic-allyl",
    Self::Polycarbonate = "polycarbonate",
    Self::Urethane = "urethane",
    Self::Thiourethane = "thiourethane",
    Self::Episulfide = "episulfide",
    Self::Glass = "glass",
    Self::Unknown = "unknown"
);

/// Whether water runs while a lens is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coolant {
    /// Water runs.
    Wet,
    /// No water.
    Dry,
}
words!(Coolant, Self::Wet = "wet", Self::Dry = "dry");

/// `[process]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Process {
    /// A centre thinner than this asks for less pressure.
    pub thin_centre: Mm,
    /// So does an optical centre further than this from the boxed centre.
    pub decentration: Mm,
    /// So does an edge thicker than this.
    pub thick_edge: Mm,
    /// Diameter that is taken off in one cut, where a lens is roughed in stages.
    pub stage: Mm,
    /// The turn on the block whose cylinder is told, degrees.
    pub slip_deg: f64,
    /// How far a drill goes into polycarbonate before it is drawn out.
    pub drill_step: Mm,
    /// Face form angle per side from which a front counts as wrapped, degrees.
    pub wrap_deg: f64,
    /// How long each step takes.
    pub minutes: Minutes,
}

/// How long the steps take, minutes; of one lens unless said otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Minutes {
    /// Focimeter, dots, letter, arrow.
    pub mark: f64,
    /// Film or pad, block, pen lines.
    pub block: f64,
    /// Roughing and finishing, by what the lens is made of.
    pub cut: Vec<(LensFamily, f64)>,
    /// How many times as long a lens takes that is cut with less pressure and speed.
    pub gentle_times: f64,
    /// Groove.
    pub groove: f64,
    /// Safety bevel.
    pub safety: f64,
    /// One hole.
    pub hole: f64,
    /// Toughening and impact test of a glass lens, as far as hands are needed.
    pub toughen: f64,
    /// First try in the frame, and its look.
    pub try_in: f64,
    /// Mounting, by its kind.
    pub mount: Vec<(Mounting, f64)>,
    /// Polariscope.
    pub strain: f64,
    /// Truing the frame: of the pair.
    pub true_up: f64,
    /// Reading the mounted pair: of the pair.
    pub verify: f64,
    /// Cleaning: of the pair.
    pub clean: f64,
}

impl Minutes {
    /// Cutting one lens.
    #[must_use]
    pub fn cut(&self, family: LensFamily) -> f64 {
        self.cut.iter().find(|(of, _)| *of == family).map_or(0.0, |(_, minutes)| *minutes)
    }

    /// Mounting one lens.
    #[must_use]
    pub fn mount(&self, mounting: Mounting) -> f64 {
        self.mount.iter().find(|(of, _)| *of == mounting).map_or(0.0, |(_, minutes)| *minutes)
    }
}
