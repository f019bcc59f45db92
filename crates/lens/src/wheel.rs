//! How much a wheel lowers a V bevel where the edge runs steeply.
//!
//! The model. The wheel turns about an axis parallel to the cutting axis. Its V groove is the bevel's negative: at the
//! groove's bottom its radius is R, and with the distance |d| along the axis from there it grows by |d| cot(A/2), A the
//! bevel's included angle, up to the bevel's height h. It runs once round the cut outline: touching it at s', its
//! middle stands R out on the normal there, the bottom of its groove at the depth a(s') of the apex. What is left of
//! the lens is what no place of the wheel has cut. At s the apex is thus lowered by the greatest, over all s', of
//!
//!   R + min(|a(s) - a(s')| cot(A/2), h) - |C(s') - P(s)|,    C(s') = P(s') + R n(s'),
//!
//! which is 0 for s' = s: how far inside the wheel the apex point of s lies when the wheel stands at s'.
//!
//! Beside a straight edge where the apex has the slope m that is R (1 - sqrt(1 - k²)) with k = m cot(A/2), about
//! m² R cot²(A/2)/2, as long as it is reached below the height. Where the edge bulges with radius r it is less, as if
//! the wheel were smaller: 1/R + 1/r in the place of 1/R. Both flanks move inwards as much as the apex does, so that
//! the bevel is thinner by twice the lowering times tan(A/2) at every height.
//!
//! The outline is taken as one that the wheel reaches all round (see [`outline::Outline::unreached`]), so that no place
//! of it cuts into the outline itself: a distance |C - P| counts as R at least.

use outline::{Point, Vector};
use units::{Angle, Mm};

/// Less than this is rounding of what lies between two places, and counts as nothing.
const NOTHING_MM: f64 = 1e-6;

/// One place round the cut outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgePlace {
    /// Where it is.
    pub at: Point,
    /// Unit normal, out of the lens.
    pub normal: Vector,
    /// Depth of the apex there, along the cutting axis.
    pub apex_depth: Mm,
}

/// The wheel that cuts a bevel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BevelWheel {
    /// Radius at the bottom of its groove, where it is least.
    pub radius: Mm,
    /// Included angle of the groove, and of the bevel.
    pub angle: Angle,
    /// Height of the bevel, and depth of the groove.
    pub height: Mm,
}

/// How much the apex is lowered at each place, mm, never below 0.
///
/// - `line` runs anticlockwise once round, closed from its last place to its first.
/// - Between two places the square of the wheel's distance and the apex depth are cubics, with the slopes that normals
///   and neighbours tell: good to 1e-5 mm with 400 places on an ellipse, and to 0.02 mm on edges so steep that 0.6 mm
///   is taken, beside a place where the curvature jumps. At a corner, where the outline turns by more than 30 degrees
///   from one place to the next, only the places themselves count.
/// - A wheel of no size, an angle or height of none, or fewer than three places lower nothing.
#[must_use]
pub fn bevel_lowered(line: &[EdgePlace], wheel: &BevelWheel) -> Vec<Mm> {
    let (radius, height) = (wheel.radius.mm(), wheel.height.mm());
    let half = 0.5 * wheel.angle.rad();
    let per_depth = libm::cos(half) / libm::sin(half);
    if line.len() < 3 || !(radius > 0.0 && height > 0.0 && per_depth > 0.0) {
        return vec![Mm::ZERO; line.len()];
    }
    let run = Run::new(line, radius, height, per_depth);
    let rounded = |by: f64| if by < NOTHING_MM { Mm::ZERO } else { Mm::new(by) };
    run.lowered().into_iter().map(rounded).collect()
}

/// The place that is lowered most: how much, and its direction about the boxed centre; none where nothing is lowered.
#[must_use]
pub fn most_lowered(line: &[EdgePlace], lowered: &[Mm]) -> Option<(Mm, Angle)> {
    let mut most: Option<(Mm, Angle)> = None;
    for (place, &by) in line.iter().zip(lowered) {
        if by > most.map_or(Mm::ZERO, |(most, _)| most) {
            most = Some((by, place.at.direction()));
        }
    }
    most
}

