//! The periodic smoothing spline of 1/radius over angle.
//!
//! Written v(t) = R / r(t) with R the mean radius, a straight line is A cos t + B sin t, so v'' + v, which is R times
//! the curvature but for the slant of the ray, is zero on it. The spline minimises
//!
//!   sum w_i (r_i - r(t_i))^2  +  stiffness x integral of rho (v'' + v_measured)^2 dt
//!
//! to first order in the residuals. Against the plain penalty of r'' this leaves sides straight and does not pull
//! corners towards the middle: what it prices is the bending of the outline, not its distance from the pole.
//! The factor rho of each interval is 1, or less where the outline bends sharply. Between corners v_measured is replaced
//! by v_measured - c, c being what a circle of the usual curvature there has at that slant: else a curved side would be
//! flattened towards its ends.
//!
//! With m = rho (v'' + v_measured - c) at the knots, Q the second divided differences, R the integrals of the linear pieces
//! (each over rho) and W the weights, the minimum is
//!
//!   (R + stiffness Q'W^-1 Q) m = Q'v + R_1 (v - c),    v_smooth = v - stiffness W^-1 Q m
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
    /// Whether its residual counts: not where the outline is known to be no smooth curve, nor at a corner between points.
    pub(crate) counts: bool,
}

/// How often what the smoothing left over is smoothed again, the first time included. Each pass takes another share of
/// what smoothing alone would cut from bends (iterated Tikhonov); beyond four passes little changes.
const PASSES: u32 = 4;

/// The part of the problem that does not depend on the stiffness, and the last solution.
pub(crate) struct Spline<'a> {
    data: &'a [Datum],
    /// R / r_i.
    v: Vec<f64>,
    mean_radius: f64,
    widths: Vec<f64>,
    inverse: Vec<f64>,
    rho: Vec<f64>,
    /// c at the beginning and the end of each interval.
    usual: Vec<[f64; 2]>,
    /// One over the weight of v_i: its variance for noise of 1 mm.
    variance: Vec<f64>,
    /// Q'W^-1 Q and R by diagonals.
    bending: CyclicBand,
    linear: CyclicBand,
    right: Vec<f64>,
    matrix: CyclicBand,
    factors: Factors,
    m: Vec<f64>,
    /// Q m of the last pass, K m, and what lies between.
    pull: Vec<f64>,
    bent: Vec<f64>,
    scaled: Vec<f64>,
    stiffness: f64,
}

/// A cubic piece of v over the angle.
#[derive(Debug, Clone, Copy)]
struct Piece {
    at: f64,
    width: f64,
    /// v at its ends, with the slopes and second derivatives there.
    from: f64,
    to: f64,
    leaving: f64,
    arriving: f64,
    from_second: f64,
    to_second: f64,
    /// Whether it begins at a corner.
    corner: bool,
}

impl Piece {
    /// v and its slope at `u` from the beginning.
    fn inside(&self, u: f64) -> (f64, f64) {
        let third = (self.to_second - self.from_second) / self.width;
        let v = self.from + u * (self.leaving + u * (0.5 * self.from_second + u * third / 6.0));
        (v, self.leaving + u * (self.from_second + 0.5 * u * third))
    }
}

/// Slope after less slope before each point of the ring; `inverse` are one over the widths.
fn second_differences(values: &[f64], inverse: &[f64], into: &mut Vec<f64>) {
    let n = values.len();
    let mut arriving = (values[0] - values[n - 1]) * inverse[n - 1];
    for (pair, inverse) in values.windows(2).zip(inverse) {
        let leaving = (pair[1] - pair[0]) * inverse;
        into.push(leaving - arriving);
        arriving = leaving;
    }
    into.push((values[0] - values[n - 1]) * inverse[n - 1] - arriving);
}

fn next(i: usize, n: usize) -> usize {
    if i + 1 == n { 0 } else { i + 1 }
}

fn before(i: usize, n: usize) -> usize {
    if i == 0 { n - 1 } else { i - 1 }
}

impl<'a> Spline<'a> {
    /// Prepares the ring with one stiffness all round. `data` ascends within one turn, no two at one angle, at least six.
    pub(crate) fn new(data: &'a [Datum]) -> Self {
        let n = data.len();
        Self::with_bends(data, vec![1.0; n], vec![[0.0; 2]; n])
    }

