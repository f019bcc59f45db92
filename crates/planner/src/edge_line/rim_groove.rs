//! How deep a bevel goes into the rim's groove: to its bottom, until its faces meet the lips, or until its shoulders do.

use job::frame::RimGroove;
use units::{Angle, Mm};

/// What stops a bevel on its way into the groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StoppedBy {
    /// The apex meets the bottom.
    Bottom,
    /// The faces meet the lips of the groove.
    Lips,
    /// The shoulders meet the rim.
    Shoulders,
}

impl StoppedBy {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bottom => "bottom",
            Self::Lips => "lips",
            Self::Shoulders => "shoulders",
        }
    }
}

/// A bevel in the rim's groove, in the plane across the rim. The groove is taken to be open to its full width at the lips
/// and wide enough below them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sits {
    /// How deep the apex goes.
    pub reach: Mm,
    /// What stops it.
    pub stopped_by: StoppedBy,
    /// How far above the bottom the apex stays.
    pub short: Mm,
    /// How far the shoulders stand off the rim.
    pub off: Mm,
}

impl Sits {
    /// A bevel of this included angle and height in a groove: at a depth d below the lips a bevel is 2 d tan(angle/2) wide.
    #[must_use]
    pub fn of(groove: RimGroove, angle: Angle, height: Mm) -> Self {
        let lips = Mm::new(groove.width.mm() / (2.0 * libm::tan(0.5 * angle.rad())));
        let (reach, stopped_by) = if groove.depth <= lips && groove.depth <= height {
            (groove.depth, StoppedBy::Bottom)
        } else if lips <= height {
            (lips, StoppedBy::Lips)
        } else {
            (height, StoppedBy::Shoulders)
        };
        Self { reach, stopped_by, short: groove.depth - reach, off: height - reach }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 90 degrees are 2 d wide at d, so that a mouth of 1.6 mm lets them 0.8 mm in.
    #[test]
    fn the_first_of_three_stops_it() {
        let sits = |depth, width, height| {
            let groove = RimGroove { depth: Mm::new(depth), width: Mm::new(width) };
            Sits::of(groove, Angle::from_deg(90.0), Mm::new(height))
        };
        let near = |a: Mm, b: f64| (a.mm() - b).abs() < 1e-12;
        let lips = sits(0.9, 1.6, 1.0);
        assert!(lips.stopped_by == StoppedBy::Lips && near(lips.reach, 0.8) && near(lips.short, 0.1), "{lips:?}");
        let bottom = sits(0.5, 1.6, 0.7);
        assert!(
            bottom.stopped_by == StoppedBy::Bottom && near(bottom.off, 0.2) && near(bottom.short, 0.0),
            "{bottom:?}"
        );
        let shoulders = sits(0.9, 1.9, 0.6);
        assert!(shoulders.stopped_by == StoppedBy::Shoulders && near(shoulders.short, 0.3), "{shoulders:?}");
    }
}
