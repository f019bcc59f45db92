//! The boxing system: the upright box round a shape, and the effective diameter.

use units::{Angle, Mm};

use crate::curve::Curve;
use crate::point::{Point, Vector, turn};
use crate::stations::{Station, greatest, maxima};

/// The boxed sizes of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boxed {
    /// Width of the upright box.
    pub width: Mm,
    /// Height of the upright box.
    pub height: Mm,
    /// Twice the longest radius from the boxed centre.
    pub effective_diameter: Mm,
    /// Direction of that radius; the first one from the viewer's right, anticlockwise, where several are equally long.
    pub effective_diameter_at: Angle,
}

/// Extremes of a curve: least x, greatest x, least y, greatest y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
    pub(crate) top: f64,
}

impl Limits {
    pub(crate) fn centre(self) -> Point {
        Point::new(0.5 * (self.left + self.right), 0.5 * (self.bottom + self.top))
    }
}

/// Lengths nearer than this are one length: far below what anything measures, far above rounding.
pub(crate) const SAME_MM: f64 = 1e-9;

pub(crate) fn limits(curve: &Curve, stations: &[Station]) -> Limits {
    let reach = |e: Vector| {
        let found = maxima(curve, stations, |_, first| first.dot(e), 1e-13);
        // A closed curve has a maximum in each direction; the stations alone are the fallback that needs no proof.
        let at_stations = stations.iter().map(|s| s.point.from_origin().dot(e)).fold(f64::NEG_INFINITY, f64::max);
        found.iter().map(|m| m.point.from_origin().dot(e)).fold(at_stations, f64::max)
    };
    Limits {
        left: -reach(Vector::new(-1.0, 0.0)),
        right: reach(Vector::new(1.0, 0.0)),
        bottom: -reach(Vector::new(0.0, -1.0)),
        top: reach(Vector::new(0.0, 1.0)),
    }
}

pub(crate) fn boxed(curve: &Curve, stations: &[Station]) -> Boxed {
    let limits = limits(curve, stations);
    let away = |p: Point| p.from_origin().length();
    let found = maxima(curve, stations, |p, first| p.from_origin().dot(first), 1e-11);
    let (longest, at) = match greatest(&found, away, SAME_MM) {
        Some(e) => (away(e.point), e.at),
        None => (0.0, 0.0),
    };
    Boxed {
        width: Mm::new(limits.right - limits.left),
        height: Mm::new(limits.top - limits.bottom),
        effective_diameter: Mm::new(2.0 * longest),
        effective_diameter_at: Angle::from_rad(turn(at)),
    }
}
