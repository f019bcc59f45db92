//! The biconic surface: a conic in each of two principal meridians.

use optics::Curvature;
use units::maths::sqrt;
use units::{Angle, Working, step};

use crate::surface::On;
use crate::vector::Vec3;
use crate::volume::Rim;

const SAG: &str = "biconic: (cu u^2 + cv v^2)/(1 + sqrt(1 - (1 + ku) cu^2 u^2 - (1 + kv) cv^2 v^2))";

/// Abscissae and weights of Gauss-Legendre quadrature with 10 points, the positive half; over a lens the strip's integral
/// keeps 13 digits.
const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_2, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

/// A biconic, with its vertex at the origin and its axis along the depth.
///
/// With u and v along the two principal meridians, cu and cv their curvatures at the vertex, ku and kv their conic
/// constants: s = (cu u² + cv v²)/(1 + sqrt(1 − (1 + ku) cu² u² − (1 + kv) cv² v²)). Its principal sections are conics;
/// with all constants nothing it is no torus: the two differ by some hundredths of a millimetre at the rim of a lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Biconic {
    /// Curvatures at the vertex along u and v, 1/mm.
    pub(crate) c: [f64; 2],
    /// Conic constants along u and v.
    pub(crate) k: [f64; 2],
    /// Unit vector of u, in the surface's own axes.
    pub(crate) u: [f64; 2],
}

impl Biconic {
    /// From the curvatures and conic constants along and across an axis.
    #[must_use]
    pub fn new(along: Curvature, across: Curvature, axis: Angle, constants: [f64; 2]) -> Self {
        Self { c: [along.in_per_mm(), across.in_per_mm()], k: constants, u: [axis.cos(), axis.sin()] }
    }

    /// The place (x, y) as (u, v).
    #[inline]
    pub(crate) fn turned(self, x: f64, y: f64) -> (f64, f64) {
        (x * self.u[0] + y * self.u[1], y * self.u[0] - x * self.u[1])
    }

    #[inline]
    fn root(self, u: f64, v: f64) -> f64 {
        let ([cu, cv], [ku, kv]) = (self.c, self.k);
        (1.0 - (1.0 + ku) * cu * cu * u * u - (1.0 + kv) * cv * cv * v * v).sqrt()
    }

    #[inline]
    pub(crate) fn sag_uv(self, u: f64, v: f64) -> f64 {
        let [cu, cv] = self.c;
        (cu * u * u + cv * v * v) / (1.0 + self.root(u, v))
    }

    #[inline]
    pub(crate) fn on(self, u: f64, v: f64) -> On {
        let ([cu, cv], [ku, kv]) = (self.c, self.k);
        let root = self.root(u, v);
        let sag = (cu * u * u + cv * v * v) / (1.0 + root);
        // The slope by u is cu u (2 + s (1 + ku) cu/root)/(1 + root).
        let rise = |c: f64, k: f64, t: f64| c * t * (2.0 * root + sag * (1.0 + k) * c);
        On { sag, square: [-rise(cu, ku, u), -rise(cv, kv, v), root * (1.0 + root)] }
    }

    /// Where a line meets the quadric with the same curvatures, for a start.
    #[inline]
    pub(crate) fn start(self, q: Vec3, a: Vec3) -> f64 {
        let ([cu, cv], [ku, kv]) = (self.c, self.k);
        let cz = 0.5 * (cu * (1.0 + ku) + cv * (1.0 + kv));
        let h = a[2] - (cu * q[0] * a[0] + cv * q[1] * a[1] + cz * q[2] * a[2]);
        let g = cu * q[0] * q[0] + cv * q[1] * q[1] + cz * q[2] * q[2] - 2.0 * q[2];
        let k = cu * a[0] * a[0] + cv * a[1] * a[1] + cz * a[2] * a[2];
        g / (h + (h * h - k * g).sqrt())
    }

    /// What a point of the rim gives to the volume under the surface: the integral of the sagitta along u, from 0 to u.
    pub(crate) fn rim(self, u: f64, v: f64) -> Rim {
        let half = 0.5 * u;
        let strip: f64 =
            GAUSS.iter().map(|&(x, w)| w * (self.sag_uv(half * (1.0 - x), v) + self.sag_uv(half * (1.0 + x), v))).sum();
        Rim { square: self.on(u, v).square, beneath: [0.0, half * strip] }
    }

    /// The sagitta at (u, v) as a step of the open figure.
    pub(crate) fn worked_sag_uv(self, w: &mut Working, u: f64, v: f64) -> f64 {
        let ([cu, cv], [ku, kv]) = (self.c, self.k);
        step!(w, sag = (cu * u * u + cv * v * v) / (1.0 + sqrt(1.0 - (1.0 + ku) * cu * cu * u * u - (1.0 + kv) * cv * cv * v * v));
            cu["1/mm"], cv["1/mm"], ku[""], kv[""], u["mm"], v["mm"]; "mm", SAG)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conic::Conic;

    fn biconic(constants: [f64; 2]) -> Biconic {
        Biconic::new(Curvature::per_mm(1.0 / 70.0), Curvature::per_mm(1.0 / 58.0), Angle::from_deg(30.0), constants)
    }

    #[test]
    fn principal_sections_are_conics() {
        let surface = biconic([-0.6, 0.4]);
        for t in [3.0, 15.0, -25.0] {
            let along = Conic { c: 1.0 / 70.0, k: -0.6 }.sag(t, 0.0);
            let across = Conic { c: 1.0 / 58.0, k: 0.4 }.sag(0.0, t);
            assert!((surface.sag_uv(t, 0.0) - along).abs() < 1e-13);
            assert!((surface.sag_uv(0.0, t) - across).abs() < 1e-13);
        }
    }

    #[test]
    fn alike_in_both_meridians_it_is_a_conic() {
        let c = Curvature::per_mm(0.012);
        let surface = Biconic::new(c, c, Angle::from_deg(70.0), [-0.8; 2]);
        for (x, y) in [(12.0, 5.0), (-20.0, 18.0)] {
            let (u, v) = surface.turned(x, y);
            assert!((surface.sag_uv(u, v) - Conic::new(c, -0.8).sag(x, y)).abs() < 1e-13);
        }
    }

    #[test]
    fn slopes_are_those_of_the_sagitta() {
        let (surface, h) = (biconic([-0.6, 0.4]), 1e-4);
        for (u, v) in [(0.0, 0.0), (20.0, 3.0), (-11.0, 17.0)] {
            let [su, sv, sz] = surface.on(u, v).square;
            let (p, q) = (-su / sz, -sv / sz);
            assert!((p - (surface.sag_uv(u + h, v) - surface.sag_uv(u - h, v)) / (2.0 * h)).abs() < 1e-8);
            assert!((q - (surface.sag_uv(u, v + h) - surface.sag_uv(u, v - h)) / (2.0 * h)).abs() < 1e-8);
        }
    }

    #[test]
    fn the_strip_is_the_integral_of_the_sagitta() {
        // Simpson's rule with 2000 panels.
        let surface = biconic([-0.6, 0.4]);
        let (u, v, n) = (24.0, -13.0, 2000);
        let h = u / f64::from(n);
        let simpson: f64 = (0..=n)
            .map(|i| {
                let weight = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * surface.sag_uv(f64::from(i) * h, v)
            })
            .sum::<f64>()
            * h
            / 3.0;
        assert!((surface.rim(u, v).beneath[1] - simpson).abs() < 1e-11 * simpson);
    }
}
