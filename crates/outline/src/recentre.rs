//! From a pole somewhere inside to the boxed centre.

use core::f64::consts::TAU;

use crate::boxing;
use crate::curve::Curve;
use crate::error::NotAnOutline;
use crate::outline::Outline;
use crate::point::{Point, Vector, turn};
use crate::polar_cubic::{Knot, PolarCubic};
use crate::stations::{self, Station};

/// Widest piece of a cubic in radians. Seen from another pole a cubic piece is a cubic but for the fourth power of its
/// width; at 0.02 rad that is below 1e-6 mm for radii that change by 1000 mm/rad^4.
const WIDEST: f64 = 0.02;

/// An outline about its boxed centre, and where the pole it came from lies.
pub(crate) struct Recentred {
    pub(crate) outline: Outline,
    pub(crate) pole: Point,
}

/// Takes the box from the curve and tells the same curve from the boxed centre.
pub(crate) fn about_boxed_centre(cubic: PolarCubic) -> Result<Recentred, NotAnOutline> {
    let cubic = finer(cubic);
    let stations = stations::at_knots(&cubic);
    let centre = boxing::limits(&Curve::Cubic(cubic), &stations).centre();
    let pole = Point::new(-centre.x, -centre.y);
    let (cubic, stations) = seen_from(&stations, centre)?;
    Ok(Recentred { outline: Outline::of_cubic_at(cubic, stations), pole })
}

/// The same cubic with knots at most [`WIDEST`] apart.
fn finer(cubic: PolarCubic) -> PolarCubic {
    let n = cubic.knots.len();
    let end = |i: usize| cubic.knots.get(i + 1).map_or_else(|| cubic.knots[0].at + TAU, |k| k.at);
    if (0..n).all(|i| end(i) - cubic.knots[i].at <= WIDEST) {
        return cubic;
    }
    let mut knots: Vec<Knot> = Vec::with_capacity(2 * n);
    for i in 0..n {
        let from = cubic.knots[i];
        knots.push(from);
        let width = end(i) - from.at;
        let mut pieces = 1.0;
        while width > WIDEST * pieces {
            pieces += 1.0;
        }
        let mut piece = 1.0;
        while piece < pieces {
            let t = from.at + width * piece / pieces;
            let p = cubic.in_interval(i, t);
            knots.push(Knot { at: turn(t), radius: p.radius, arriving: p.first, leaving: p.first });
            piece += 1.0;
        }
    }
    knots.sort_by(|a, b| a.at.total_cmp(&b.at));
    PolarCubic { knots }
}

/// Knots through the same places with the same tangents, about another pole.
fn seen_from(stations: &[Station], pole: Point) -> Result<(PolarCubic, Vec<Station>), NotAnOutline> {
    let mut seen: Vec<(Knot, Station)> = Vec::with_capacity(stations.len());
    for s in stations {
        let away = s.point - pole;
        let point = Point::ORIGIN + away;
        let at = turn(libm::atan2(away.y, away.x));
        let radius = away.length();
        let near = at.to_degrees();
        let (across_arriving, across_leaving) = (away.cross(s.arriving), away.cross(s.leaving));
        if !(across_arriving > 0.0 && across_leaving > 0.0) {
            return Err(NotAnOutline::Folded { near });
        }
        // dr/dt about the new pole; and dP/dt by the new angle, whose speed across the ray is the radius.
        let slope = |along: Vector, across: f64| radius * away.dot(along) / across;
        let scaled = |along: Vector, across: f64| along * (radius * radius / across);
        seen.push((
            Knot {
                at,
                radius,
                arriving: slope(s.arriving, across_arriving),
                leaving: slope(s.leaving, across_leaving),
            },
            Station {
                at,
                point,
                arriving: scaled(s.arriving, across_arriving),
                leaving: scaled(s.leaving, across_leaving),
            },
        ));
    }
    // The first knot from the viewer's right may be another one now; their cyclic order may not change.
    let first = (0..seen.len()).min_by(|&a, &b| seen[a].0.at.total_cmp(&seen[b].0.at)).unwrap_or(0);
    seen.rotate_left(first);
    if let Some(pair) = seen.windows(2).find(|p| p[1].0.at <= p[0].0.at) {
        return Err(NotAnOutline::Folded { near: pair[0].0.at.to_degrees() });
    }
    let (knots, stations) = seen.into_iter().unzip();
    Ok((PolarCubic { knots }, stations))
}
