//! Parallel curves.

use core::f64::consts::{PI, TAU};

use units::Mm;

use crate::curve::Curve;
use crate::error::{Hundredths, NotAnOutline};
use crate::outline::Outline;
use crate::point::{Point, Vector, turn};
use crate::polar_cubic::{Knot, PolarCubic};
use crate::root;
use crate::rounded_rectangle::RoundedRectangle;
use crate::stations::Station;
use crate::superellipse::Superellipse;

/// How far the cubic pieces may lie from the true parallel curve, in mm, measured along the ray half way through each.
pub const OFFSET_ACCURACY_MM: f64 = 1e-8;

/// Radii of two branches of the parallel curve that differ by less than this meet.
const MEET_MM: f64 = 1e-6;

/// Turns of a corner below this (radians) have no arc of their own.
const NO_TURN: f64 = 1e-9;

/// A stretch of the raw parallel curve along which the direction from the pole only grows or only shrinks.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    along: Along,
    from: End,
    to: End,
}

#[derive(Debug, Clone, Copy)]
enum Along {
    /// Beside a piece of the curve; the piece is the one between two stations.
    Piece { piece: (f64, f64) },
    /// Round a corner, by the direction of the normal.
    Corner { corner: Point },
}

/// A place of the raw parallel curve: its own parameter and what it looks like from the pole.
#[derive(Debug, Clone, Copy)]
struct End {
    s: f64,
    direction: f64,
    radius: f64,
    slope: f64,
}

/// A cubic piece of the parallel curve seen from the pole, by ascending direction.
#[derive(Debug, Clone, Copy)]
struct Seen {
    from: End,
    to: End,
}

impl Outline {
    /// The parallel curve: every point moved along the normal by `by`, + outwards.
    ///
    /// - Coordinates stay relative to the boxed centre of `self`.
    /// - Corners become arcs outwards and stay corners inwards. Where the curve bends more sharply than the offset
    ///   allows, the loops of the raw parallel curve are cut off where its branches meet, so that no point of the result is
    ///   nearer to `self` than `by`.
    /// - Accuracy: circles and rectangles exact; else within [`OFFSET_ACCURACY_MM`] of the true parallel curve half way
    ///   between knots.
    ///
    /// # Errors
    /// [`NotAnOutline::TooFarIn`] where what is left inside is nothing, is in two, or hides from the boxed centre.
    pub fn offset(&self, by: Mm) -> Result<Self, NotAnOutline> {
        let d = by.mm();
        if !d.is_finite() {
            return Err(NotAnOutline::NotALength { what: "the offset", given: d });
        }
        if d == 0.0 {
            return Ok(self.clone());
        }
        match (self.same_kind(d), d < 0.0) {
            (Some(exact), false) => return exact,
            (Some(exact), true) => {
                if exact.is_ok() {
                    return exact;
                }
            }
            (None, _) => {
                if let Some(outline) = self.parallel(d) {
                    return Ok(outline);
                }
            }
        }
        Err(NotAnOutline::TooFarIn { by: Hundredths(Mm::new(-d)), greatest: Hundredths(self.greatest_inwards(-d)) })
    }

    /// Parallel curves that have a formula of their own.
    fn same_kind(&self, d: f64) -> Option<Result<Self, NotAnOutline>> {
        match self.curve {
            Curve::Superellipse(s) if s.is_circle() => Some(Self::circle(Mm::new(s.a + d))),
            Curve::RoundedRectangle(RoundedRectangle { half_width, half_height, corner }) => {
                let size = |half: f64| Mm::new(2.0 * (half + d));
                Some(Self::rounded_rectangle(size(half_width), size(half_height), Mm::new((corner + d).max(0.0))))
            }
            Curve::Superellipse(Superellipse { .. }) | Curve::Cubic(_) => None,
        }
    }