/// The wheel on its way round.
struct Run<'a> {
    line: &'a [EdgePlace],
    steps: Vec<Step>,
    /// Of the wheel's middle.
    x: Vec<f64>,
    y: Vec<f64>,
    /// Of the apex, per mm along the outline.
    slope: Vec<f64>,
    radius: f64,
    height: f64,
    per_depth: f64,
}

/// From one place to the next.
struct Step {
    /// Along the outline.
    along: f64,
    /// The way of the wheel's middle, as it leaves the one place and as it arrives at the other: + forwards there.
    leaving: f64,
    arriving: f64,
    /// Whether the outline turns so little that what lies between can be told.
    smooth: bool,
}

/// Speeds of the wheel's middle on two steps whose difference is less than this share of their sum belong to one curve.
const EVENLY: f64 = 0.15;

/// Steps from the top of a parabola to that of what it follows; each leaves a small share of the way.
const TO_THE_TOP: usize = 3;
/// A top so near to the parabola's, as a share of the step, is the same one.
const NEAR: f64 = 0.02;

/// Turns beyond 30 degrees from one place to the next are corners: cosine.
const CORNER_COS: f64 = 0.866;

impl<'a> Run<'a> {
    fn new(line: &'a [EdgePlace], radius: f64, height: f64, per_depth: f64) -> Self {
        let n = line.len();
        let x: Vec<f64> = line.iter().map(|p| p.at.x + radius * p.normal.x).collect();
        let y: Vec<f64> = line.iter().map(|p| p.at.y + radius * p.normal.y).collect();
        // Each step along the outline, and the way of the wheel's middle with it, + forwards.
        let step = |i: usize| {
            let (_, j) = beside(i, n);
            let (here, next) = (&line[i], &line[j]);
            let turn = (next.normal + here.normal * -1.0).length();
            // An arc over its chord, to the fourth power of the turn.
            let arc = 1.0 + turn * turn / 24.0;
            let moved = Vector::new(x[j] - x[i], y[j] - y[i]);
            let way = (moved.length() * arc).copysign(moved.dot(ahead(here) + ahead(next)));
            let smooth = here.normal.dot(next.normal) > CORNER_COS;
            Step { along: here.at.distance_to(next.at) * arc, leaving: way, arriving: way, smooth }
        };
        let mut steps: Vec<Step> = (0..n).map(step).collect();
        // The speed of the middle at each place, per mm along the outline. Where it changes evenly that is between the
        // speeds of the two steps; where it jumps, as from a side to a corner's arc, a step that has its like on its
        // far side keeps its own, and one that has the jump inside itself takes that of its neighbour.
        let speed: Vec<f64> = steps.iter().map(|s| s.leaving / s.along).collect();
        let even = |i: usize, j: usize| (speed[i] - speed[j]).abs() < EVENLY * (speed[i] + speed[j]).abs();
        for i in 0..n {
            let (before, after) = beside(i, n);
            let (back, on) = (steps[before].along, steps[i].along);
            let between = (speed[before] * on + speed[i] * back) / (back + on);
            let (arriving, leaving) = match (even(before, i), even(beside(before, n).0, before), even(i, after)) {
                (true, _, _) | (false, false, false) => (between, between),
                (false, true, true) => (speed[before], speed[i]),
                (false, true, false) => (speed[before], speed[before]),
                (false, false, true) => (speed[i], speed[i]),
            };
            if arriving.is_finite() && leaving.is_finite() {
                steps[before].arriving = arriving * back;
                steps[i].leaving = leaving * on;
            }
        }
        // From the parabola through three places, whatever their distances.
        let slope = |i: usize| {
            let (before, after) = beside(i, n);
            let (back, on) = (steps[before].along, steps[i].along);
            let rise = |a: usize, b: usize| (line[b].apex_depth - line[a].apex_depth).mm();
            let slope = (rise(before, i) / back * on + rise(i, after) / on * back) / (back + on);
            if slope.is_finite() { slope } else { 0.0 }
        };
        let slope = (0..n).map(slope).collect();
        Self { line, steps, x, y, slope, radius, height, per_depth }
    }

    /// From the apex point of `i` to the wheel's middle at `j`.
    fn away(&self, i: usize, j: usize) -> Vector {
        Vector::new(self.x[j] - self.line[i].at.x, self.y[j] - self.line[i].at.y)
    }