    /// The same with corners and bends; `rho[i]` and `usual[i]` belong to the interval that follows point i.
    pub(crate) fn with_bends(data: &'a [Datum], rho: Vec<f64>, usual: Vec<[f64; 2]>) -> Self {
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
            inverse: Vec::new(),
            rho,
            usual,
            variance,
            bending: CyclicBand::default(),
            linear: CyclicBand::default(),
            right: Vec::new(),
            matrix: CyclicBand::default(),
            factors: Factors::default(),
            m: Vec::new(),
            pull: Vec::new(),
            bent: Vec::new(),
            scaled: Vec::new(),
            stiffness: 0.0,
        };
        spline.prepare();
        spline
    }

    fn prepare(&mut self) {
        let n = self.data.len();
        self.inverse = self.widths.iter().map(|h| 1.0 / h).collect();
        let inverse = &self.inverse;
        let corner = |i: usize| self.data[i].corner;
        let mut bending = CyclicBand::zero(n);
        let mut linear = CyclicBand::zero(n);
        // A corner takes its row and column out: m is zero there.
        for i in 0..n {
            let (h, j) = (before(i, n), next(i, n));
            let k = next(j, n);
            let (el, er) = (inverse[h], inverse[i]);
            let (vl, vm, vr) = (self.variance[h], self.variance[i], self.variance[j]);
            let both = el + er;
            if corner(i) {
                linear.diagonal[i] = 1.0;
                self.right.push(0.0);
                continue;
            }
            bending.diagonal[i] = el * el * vl + both * both * vm + er * er * vr;
            linear.diagonal[i] = (self.widths[h] / self.rho[h] + self.widths[i] / self.rho[i]) / 3.0;
            if !corner(j) {
                bending.first[i] = -both * er * vm - er * (er + inverse[j]) * vr;
                linear.first[i] = self.widths[i] / self.rho[i] / 6.0;
            }
            if !corner(k) {
                bending.second[i] = er * inverse[j] * vr;
            }
            let (left, here, over) = (self.v[h], self.v[i], self.v[j]);
            let ([start, end], [from, to]) = (self.usual[h], self.usual[i]);
            let reference = (self.widths[h] * (left - start + 2.0 * (here - end))
                + self.widths[i] * (2.0 * (here - from) + over - to))
                / 6.0;
            self.right.push((over - here) * er - (here - left) * el + reference);
        }
        (self.bending, self.linear, self.matrix) = (bending, linear, CyclicBand::zero(n));
    }

    /// Solves for a stiffness (mm^2 rad^3). Gives the root mean square residual of the points that count, mm.
    pub(crate) fn solve(&mut self, stiffness: f64) -> f64 {
        let n = self.data.len();
        self.matrix.sum(&self.linear, stiffness, &self.bending);
        self.stiffness = stiffness;
        let mut last = Vec::with_capacity(n);
        self.matrix.factor_and_solve(&mut self.factors, &self.right, &mut last);
        self.m.clear();
        self.m.extend_from_slice(&last);
        let mut right = core::mem::take(&mut self.bent);
        for _ in 1..PASSES {
            self.bend(&last, &mut right);
            right.iter_mut().for_each(|r| *r *= stiffness);
            CyclicBand::solve(&self.factors, &right, &mut last);
            self.m.iter_mut().zip(&last).for_each(|(m, l)| *m += l);
        }
        self.bend(&last, &mut right);
        self.bent = right;
        let (squares, weights) = self.squares();
        stiffness * (squares / weights).sqrt()
    }

    /// Sum of the squared residuals that count, over the stiffness squared, and of their weights.
    fn squares(&self) -> (f64, f64) {
        let (mut squares, mut weights) = (0.0, 0.0);
        for (i, datum) in self.data.iter().enumerate().filter(|(_, d)| d.counts) {
            squares += self.variance[i] * self.pull[i] * self.pull[i];
            weights += datum.weight;
        }
        (squares, weights)
    }

    /// d log(rms) / d log(stiffness) at the last solution: from 0, where the residual is all noise, to 1 a pass.
    pub(crate) fn slope(&self) -> f64 {
        let mut relaxed = Vec::with_capacity(self.bent.len());
        CyclicBand::solve(&self.factors, &self.bent, &mut relaxed);
        let energy: f64 = self.bent.iter().zip(&relaxed).map(|(b, r)| b * r).sum();
        let (squares, _) = self.squares();
        if squares > 0.0 { f64::from(PASSES) * (1.0 - self.stiffness * energy / squares) } else { 1.0 }
    }

    /// K m; leaves Q m in `pull`.
    fn bend(&mut self, m: &[f64], bent: &mut Vec<f64>) {
        self.pull.clear();
        second_differences(m, &self.inverse, &mut self.pull);
        self.scaled.clear();
        self.scaled.extend(self.pull.iter().zip(&self.variance).map(|(p, v)| p * v));
        bent.clear();
        second_differences(&self.scaled, &self.inverse, bent);
        for (bent, datum) in bent.iter_mut().zip(self.data) {
            if datum.corner {
                *bent = 0.0;
            }
        }
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

    /// Curvature of the outline at the points as a multiple of that of the mean circle, from the last solution.
    pub(crate) fn curvature(&self) -> impl Iterator<Item = f64> {
        let n = self.data.len();
        (0..n).map(move |i| {
            // R times the curvature is (v'' + v) cos^3 of the slant, whose tangent is v'/v.
            let (j, h) = (next(i, n), before(i, n));
            let slant = (self.v[j] - self.v[h]) / ((self.widths[h] + self.widths[i]) * self.v[i]);
            let square = 1.0 + slant * slant;
            self.m[i] / self.rho[i] / (square * square.sqrt())
        })
    }

    /// Between each two corners the median curvature, told as v'' + v at the beginning and end of every interval there.
    /// Nothing where there is no corner.
    pub(crate) fn usual_bending(&self) -> Vec<[f64; 2]> {
        let n = self.data.len();
        let corners: Vec<usize> = (0..n).filter(|&i| self.data[i].corner).collect();
        let mut usual = vec![[0.0; 2]; n];
        if corners.is_empty() {
            return usual;
        }
        let pieces: Vec<Piece> = self.pieces().collect();
        // v'' + v of a circle of radius R is 1 where the ray meets it squarely, and grows with the slant.
        let slanted = |v: f64, dv: f64| {
            let square = 1.0 + (dv / v) * (dv / v);
            square * square.sqrt()
        };
        for (k, &from) in corners.iter().enumerate() {
            let to = corners.get(k + 1).copied().unwrap_or(corners[0] + n);
            let mut curvatures: Vec<f64> = (from + 1..to)
                .map(|i| &pieces[i % n])
                .map(|p| (p.from_second + p.from) / slanted(p.from, p.leaving))
                .collect();
            if curvatures.is_empty() {
                continue;
            }
            let middle = curvatures.len() / 2;
            let (_, &mut median, _) = curvatures.select_nth_unstable_by(middle, f64::total_cmp);
            for i in (from..to).map(|i| i % n) {
                let p = &pieces[i];
                usual[i] = [median * slanted(p.from, p.leaving), median * slanted(p.to, p.arriving)];
            }
        }
        usual
    }

    /// The cubic pieces of the last solution.
    fn pieces(&self) -> impl Iterator<Item = Piece> {
        let n = self.data.len();
        let smooth = move |i: usize| self.v[i] - self.stiffness * self.variance[i] * self.pull[i];
        (0..n).map(move |i| {
            let j = next(i, n);
            let (width, rho, [start, end]) = (self.widths[i], self.rho[i], self.usual[i]);
            let (from, to) = (smooth(i), smooth(j));
            let from_second = self.m[i] / rho - self.v[i] + start;
            let to_second = self.m[j] / rho - self.v[j] + end;
            let chord = (to - from) / width;
            Piece {
                at: self.data[i].at,
                width,
                from,
                to,
                leaving: chord - width * (2.0 * from_second + to_second) / 6.0,
                arriving: chord + width * (from_second + 2.0 * to_second) / 6.0,
                from_second,
                to_second,
                corner: self.data[i].corner,
            }
        })
    }

    /// The smooth curve of the last solution. `widest` is the widest piece that a cubic of r may stand for one of 1/r.
    pub(crate) fn curve(&self, widest: f64) -> PolarCubic {
        let n = self.data.len();
        let mut knots: Vec<Knot> = Vec::with_capacity(n);
        let knot = |at: f64, v: f64, arriving: f64, leaving: f64| {
            let slope = -self.mean_radius / (v * v);
            Knot { at: turn(at), radius: self.mean_radius / v, arriving: slope * arriving, leaving: slope * leaving }
        };
        let mut pieces = self.pieces();
        let Some(first) = pieces.next() else { return PolarCubic { knots } };
        let mut piece = first;
        loop {
            let mut parts = 1.0;
            while piece.width > widest * parts {
                parts += 1.0;
            }
            let mut part = 1.0;
            while part < parts {
                let u = piece.width * part / parts;
                let (v, dv) = piece.inside(u);
                knots.push(knot(piece.at + u, v, dv, dv));
                part += 1.0;
            }
            let following = pieces.next();
            let next = following.unwrap_or(first);
            // But for rounding the two slopes are one where there is no corner.
            let slope = 0.5 * (piece.arriving + next.leaving);
            let (arriving, leaving) = if next.corner { (piece.arriving, next.leaving) } else { (slope, slope) };
            knots.push(knot(next.at, next.from, arriving, leaving));
            match following {
                Some(following) => piece = following,
                None => break,
            }
        }
        knots.sort_by(|a, b| a.at.total_cmp(&b.at));
        PolarCubic { knots }
    }

    /// The stiffness at which waves of `waves` periods a turn are halved, for even points: w n r^4 / (2 pi R^2 k^4).
    pub(crate) fn stiffness_for(&self, waves: f64) -> f64 {
        let weight: f64 = self.variance.iter().map(|v| 1.0 / v).sum();
        weight / TAU / (waves * waves * waves * waves)
    }

    /// The stiffness of the last solution, mm^2 rad^3.
    pub(crate) fn stiffness(&self) -> f64 {
        self.stiffness
    }

    /// Waves a turn that the last solution halves: the inverse of [`Spline::stiffness_for`].
    pub(crate) fn waves(&self) -> f64 {
        (self.stiffness_for(1.0) / self.stiffness).sqrt().sqrt()
    }
}
