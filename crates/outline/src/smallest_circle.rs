//! The smallest circle that holds an outline.

use units::Mm;

use crate::outline::Outline;
use crate::point::{Point, Vector};

/// A circle in the plane of the outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Its centre, seen from the boxed centre.
    pub centre: Point,
    /// Its radius.
    pub radius: Mm,
}

impl Outline {
    /// The smallest circle that holds the whole curve, to 1e-9 mm.
    ///
    /// The circle of a few points of the curve is widened by the curve's farthest point from its centre until none lies
    /// outside; each of these circles is the smallest for its points, so the last one is the smallest for the curve.
    #[must_use]
    pub fn smallest_circle(&self) -> Circle {
        let mut held: Vec<Point> = Vec::new();
        let mut circle = (Point::ORIGIN, 0.0);
        // Each round adds a point of the curve; a dozen settle any lens shape, and the limit only guards rounding.
        for _ in 0..100 {
            let farthest = self.farthest(circle.0);
            if !held.is_empty() && farthest.distance.mm() <= circle.1 + 1e-10 {
                break;
            }
            held.push(farthest.point);
            circle = of_points(&held);
            // Only points on the circle matter for the next one.
            held.retain(|p| p.distance_to(circle.0) >= circle.1 - 1e-7);
        }
        let farthest = self.farthest(circle.0);
        Circle { centre: circle.0, radius: farthest.distance }
    }
}

/// The smallest circle of a few points (Welzl's recursion, unrolled into three loops).
fn of_points(points: &[Point]) -> (Point, f64) {
    let outside = |c: (Point, f64), p: Point| c.0.distance_to(p) > c.1 * (1.0 + 1e-14) + 1e-14;
    let mut circle = points.first().map_or((Point::ORIGIN, 0.0), |&p| (p, 0.0));
    for i in 1..points.len() {
        if !outside(circle, points[i]) {
            continue;
        }
        circle = (points[i], 0.0);
        for j in 0..i {
            if !outside(circle, points[j]) {
                continue;
            }
            circle = of_two(points[i], points[j]);
            for k in 0..j {
                if outside(circle, points[k]) {
                    circle = of_three(points[i], points[j], points[k]).unwrap_or(circle);
                }
            }
        }
    }
    circle
}

fn of_two(a: Point, b: Point) -> (Point, f64) {
    (a + (b - a) * 0.5, 0.5 * a.distance_to(b))
}

/// The circle through three points; none where they are in line.
fn of_three(a: Point, b: Point, c: Point) -> Option<(Point, f64)> {
    let (u, v) = (b - a, c - a);
    let d = 2.0 * u.cross(v);
    if d == 0.0 {
        return None;
    }
    let (uu, vv) = (u.dot(u), v.dot(v));
    let to = Vector::new((v.y * uu - u.y * vv) / d, (u.x * vv - v.x * uu) / d);
    Some((a + to, to.length()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_a_right_triangle_it_stands_on_the_long_side() {
        let (centre, radius) = of_points(&[Point::new(0.0, 0.0), Point::new(3.0, 0.0), Point::new(0.0, 4.0)]);
        assert!((radius - 2.5).abs() < 1e-12 && centre.distance_to(Point::new(1.5, 2.0)) < 1e-12);
        // An acute triangle's circle goes through all three.
        let (_, radius) = of_points(&[Point::new(0.0, 0.0), Point::new(2.0, 0.0), Point::new(1.0, 1.8)]);
        let (_, through) =
            of_three(Point::new(0.0, 0.0), Point::new(2.0, 0.0), Point::new(1.0, 1.8)).expect("a circle");
        assert!((radius - through).abs() < 1e-12);
    }
}