    /// The greatest offset inwards that has a parallel curve, to 0.01 mm below.
    fn greatest_inwards(&self, beyond: f64) -> Mm {
        let (mut does, mut fails) = (0.0, beyond);
        while fails - does > 0.005 {
            let middle = 0.5 * (does + fails);
            let exists = match self.same_kind(-middle) {
                Some(exact) => exact.is_ok(),
                None => self.parallel(-middle).is_some(),
            };
            if exists {
                does = middle;
            } else {
                fails = middle;
            }
        }
        Mm::new((does * 100.0).floor() / 100.0)
    }

    fn parallel(&self, d: f64) -> Option<Self> {
        // What is left inside must hold the boxed centre, from which it is told.
        if d < 0.0 && self.nearest(Point::ORIGIN).distance.mm() <= -d {
            return None;
        }
        let stretches = self.stretches(d)?;
        let mut seen = Vec::with_capacity(stretches.len());
        if stretches.iter().all(|s| s.to.direction >= s.from.direction) {
            for stretch in &stretches {
                self.cubics(d, stretch, stretch.from, stretch.to, 0, &mut seen);
            }
        } else {
            self.trimmed(d, &stretches, &mut seen)?;
        }
        Some(Self::of_cubic(joined(seen)?))
    }

    /// The raw parallel curve in the order of travel.
    fn stretches(&self, d: f64) -> Option<Vec<Stretch>> {
        let n = self.stations.len();
        let mut stretches = Vec::with_capacity(n + 8);
        for (i, here) in self.stations.iter().enumerate() {
            corner_stretches(here, d, &mut stretches)?;
            let to = self.stations.get(i + 1).map_or_else(|| self.stations[0].at + TAU, |s| s.at);
            let along = Along::Piece { piece: (here.at, to) };
            // The direction from the pole turns back where the curve's centre of curvature is passed.
            let turning = |t: f64| {
                let place = self.curve.polar_within(t, here.at, to).place(t);
                let speed = place.first.length();
                let bend = 1.0 + d * place.first.cross(place.second) / (speed * speed * speed);
                bend * (place.point.from_origin().cross(place.first) / speed + d)
            };
            let (from_sign, to_sign) = (turning(here.at), turning(to));
            if (from_sign < 0.0) == (to_sign < 0.0) {
                stretches.push(self.stretch(d, along, here.at, to)?);
            } else {
                let middle = root::between(turning, here.at, to, from_sign, to_sign);
                stretches.push(self.stretch(d, along, here.at, middle)?);
                stretches.push(self.stretch(d, along, middle, to)?);
            }
        }
        Some(stretches)
    }

    fn stretch(&self, d: f64, along: Along, from: f64, to: f64) -> Option<Stretch> {
        let from = self.end(d, along, from)?;
        let mut to = self.end(d, along, to)?;
        to.direction = beside(to.direction, from.direction);
        Some(Stretch { along, from, to })
    }

    /// None where the parallel curve passes through the pole. Where it runs along a ray its slope is infinite; such a
    /// place may stand in a loop that is cut off, and is refused only where it would stay.
    fn end(&self, d: f64, along: Along, s: f64) -> Option<End> {
        let (point, tangent) = match along {
            Along::Piece { piece: (from, to) } => {
                let place = self.curve.polar_within(s, from, to).place(s);
                let out = place.first.clockwise();
                (place.point + out * (d / out.length()), place.first)
            }
            Along::Corner { corner } => round_corner(corner, d, s),
        };
        let away = point.from_origin();
        let radius = away.length();
        let slope = radius * away.dot(tangent) / away.cross(tangent);
        let direction = libm::atan2(away.y, away.x);
        (radius > 0.0).then_some(End { s, direction, radius, slope })
    }