    /// How much each place is lowered.
    fn lowered(&self) -> Vec<f64> {
        let n = self.line.len();
        let reach = self.radius + self.height;
        let depth: Vec<f64> = self.line.iter().map(|p| p.apex_depth.mm()).collect();
        let (mut squares, mut inside) = (vec![0.0; n], vec![f64::NEG_INFINITY; n]);
        let mut near: Vec<usize> = Vec::with_capacity(n);
        let mut all = Vec::with_capacity(n);
        for i in 0..n {
            // Everywhere, though few are near: a hollow may bring the far side of it near again, and this loop is
            // short.
            let at = self.line[i].at;
            for ((square, x), y) in squares.iter_mut().zip(&self.x).zip(&self.y) {
                let (dx, dy) = (x - at.x, y - at.y);
                *square = dx * dx + dy * dy;
            }
            for &j in &near {
                inside[j] = f64::NEG_INFINITY;
            }
            near.clear();
            for (j, &square) in squares.iter().enumerate() {
                if square < reach * reach {
                    let flank = ((depth[i] - depth[j]).abs() * self.per_depth).min(self.height);
                    inside[j] = self.radius + flank - square.sqrt().max(self.radius);
                    near.push(j);
                }
            }
            // The wheel at the place itself takes nothing off it; there the two flanks part.
            let (before, _) = beside(i, n);
            let mut most = self.between(i, i, self.between(i, before, 0.0));
            for &j in &near {
                let (before, after) = beside(j, n);
                if inside[j] > -self.height && inside[j] >= inside[before] && inside[j] >= inside[after] {
                    most = self.between(i, j, self.between(i, before, most.max(inside[j])));
                }
            }
            all.push(most);
        }
        all
    }

    /// The greatest while the wheel goes from place `j` to the next, and what was greatest before.
    ///
    /// The square of the distance and the depth are cubics with the slopes that they have at both places. Where one
    /// flank or the height has the say, the top is sought from that of a parabola; how high it is comes from the cubics.
    fn between(&self, i: usize, j: usize, most: f64) -> f64 {
        let step = &self.steps[j];
        if !step.smooth {
            return most;
        }
        let (_, next) = beside(j, self.line.len());
        let (from, to) = (self.away(i, j), self.away(i, next));
        let square = Cubic::new(
            [from.dot(from), to.dot(to)],
            [
                2.0 * from.dot(ahead(&self.line[j])) * step.leaving,
                2.0 * to.dot(ahead(&self.line[next])) * step.arriving,
            ],
        );
        let own = self.line[i].apex_depth;
        let flank = Cubic::new(
            [j, next].map(|k| (self.line[k].apex_depth - own).mm() * self.per_depth),
            [j, next].map(|k| self.slope[k] * step.along * self.per_depth),
        );
        let halves = [0.0, 0.5, 1.0];
        let (away, risen) = (halves.map(|u| square.at(u).sqrt()), halves.map(|u| flank.at(u)));
        let mut most = most;
        let mut consider = |u: f64| {
            if (0.0..=1.0).contains(&u) {
                let stands = flank.at(u).abs().min(self.height);
                most = f64::max(most, self.radius + stands - square.at(u).sqrt().max(self.radius));
            }
        };
        for side in [-1.0, 0.0, 1.0] {
            let [_, b, a] = parabola([0, 1, 2].map(|k| side * risen[k] - away[k]));
            if a < 0.0 {
                // Where the parabola is near, the cubics' own top is met in a few steps, so that no other place stands higher;
                // where a corner begins within the step it is not, and the parabola knows better.
                let of_parabola = -0.5 * b / a;
                let mut top = of_parabola;
                for _ in 0..TO_THE_TOP {
                    if (0.0..=1.0).contains(&top) {
                        let climbs = side * flank.slope_at(top) - square.slope_at(top) / (2.0 * square.at(top).sqrt());
                        top -= 0.5 * climbs / a;
                    }
                }
                consider(if (top - of_parabola).abs() < NEAR { top } else { of_parabola });
            }
        }
        // Where a flank has risen to the height.
        let [c, b, a] = parabola(risen);
        for height in [-self.height, self.height] {
            let c = c - height;
            let root = b * b - 4.0 * a * c;
            if root >= 0.0 {
                let q = -0.5 * (b + root.sqrt().copysign(b));
                if q != 0.0 {
                    consider(c / q);
                }
                if a != 0.0 {
                    consider(q / a);
                }
            }
        }
        most
    }
}

