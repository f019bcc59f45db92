//! The lines of the drawings: what each kind means, its width and its dashes in millimetres on the sheet.

use crate::scene::{Ink, Stroke};

const fn full(ink: Ink, width: f64) -> Stroke {
    Stroke { ink, width, dashes: &[] }
}

/// The finished outline.
pub(crate) const OUTLINE: Stroke = full(Ink::Ink, 0.55);
/// Front and back edge in the edge strip.
pub(crate) const EDGE: Stroke = full(Ink::Ink, 0.5);
/// Marks: ticks, points, arrows.
pub(crate) const MARK: Stroke = full(Ink::Ink, 0.35);
/// What the plan puts on the lens.
pub(crate) const PUT: Stroke = full(Ink::Mark, 0.35);
/// Box, dimensions, leaders.
pub(crate) const THIN: Stroke = full(Ink::Ink, 0.2);
/// Fine rules, the graduated ring.
pub(crate) const PALE: Stroke = full(Ink::Line, 0.2);
/// Lines of equal thickness.
pub(crate) const EQUAL: Stroke = full(Ink::Line, 0.15);
/// Centre lines: long dash, dot.
pub(crate) const CENTRE: Stroke = Stroke { ink: Ink::Line, width: 0.2, dashes: &[4.0, 0.8, 0.4, 0.8] };
/// Rim of the blank: form before cutting.
pub(crate) const RIM: Stroke = Stroke { ink: Ink::Ink, width: 0.4, dashes: &[6.0, 0.8, 0.4, 0.8, 0.4, 0.8] };
/// The block; what lies behind.
pub(crate) const BEHIND: Stroke = Stroke { ink: Ink::Ink, width: 0.3, dashes: &[2.4, 0.8] };
/// Reach, construction.
pub(crate) const REACH: Stroke = Stroke { ink: Ink::Ink, width: 0.2, dashes: &[1.2, 0.9] };
/// Hatching.
pub(crate) const HATCH: Stroke = full(Ink::Ink2, 0.15);

/// The same line in another ink.
pub(crate) const fn in_ink(stroke: Stroke, ink: Ink) -> Stroke {
    Stroke { ink, ..stroke }
}

/// The same line in another width.
pub(crate) const fn as_wide(stroke: Stroke, width: f64) -> Stroke {
    Stroke { width, ..stroke }
}
