//! What a round wheel of a given radius cannot touch of an outline.
//!
//! The wheel cuts from outside with its axis square to the plane of the outline. Its middle stays the radius away from
//! every point of the lens, so that what it leaves is the closing of the shape by a disc: the parallel curve outwards
//! by the radius, and from there inwards again. Outlines here are met once by each ray from the boxed centre, and so
//! are their outer parallel curves: no hollow is closed in, and where the wheel bridges one it touches at both ends at
//! once. Between the two lies an unreached stretch, and the wheel's own arc is what is left standing before it.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::error::NotAnOutline;
use crate::outline::Outline;
use crate::point::{Point, Vector};
use crate::root;

/// Hollows in which less is left are none: rounding, not shape. Far below what anything measures.
const LEAST_LEFT_MM: f64 = 1e-6;

/// A station counts as beside the wheel only when it is this far from it, mm: coordinates carry some 1e-14.
const BESIDE_MM: f64 = 1e-10;

/// The wheel touches both ends of a hollow to this, mm.
const TOUCHES_MM: f64 = 1e-11;

/// Newton's steps double their digits; a wheel that has not come to rest after these stands in a hollow barely deeper
/// than itself, where the bridge of the stations, a few micrometres off, is kept.
const MOST_STEPS: u32 = 30;

/// How many stations a touching place may lie from where the stations have it, a degree or so.
const MOST_WALK: usize = 40;

/// A stretch of an outline that a wheel cannot touch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unreached {
    /// Where it begins, anticlockwise: a direction about the boxed centre. The wheel touches there.
    pub from: Angle,
    /// Where it ends. The wheel touches there too.
    pub to: Angle,
    /// The greatest distance left between outline and wheel.
    pub left: Mm,
    /// Where that is on the outline: a direction about the boxed centre.
    pub at: Angle,
    /// Middle of the wheel that touches both ends.
    pub wheel: Point,
}

/// A place where the wheel touches: on the piece after a station, at its parameter.
#[derive(Debug, Clone, Copy)]
struct Touch {
    piece: usize,
    at: f64,
    point: Point,
}

impl Outline {
    /// The stretches that a round wheel of this radius cannot touch from outside, by ascending direction.
    ///
    /// - Convex outlines have none, which takes one look at each station.
    /// - Accuracy: both ends touch to 1e-11 mm and the distance left is as exact. Hollows that fit between two stations
    ///   (half a degree on a formula, the knots of a cubic) and hollows that leave less than 1e-6 mm are passed over.
    ///
    /// # Errors
    /// [`NotAnOutline::NotALength`] unless the radius is positive and finite.
    pub fn unreached(&self, wheel_radius: Mm) -> Result<Vec<Unreached>, NotAnOutline> {
        let radius = wheel_radius.mm();
        if !(radius.is_finite() && radius > 0.0) {
            return Err(NotAnOutline::NotALength { what: "the wheel's radius", given: radius });
        }
        let touched = self.touched_stations(radius);
        let n = self.stations.len();
        let mut found = Vec::new();
        for pair in touched.windows(2) {
            let (i, j) = (pair[0], pair[1]);
            if (j + n - i) % n == 1 {
                continue;
            }
            let bridge = self.bridge(radius, i, j).or_else(|| self.bridge_of_stations(radius, i, j));
            let Some((wheel, from, to)) = bridge else { continue };
            let (away, at) = self.deepest(wheel, from, to);
            let left = away - radius;
            if left >= LEAST_LEFT_MM {
                let direction = |t: f64| self.direction_of(t);
                let (from, to, at) = (direction(from.at), direction(to.at), direction(at));
                found.push(Unreached { from, to, left: Mm::new(left), at, wheel });
            }
        }
        found.sort_by(|a, b| a.from.rad().total_cmp(&b.from.rad()));
        Ok(found)
    }

    /// Stations that the wheel touches, in order of travel, the first one again at the end.
    ///
    /// As hulls are built, with the wheel's arc in the place of the straight edge: a station that lies beside the wheel
    /// which touches its two neighbours is dropped, and those before it are looked at again. Sets out from the station
    /// farthest from the boxed centre, which every wheel touches.
    fn touched_stations(&self, radius: f64) -> Vec<usize> {
        let n = self.stations.len();
        let away = |i: usize| self.stations[i].point.from_origin().length();
        let first = (1..n).fold(0, |best, i| if away(i) > away(best) { i } else { best });
        let mut touched: Vec<usize> = Vec::with_capacity(n + 1);
        for step in 0..=n {
            let next = (first + step) % n;
            let c = self.stations[next].point;
            while let [.., a, b] = touched[..] {
                if !beside_wheel(radius, self.stations[a].point, self.stations[b].point, c) {
                    break;
                }
                touched.pop();
            }
            touched.push(next);
        }
        touched
    }

