//! Thickness over the whole lens: the least and the greatest, rim included.

use outline::Point;
use units::{Angle, Mm};

use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;
use crate::edge::{EdgeExtremes, EdgePoint};
use crate::valley::{LAST_STEP, MOST_STEPS, best_of_net, lowest_near, second_derivatives};

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
/// Least and greatest thickness along the cutting axis over the whole lens, rim included.
///
/// Inside, an extreme is a place of no slope. A lens of spheres and tori has one, found by Newton's iteration from the
/// first of 26 starts over the shape that leads there; the first is the vertex, where a lens without prism has its extreme
/// but for the lean of the cutting axis. Conics, biconics and a corrected back may make several, in a ring even: there the
/// thickness is sampled on a net and followed down, and up, from the best places of it.
#[must_use]
pub fn over_lens(cutting: &Cutting, cut: &CutOutline, rim: &EdgeExtremes) -> Extremes {
    let spot = |p: EdgePoint| Spot { place: p.place, thickness: p.thickness };
    let mut found = Extremes { least: spot(rim.thinnest), greatest: spot(rim.thickest) };
    if !cutting.lens().of_circles() {
        for sign in [1.0, -1.0] {
            let rim = if sign > 0.0 { rim.thinnest } else { rim.thickest };
            for start in best_of_net(cutting, cut, sign, rim.thickness) {
                let Some((place, low)) = lowest_near(cutting, start, sign) else { continue };
                let inside = Spot { place, thickness: Mm::new(sign * low) };
                if sign > 0.0 && inside.thickness < found.least.thickness && cut.holds(place) {
                    found.least = inside;
                }
                if sign < 0.0 && inside.thickness > found.greatest.thickness && cut.holds(place) {
                    found.greatest = inside;
                }
            }
        }
        return found;
    }
    let spread = (0..DIRECTIONS).flat_map(|i| {
        let direction = Angle::from_deg(i as f64 * (360.0 / DIRECTIONS as f64));
        let rim = cut.outline().point(cut.outline().towards(direction));
        RINGS.map(|share| Point::new(share * rim.x, share * rim.y))
    });
    // All starts of a lens run to its one place of no slope: the first that arrives is enough.
    let mut arrived =
        [cutting.vertex(), Point::ORIGIN].into_iter().chain(spread).filter_map(|start| still(cutting, start));
    if let Some(place) = arrived.find(|&place| cut.holds(place)) {
        let thickness = Mm::new(cutting.thickness_and_slopes(place.x, place.y).0);
        if thickness < found.least.thickness {
            found.least = Spot { place, thickness };
        }
        if thickness > found.greatest.thickness {
            found.greatest = Spot { place, thickness };
        }
    }
    found
}

/// The place of no slope that Newton's iteration reaches, if it reaches one.
fn still(cutting: &Cutting, start: Point) -> Option<Point> {
    let slopes = |x: f64, y: f64| cutting.thickness_and_slopes(x, y).1;
    let Point { mut x, mut y, .. } = start;
    for _ in 0..MOST_STEPS {
        let [p, q] = slopes(x, y);
        let [xx, xy, yy] = second_derivatives(slopes, Point::new(x, y));
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
