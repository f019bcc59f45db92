//! The circular-arc torus in its two forms.

use optics::Curvature;
use units::maths::sqrt;
use units::{Angle, Working, step};

use crate::surface::On;
use crate::vector::Vec3;
use crate::volume::Rim;

const PROFILE: &str = "sagitta of the generating circle";
const PARALLEL: &str = "radius of the circle of revolution at that depth";
const TORUS: &str = "circular-arc torus: profile plus the sagitta of its circle of revolution";

/// Which principal circle generates a torus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TorusForm {
    /// The more curved meridian is the generating circle, the less curved one the circle of revolution.
    #[default]
    Tyre,
    /// The other true torus, the two roles swapped.
    Barrel,
}

/// A circular-arc torus, with its vertex at the origin and its axis along the depth.
///
/// With u along the meridian of revolution, v along that of the generating circle, c and k the curvatures of the two:
/// s = c v^2/(1 + sqrt(1 − c^2 v^2)), K = k/(1 − k s), z = s + K u^2/(1 + sqrt(1 − K^2 u^2)). A flat meridian is
/// k = 0 or c = 0, and either sign will do, so that a cylinder and a saddle are among them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torus {
    /// Curvature of the generating circle, 1/mm.
    pub(crate) generating: f64,
    /// Curvature of the circle of revolution, 1/mm.
    pub(crate) revolution: f64,
    /// Unit vector of the meridian of revolution, in the surface's own axes.
    pub(crate) u: [f64; 2],
}

impl Torus {
    /// From the curvatures along and across an axis.
    #[must_use]
    pub fn new(along: Curvature, across: Curvature, axis: Angle, form: TorusForm) -> Self {
        let (along, across) = (along.in_per_mm(), across.in_per_mm());
        let along_generates = (along.abs() >= across.abs()) == (form == TorusForm::Tyre);
        let (cos, sin) = (axis.cos(), axis.sin());
        if along_generates {
            Self { generating: along, revolution: across, u: [-sin, cos] }
        } else {
            Self { generating: across, revolution: along, u: [cos, sin] }
        }
    }

    /// The place (x, y) as (u, v).
    #[inline]
    pub(crate) fn turned(self, x: f64, y: f64) -> (f64, f64) {
        (x * self.u[0] + y * self.u[1], y * self.u[0] - x * self.u[1])
    }

    #[inline]
    pub(crate) fn sag_uv(self, u: f64, v: f64) -> f64 {
        let (c, k) = (self.generating, self.revolution);
        let s = c * v * v / (1.0 + (1.0 - c * c * v * v).sqrt());
        let k = k / (1.0 - k * s);
        s + k * u * u / (1.0 + (1.0 - k * k * u * u).sqrt())
    }

    #[inline]
    pub(crate) fn on(self, u: f64, v: f64) -> On {
        let (c, k) = (self.generating, self.revolution);
        let profile = (1.0 - c * c * v * v).sqrt();
        let s = c * v * v / (1.0 + profile);
        let k = k / (1.0 - k * s);
        let circle = (1.0 - k * k * u * u).sqrt();
        On { sag: s + k * u * u / (1.0 + circle), square: [-k * u * profile, -c * v, profile * circle] }
    }

    /// Where a line meets the quadric that touches the torus in its vertex with the same curvatures: within a few
    /// hundredths of a millimetre over a lens, so that Newton's iteration starts in its quadratic part.
    #[inline]
    pub(crate) fn start(self, q: Vec3, a: Vec3) -> f64 {
        let (cu, cv) = (self.revolution, self.generating);
        let cz = 0.5 * (cu + cv);
        let h = a[2] - (cu * q[0] * a[0] + cv * q[1] * a[1] + cz * q[2] * a[2]);
        let g = cu * q[0] * q[0] + cv * q[1] * q[1] + cz * q[2] * q[2] - 2.0 * q[2];
        let k = cu * a[0] * a[0] + cv * a[1] * a[1] + cz * a[2] * a[2];
        g / (h + (h * h - k * g).sqrt())
    }

    /// What a point of the rim gives to the volume under the torus: the integral of the sagitta along u, from 0 to u.
    #[inline]
    pub(crate) fn rim(self, u: f64, v: f64) -> Rim {
        let (c, k) = (self.generating, self.revolution);
        let profile = (1.0 - c * c * v * v).sqrt();
        let s = c * v * v / (1.0 + profile);
        let k = k / (1.0 - k * s);
        let circle = (1.0 - k * k * u * u).sqrt();
        let strip = u * (s + k * u * u * of_circle(k * u, circle));
        Rim { square: [-k * u * profile, -c * v, profile * circle], beneath: [0.0, strip] }
    }

