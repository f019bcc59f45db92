//! A short stretch of outline that bends evenly, fitted to a few points.

use crate::least_squares::Normal;
use crate::periodic_spline::Datum;

/// 1/r = a + b sin(t - t0) + c (1 - cos(t - t0)): a straight line where a + c is zero, nearly a circle else.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EvenArc {
    origin: f64,
    a: f64,
    b: f64,
    c: f64,
    /// Sum of squared residuals over the variance of the noise.
    pub(crate) chi2: f64,
}

/// With fewer points than these a fitted bending says nothing: the arc is straight.
const LEAST_FOR_BENDING: usize = 8;

/// Greatest chi-square that noise gives a good fit with so many degrees of freedom: four standard deviations above.
pub(crate) fn likely(freedom: usize) -> f64 {
    let freedom = freedom as f64;
    freedom + 4.0 * (2.0 * freedom).sqrt()
}

impl EvenArc {
    /// Whether noise alone explains what is left of so many points.
    pub(crate) fn fits(&self, count: usize) -> bool {
        self.chi2 < likely(count - Self::parameters(count))
    }

    /// How many parameters an arc through so many points has.
    pub(crate) const fn parameters(count: usize) -> usize {
        if count < LEAST_FOR_BENDING { 2 } else { 3 }
    }

    /// Least squares over `count` points of the ring from `from` on, leaving out `without`.
    pub(crate) fn fit(data: &[Datum], from: usize, count: usize, without: Option<usize>, noise: f64) -> Self {
        let n = data.len();
        let straight = Self::parameters(count) == 2;
        let origin = data[(from + count / 2) % n].at;
        let terms = |t: f64| {
            let (sin, cos) = libm::sincos(t - origin);
            [1.0, sin, if straight { 0.0 } else { 1.0 - cos }]
        };
        let used = || (from..from + count).map(|i| i % n).filter(|&i| Some(i) != without);
        let mut normal = Normal::<3>::new();
        for d in used().map(|i| data[i]) {
            // d(1/r) = -dr / r^2.
            let weight = d.weight * d.radius * d.radius * d.radius * d.radius;
            normal.take(&terms(d.at), 1.0 / d.radius, weight);
        }
        if straight {
            normal.take(&[0.0, 0.0, 1.0], 0.0, 1.0);
        }
        // Points at different angles always determine it; where rounding says otherwise nothing fits.
        let Some([a, b, c]) = normal.solved() else {
            return Self { origin, a: 1.0, b: 0.0, c: 0.0, chi2: f64::INFINITY };
        };
        let mut arc = Self { origin, a, b, c, chi2: 0.0 };
        for d in used().map(|i| data[i]) {
            let off = (d.radius - arc.radius(d.at)) / noise;
            arc.chi2 += d.weight * off * off;
        }
        arc
    }

    /// 1/r at `t`, in 1/mm.
    pub(crate) fn inverse(&self, t: f64) -> f64 {
        let (sin, cos) = libm::sincos(t - self.origin);
        self.a + self.b * sin + self.c * (1.0 - cos)
    }

    /// Radius at `t`, mm.
    pub(crate) fn radius(&self, t: f64) -> f64 {
        1.0 / self.inverse(t)
    }

    /// Angle by which the normal leans from the ray at `t`, clockwise, radians.
    pub(crate) fn slant(&self, t: f64) -> f64 {
        let (sin, cos) = libm::sincos(t - self.origin);
        libm::atan2(self.b * cos + self.c * sin, self.inverse(t))
    }

    /// (1/r)'' + 1/r, in 1/mm: the curvature but for the slant.
    pub(crate) fn bending(&self) -> f64 {
        self.a + self.c
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_has_no_bending_and_leans_by_its_normal() {
        // x cos 0.3 + y sin 0.3 = 20, seen from the origin: 1/r = cos(t - 0.3) / 20.
        let data: Vec<Datum> = (0..40)
            .map(|i| {
                let at = f64::from(i) * 0.15;
                Datum { at, radius: 20.0 / libm::cos(at - 0.3).abs(), weight: 1.0, corner: false, counts: true }
            })
            .collect();
        let arc = EvenArc::fit(&data, 0, 9, None, 0.01);
        assert!(arc.chi2 < 1e-12 && arc.bending().abs() < 1e-12);
        // The ray at 0.5 lies anticlockwise of the normal at 0.3.
        assert!((arc.slant(0.5) + 0.2).abs() < 1e-12, "{}", arc.slant(0.5));
    }
}
