//! Why a lens is cut with less pressure and speed: only the reasons that hold for it, each with its figure.

use job::Rules;
use units::Mm;
use units::maths::hypot;

use super::source::{COMMON, SLIPPAGE, SLIPPERY, STAGES, Source};
use super::treated;
use crate::plan::{EyePlan, LensPlan};
use crate::said::{mm1, mm2};

/// A reason that holds for one lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Gentle {
    /// Which.
    pub reason: Reason,
    /// The figure that asks for it, mm; none where it is a coat or a film.
    pub value: Option<Mm>,
    /// The rule that it crosses, mm.
    pub limit: Option<Mm>,
    /// The reason in a few words, its figure in it.
    pub says: String,
    /// Who says so.
    pub source: Source,
}

/// What asks for less pressure and speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// A coat on which pads slip.
    SlipperyCoat,
    /// A thin centre, which flexes under the clamp.
    ThinCentre,
    /// A low shape, which takes a small block only.
    NarrowShape,
    /// An optical centre far from the boxed centre: the thick side has a long arm.
    Decentration,
    /// A thick edge.
    ThickEdge,
    /// A film or coat that comes off under force.
    Film,
}

impl Reason {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SlipperyCoat => "slippery-coat",
            Self::ThinCentre => "thin-centre",
            Self::NarrowShape => "narrow-shape",
            Self::Decentration => "decentration",
            Self::ThickEdge => "thick-edge",
            Self::Film => "film",
        }
    }

    /// Whether it also makes the lens turn on its block.
    #[must_use]
    pub const fn slips(self) -> bool {
        match self {
            Self::SlipperyCoat | Self::NarrowShape | Self::Decentration | Self::ThickEdge => true,
            Self::ThinCentre | Self::Film => false,
        }
    }
}

/// The reasons that hold for one lens.
pub(super) fn reasons(rules: &Rules, plan: &EyePlan, lens: &LensPlan) -> Vec<Gentle> {
    let limits = &rules.process;
    let mut found = Vec::new();
    let mut of_coat = |reason, says: Option<&str>, source| {
        if let Some(says) = says {
            found.push(Gentle { reason, value: None, limit: None, says: says.to_owned(), source });
        }
    };
    let has = lens.blank.treatments;
    of_coat(Reason::SlipperyCoat, treated::slippery(has), SLIPPERY);
    of_coat(Reason::Film, treated::film(has), COMMON);
    let mut crossed = |reason, (value, limit): (Mm, Mm), over: bool, says: String, source| {
        if if over { value > limit } else { value < limit } {
            let side = if over { "over" } else { "under" };
            let says = format!("{says} ({side} {})", mm1(limit.mm()));
            found.push(Gentle { reason, value: Some(value), limit: Some(limit), says, source });
        }
    };
    let centre = lens.thickness.vertex;
    let says = format!("centre {} mm", mm2(centre.mm()));
    crossed(Reason::ThinCentre, (centre, limits.thin_centre), false, says, COMMON);
    let height = plan.shape.boxed.height;
    let says = format!("box {} mm high", mm1(height.mm()));
    crossed(Reason::NarrowShape, (height, rules.block.clamp_least), false, says, SLIPPAGE);
    let out = plan.vertex.map_or(0.0, |at| hypot(at.inwards.mm(), at.up.mm()));
    let says = format!("{} mm from boxed to optical centre", mm1(out));
    crossed(Reason::Decentration, (Mm::new(out), limits.decentration), true, says, COMMON);
    let edge = lens.edge.thickest;
    let says = format!("edge {} mm", mm1(edge.mm()));
    crossed(Reason::ThickEdge, (edge, limits.thick_edge), true, says, STAGES);
    found
}
