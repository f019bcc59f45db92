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
    let mut hold = |p: Point| {
        limits.left = limits.left.min(p.x);
        limits.right = limits.right.max(p.x);
        limits.bottom = limits.bottom.min(p.y);
        limits.top = limits.top.max(p.y);
    };
    for (i, here) in stations.iter().enumerate() {
        hold(here.point);
        let (next, to) = match stations.get(i + 1) {
            Some(next) => (next, next.at),
            None => (&stations[0], stations[0].at + TAU),
        };
        let (leaving, arriving) = (here.leaving, next.arriving);
        for (along, from, end) in
            [(Vector::new(1.0, 0.0), leaving.x, arriving.x), (Vector::new(0.0, 1.0), leaving.y, arriving.y)]
        {
            if from * end < 0.0 {
                let place = |t: f64| curve.polar_within(t, here.at, to).place(t);
                let t = root::between(|t| place(t).first.dot(along), here.at, to, from, end);
                hold(place(t).point);
            }
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
