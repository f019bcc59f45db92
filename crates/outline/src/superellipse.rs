//! The superellipse |x/a|^p + |y/b|^p = 1: ellipses, circles, and much of what lens shapes look like.

use core::f64::consts::FRAC_PI_2;

use crate::curve::Polar;
use crate::error::NotAnOutline;

/// Below 2 the curvature at the ends of the axes is infinite; above 40 a rectangle says it better.
pub(crate) const EXPONENTS: (f64, f64) = (2.0, 40.0);

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Superellipse {
    pub(crate) a: f64,
    pub(crate) b: f64,
    pub(crate) p: f64,
}

impl Superellipse {
    pub(crate) fn new(a: f64, b: f64, p: f64) -> Result<Self, NotAnOutline> {
        for (what, given) in [("the half width", a), ("the half height", b)] {
            if !(given.is_finite() && given > 0.0) {
                return Err(NotAnOutline::NotALength { what, given });
            }
        }
        let (least, most) = EXPONENTS;
        if !(least..=most).contains(&p) {
            return Err(NotAnOutline::Exponent { given: p, least, most });
        }
        Ok(Self { a, b, p })
    }

    pub(crate) fn is_circle(self) -> bool {
        self.p == 2.0 && self.a == self.b
    }

    /// With c = |cos t|/a and s = |sin t|/b the radius is (c^p + s^p)^(-1/p); its derivatives follow by hand.
    pub(crate) fn polar(self, t: f64) -> Polar {
        if self.is_circle() {
            return Polar { radius: self.a, first: 0.0, second: 0.0 };
        }
        let p = self.p;
        let (sin, cos) = libm::sincos(t);
        // Scaled by the smaller half axis so that high exponents stay within range.
        let unit = self.a.min(self.b);
        let (c, s) = (unit * cos.abs() / self.a, unit * sin.abs() / self.b);
        let (dc, ds) = (-unit * sin * 1f64.copysign(cos) / self.a, unit * cos * 1f64.copysign(sin) / self.b);
        let (cp2, sp2) = if p == 2.0 { (1.0, 1.0) } else { (libm::pow(c, p - 2.0), libm::pow(s, p - 2.0)) };
        let f = cp2 * c * c + sp2 * s * s;
        let g = cp2 * c * dc + sp2 * s * ds;
        let dg = (p - 1.0) * (cp2 * dc * dc + sp2 * ds * ds) - f;
        let radius = unit * if p == 2.0 { 1.0 / f.sqrt() } else { libm::pow(f, -1.0 / p) };
        let q = g / f;
        Polar { radius, first: -radius * q, second: radius * ((1.0 + p) * q * q - dg / f) }
    }

    /// Between these the radius is smooth: the ends of the axes, where |cos|^p has a limited number of derivatives, and
    /// the corners of the box, near which a high exponent bends it hard.
    pub(crate) fn seeds(self) -> Vec<f64> {
        let corner = libm::atan2(self.b, self.a);
        let mut seeds = Vec::with_capacity(8);
        for quarter in 0..4 {
            let from = f64::from(quarter) * FRAC_PI_2;
            seeds.push(from);
            seeds.push(from + if quarter % 2 == 0 { corner } else { FRAC_PI_2 - corner });
        }
        seeds
    }
}
