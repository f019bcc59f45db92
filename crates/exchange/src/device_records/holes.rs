//! The holes of a drilled lens.
//!
//! A hole is eye; reference; x; y; diameter. That the place is counted from the boxed centre is memory of middling
//! sureness; that x grows towards the nose is a choice between two readings, and the diameter's field is memory too.
//! So the whole record counts as memory of the lowest kind: no hole is driven from it before a test piece has shown
//! where it goes.

use core::fmt;

use job::frame::Hole;
use job::{Eye, Mounting, Order, PerEye};
use outline::Point;
use planner::plan::Place;

use super::sheet::{Sheet, mm};
use super::{Cut, Extent, Mark};
use crate::records::Problem;

/// Why a drilled mounting has no file for the drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CannotDrill {
    /// The order has no hole for this lens.
    NoHoles(Eye),
    /// A hole lies outside this lens, or breaks its edge.
    Outside {
        /// Whose lens.
        eye: Eye,
        /// Which of the order's holes, from 1.
        hole: usize,
    },
    /// Records of holes are known from memory alone, and those were not asked for.
    FromMemory,
}

impl fmt::Display for CannotDrill {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoHoles(eye) => write!(f, "the {eye} lens is to be drilled, and the order has no holes for it"),
            Self::Outside { eye, hole } => {
                write!(f, "frame.holes[{hole}] does not lie within the {eye} lens as it is cut")
            }
            Self::FromMemory => f.write_str("how holes are written is known from memory alone"),
        }
    }
}
impl std::error::Error for CannotDrill {}

impl CannotDrill {
    /// How to mend it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NoHoles(_) => {
                "measure them on the demonstration lens and write under [frame]: \
                 holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 2.5, diameter_mm = 1.4 }]"
            }
            Self::Outside { .. } => "measure it again from the boxed centre, towards the nose and up",
            Self::FromMemory => {
                "drill by hand after the demonstration lens, or ask for records from memory and try a test piece"
            }
        }
    }
}

/// Whether every lens that is made has its holes, all of them within it.
pub(super) fn may_be_drilled(cut: &PerEye<Option<Cut<'_>>>, order: &Order, extent: Extent) -> Result<(), CannotDrill> {
    for (eye, cut) in cut.iter() {
        let Some(cut) = cut else { continue };
        if !order.frame.holes.iter().any(|hole| hole.eye == eye) {
            return Err(CannotDrill::NoHoles(eye));
        }
        let mut holes = order.frame.holes.iter().enumerate().filter(|(_, hole)| hole.eye == eye);
        if let Some((i, _)) = holes.find(|(_, hole)| !lies_within(cut, hole)) {
            return Err(CannotDrill::Outside { eye, hole: i + 1 });
        }
    }
    if extent == Extent::FromMemory { Ok(()) } else { Err(CannotDrill::FromMemory) }
}

/// Whether there is lens all round a hole.
fn lies_within(cut: &Cut<'_>, hole: &Hole) -> bool {
    let outline = cut.lens.cut.outline();
    let (x, y) = Place { inwards: hole.inwards, up: hole.up }.xy(hole.eye);
    let middle = Point { x, y };
    let (radius, _) = outline.radius(middle.direction().rad());
    let inside = x * x + y * y < radius * radius;
    inside && outline.nearest(middle).distance > hole.diameter / 2.0
}

/// A record for each hole, right first; 0 for a mounting without any. Holes that may not be sent are not.
pub(super) fn records(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    const LABEL: &str = "DRILLE";
    if order.frame.mounting != Mounting::Drilled {
        return sheet.one(LABEL, Mark::Data, "0");
    }
    if may_be_drilled(&sheet.cut, order, Extent::FromMemory).is_err() {
        return Ok(());
    }
    for eye in Eye::BOTH {
        if sheet.cut[eye].is_none() {
            continue;
        }
        for hole in order.frame.holes.iter().filter(|hole| hole.eye == eye) {
            let fields = [eye.letter().to_owned(), "C".to_owned(), mm(hole.inwards), mm(hole.up), mm(hole.diameter)];
            sheet.fields(LABEL, Mark::Low, &fields)?;
        }
    }
    Ok(())
}
