//! The periodic smoothing spline of 1/radius over angle.
//!
//! Written v(t) = R / r(t) with R the mean radius, a straight line is A cos t + B sin t, so v'' + v, which is R times
//! the curvature but for the slant of the ray, is zero on it. The spline minimises
//!
//!   sum w_i (r_i - r(t_i))^2  +  stiffness x integral of rho (v'' + v_measured)^2 dt
//!
//! to first order in the residuals. Against the plain penalty of r'' this leaves sides straight and does not pull
//! corners towards the middle: what it prices is the bending of the outline, not its distance from the pole.
//! The factor rho of each interval is 1, or less where the outline bends sharply.
//!
//! With m = rho (v'' + v_measured) at the knots, Q the second divided differences, R the integrals of the linear pieces
//! (each over rho) and W the weights, the minimum is
//!
//!   (R + stiffness Q'W^-1 Q) m = Q'v + R_1 v,    v_smooth = v - stiffness W^-1 Q m
//!
//! (Reinsch's form, Numerische Mathematik 10 (1967) 177, with the reference curvature moved to the right side and closed
//! to a ring). At a corner m is zero: the slope may jump there.

use core::f64::consts::TAU;

use crate::cyclic_band::{CyclicBand, Factors};
use crate::point::turn;
use crate::polar_cubic::{Knot, PolarCubic};

/// A point to be smoothed: its angle, its radius, its weight (how many measurements it stands for), and whether the
/// slope may jump there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Datum {
    pub(crate) at: f64,
    pub(crate) radius: f64,
    pub(crate) weight: f64,
    pub(crate) corner: bool,
}

/// The part of the problem that does not depend on the stiffness, and the last solution.
pub(crate) struct Spline<'a> {
    data: &'a [Datum],
    /// R / r_i.
    v: Vec<f64>,
    mean_radius: f64,
    widths: Vec<f64>,
    rho: Vec<f64>,
    /// One over the weight of v_i: its variance for noise of 1 mm.
    variance: Vec<f64>,
    /// Q'W^-1 Q and R by diagonals.
    bending: CyclicBand,
    linear: CyclicBand,
    right: Vec<f64>,
    matrix: CyclicBand,
    factors: Factors,
    m: Vec<f64>,
    /// Q m.
    pull: Vec<f64>,
    stiffness: f64,
}

/// How well a solution meets the points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fit {
    /// Root mean square residual, mm.
    pub(crate) rms: f64,
    /// d log(rms) / d log(stiffness): 0 to 1.
    pub(crate) slope: f64,
}

fn next(i: usize, n: usize) -> usize {
    if i + 1 == n { 0 } else { i + 1 }
}

fn before(i: usize, n: usize) -> usize {
    if i == 0 { n - 1 } else { i - 1 }
}

impl<'a> Spline<'a> {
    /// Prepares the ring. `data` ascends within one turn, no two at one angle, at least six; `rho[i]` belongs to the
    /// interval that follows point i.
    pub(crate) fn new(data: &'a [Datum], rho: &[f64]) -> Self {
        let n = data.len();
        let mean_radius = data.iter().map(|d| d.radius).sum::<f64>() / n as f64;
        let v: Vec<f64> = data.iter().map(|d| mean_radius / d.radius).collect();
        // dr = -(r^2 / R) dv.
        let variance: Vec<f64> = data
            .iter()
            .zip(&v)
            .map(|(d, v)| {
                let s = v / d.radius;
                s * s / d.weight
            })
            .collect();
        let widths: Vec<f64> =
            (0..n).map(|i| data[next(i, n)].at - data[i].at + if i + 1 == n { TAU } else { 0.0 }).collect();
        let mut spline = Self {
            data,
            v,
            mean_radius,
            widths,
            rho: rho.to_vec(),
            variance,
            bending: CyclicBand::default(),
            linear: CyclicBand::default(),
            right: Vec::new(),
            matrix: CyclicBand::default(),
            factors: Factors::default(),
            m: Vec::new(),
            pull: Vec::new(),
            stiffness: 0.0,
        };
        spline.prepare();
        spline
    }