    /// Cubics along a part of a stretch, halved until each keeps the accuracy.
    fn cubics(&self, d: f64, stretch: &Stretch, from: End, to: End, depth: u32, seen: &mut Vec<Seen>) {
        let width = to.direction - from.direction;
        if width.abs() < 1e-13 {
            return;
        }
        if depth < 10
            && let Some(mut middle) = self.end(d, stretch.along, 0.5 * (from.s + to.s))
        {
            middle.direction = beside(middle.direction, from.direction);
            let guess = hermite(&from, &to, middle.direction);
            if (guess - middle.radius).abs() > OFFSET_ACCURACY_MM {
                self.cubics(d, stretch, from, middle, depth + 1, seen);
                self.cubics(d, stretch, middle, to, depth + 1, seen);
                return;
            }
        }
        let (from, to) = if width > 0.0 { (from, to) } else { (to, from) };
        seen.push(Seen { from, to });
    }

    /// The part of a stretch between two directions.
    fn place_towards(&self, d: f64, stretch: &Stretch, direction: f64) -> Option<End> {
        let (sin, cos) = libm::sincos(direction);
        let ray = Vector::new(cos, sin);
        let aside = |s: f64| match self.end(d, stretch.along, s) {
            Some(end) => {
                let (sin, cos) = libm::sincos(end.direction);
                ray.cross(Vector::new(cos, sin)) * end.radius
            }
            None => 0.0,
        };
        let (from, to) = (stretch.from.s, stretch.to.s);
        let (at_from, at_to) = (aside(from), aside(to));
        let s = if (at_from < 0.0) == (at_to < 0.0) {
            if at_from.abs() <= at_to.abs() { from } else { to }
        } else {
            root::between(aside, from, to, at_from, at_to)
        };
        let mut end = self.end(d, stretch.along, s)?;
        end.direction = direction;
        Some(end)
    }

    /// Cuts the loops off: on each ray from the pole the raw parallel curve may be met several times; the nearest
    /// meeting counts inwards, the farthest outwards.
    fn trimmed(&self, d: f64, stretches: &[Stretch], seen: &mut Vec<Seen>) -> Option<()> {
        let mut directions: Vec<f64> =
            stretches.iter().flat_map(|s| [turn(s.from.direction), turn(s.to.direction)]).collect();
        directions.sort_by(f64::total_cmp);
        directions.dedup_by(|b, a| *b - *a < 1e-13);
        let first = *directions.first()?;
        directions.push(first + TAU);
        for pair in directions.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            if to - from < 1e-13 {
                continue;
            }
            let middle = 0.5 * (from + to);
            let across: Vec<&Stretch> = stretches.iter().filter(|s| covers(s, middle)).collect();
            let at = |direction: f64| -> Option<Vec<End>> {
                across.iter().map(|s| self.place_towards(d, s, direction)).collect()
            };
            let wins = |ends: &[End], favoured: Option<usize>| {
                let key = |e: &End| if d < 0.0 { e.radius } else { -e.radius };
                let best = (0..ends.len()).min_by(|&a, &b| key(&ends[a]).total_cmp(&key(&ends[b])))?;
                Some(favoured.filter(|&f| key(&ends[f]) - key(&ends[best]) < 1e-10).unwrap_or(best))
            };
            let winner = wins(&at(middle)?, None)?;
            let mut cut = vec![(from, wins(&at(from)?, Some(winner))?)];
            cut.push((middle, winner));
            cut.push((to, wins(&at(to)?, Some(winner))?));
            for pair in cut.windows(2) {
                let ((a, first), (b, second)) = (pair[0], pair[1]);
                let mut part = |i: usize, a: f64, b: f64| {
                    let ends = (self.place_towards(d, across[i], a), self.place_towards(d, across[i], b));
                    if let (Some(from), Some(to)) = ends {
                        self.cubics(d, across[i], from, to, 0, seen);
                    }
                };
                if first == second {
                    part(first, a, b);
                    continue;
                }
                let apart = |t: f64| match (
                    self.place_towards(d, across[first], t),
                    self.place_towards(d, across[second], t),
                ) {
                    (Some(x), Some(y)) => x.radius - y.radius,
                    _ => 0.0,
                };
                let meet = root::between(apart, a, b, apart(a), apart(b));
                part(first, a, meet);
                part(second, meet, b);
            }
        }
        Some(())
    }
}

