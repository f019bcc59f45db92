//! Radius as a piecewise cubic over the polar angle, with corners where the two slopes of a knot differ.

use core::f64::consts::TAU;

use crate::curve::Polar;
use crate::point::turn;

/// One knot: where, the radius there, and the slopes with which the curve arrives and leaves (mm/rad).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Knot {
    pub(crate) at: f64,
    pub(crate) radius: f64,
    pub(crate) arriving: f64,
    pub(crate) leaving: f64,
}

/// Knots by ascending angle in [0, 2 pi); between them the cubic with these radii and slopes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PolarCubic {
    pub(crate) knots: Vec<Knot>,
}

/// Slopes that differ by less than this share of the radius are one slope: a turn of a tenth of a degree.
pub(crate) const SAME_SLOPE: f64 = 0.002;

impl PolarCubic {
    /// Index of the interval that holds `t` in [0, 2 pi).
    fn interval(&self, t: f64) -> usize {
        let after = self.knots.partition_point(|k| k.at <= t);
        if after == 0 { self.knots.len() - 1 } else { after - 1 }
    }

    pub(crate) fn polar(&self, t: f64) -> Polar {
        self.in_interval(self.interval(t), t)
    }

    /// Radius at `t` by the cubic of the interval to which `inside` belongs.
    pub(crate) fn polar_within(&self, t: f64, inside: f64) -> Polar {
        self.in_interval(self.interval(turn(inside)), t)
    }

    pub(crate) fn in_interval(&self, i: usize, t: f64) -> Polar {
        let a = &self.knots[i];
        let (b, width) = match self.knots.get(i + 1) {
            Some(b) => (b, b.at - a.at),
            None => (&self.knots[0], self.knots[0].at + TAU - a.at),
        };
        let mut u = t - a.at;
        if u < -1e-9 {
            u += TAU;
        } else if u > width + 1e-9 && u > TAU - 1e-9 {
            u -= TAU;
        }
        let chord = (b.radius - a.radius) / width;
        let c2 = (3.0 * chord - 2.0 * a.leaving - b.arriving) / width;
        let c3 = (a.leaving + b.arriving - 2.0 * chord) / (width * width);
        Polar {
            radius: a.radius + u * (a.leaving + u * (c2 + u * c3)),
            first: a.leaving + u * (2.0 * c2 + 3.0 * u * c3),
            second: 2.0 * c2 + 6.0 * u * c3,
        }
    }

    pub(crate) fn corners(&self) -> Vec<f64> {
        self.knots.iter().filter(|k| (k.leaving - k.arriving).abs() > SAME_SLOPE * k.radius).map(|k| k.at).collect()
    }

    /// x -> -x: direction t becomes pi - t, and the curve is run the other way.
    pub(crate) fn mirrored(&self) -> Self {
        let mut knots: Vec<Knot> = self
            .knots
            .iter()
            .map(|k| Knot {
                at: turn(core::f64::consts::PI - k.at),
                radius: k.radius,
                arriving: -k.leaving,
                leaving: -k.arriving,
            })
            .collect();
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        Self { knots }
    }
}
