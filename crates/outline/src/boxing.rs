//! The boxing system: the upright box round a shape, and the effective diameter.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::curve::Curve;
use crate::point::{Point, Vector, turn};
use crate::root;
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
    fn hold(&mut self, p: Point) {
        self.left = self.left.min(p.x);
        self.right = self.right.max(p.x);
        self.bottom = self.bottom.min(p.y);
        self.top = self.top.max(p.y);
    }

    /// Whether a place stays inside the box wherever it is moved by up to `reach`.
    fn well_inside_x(self, x: f64, reach: f64) -> bool {
        x - reach > self.left && x + reach < self.right
    }

    fn well_inside_y(self, y: f64, reach: f64) -> bool {
        y - reach > self.bottom && y + reach < self.top
    }

    pub(crate) fn centre(self) -> Point {
        Point::new(0.5 * (self.left + self.right), 0.5 * (self.bottom + self.top))
    }
}

/// Lengths nearer than this are one length: far below what anything measures, far above rounding.
pub(crate) const SAME_MM: f64 = 1e-9;

/// The upright box: the extremes of the stations, and of the curve between two of them where x or y turns back.
pub(crate) fn limits(curve: &Curve, stations: &[Station]) -> Limits {
    let first = stations.first().map_or(Point::ORIGIN, |s| s.point);
    let mut limits = Limits { left: first.x, right: first.x, bottom: first.y, top: first.y };
    for station in stations {
        limits.hold(station.point);
    }
    for (i, here) in stations.iter().enumerate() {
        let (next, to) = match stations.get(i + 1) {
            Some(next) => (next, next.at),
            None => (&stations[0], stations[0].at + TAU),
        };
        let (width, leaving, arriving) = (to - here.at, here.leaving, next.arriving);
        let turns_x = leaving.x * arriving.x < 0.0 && !limits.well_inside_x(here.point.x, width * leaving.x.abs());
        let turns_y = leaving.y * arriving.y < 0.0 && !limits.well_inside_y(here.point.y, width * leaving.y.abs());
        let mut refine = |along: Vector| {
            let place = |t: f64| curve.polar_within(t, here.at, to).place(t);
            let slope = |t: f64| place(t).first.dot(along);
            let t = root::between(slope, here.at, to, leaving.dot(along), arriving.dot(along));
            limits.hold(place(t).point);
        };
        if turns_x {
            refine(Vector::new(1.0, 0.0));
        }
        if turns_y {
            refine(Vector::new(0.0, 1.0));
        }
    }
    limits
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
