//! The smallest shift of the optical centre that lets a blank cover a shape which it does not.

use job::rules::Block;
use outline::Point;
use units::Mm;
use units::maths::{hypot, sqrt};

use crate::coverage::coverage;
use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;
use crate::edge::Walls;

/// Turns after which a shape counts as too large; where a shift exists, five to ten settle it.
const MOST_TURNS: usize = 40;
/// A shape that seems too large by up to this, mm, may fit once the shift has changed the lean of the cutting axis.
const LEANS: f64 = 0.2;
/// A blank that is short by less than this, mm, covers.
const COVERS: f64 = 1e-9;
/// A shift that changes by less than this, mm, has settled.
const SETTLED: f64 = 1e-7;

/// The smallest shift of the optical centre (and the blank with it) against the shape, mm in the plane square to the
/// cutting axis, after which the margin is zero to 1e-5 mm. None where the shape is larger than the blank wherever it lies.
///
/// In the lens's plane this is the point nearest to the middle that lies within the usable radius of every end of the
/// wall: an intersection of discs. Every turn adds the end that is then the farthest and finds the nearest point of the
/// discs so far exactly; and it holds the lens anew, since a shift leans the cutting axis.
#[must_use]
pub fn smallest_shift(
    cutting: &Cutting,
    cut: &CutOutline,
    middle: Point,
    usable_radius: Mm,
    allowance: Mm,
    block: &Block,
) -> Option<Point> {
    let radius = (usable_radius - allowance).mm();
    let vertex = cutting.vertex();
    let mut farthest: Vec<(Point, bool)> = Vec::new();
    let mut shift = Point::ORIGIN;
    let mut moved = 0.0;
    let mut serves: Option<Point> = None;
    let mut held = *cutting;
    for _ in 0..MOST_TURNS {
        let walls = Walls::of(&held, cut).ok()?;
        let covered = coverage(&held, cut, &walls, middle, usable_radius, allowance);
        if covered.margin.mm() >= -COVERS {
            let away = |p: Point| p.distance_to(Point::ORIGIN);
            serves = Some(serves.map_or(shift, |s| if away(shift) < away(s) { shift } else { s }));
            if moved <= SETTLED {
                return serves;
            }
        }
        farthest.push((cut.outline().point(covered.tightest.rad()), covered.at_back));
        let reach: Vec<Point> = farthest
            .iter()
            .map(|&(place, back)| {
                let [x, y] = held.wall_end(place.x, place.y, back);
                Point::new(x - middle.x + shift.x, y - middle.y + shift.y)
            })
            .collect();
        let next = nearest_in_all(&reach, radius).or_else(|| nearest_in_all(&reach, radius + LEANS))?;
        moved = next.distance_to(shift);
        shift = next;
        held = Cutting::new(*cutting.lens(), Point::new(vertex.x + shift.x, vertex.y + shift.y), block).ok()?;
    }
    serves
}

/// The point nearest to the origin that lies within `radius` of every centre; none where there is none.
///
/// Two of the discs decide it: whenever a further one is violated it becomes one of the two, and the distance grows.
fn nearest_in_all(centres: &[Point], radius: f64) -> Option<Point> {
    if radius <= 0.0 {
        return None;
    }
    let away = |c: Point, p: Point| hypot(c.x - p.x, c.y - p.y);
    let mut found = Point::ORIGIN;
    let mut active: Vec<Point> = Vec::new();
    for _ in 0..=2 * centres.len() {
        let farthest = centres.iter().copied().max_by(|a, b| away(*a, found).total_cmp(&away(*b, found)))?;
        if away(farthest, found) <= radius + 0.1 * COVERS {
            return Some(found);
        }
        let mut candidates: Vec<(Point, Vec<Point>)> = vec![(on_disc(farthest, radius), vec![farthest])];
        for &other in &active {
            candidates.extend(crossings(farthest, other, radius).map(|p| (p, vec![farthest, other])));
        }
        let holds = |p: Point| active.iter().all(|&c| away(c, p) <= radius + 0.1 * COVERS);
        let best = candidates
            .into_iter()
            .filter(|(p, _)| holds(*p))
            .min_by(|(a, _), (b, _)| hypot(a.x, a.y).total_cmp(&hypot(b.x, b.y)))?;
        (found, active) = best;
    }
    None
}

/// The point of a disc nearest to the origin.
fn on_disc(centre: Point, radius: f64) -> Point {
    let distance = hypot(centre.x, centre.y);
    let keep = ((distance - radius) / distance).max(0.0);
    Point::new(centre.x * keep, centre.y * keep)
}

/// Where the rims of two discs of one radius cross.
fn crossings(a: Point, b: Point, radius: f64) -> impl Iterator<Item = Point> {
    let (mx, my) = (0.5 * (a.x + b.x), 0.5 * (a.y + b.y));
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let apart = hypot(dx, dy);
    let square = radius * radius - 0.25 * apart * apart;
    let h = if square > 0.0 && apart > 0.0 { sqrt(square) / apart } else { f64::NAN };
    [1.0, -1.0].into_iter().map(move |s| Point::new(mx - s * h * dy, my + s * h * dx)).filter(|p| p.x.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_disc_is_met_straight_on() {
        let p = nearest_in_all(&[Point::new(5.0, 0.0)], 3.0).unwrap();
        assert!((p.x - 2.0).abs() < 1e-12 && p.y.abs() < 1e-12);
    }

    #[test]
    fn two_discs_are_met_where_they_cross() {
        // Rims of radius 5 about (4, 3) and (4, -3) cross at the origin's side in (0, 0): nothing to do; about (5, ±3) in (1, 0).
        let p = nearest_in_all(&[Point::new(5.0, 3.0), Point::new(5.0, -3.0)], 5.0).unwrap();
        assert!((p.x - 1.0).abs() < 1e-9 && p.y.abs() < 1e-9, "{p:?}");
    }

    #[test]
    fn discs_that_share_nothing_have_no_point() {
        assert!(nearest_in_all(&[Point::new(5.0, 0.0), Point::new(-5.0, 0.0)], 4.0).is_none());
    }

    proptest::proptest! {
        /// Against a fine search of the plane.
        #[test]
        fn no_nearer_point_serves(points in proptest::collection::vec((-6.0f64..6.0, -6.0f64..6.0), 3..8), radius in 4.0f64..9.0) {
            let centres: Vec<Point> = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
            let serves = |p: Point, slack: f64| centres.iter().all(|c| hypot(c.x - p.x, c.y - p.y) <= radius + slack);
            let found = nearest_in_all(&centres, radius);
            let least = found.map_or(f64::INFINITY, |p| hypot(p.x, p.y));
            if let Some(p) = found {
                proptest::prop_assert!(serves(p, 1e-6));
            }
            for i in 0..120 {
                for k in 0..120 {
                    let p = Point::new(f64::from(i) * 0.1 - 6.0, f64::from(k) * 0.1 - 6.0);
                    proptest::prop_assert!(!serves(p, -1e-6) || hypot(p.x, p.y) >= least - 1e-6, "{p:?} {found:?}");
                }
            }
        }
    }
}