    /// The wheel that touches the curve near two stations, by Newton's steps on its two distances.
    fn bridge(&self, radius: f64, i: usize, j: usize) -> Option<(Point, Touch, Touch)> {
        let (mut wheel, _) = middle(radius, self.stations[i].point, self.stations[j].point)?;
        for _ in 0..MOST_STEPS {
            let (from, to) = (self.nearest_beside(wheel, i)?, self.nearest_beside(wheel, j)?);
            let (u, v) = (wheel - from.point, wheel - to.point);
            let (du, dv) = (u.length(), v.length());
            let (short_u, short_v) = (radius - du, radius - dv);
            if short_u.abs() <= TOUCHES_MM && short_v.abs() <= TOUCHES_MM {
                let n = self.stations.len();
                let pieces = (to.piece + n - from.piece) % n;
                let in_order = if pieces == 0 { from.at < to.at } else { pieces < n / 2 };
                return in_order.then_some((wheel, from, to));
            }
            // A distance grows along the unit vector from the place that is nearest.
            let (u, v) = (u * (1.0 / du), v * (1.0 / dv));
            let det = u.cross(v);
            if det.abs() < 1e-9 {
                return None;
            }
            let step = Vector::new((short_u * v.y - short_v * u.y) / det, (short_v * u.x - short_u * v.x) / det);
            wheel = wheel + step;
        }
        None
    }

    /// The wheel that touches two stations.
    fn bridge_of_stations(&self, radius: f64, i: usize, j: usize) -> Option<(Point, Touch, Touch)> {
        let (a, b) = (&self.stations[i], &self.stations[j]);
        let (wheel, _) = middle(radius, a.point, b.point)?;
        let touch = |piece: usize| {
            let station = &self.stations[piece];
            Touch { piece, at: station.at, point: station.point }
        };
        Some((wheel, touch(i), touch(j)))
    }

    /// The place nearest to `from` on the curve, found downhill from a station: inside a piece or at a corner.
    fn nearest_beside(&self, from: Point, station: usize) -> Option<Touch> {
        let n = self.stations.len();
        let slopes = |k: usize| {
            let s = &self.stations[k];
            let away = s.point - from;
            (away.dot(s.arriving), away.dot(s.leaving))
        };
        let mut k = station;
        let mut forwards = None;
        for _ in 0..MOST_WALK {
            let (arriving, leaving) = slopes(k);
            if arriving <= 0.0 && leaving >= 0.0 {
                return Some(Touch { piece: k, at: self.stations[k].at, point: self.stations[k].point });
            }
            let ahead = leaving < 0.0;
            if *forwards.get_or_insert(ahead) != ahead || (ahead && arriving > 0.0) {
                return None;
            }
            let next = if ahead { (k + 1) % n } else { (k + n - 1) % n };
            let (piece, downhill, uphill) =
                if ahead { (k, leaving, slopes(next).0) } else { (next, slopes(next).1, arriving) };
            if downhill < 0.0 && uphill > 0.0 {
                let (a, b) = self.piece(piece);
                let slope = |t: f64| {
                    let place = self.curve.polar_within(t, a, b).place(t);
                    (place.point - from).dot(place.first)
                };
                let at = root::between(slope, a, b, downhill, uphill);
                return Some(Touch { piece, at, point: self.curve.polar_within(at, a, b).place(at).point });
            }
            k = next;
        }
        None
    }

    /// Parameters at the ends of the piece after a station.
    fn piece(&self, k: usize) -> (f64, f64) {
        let to = self.stations.get(k + 1).map_or_else(|| self.stations[0].at + TAU, |s| s.at);
        (self.stations[k].at, to)
    }