    #[cfg(test)]
    fn gradient(self, x: f64, y: f64) -> [f64; 2] {
        let (u, v) = self.turned(x, y);
        let [su, sv, sz] = self.on(u, v).square;
        let (by_u, by_v) = (-su / sz, -sv / sz);
        [by_u * self.u[0] - by_v * self.u[1], by_u * self.u[1] + by_v * self.u[0]]
    }

    /// The sagitta at (u, v) as steps of the open figure.
    pub(crate) fn worked_sag_uv(self, w: &mut Working, u: f64, v: f64) -> f64 {
        let profile = if self.generating == 0.0 {
            w.say(|| "The generating meridian is straight: its sagitta is nothing.".to_owned());
            0.0
        } else {
            let r_generating = 1.0 / self.generating;
            step!(w, profile = v * v / (r_generating * (1.0 + sqrt(1.0 - v * v / (r_generating * r_generating))));
                v["mm"], r_generating["mm"]; "mm", PROFILE)
        };
        if self.revolution == 0.0 {
            w.say(|| "The meridian of revolution is straight: the surface is the profile alone.".to_owned());
            return profile;
        }
        let r_revolution = 1.0 / self.revolution;
        let d = step!(w, d = r_revolution - profile; r_revolution["mm"], profile["mm"]; "mm", PARALLEL);
        step!(w, sag = profile + u * u / (d * (1.0 + sqrt(1.0 - u * u / (d * d))));
            profile["mm"], u["mm"], d["mm"]; "mm", TORUS)
    }
}

/// The integral of 1 − sqrt(1 − x²) from 0 to x, over x³: (x − (x w + asin x)/2)/x³ with w = sqrt(1 − x²), and its
/// series where that would lose digits.
fn of_circle(x: f64, w: f64) -> f64 {
    let q = x * x;
    if q > 0.01 {
        return (x - 0.5 * (x * w + libm::asin(x))) / (x * q);
    }
    1.0 / 6.0 + q * (1.0 / 40.0 + q * (1.0 / 112.0 + q * (5.0 / 1152.0 + q * (7.0 / 2816.0 + q * (21.0 / 13312.0)))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn torus(form: TorusForm) -> Torus {
        Torus::new(Curvature::per_mm(1.0 / 70.0), Curvature::per_mm(1.0 / 58.0), Angle::from_deg(30.0), form)
    }

    #[test]
    fn every_point_keeps_its_distance_to_the_torus() {
        // The implicit equation of a torus: (hypot(u, R' - z) - d)^2 + v^2 = r^2, with d = r_revolution - r_generating
        // the radius of the circle on which the generating circles have their centres.
        for form in [TorusForm::Tyre, TorusForm::Barrel] {
            let torus = torus(form);
            let (r_gen, r_rev) = (1.0 / torus.generating, 1.0 / torus.revolution);
            for (x, y) in [(0.0, 0.0), (20.0, 0.0), (-11.0, 17.0), (3.0, -25.0)] {
                let (u, v) = torus.turned(x, y);
                let z = torus.sag_uv(u, v);
                let away = units::maths::hypot(u, r_rev - z) - (r_rev - r_gen);
                assert!((away * away + v * v - r_gen * r_gen).abs() < 1e-9, "{form:?} {x} {y}");
            }
        }
    }

    #[test]
    fn slopes_are_those_of_the_sagitta() {
        for form in [TorusForm::Tyre, TorusForm::Barrel] {
            let torus = torus(form);
            let h = 1e-4;
            for (x, y) in [(0.0, 0.0), (20.0, 3.0), (-11.0, 17.0)] {
                let sag = |x: f64, y: f64| {
                    let (u, v) = torus.turned(x, y);
                    torus.sag_uv(u, v)
                };
                let [p, q] = torus.gradient(x, y);
                assert!((p - (sag(x + h, y) - sag(x - h, y)) / (2.0 * h)).abs() < 1e-7);
                assert!((q - (sag(x, y + h) - sag(x, y - h)) / (2.0 * h)).abs() < 1e-7);
            }
        }
    }

    #[test]
    fn the_working_gives_the_same_figure() {
        let mut w = Working::on();
        w.figure("", "sag");
        for (along, across) in [(1.0 / 70.0, 1.0 / 58.0), (0.0, 0.006), (0.005, -0.002), (-0.001, 0.0)] {
            let torus =
                Torus::new(Curvature::per_mm(along), Curvature::per_mm(across), Angle::from_deg(55.0), TorusForm::Tyre);
            let (u, v) = torus.turned(13.0, -19.0);
            assert!((torus.worked_sag_uv(&mut w, u, v) - torus.sag_uv(u, v)).abs() < 1e-12);
        }
    }
}
