//! Shortest and greatest distance from a point to the outline.

use units::Mm;

use crate::boxing::SAME_MM;
use crate::outline::Outline;
use crate::point::Point;
use crate::stations::{Extreme, greatest, maxima};

/// A distance, and the place on the outline where it is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The distance.
    pub distance: Mm,
    /// Parameter of the place; the lowest where several are equal.
    pub t: f64,
    /// The place.
    pub point: Point,
}

impl Outline {
    /// The greatest distance from `from` to the outline, and where.
    #[must_use]
    pub fn farthest(&self, from: Point) -> Reach {
        let found = maxima(&self.curve, &self.stations, |p, first| (p - from).dot(first), 1e-11);
        self.reach(from, &found, 1.0)
    }

    /// The shortest distance from `from` to the outline, and where.
    #[must_use]
    pub fn nearest(&self, from: Point) -> Reach {
        let found = maxima(&self.curve, &self.stations, |p, first| -(p - from).dot(first), 1e-11);
        self.reach(from, &found, -1.0)
    }

    fn reach(&self, from: Point, found: &[Extreme], sign: f64) -> Reach {
        let size = |p: Point| sign * from.distance_to(p);
        let best = greatest(found, size, SAME_MM).unwrap_or_else(|| Extreme { at: 0.0, point: self.point(0.0) });
        Reach { distance: Mm::new(from.distance_to(best.point)), t: best.at, point: best.point }
    }
}