    /// The greatest distance from a place to the curve between two touches, and the parameter where it is met.
    fn deepest(&self, from: Point, begins: Touch, ends: Touch) -> (f64, f64) {
        let n = self.stations.len();
        let pieces = (ends.piece + n - begins.piece) % n;
        let mut best = (0.0, begins.at);
        for step in 0..=pieces {
            let k = (begins.piece + step) % n;
            let (a, b) = self.piece(k);
            let (first, last) = (step == 0, step == pieces);
            let (start, end) = (if first { begins.at } else { a }, if last { ends.at } else { b });
            // At a touch the distance has its least and no slope to tell where it turns.
            let parts = if first || last { 4 } else { 1 };
            let place = |t: f64| self.curve.polar_within(t, a, b).place(t);
            let slope = |t: f64| {
                let p = place(t);
                (p.point - from).dot(p.first)
            };
            let mut consider = |t: f64| {
                let away = (place(t).point - from).length();
                if away > best.0 {
                    best = (away, t);
                }
            };
            let cut = |i: u32| start + (end - start) * f64::from(i) / f64::from(parts);
            for i in 0..parts {
                let (t, u) = (cut(i), cut(i + 1));
                consider(t);
                let (leaving, arriving) = (slope(t), slope(u));
                if leaving > 0.0 && arriving < 0.0 {
                    consider(root::between(slope, t, u, leaving, arriving));
                }
            }
        }
        best
    }
}

/// Middle of the wheel that touches two places from outside (on the right of the way from `a` to `b`), and how far it
/// stands from their chord; none where they are further apart than the wheel is wide.
fn middle(radius: f64, a: Point, b: Point) -> Option<(Point, f64)> {
    let chord = b - a;
    let half = 0.5 * chord.length();
    if half == 0.0 || half >= radius {
        return None;
    }
    let up = (radius * radius - half * half).sqrt();
    Some((a + chord * 0.5 + chord.clockwise() * (0.5 * up / half), up))
}