/// The parallel curve of a corner: an arc about it, from the normal of arriving to that of leaving.
fn corner_stretches(station: &Station, d: f64, stretches: &mut Vec<Stretch>) -> Option<()> {
    let (before, after) = (station.arriving.clockwise(), station.leaving.clockwise());
    let turning = libm::atan2(before.cross(after), before.dot(after));
    if turning.abs() < NO_TURN {
        return Some(());
    }
    let from = libm::atan2(before.y, before.x);
    // Pieces of at most a tenth of a radian, so that the direction from the pole turns back at most between them.
    let pieces = (turning.abs() / 0.1).ceil();
    let mut piece = 0.0;
    while piece < pieces {
        let end = |i: f64| {
            let s = from + turning * i / pieces;
            let (point, tangent) = round_corner(station.point, d, s);
            let away = point.from_origin();
            let radius = away.length();
            let slope = radius * away.dot(tangent) / away.cross(tangent);
            let direction = libm::atan2(away.y, away.x);
            (radius > 0.0).then_some(End { s, direction, radius, slope })
        };
        let start = end(piece)?;
        let mut stop = end(piece + 1.0)?;
        stop.direction = beside(stop.direction, start.direction);
        stretches.push(Stretch { along: Along::Corner { corner: station.point }, from: start, to: stop });
        piece += 1.0;
    }
    Some(())
}

/// Place and direction of travel on the arc about a corner, where the normal has the direction `s`.
fn round_corner(corner: Point, d: f64, s: f64) -> (Point, Vector) {
    let (sin, cos) = libm::sincos(s);
    (corner + Vector::new(cos, sin) * d, Vector::new(-sin, cos))
}

/// A direction written within half a turn of another one.
fn beside(direction: f64, other: f64) -> f64 {
    let mut apart = direction - other;
    while apart > PI {
        apart -= TAU;
    }
    while apart < -PI {
        apart += TAU;
    }
    other + apart
}

fn covers(stretch: &Stretch, direction: f64) -> bool {
    let (a, b) = (stretch.from.direction, stretch.to.direction);
    let (low, high) = (a.min(b), a.max(b));
    let direction = beside(direction, 0.5 * (low + high));
    low < direction && direction < high
}

fn hermite(from: &End, to: &End, direction: f64) -> f64 {
    let width = to.direction - from.direction;
    let u = (direction - from.direction) / width;
    let v = 1.0 - u;
    from.radius * v * v * (1.0 + 2.0 * u)
        + to.radius * u * u * (1.0 + 2.0 * v)
        + width * u * v * (from.slope * v - to.slope * u)
}

/// Knots of the pieces in the order of their directions; none where they do not make one closed curve.
fn joined(mut seen: Vec<Seen>) -> Option<PolarCubic> {
    for piece in &mut seen {
        let start = turn(piece.from.direction);
        piece.to.direction += start - piece.from.direction;
        piece.from.direction = start;
    }
    seen.sort_by(|a, b| a.from.direction.total_cmp(&b.from.direction));
    let mut knots = Vec::with_capacity(seen.len());
    for (i, piece) in seen.iter().enumerate() {
        let before = if i == 0 { seen.last()? } else { &seen[i - 1] };
        let met = (beside(before.to.direction, piece.from.direction) - piece.from.direction).abs() < 1e-9;
        if !met || (before.to.radius - piece.from.radius).abs() > MEET_MM {
            return None;
        }
        if !(before.to.slope.is_finite() && piece.from.slope.is_finite()) {
            return None;
        }
        // Slopes that differ by rounding only are one slope.
        let (arriving, leaving) = (before.to.slope, piece.from.slope);
        let (arriving, leaving) = if (arriving - leaving).abs() < 1e-9 * piece.from.radius {
            (leaving, leaving)
        } else {
            (arriving, leaving)
        };
        knots.push(Knot { at: piece.from.direction, radius: piece.from.radius, arriving, leaving });
    }
    (knots.len() > 2).then_some(PolarCubic { knots })
}
