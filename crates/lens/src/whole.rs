//! Thickness over the whole lens: the least and the greatest, rim included.

use outline::Point;
use units::{Angle, Mm};

use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;
use crate::edge::{EdgeExtremes, EdgePoint};

/// A place of the lens and its thickness along the cutting axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// mm from the boxed centre in the plane square to the cutting axis.
    pub place: Point,
    /// Thickness there.
    pub thickness: Mm,
}

/// The extremes over the whole lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// The least.
    pub least: Spot,
    /// The greatest.
    pub greatest: Spot,
}

/// Directions and rings from which the search for a place of no slope starts.
const DIRECTIONS: usize = 8;
const RINGS: [f64; 3] = [0.25, 0.55, 0.85];
/// Newton's steps after which a start is given up; from inside a lens four or five reach the last digit.
const MOST_STEPS: usize = 30;
/// A step shorter than this, mm, is the last.
const LAST_STEP: f64 = 1e-9;
/// Step of the slopes' own differences, mm: their error, its square times a fourth derivative, is far below 1e-9.
const DIFFERENCE: f64 = 1e-3;

/// Least and greatest thickness along the cutting axis over the whole lens, rim included.
///
/// Inside, an extreme is a place of no slope, found by Newton's iteration from 25 starts spread over the shape; one of
/// them always is the vertex, where a lens without prism has its extreme but for the lean of the cutting axis.
#[must_use]
pub fn over_lens(cutting: &Cutting, cut: &CutOutline, rim: &EdgeExtremes) -> Extremes {
    let spot = |p: EdgePoint| Spot { place: p.place, thickness: p.thickness };
    let mut found = Extremes { least: spot(rim.thinnest), greatest: spot(rim.thickest) };
    let mut starts = vec![cutting.vertex(), Point::ORIGIN];
    for i in 0..DIRECTIONS {
        let direction = Angle::from_deg(i as f64 * (360.0 / DIRECTIONS as f64));
        let rim = cut.outline().point(cut.outline().towards(direction));
        starts.extend(RINGS.map(|share| Point::new(share * rim.x, share * rim.y)));
    }
    for start in starts {
        let Some(place) = still(cutting, start).filter(|&p| cut.holds(p)) else { continue };
        let thickness = Mm::new(cutting.thickness_and_slopes(place.x, place.y).0);
        if thickness < found.least.thickness {
            found.least = Spot { place, thickness };
        }
        if thickness > found.greatest.thickness {
            found.greatest = Spot { place, thickness };
        }
        // All starts of a lens run to its one place of no slope: the first that arrives is enough.
        break;
    }
    found
}

/// The place of no slope that Newton's iteration reaches, if it reaches one.
fn still(cutting: &Cutting, start: Point) -> Option<Point> {
    let slopes = |x: f64, y: f64| cutting.thickness_and_slopes(x, y).1;
    let Point { mut x, mut y, .. } = start;
    for _ in 0..MOST_STEPS {
        let [p, q] = slopes(x, y);
        let h = DIFFERENCE;
        let ([xr, yr], [xl, yl]) = (slopes(x + h, y), slopes(x - h, y));
        let ([xu, yu], [xd, yd]) = (slopes(x, y + h), slopes(x, y - h));
        let (xx, yy) = ((xr - xl) / (2.0 * h), (yu - yd) / (2.0 * h));
        let xy = ((yr - yl) + (xu - xd)) / (4.0 * h);
        let determinant = xx * yy - xy * xy;
        let (dx, dy) = ((yy * p - xy * q) / determinant, (xx * q - xy * p) / determinant);
        if !(dx.is_finite() && dy.is_finite()) || dx * dx + dy * dy > 1e6 {
            return None;
        }
        (x, y) = (x - dx, y - dy);
        if dx * dx + dy * dy < LAST_STEP * LAST_STEP {
            return Some(Point::new(x, y));
        }
    }
    None
}
