//! How the line on an edge runs: the apex of a bevel, or the middle of a groove.

use core::fmt;

use units::Mm;

use crate::frame::words;

/// How it runs round the edge. Whatever is asked, the line keeps within the least shoulders, or the least walls of a groove.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EdgeRun {
    /// Beside a surface, or where the rim is.
    Along(Beside),
    /// So far behind the front surface, all round.
    FromFront(Mm),
    /// So much of the edge before it, all round: between 0 and 1.
    Share(f64),
    /// On a sphere of this curve, dioptres on 1.530, with its pole over the boxed centre.
    Curve(f64),
}

/// What a line runs beside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// The rim, as it is seated.
    Rim,
    /// The front surface.
    Front,
    /// The back surface.
    Back,
}
words!(Beside, Self::Rim = "rim", Self::Front = "front", Self::Back = "back");

impl EdgeRun {
    /// In the rim, wherever that lies.
    pub const RIM: Self = Self::Along(Beside::Rim);
    /// Along the front.
    pub const FRONT: Self = Self::Along(Beside::Front);
}

impl fmt::Display for EdgeRun {
    /// In words: `along the front`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Along(beside) => write!(f, "along the {}", beside.word()),
            Self::FromFront(by) => write!(f, "{} mm from the front", by.mm()),
            Self::Share(share) => write!(f, "{share} of the edge before it"),
            Self::Curve(curve_d) => write!(f, "on a curve of {curve_d} D"),
        }
    }
}