    fn prepare(&mut self) {
        let n = self.data.len();
        let inverse: Vec<f64> = self.widths.iter().map(|h| 1.0 / h).collect();
        let corner = |i: usize| self.data[i].corner;
        let mut bending = CyclicBand { diagonal: vec![0.0; n], first: vec![0.0; n], second: vec![0.0; n] };
        let mut linear = CyclicBand { diagonal: vec![0.0; n], first: vec![0.0; n], second: vec![0.0; n] };
        let mut right = vec![0.0; n];
        for i in 0..n {
            let (j, h) = (next(i, n), before(i, n));
            let (el, er) = (inverse[h], inverse[i]);
            let (vl, vm, vr) = (self.variance[h], self.variance[i], self.variance[j]);
            let both = el + er;
            bending.diagonal[i] = el * el * vl + both * both * vm + er * er * vr;
            bending.first[i] = -both * er * vm - er * (er + inverse[j]) * vr;
            bending.second[i] = er * inverse[j] * vr;
            linear.diagonal[i] = (self.widths[h] / self.rho[h] + self.widths[i] / self.rho[i]) / 3.0;
            linear.first[i] = self.widths[i] / self.rho[i] / 6.0;
            let (left, here, over) = (self.v[h], self.v[i], self.v[j]);
            right[i] = (over - here) * er - (here - left) * el
                + (self.widths[h] * (left + 2.0 * here) + self.widths[i] * (2.0 * here + over)) / 6.0;
        }
        // A corner takes its row and column out: m is zero there.
        for i in 0..n {
            let (j, k) = (next(i, n), next(next(i, n), n));
            if corner(i) {
                bending.diagonal[i] = 0.0;
                linear.diagonal[i] = 1.0;
                right[i] = 0.0;
            }
            if corner(i) || corner(j) {
                bending.first[i] = 0.0;
                linear.first[i] = 0.0;
            }
            if corner(i) || corner(k) {
                bending.second[i] = 0.0;
            }
        }
        self.matrix.diagonal = vec![0.0; n];
        self.matrix.first = vec![0.0; n];
        self.matrix.second = vec![0.0; n];
        (self.bending, self.linear, self.right) = (bending, linear, right);
    }

    /// Solves for a stiffness (mm^2 rad^3).
    pub(crate) fn solve(&mut self, stiffness: f64) -> Fit {
        let n = self.data.len();
        for i in 0..n {
            self.matrix.diagonal[i] = self.linear.diagonal[i] + stiffness * self.bending.diagonal[i];
            self.matrix.first[i] = self.linear.first[i] + stiffness * self.bending.first[i];
            self.matrix.second[i] = stiffness * self.bending.second[i];
        }
        self.matrix.factor_and_solve(&mut self.factors, &self.right, &mut self.m);
        self.stiffness = stiffness;
        self.pull.clear();
        let m = &self.m;
        let mut arriving = (m[0] - m[n - 1]) / self.widths[n - 1];
        for i in 0..n {
            let leaving = (m[next(i, n)] - m[i]) / self.widths[i];
            self.pull.push(leaving - arriving);
            arriving = leaving;
        }
        // m' K m = |W^-1/2 Q m|^2 is the sum of squared residuals over the stiffness squared.
        let (mut squares, mut weights) = (0.0, 0.0);
        for i in 0..n {
            squares += self.variance[i] * self.pull[i] * self.pull[i];
            weights += self.data[i].weight;
        }
        // K m, and its energy in the inverse of the matrix, give the derivative by the stiffness.
        let scaled: Vec<f64> = self.pull.iter().zip(&self.variance).map(|(p, v)| p * v).collect();
        let mut bent = Vec::with_capacity(n);
        let mut arriving = (scaled[0] - scaled[n - 1]) / self.widths[n - 1];
        for i in 0..n {
            let leaving = (scaled[next(i, n)] - scaled[i]) / self.widths[i];
            bent.push(if self.data[i].corner { 0.0 } else { leaving - arriving });
            arriving = leaving;
        }
        let mut relaxed = Vec::with_capacity(n);
        CyclicBand::solve(&self.factors, &bent, &mut relaxed);
        let energy: f64 = bent.iter().zip(&relaxed).map(|(b, r)| b * r).sum();
        let slope = if squares > 0.0 { 1.0 - stiffness * energy / squares } else { 1.0 };
        Fit { rms: stiffness * (squares / weights).sqrt(), slope }
    }

