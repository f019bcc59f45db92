//! The holes of a drilled lens.
//!
//! A hole is eye; reference; x; y; diameter. That the place is counted from the boxed centre is memory of middling
//! sureness; that x grows towards the nose is a choice between two readings, and the diameter's field is memory too.
//! So the whole record counts as memory of the lowest kind: no hole is driven from it before a test piece has shown
//! where it goes.

use core::fmt;

use job::{Eye, Mounting, Order, PerEye};

use super::sheet::{Sheet, mm};
use super::{Cut, Extent, Mark};
use crate::records::Problem;

/// Why a drilled mounting has no file for the drill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CannotDrill {
    /// The order has no hole for this lens.
    NoHoles(Eye),
    /// Records of holes are known from memory alone, and those were not asked for.
    FromMemory,
}

impl fmt::Display for CannotDrill {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoHoles(eye) => write!(f, "the {eye} lens is to be drilled, and the order has no holes for it"),
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
            Self::FromMemory => {
                "drill by hand after the demonstration lens, or ask for records from memory and try a test piece"
            }
        }
    }
}

/// Whether every lens that is made has its holes. That they lie within it is the plan's to see: one outside is a stop.
pub(super) fn may_be_drilled(cut: &PerEye<Option<Cut<'_>>>, extent: Extent) -> Result<(), CannotDrill> {
    for (eye, cut) in cut.iter() {
        if cut.is_some_and(|cut| cut.lens.holes.is_empty()) {
            return Err(CannotDrill::NoHoles(eye));
        }
    }
    if extent == Extent::FromMemory { Ok(()) } else { Err(CannotDrill::FromMemory) }
}

/// A record for each hole, right first; 0 for a mounting without any.
pub(super) fn records(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    const LABEL: &str = "DRILLE";
    if order.frame.mounting != Mounting::Drilled {
        return sheet.one(LABEL, Mark::Data, "0");
    }
    // Of a pair of which one lens alone has its holes nothing is told: it would look as if the other had none.
    if may_be_drilled(&sheet.cut, Extent::FromMemory).is_err() {
        return Ok(());
    }
    for eye in Eye::BOTH {
        let Some(cut) = sheet.cut[eye] else { continue };
        for hole in &cut.lens.holes {
            let (inwards, up) = (mm(hole.at.inwards), mm(hole.at.up));
            sheet.fields(
                LABEL,
                Mark::Low,
                &[eye.letter().to_owned(), "C".to_owned(), inwards, up, mm(hole.diameter)],
            )?;
        }
    }
    Ok(())
}
