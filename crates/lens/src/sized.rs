//! The size: the parallel offset that makes the apex line as long in space as the rim line and what is wanted beyond.

use core::f64::consts::TAU;

use job::EdgeRun;
use outline::{NotAnOutline, Outline, Places, SpaceLine};
use units::Mm;

use crate::cutting_axis::Cutting;
use crate::edge_room::EdgeRoom;
use crate::edge_run::RunLine;
use crate::fault::NoLens;
use crate::seat::{Seated, seat};

/// The apex is as long as wanted to this, mm: a fiftieth of the 0.001 mm that is promised.
const AS_LONG: f64 = 2e-5;
const MOST_ROUNDS: usize = 12;

/// Places round an edge: one a degree.
pub const EDGE_PLACES: usize = 360;

/// How the edge is laid out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeRules {
    /// Least front shoulder (for a groove: half its width and the wall before it).
    pub front_shoulder: Mm,
    /// Least back shoulder, likewise.
    pub back_shoulder: Mm,
    /// rms gap that may be given away for a smaller front shoulder.
    pub gap_given: Mm,
    /// How the line runs: along the rim it is seated best; otherwise the rim is seated on the line as it runs.
    pub run: EdgeRun,
}

/// The size of a lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// The traced outline grown by so much in radius.
    Offset(Mm),
    /// The apex line of this length in space; the search sets out from an offset.
    Length {
        /// The length.
        length: Mm,
        /// A guess.
        guess: Mm,
    },
}

/// The edge of a lens of its size.
#[derive(Debug, Clone)]
pub struct Sized {
    /// The outline that is cut.
    pub outline: Outline,
    /// How much larger in radius it is than the traced one.
    pub offset: Mm,
    /// Its places.
    pub places: Places,
    /// The edge there.
    pub room: EdgeRoom,
    /// The line that runs on it: the bevel's apex, or the middle of a groove.
    pub line: SpaceLine,
    /// What a rule of the trade asked of it, and how far it was held off; none where it runs along the rim.
    pub run: Option<RunLine>,
    /// The rim on it, where there is one.
    pub seated: Option<Seated>,
}

/// Why there is no edge of a size.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSize {
    /// The traced outline has no parallel curve there.
    #[error("the traced outline cannot be made {offset} mm larger in radius: {why}", offset = .offset.mm())]
    Outline {
        /// The offset.
        offset: Mm,
        /// The reason.
        why: NotAnOutline,
    },
    /// A line was to run on a sphere that ends within the outline.
    #[error("a curve of {curve_d} D is a sphere that ends {ends:.1} mm from its middle, within this shape", ends = .ends.mm())]
    Curve {
        /// The curve on 1.530.
        curve_d: f64,
        /// Its radius.
        ends: Mm,
    },
    /// The lens has no edge, or the seat does not come to rest.
    #[error(transparent)]
    Lens(#[from] NoLens),
}

/// The edge of a lens, of the size that is wanted, its line along the rim or as a rule has it. Without a rim a line along
/// the rim runs along the front.
///
/// # Errors
/// [`NoSize`]; [`NoLens::NotSettled`] in it where the length is not met.
pub fn sized(
    traced: &Outline,
    rim: Option<&SpaceLine>,
    cutting: &Cutting,
    rules: &EdgeRules,
    size: Size,
) -> Result<Sized, NoSize> {
    let on = |outline: Outline, offset: Mm, places: Places, near: Option<&Seated>| -> Result<Sized, NoSize> {
        let room = EdgeRoom::of(cutting, &places, rules.front_shoulder, rules.back_shoulder)?;
        let run =
            room.run(&places, if rim.is_none() && rules.run == EdgeRun::RIM { EdgeRun::FRONT } else { rules.run })?;
        let seated = match (rim, &run) {
            (Some(rim), None) => Some(seat(rim, &places, &room, rules.gap_given, near)?),
            (Some(rim), Some(run)) => Some(seat(rim, &places, &room.only(run), Mm::ZERO, near)?),
            (None, _) => None,
        };
        let line = match (&seated, &run) {
            (Some(seated), _) => Some(seated.apex.clone()),
            (None, Some(run)) => SpaceLine::new(&places, run.depths.clone()),
            (None, None) => None,
        };
        let line = line.ok_or(NoLens::NotSettled { what: "the line on the edge", residual: f64::NAN })?;
        Ok(Sized { outline, offset, places, room, line, run, seated })
    };
    let at = |offset: Mm, near: Option<&Seated>| -> Result<Sized, NoSize> {
        let outline = traced.offset(offset).map_err(|why| NoSize::Outline { offset, why })?;
        let places = outline.places(EDGE_PLACES);
        on(outline, offset, places, near)
    };
    let (length, guess) = match size {
        Size::Offset(offset) => return at(offset, None),
        Size::Length { length, guess } => (length, guess),
    };
    // First on places moved out along their normals, which is quickly done: they stand a little aside of even directions.
    let base = traced.places(EDGE_PLACES);
    let mut sized = on(traced.clone(), guess, base.moved_out(guess), None)?;
    // All round, a millimetre of radius is 2 pi of length; in space a little else, which the next step knows.
    let short = |sized: &Sized| (length - sized.line.length()).mm();
    let next = sized.offset + Mm::new(short(&sized) / TAU);
    let mut per_mm = TAU;
    sized = on(sized.outline, next, base.moved_out(next), sized.seated.as_ref())?;
    let mut offset = sized.offset + Mm::new(short(&sized) / per_mm);
    for _ in 0..MOST_ROUNDS {
        let before = (sized.offset, sized.line.length());
        sized = at(offset, sized.seated.as_ref())?;
        if short(&sized).abs() <= AS_LONG {
            return Ok(sized);
        }
        let (grown, by) = ((sized.line.length() - before.1).mm(), (sized.offset - before.0).mm());
        if by.abs() > 1e-4 && grown / by > 1.0 {
            per_mm = grown / by;
        }
        offset = sized.offset + Mm::new(short(&sized) / per_mm);
    }
    let residual = short(&sized);
    Err(NoLens::NotSettled { what: "a size that makes the apex as long as the rim", residual }.into())
}