/// Whether `b` lies clear of the wheel that touches `a` and `c`, on the lens's side of it.
fn beside_wheel(radius: f64, a: Point, b: Point, c: Point) -> bool {
    let (chord, to) = (c - a, b - a);
    // Outside the chord, or on it.
    if chord.cross(to) <= 0.0 {
        return false;
    }
    let length = chord.length();
    let half = 0.5 * length;
    if half >= radius || length == 0.0 {
        return false;
    }
    let along = to.dot(chord) / length - half;
    let below = chord.cross(to) / length;
    let up = (radius * radius - half * half).sqrt();
    let across = radius * radius - along * along;
    if across <= 0.0 {
        return true;
    }
    // The wheel reaches below the chord by sqrt(R² − along²) − sqrt(R² − half²), written so that it keeps its digits.
    let reaches = (half * half - along * along) / (across.sqrt() + up);
    below > reaches + BESIDE_MM
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::turn;
    use crate::polar_cubic::{Knot, PolarCubic};

    fn mm(v: f64) -> Mm {
        Mm::new(v)
    }

    /// A circle of 26 mm with a notch at the viewer's right: an arc of radius `notch`, `half` wide to each side, bulges
    /// inwards between two corners. Radii and slopes of the knots are exact.
    fn notched(half: f64, notch: f64) -> Outline {
        let middle = (26.0f64 * 26.0 - half * half).sqrt() + (notch * notch - half * half).sqrt();
        let open = libm::asin(half / 26.0);
        // A ray meets the notch's circle about (middle, 0): radius and slope.
        let inside = |t: f64| {
            let (sin, cos) = libm::sincos(t);
            let root = (notch * notch - middle * middle * sin * sin).sqrt();
            (middle * cos - root, -middle * sin + middle * middle * sin * cos / root)
        };
        let mut knots = Vec::new();
        for i in 0..200 {
            let at = -open + 2.0 * open * f64::from(i) / 200.0;
            let (radius, slope) = inside(at);
            knots.push(Knot { at: turn(at), radius, arriving: if i == 0 { 0.0 } else { slope }, leaving: slope });
        }
        knots.push(Knot { at: open, radius: 26.0, arriving: inside(open).1, leaving: 0.0 });
        for i in 1..600 {
            let at = open + (TAU - 2.0 * open) * f64::from(i) / 600.0;
            knots.push(Knot { at, radius: 26.0, arriving: 0.0, leaving: 0.0 });
        }
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        Outline::of_cubic(PolarCubic { knots })
    }

    /// By hand: the chord of both arcs is that of the notch's mouth, and what is left is the difference of the
    /// sagittas.
    #[test]
    fn a_round_notch_keeps_the_difference_of_two_sagittas() {
        let sag = |r: f64, y: f64| r - (r * r - y * y).sqrt();
        for (half, notch, radius) in [(8.0, 12.0, 50.0), (8.0, 12.0, 75.0), (5.0, 30.0, 62.5), (10.0, 40.0, 50.0)] {
            let found = notched(half, notch).unreached(mm(radius)).unwrap();
            assert_eq!(found.len(), 1, "{found:?}");
            let hollow = found[0];
            let want = sag(notch, half) - sag(radius, half);
            // Cubic knots 0.2 degrees apart lie within 1e-8 mm of the arc.
            assert!((hollow.left.mm() - want).abs() < 1e-8, "{} {want}", hollow.left.mm());
            let open = libm::asin(half / 26.0);
            assert!((hollow.to.rad() - open).abs() < 1e-12 && (TAU - hollow.from.rad() - open).abs() < 1e-12);
            let at = hollow.at.rad();
            assert!(at.min(TAU - at) < 1e-6, "{at}");
        }
    }

    #[test]
    fn a_wheel_smaller_than_a_notch_rolls_through_it() {
        for radius in [11.9, 5.0, 0.5] {
            assert!(notched(8.0, 12.0).unreached(mm(radius)).unwrap().is_empty(), "{radius}");
        }
    }

    /// By hand: a square of 40 mm side with a V of 90 degrees in its right side, mouth 10 mm: the wheel rests on the
    /// mouth's two corners, and the point of the V lies 5 mm below their chord.
    #[test]
    fn the_point_of_a_v_lies_farthest_from_the_wheel() {
        let corners =
            [(20.0, -5.0), (15.0, 0.0), (20.0, 5.0), (20.0, 20.0), (-20.0, 20.0), (-20.0, -20.0), (20.0, -20.0)];
        let mut knots = Vec::new();
        let arrives = |(ax, ay): (f64, f64), (bx, by): (f64, f64), (x, y): (f64, f64)| {
            // Slope of radius over angle on the straight line from a to b, at (x, y).
            let (dx, dy) = (bx - ax, by - ay);
            let r = (x * x + y * y).sqrt();
            r * (x * dx + y * dy) / (x * dy - y * dx)
        };
        for i in 0..corners.len() {
            let (a, b, before) = (corners[i], corners[(i + 1) % 7], corners[(i + 6) % 7]);
            for k in 0..100 {
                let share = f64::from(k) / 100.0;
                let (x, y) = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
                let leaving = arrives(a, b, (x, y));
                let arriving = if k == 0 { arrives(before, a, a) } else { leaving };
                knots.push(Knot { at: turn(libm::atan2(y, x)), radius: (x * x + y * y).sqrt(), arriving, leaving });
            }
        }
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        let outline = Outline::of_cubic(PolarCubic { knots });
        for radius in [8.0f64, 50.0] {
            let found = outline.unreached(mm(radius)).unwrap();
            assert_eq!(found.len(), 1, "{found:?}");
            let want = 5.0 - radius + (radius * radius - 25.0).sqrt();
            assert!((found[0].left.mm() - want).abs() < 1e-8, "{found:?} {want}");
            let corner = libm::atan2(5.0, 20.0);
            assert!((found[0].to.rad() - corner).abs() < 1e-9 && (TAU - found[0].from.rad() - corner).abs() < 1e-9);
        }
        // A wheel below 5 sqrt 2 mm sinks into the mouth and rests on the two flanks: sqrt 2 - 1 of its radius stays
        // below it.
        for radius in [4.0, 7.0] {
            let found = outline.unreached(mm(radius)).unwrap();
            assert!((found[0].left.mm() - radius * (2.0f64.sqrt() - 1.0)).abs() < 1e-7, "{found:?}");
        }
    }

    #[test]
    fn convex_outlines_are_reached_all_round() {
        for outline in [
            Outline::circle(mm(25.0)).unwrap(),
            Outline::ellipse(mm(27.0), mm(12.0)).unwrap(),
            Outline::superellipse(mm(27.0), mm(17.0), 10.0).unwrap(),
            Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(5.0)).unwrap(),
            Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(0.0)).unwrap(),
        ] {
            for radius in [1.0, 50.0, 75.0, 1e4] {
                assert!(outline.unreached(mm(radius)).unwrap().is_empty(), "{outline:?} {radius}");
            }
        }
    }

    #[test]
    fn a_wheel_has_a_size() {
        let outline = Outline::circle(mm(25.0)).unwrap();
        for radius in [0.0, -50.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(outline.unreached(mm(radius)), Err(NotAnOutline::NotALength { .. })), "{radius}");
        }
    }
}
