//! Places all round an outline at even directions, counted from straight up, with the length between them.

use core::f64::consts::{FRAC_PI_2, TAU};

use units::Mm;

use crate::outline::Outline;
use crate::point::{Point, Vector, turn};

/// Places round an outline at even directions from the boxed centre, anticlockwise from 90 degrees: lines in space along the
/// outline are told by a depth at each.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    /// Directions from the boxed centre, radians, in [0, 2 pi).
    pub t: Vec<f64>,
    /// The places, mm from the boxed centre: to the viewer's right.
    pub x: Vec<f64>,
    /// Up.
    pub y: Vec<f64>,
    /// Unit normals, out of the lens.
    pub normal: Vec<Vector>,
    /// Length along the outline from each place to the next, mm, flat.
    pub step: Vec<f64>,
}

impl Outline {
    /// `n` places (at least 12) at even directions.
    ///
    /// The length from place to place is that of the arc that leaves the chord as the tangents do; where a corner lies
    /// between, it is integrated. Added up they are the circumference to 1e-6 mm at 720 places.
    #[must_use]
    pub fn places(&self, n: usize) -> Places {
        let n = n.max(12);
        let mut places = Places {
            t: (0..n).map(|i| turn(FRAC_PI_2 + i as f64 * (TAU / n as f64))).collect(),
            x: Vec::with_capacity(n),
            y: Vec::with_capacity(n),
            normal: Vec::with_capacity(n),
            step: Vec::with_capacity(n),
        };
        let mut ahead = Vec::with_capacity(n);
        for &t in &places.t {
            let (point, first) = self.point_and_derivative(t);
            places.x.push(point.x);
            places.y.push(point.y);
            let along = first * (1.0 / first.length());
            ahead.push(along);
            places.normal.push(along.clockwise());
        }
        for i in 0..n {
            let next = (i + 1) % n;
            let chord = places.at(next) - places.at(i);
            let length = chord.length();
            // 2 sin(turn/2), from the tangents: (turn/2)/sin(turn/2) is 1 + s²/24 + 3 s⁴/640.
            let s = (ahead[next] + ahead[i] * -1.0).length();
            places.step.push(length * (1.0 + s * s / 24.0 + 3.0 * s * s * s * s / 640.0));
        }
        if !self.corners().is_empty() {
            let lengths = self.lengths();
            let whole = lengths.circumference().mm();
            for &corner in self.corners() {
                // The two steps that a corner touches.
                let from = (turn(corner - FRAC_PI_2) / (TAU / n as f64)) as usize % n;
                for i in [(from + n - 1) % n, from, (from + 1) % n] {
                    let (a, b) = (places.t[i], places.t[(i + 1) % n]);
                    let length = (lengths.up_to(b) - lengths.up_to(a)).mm();
                    places.step[i] = if length < 0.0 { length + whole } else { length };
                }
            }
        }
        places
    }
}

impl Places {
    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.t.len()
    }

    /// Never: there are at least 12.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.t.is_empty()
    }

    /// One place in so many, with the length between those; the count must be a multiple.
    #[must_use]
    pub fn every(&self, every: usize) -> Self {
        Self {
            t: self.t.iter().step_by(every).copied().collect(),
            x: self.x.iter().step_by(every).copied().collect(),
            y: self.y.iter().step_by(every).copied().collect(),
            normal: self.normal.iter().step_by(every).copied().collect(),
            step: self.step.chunks(every).map(|steps| steps.iter().sum()).collect(),
        }
    }

    /// The places moved out along their normals, as a parallel curve has them; each step grows by the turn of the outline
    /// over it. Directions stay those of the places they came from.
    #[must_use]
    pub fn moved_out(&self, by: Mm) -> Self {
        let n = self.len();
        let by = by.mm();
        let turn = |i: usize| {
            let (from, to) = (self.normal[i], self.normal[(i + 1) % n]);
            libm::atan2(from.cross(to), from.dot(to))
        };
        Self {
            x: (0..n).map(|i| self.x[i] + by * self.normal[i].x).collect(),
            y: (0..n).map(|i| self.y[i] + by * self.normal[i].y).collect(),
            step: (0..n).map(|i| self.step[i] + by * turn(i)).collect(),
            t: self.t.clone(),
            normal: self.normal.clone(),
        }
    }

    /// One place.
    #[must_use]
    pub fn at(&self, i: usize) -> Point {
        Point::new(self.x[i], self.y[i])
    }

    /// Flat length all round.
    #[must_use]
    pub fn length(&self) -> Mm {
        Mm::new(self.step.iter().sum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_add_up_to_the_circumference() {
        let shapes = [
            Outline::circle(Mm::new(25.0)).unwrap(),
            Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap(),
            Outline::superellipse(Mm::new(27.0), Mm::new(17.0), 4.0).unwrap(),
            Outline::rounded_rectangle(Mm::new(54.0), Mm::new(34.0), Mm::new(10.0)).unwrap(),
            Outline::rounded_rectangle(Mm::new(50.0), Mm::new(30.0), Mm::new(0.0)).unwrap(),
        ];
        for shape in shapes {
            let sum = shape.places(720).length().mm();
            let whole = shape.circumference().mm();
            assert!((sum - whole).abs() < 2e-5, "{shape:?} {sum} {whole}");
        }
    }

    #[test]
    fn the_first_place_is_straight_up() {
        let p = Outline::ellipse(Mm::new(26.0), Mm::new(18.0)).unwrap().places(360);
        assert!(p.x[0].abs() < 1e-12 && (p.y[0] - 18.0).abs() < 1e-12);
        assert!(p.x[90] < -25.9 && (p.normal[90].x + 1.0).abs() < 1e-9);
    }
}