    /// Measured less smoothed radius at each point, mm, from the last solution.
    pub(crate) fn residuals(&self) -> Vec<f64> {
        (0..self.data.len())
            .map(|i| {
                let dv = self.stiffness * self.variance[i] * self.pull[i];
                -dv * self.data[i].radius / self.v[i]
            })
            .collect()
    }

    /// The smooth curve of the last solution. `widest` is the widest piece that a cubic of r may stand for one of 1/r.
    pub(crate) fn curve(&self, widest: f64) -> PolarCubic {
        let n = self.data.len();
        let smooth: Vec<f64> = (0..n).map(|i| self.v[i] - self.stiffness * self.variance[i] * self.pull[i]).collect();
        let mut knots: Vec<Knot> = Vec::with_capacity(n);
        let radius = |v: f64| self.mean_radius / v;
        let slope = |v: f64, dv: f64| -self.mean_radius * dv / (v * v);
        let mut first_leaving = 0.0;
        let mut arriving = 0.0;
        for i in 0..n {
            let j = next(i, n);
            let (h, rho) = (self.widths[i], self.rho[i]);
            let (a, b) = (self.m[i] / rho - self.v[i], self.m[j] / rho - self.v[j]);
            let chord = (smooth[j] - smooth[i]) / h;
            let leaving = chord - h * (2.0 * a + b) / 6.0;
            if i == 0 {
                first_leaving = leaving;
            } else {
                knots.push(self.knot(i, smooth[i], arriving, leaving));
            }
            arriving = chord + h * (a + 2.0 * b) / 6.0;
            let mut pieces = 1.0;
            while h > widest * pieces {
                pieces += 1.0;
            }
            let mut piece = 1.0;
            while piece < pieces {
                let u = h * piece / pieces;
                let third = (b - a) / h;
                let v = smooth[i] + u * (leaving + u * (0.5 * a + u * third / 6.0));
                let dv = leaving + u * (a + 0.5 * u * third);
                let s = slope(v, dv);
                knots.push(Knot { at: turn(self.data[i].at + u), radius: radius(v), arriving: s, leaving: s });
                piece += 1.0;
            }
        }
        knots.push(self.knot(0, smooth[0], arriving, first_leaving));
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        PolarCubic { knots }
    }

    fn knot(&self, i: usize, v: f64, arriving: f64, leaving: f64) -> Knot {
        let scale = -self.mean_radius / (v * v);
        // But for rounding the two slopes are one where the curve may not bend sharply.
        let (arriving, leaving) = if self.data[i].corner {
            (arriving, leaving)
        } else {
            let s = 0.5 * (arriving + leaving);
            (s, s)
        };
        Knot {
            at: turn(self.data[i].at),
            radius: self.mean_radius / v,
            arriving: scale * arriving,
            leaving: scale * leaving,
        }
    }

    /// The stiffness at which waves of `waves` periods a turn are halved, for even points: w n r^4 / (2 pi R^2 k^4).
    pub(crate) fn stiffness_for(&self, waves: f64) -> f64 {
        let weight: f64 = self.variance.iter().map(|v| 1.0 / v).sum();
        weight / TAU / (waves * waves * waves * waves)
    }

    /// Waves a turn that the last solution halves: the inverse of [`Spline::stiffness_for`].
    pub(crate) fn waves(&self) -> f64 {
        (self.stiffness_for(1.0) / self.stiffness).sqrt().sqrt()
    }
}
