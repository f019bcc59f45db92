//! Places along the curve, close enough that between two of them a distance has at most one extreme.

use core::f64::consts::TAU;

use crate::curve::Curve;
use crate::point::{Point, Vector};
use crate::polar_cubic::{Knot, PolarCubic};
use crate::root;

/// A place on the curve, with its derivatives by the parameter on arriving there and on leaving.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Station {
    pub(crate) at: f64,
    pub(crate) point: Point,
    pub(crate) arriving: Vector,
    pub(crate) leaving: Vector,
}

/// A local extreme: the parameter, in [0, 2 pi) or a little above, and the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Extreme {
    pub(crate) at: f64,
    pub(crate) point: Point,
}

/// Stations at the given ascending parameters.
pub(crate) fn along(curve: &Curve, at: &[f64]) -> Vec<Station> {
    let mut stations = Vec::with_capacity(at.len());
    let n = at.len();
    for (i, &t) in at.iter().enumerate() {
        let before = if i == 0 { at[n - 1] - TAU } else { at[i - 1] };
        let after = if i + 1 == n { at[0] + TAU } else { at[i + 1] };
        let (sin, cos) = libm::sincos(t);
        let out = Vector::new(cos, sin);
        let arriving = curve.polar_within(t, before, t).place_along(out);
        let leaving = curve.polar_within(t, t, after).place_along(out);
        stations.push(Station { at: t, point: leaving.point, arriving: arriving.first, leaving: leaving.first });
    }
    stations
}

/// Stations at the knots of a cubic, whose radii and slopes are at hand.
pub(crate) fn at_knots(cubic: &PolarCubic) -> Vec<Station> {
    let station = |knot: &Knot| {
        let (sin, cos) = libm::sincos(knot.at);
        let (out, on) = (Vector::new(cos, sin), Vector::new(-sin, cos));
        Station {
            at: knot.at,
            point: Point::ORIGIN + out * knot.radius,
            arriving: out * knot.arriving + on * knot.radius,
            leaving: out * knot.leaving + on * knot.radius,
        }
    };
    cubic.knots.iter().map(station).collect()
}

/// Every local maximum along the curve of a quantity, given its slope from place and derivative.
///
/// A slope of less than `still` in amount counts as none, so that rounding does not send the search between two
/// stations of a circle seen from its middle. A station without slope is listed whatever it is, a minimum too.
pub(crate) fn maxima(
    curve: &Curve,
    stations: &[Station],
    slope: impl Fn(Point, Vector) -> f64,
    still: f64,
) -> Vec<Extreme> {
    let calm = |s: f64| if s.abs() <= still { 0.0 } else { s };
    let n = stations.len();
    let mut found = Vec::new();
    for (i, here) in stations.iter().enumerate() {
        let arriving = calm(slope(here.point, here.arriving));
        let leaving = calm(slope(here.point, here.leaving));
        if arriving >= 0.0 && leaving <= 0.0 {
            found.push(Extreme { at: here.at, point: here.point });
        }
        let (next, to) = match stations.get(i + 1) {
            Some(next) => (next, next.at),
            None => (&stations[0], stations[0].at + TAU),
        };
        let end = calm(slope(next.point, next.arriving));
        if leaving > 0.0 && end < 0.0 && n > 1 {
            let place = |t: f64| curve.polar_within(t, here.at, to).place(t);
            let t = root::between(
                |t| {
                    let p = place(t);
                    slope(p.point, p.first)
                },
                here.at,
                to,
                leaving,
                end,
            );
            found.push(Extreme { at: t, point: place(t).point });
        }
    }
    found
}

/// The maximum with the greatest `size`; of those that are equal but for rounding, the one first met from 0 on.
pub(crate) fn greatest(found: &[Extreme], size: impl Fn(Point) -> f64, equal: f64) -> Option<Extreme> {
    let most = found.iter().map(|e| size(e.point)).fold(f64::NEG_INFINITY, f64::max);
    found
        .iter()
        .map(|e| Extreme { at: crate::point::turn(e.at), ..*e })
        .filter(|e| size(e.point) >= most - equal)
        .min_by(|a, b| a.at.total_cmp(&b.at))
}
