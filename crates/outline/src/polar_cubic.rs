//! Radius as a piecewise cubic over the polar angle, with corners where the two slopes of a knot differ.

use core::f64::consts::TAU;

use crate::curve::Polar;
use crate::point::turn;
use crate::quadrature::gauss4;

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

    /// Integral over one interval of a function of the radius and its slope, by four points of Gauss's.
    pub(crate) fn integral(&self, i: usize, f: impl Fn(f64, f64) -> f64) -> f64 {
        let a = &self.knots[i];
        let (b, width) = match self.knots.get(i + 1) {
            Some(b) => (b, b.at - a.at),
            None => (&self.knots[0], self.knots[0].at + TAU - a.at),
        };
        // Radius and slope over u = (t - a.at) / width.
        let (leaving, arriving, step) = (a.leaving * width, b.arriving * width, b.radius - a.radius);
        let (c2, c3) = (3.0 * step - 2.0 * leaving - arriving, leaving + arriving - 2.0 * step);
        let per_radian = 1.0 / width;
        let inside = |u: f64| {
            let radius = a.radius + u * (leaving + u * (c2 + u * c3));
            f(radius, per_radian * (leaving + u * (2.0 * c2 + 3.0 * u * c3)))
        };
        width * gauss4(inside, 0.0, 1.0)
    }

    pub(crate) fn corners(&self) -> Vec<f64> {
        self.knots.iter().filter(|k| (k.leaving - k.arriving).abs() > SAME_SLOPE * k.radius).map(|k| k.at).collect()
    }

    /// The same curve with about `most` knots, where it has more by half: at even angles, and where it has corners.
    pub(crate) fn thinned(self, most: usize) -> Self {
        if self.knots.len() < most + most / 2 {
            return self;
        }
        let step = TAU / most as f64;
        let mut knots: Vec<Knot> = self.knots.iter().filter(|k| k.arriving != k.leaving).copied().collect();
        let clear = |t: f64| {
            let near = |k: &Knot| (k.at - t).abs() < 0.2 * step || (k.at - t).abs() > TAU - 0.2 * step;
            !knots.iter().any(near)
        };
        let even: Vec<f64> = (0..most).map(|i| i as f64 * step).filter(|&t| clear(t)).collect();
        for at in even {
            let p = self.polar(at);
            knots.push(Knot { at, radius: p.radius, arriving: p.first, leaving: p.first });
        }
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        Self { knots }
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
