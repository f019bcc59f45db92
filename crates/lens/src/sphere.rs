//! The spherical surface; a plane is one of no curvature.

use optics::Curvature;
use units::maths::sqrt;
use units::{Working, step};

use crate::surface::On;
use crate::vector::{Vec3, dot};
use crate::volume::Rim;

const SAG: &str = "sagitta of a circle, y^2/(r + sqrt(r^2 - y^2)), with the sign of r taken out";
const LINE: &str = "where a straight line meets a sphere: the nearer root of the quadratic";

/// A sphere, with its vertex at the origin and its axis along the depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sphere {
    /// 1/mm, + with its centre on the eye side.
    pub(crate) c: f64,
}

impl Sphere {
    /// A sphere of this curvature.
    #[must_use]
    pub const fn new(curvature: Curvature) -> Self {
        Self { c: curvature.in_per_mm() }
    }

    #[inline]
    pub(crate) fn on(self, x: f64, y: f64) -> On {
        let square = x * x + y * y;
        let w = (1.0 - self.c * self.c * square).sqrt();
        On { sag: self.c * square / (1.0 + w), square: [-self.c * x, -self.c * y, w] }
    }

    /// Where the line q + s a meets it: the root on the vertex's side, in the form that holds for a plane.
    /// c s² − 2 h s + g = 0 with h = a_z − c q·a and g = c q·q − 2 q_z.
    #[inline]
    pub(crate) fn line(self, q: Vec3, a: Vec3) -> f64 {
        let h = a[2] - self.c * dot(q, a);
        let g = self.c * dot(q, q) - 2.0 * q[2];
        g / (h + (h * h - self.c * g).sqrt())
    }

    /// What a point of the rim gives to the volume under the sphere.
    ///
    /// With ρ the distance from the axis and w = sqrt(1 − c² ρ²) = 1 − c h, the integral of sagitta times distance from the
    /// axis to the rim is c ρ⁴ (1 + 2w)/(6 (1 + w)²): it is swept once round.
    #[inline]
    pub(crate) fn rim(self, u: f64, v: f64, h: f64) -> Rim {
        let w = 1.0 - self.c * h;
        let swept = self.c * (u * u + v * v) * (1.0 + 2.0 * w) / (6.0 * (1.0 + w) * (1.0 + w));
        Rim { square: [-self.c * u, -self.c * v, w], beneath: [-swept * v, swept * u] }
    }

    /// Sagitta at (x, y) as a step of the open figure: c y^2/(1 + sqrt(1 − c^2 y^2)), y the distance from the axis, which
    /// keeps its digits for flat surfaces.
    pub(crate) fn worked_sag(self, w: &mut Working, x: f64, y: f64) -> f64 {
        if self.c == 0.0 {
            w.say(|| "A plane has no sagitta.".to_owned());
            return 0.0;
        }
        let r = 1.0 / self.c;
        step!(w, sag = (x * x + y * y) / (r * (1.0 + sqrt(1.0 - (x * x + y * y) / (r * r))));
            x["mm"], y["mm"], r["mm"]; "mm", SAG)
    }

    /// How far along the direction (ax, ay, az) from the point (qx, qy, qz) the surface lies, as a step.
    pub(crate) fn worked_line(self, w: &mut Working, [qx, qy, qz]: Vec3, [ax, ay, az]: Vec3) -> f64 {
        if self.c == 0.0 {
            return step!(w, along = (0.0 - qz) / az; qz["mm"], az[""]; "mm", "where a straight line meets a plane");
        }
        let r = 1.0 / self.c;
        let h = step!(w, h = az - (qx * ax + qy * ay + qz * az) / r;
            qx["mm"], qy["mm"], qz["mm"], ax[""], ay[""], az[""], r["mm"]; "", LINE);
        let g = step!(w, g = (qx * qx + qy * qy + qz * qz) / r - 2.0 * qz;
            qx["mm"], qy["mm"], qz["mm"], r["mm"]; "mm", LINE);
        step!(w, along = g / (h + sqrt(h * h - g / r)); g["mm"], h[""], r["mm"]; "mm", LINE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Mm;

    #[test]
    fn the_sagitta_of_a_known_circle() {
        // r - sqrt(r^2 - y^2) by hand for r = 100, y = 30; both ways round; a plane.
        let sag = |r: Option<f64>, x, y| {
            Sphere::new(Curvature::of_radius(r.map(Mm::new))).worked_sag(&mut Working::off(), x, y)
        };
        assert!((sag(Some(100.0), 30.0, 0.0) - 4.606_079_858_305_434).abs() < 1e-12);
        assert!((sag(Some(100.0), 18.0, -24.0) - 4.606_079_858_305_434).abs() < 1e-12);
        assert_eq!(sag(Some(-100.0), 30.0, 0.0), -sag(Some(100.0), 30.0, 0.0));
        assert_eq!(sag(None, 30.0, 40.0), 0.0);
    }
}