/// A cubic from 0 to 1.
struct Cubic {
    from: f64,
    slope: f64,
    second: f64,
    third: f64,
}

impl Cubic {
    /// By the values and the slopes at its ends.
    fn new([from, to]: [f64; 2], [leaving, arriving]: [f64; 2]) -> Self {
        let rise = to - from;
        Self {
            from,
            slope: leaving,
            second: 3.0 * rise - 2.0 * leaving - arriving,
            third: leaving + arriving - 2.0 * rise,
        }
    }

    fn slope_at(&self, u: f64) -> f64 {
        self.slope + u * (2.0 * self.second + 3.0 * u * self.third)
    }

    fn at(&self, u: f64) -> f64 {
        self.from + u * (self.slope + u * (self.second + u * self.third))
    }
}

/// The parabola with these values at 0, 1/2 and 1: constant, slope, half the bend.
fn parabola([from, middle, to]: [f64; 3]) -> [f64; 3] {
    [from, 4.0 * middle - 3.0 * from - to, 2.0 * (from + to) - 4.0 * middle]
}

/// The direction of travel, anticlockwise round.
fn ahead(place: &EdgePlace) -> Vector {
    Vector::new(-place.normal.y, place.normal.x)
}

/// The places before and after one of a ring.
fn beside(j: usize, n: usize) -> (usize, usize) {
    (if j == 0 { n - 1 } else { j - 1 }, if j + 1 == n { 0 } else { j + 1 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::f64::consts::TAU;
    use outline::Outline;
    use proptest::prelude::*;

    fn wheel(radius: f64, angle_deg: f64, height: f64) -> BevelWheel {
        BevelWheel { radius: Mm::new(radius), angle: Angle::from_deg(angle_deg), height: Mm::new(height) }
    }

    /// Places of an ellipse at even eccentric angles, the apex depth by that angle.
    fn ellipse(n: u32, a: f64, b: f64, depth: impl Fn(f64) -> f64) -> Vec<EdgePlace> {
        let place = |i: u32| {
            let t = f64::from(i) * TAU / f64::from(n);
            let (sin, cos) = libm::sincos(t);
            let length = (b * b * cos * cos + a * a * sin * sin).sqrt();
            EdgePlace {
                at: Point::new(a * cos, b * sin),
                normal: Vector::new(b * cos / length, a * sin / length),
                apex_depth: Mm::new(depth(t)),
            }
        };
        (0..n).map(place).collect()
    }

    fn most(lowered: &[Mm]) -> f64 {
        lowered.iter().map(|l| l.mm()).fold(0.0, f64::max)
    }

    /// `reference/outline/wheel.py`: the same model, its maximum over continuous places by another program. Ours knows
    /// 400 places, and the cubics between them leave up to 6e-6 mm where the depth has three waves of 4 mm.
    #[test]
    fn an_ellipse_meets_a_continuous_search() {
        let text = include_str!("../../../reference/outline/lowered.csv");
        let mut rows = 0;
        for row in text.lines().skip(1) {
            let n: Vec<f64> = row.split(',').map(|t| t.parse().unwrap()).collect();
            let line = ellipse(400, n[0], n[1], |t| n[2] * libm::sin(n[3] * t + n[4]));
            let lowered = bevel_lowered(&line, &wheel(n[5], n[6], n[7]))[n[8] as usize].mm();
            assert!((lowered - n[9]).abs() < 1e-5, "{row} {lowered}");
            rows += 1;
        }
        assert_eq!(rows, 64);
    }

    /// By hand, on one side of a rectangle of 200 x 40 mm. With k = m cot(A/2) the wheel bites deepest from R k/sqrt(1
    /// - k²) away and by R (1 - sqrt(1 - k²)); where k times that way is over the height, by R + h - sqrt(R² + (h/k)²).
    #[test]
    fn a_straight_edge_is_lowered_by_the_closed_form() {
        let line = |slope: f64| {
            let (corners, steps) =
                ([(-100.0, -20.0), (100.0, -20.0), (100.0, 20.0), (-100.0, 20.0)], [500, 100, 500, 100]);
            let mut line = Vec::new();
            for side in 0..4 {
                let ((x, y), (x2, y2)) = (corners[side], corners[(side + 1) % 4]);
                let along = Vector::new(x2 - x, y2 - y);
                for step in 0..steps[side] {
                    let at = Point::new(x, y) + along * ((f64::from(step) + 0.5) / f64::from(steps[side]));
                    let normal = along.clockwise() * (1.0 / along.length());
                    line.push(EdgePlace { at, normal, apex_depth: Mm::new(slope * at.x) });
                }
            }
            line
        };
        for (slope, radius, height) in [
            (0.05f64, 50.0f64, 0.7f64),
            (0.1, 50.0, 0.7),
            (-0.2, 50.0, 0.9),
            (0.3, 75.0, 0.7),
            (-0.3, 10.0, 5.0),
            (0.02, 50.0, 0.7),
            (0.001, 50.0, 0.7),
        ] {
            let k = slope.abs() / libm::tan(57.5f64.to_radians());
            let way = radius * k / (1.0 - k * k).sqrt();
            let want = if k * way < height {
                radius * (1.0 - (1.0 - k * k).sqrt())
            } else {
                radius + height - (radius * radius + height * height / (k * k)).sqrt()
            };
            let lowered = bevel_lowered(&line(slope), &wheel(radius, 115.0, height));
            for i in [200, 250, 333, 860] {
                assert!((lowered[i].mm() - want).abs() < 1e-7, "{slope} {radius}: {} {want}", lowered[i].mm());
            }
            // The small slope's rule of thumb.
            if slope.abs() < 0.03 {
                assert!((want - 0.5 * k * k * radius).abs() < 1e-3 * want);
            }
        }
    }

    #[test]
    fn the_place_lowered_most_is_on_the_steepest_edge() {
        let line = ellipse(400, 25.0, 25.0, |t| 0.5 * libm::sin(t) + 0.4 * libm::sin(2.0 * t));
        let lowered = bevel_lowered(&line, &wheel(50.0, 115.0, 0.7));
        let (by, at) = most_lowered(&line, &lowered).unwrap();
        // The slope is 0.5 cos t + 0.8 cos 2t over the radius, greatest at 0.
        assert!(by.mm() == most(&lowered) && at.rad().min(TAU - at.rad()) < 0.1, "{by:?} {at:?}");
        assert_eq!(most_lowered(&line, &[Mm::ZERO; 400]), None);
    }

    /// A flat line on shapes whose curvature jumps, and on sharp corners.
    #[test]
    fn a_flat_apex_line_on_corners_is_lowered_by_nothing() {
        for corner in [0.0, 1.0, 3.0, 12.0] {
            let shape = Outline::rounded_rectangle(Mm::new(52.0), Mm::new(33.0), Mm::new(corner)).unwrap();
            for n in [90, 360, 720] {
                let places = shape.places(n);
                let line: Vec<EdgePlace> = (0..n)
                    .map(|i| EdgePlace { at: places.at(i), normal: places.normal[i], apex_depth: Mm::new(1.0) })
                    .collect();
                for radius in [10.0, 50.0, 75.0] {
                    let lowered = most(&bevel_lowered(&line, &wheel(radius, 115.0, 0.7)));
                    assert!(lowered == 0.0, "{corner} {n} {radius}: {lowered}");
                }
            }
        }
    }

    /// 400 places against 8000, where what lies between two hardly matters: on a bowl that leans, so steep that half a
    /// millimetre is taken off the apex.
    #[test]
    fn finer_places_say_the_same() {
        let mm = Mm::new;
        // A jump of curvature somewhere between two places, as at the ends of a corner's arc, is not told by them.
        for (shape, within) in [
            (Outline::superellipse(mm(27.0), mm(17.0), 2.6), 2e-4),
            (Outline::superellipse(mm(27.0), mm(17.0), 4.0), 2e-5),
            (Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(17.0)), 0.004),
            (Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(10.0)), 0.003),
            (Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(5.0)), 0.015),
            (Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(3.0)), 0.025),
        ] {
            let shape = shape.unwrap();
            let lowered = |n: usize| {
                let places = shape.places(n);
                let place = |i: usize| {
                    let at = places.at(i);
                    let depth = (at.x * at.x + at.y * at.y) / 150.0 + 0.1 * at.x;
                    EdgePlace { at, normal: places.normal[i], apex_depth: mm(depth) }
                };
                bevel_lowered(&(0..n).map(place).collect::<Vec<_>>(), &wheel(50.0, 115.0, 0.7))
            };
            let (coarse, fine) = (lowered(400), lowered(8000));
            let worst = (0..400).map(|i| (coarse[i] - fine[20 * i]).abs().mm()).fold(0.0, f64::max);
            assert!(worst < within, "{shape:?} {worst} of {}", most(&fine));
        }
    }

    #[test]
    fn no_wheel_and_no_bevel_lower_nothing() {
        let line = ellipse(100, 25.0, 20.0, libm::sin);
        for w in [wheel(0.0, 115.0, 0.7), wheel(50.0, 180.0, 0.0), wheel(50.0, 0.0, 0.0), wheel(f64::NAN, 115.0, 0.7)] {
            assert!(bevel_lowered(&line, &w).iter().all(|l| *l == Mm::ZERO), "{w:?}");
        }
        assert_eq!(bevel_lowered(&line[..2], &wheel(50.0, 115.0, 0.7)), [Mm::ZERO; 2]);
    }

    /// Depths of a few waves on an ellipse.
    fn wavy() -> impl Strategy<Value = Vec<EdgePlace>> {
        let waves = prop::collection::vec((0.0..1.5f64, 0.0..TAU), 3);
        (18.0..30.0f64, 14.0..24.0f64, waves).prop_map(|(a, b, waves)| {
            ellipse(360, a, b, |t| {
                waves
                    .iter()
                    .enumerate()
                    .fold(0.0, |d, (k, (size, phase))| d + size * libm::sin((k as f64 + 1.0) * t + phase))
            })
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_flat_apex_line_is_lowered_by_nothing(
            a in 15.0..30.0f64, b in 15.0..30.0f64, depth in -3.0..3.0f64, radius in 5.0..90.0f64,
        ) {
            let lowered = bevel_lowered(&ellipse(360, a, b, |_| depth), &wheel(radius, 115.0, 0.7));
            prop_assert!(most(&lowered) == 0.0, "{}", most(&lowered));
        }

        #[test]
        fn a_leaning_line_is_lowered_less_than_its_height(line in wavy(), radius in 5.0..90.0f64) {
            for l in bevel_lowered(&line, &wheel(radius, 115.0, 0.7)) {
                prop_assert!(l.mm() >= 0.0 && l.mm() <= 0.7);
            }
        }

        #[test]
        fn mirrored_gives_mirrored(line in wavy(), radius in 5.0..90.0f64) {
            let mirror = |p: &EdgePlace| EdgePlace {
                at: Point::new(-p.at.x, p.at.y),
                normal: Vector::new(-p.normal.x, p.normal.y),
                apex_depth: -p.apex_depth,
            };
            let mirrored: Vec<EdgePlace> = line.iter().rev().map(mirror).collect();
            let here = bevel_lowered(&line, &wheel(radius, 115.0, 0.7));
            let there = bevel_lowered(&mirrored, &wheel(radius, 115.0, 0.7));
            for (a, b) in here.iter().zip(there.iter().rev()) {
                prop_assert!((*a - *b).abs().mm() < 1e-10);
            }
        }

        /// For each place of the wheel, growing it about the place it touches only takes more.
        #[test]
        fn a_larger_wheel_never_lowers_less(line in wavy(), radius in 5.0..60.0f64, more in 1.0..2.0f64) {
            let small = bevel_lowered(&line, &wheel(radius, 115.0, 0.7));
            let large = bevel_lowered(&line, &wheel(radius * more, 115.0, 0.7));
            for (s, l) in small.iter().zip(&large) {
                // What lies between two places is good to some 1e-5 mm.
                prop_assert!(l.mm() >= s.mm() - 2e-5, "{s:?} {l:?}");
            }
        }

        #[test]
        fn a_higher_bevel_is_never_lowered_less(line in wavy(), radius in 5.0..90.0f64, more in 1.0..2.0f64) {
            let low = bevel_lowered(&line, &wheel(radius, 115.0, 0.5));
            let high = bevel_lowered(&line, &wheel(radius, 115.0, 0.5 * more));
            for (s, l) in low.iter().zip(&high) {
                prop_assert!(l.mm() >= s.mm() - 1e-12, "{s:?} {l:?}");
            }
        }
    }
}
