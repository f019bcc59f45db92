//! The conic surface of revolution.

use optics::Curvature;
use units::maths::sqrt;
use units::{Working, step};

use crate::surface::On;
use crate::vector::{Vec3, dot};
use crate::volume::Rim;

const SAG: &str = "conic of revolution: c r^2/(1 + sqrt(1 - (1 + k) c^2 r^2)), r = 1/c, k the conic constant";
const LINE: &str = "where a straight line meets a conic of revolution: the root on the vertex's side";

/// A conic of revolution, with its vertex at the origin and its axis along the depth.
///
/// s = c ρ²/(1 + sqrt(1 − (1 + k) c² ρ²)), with ρ the distance from the axis. k is the conic constant (minus the
/// square of the eccentricity): 0 a sphere, −1 a paraboloid, below a hyperboloid, between the two an ellipsoid that
/// flattens towards the rim, above 0 one that steepens. The curvature at the vertex, and with it the power there, is c
/// whatever k.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conic {
    /// Curvature at the vertex, 1/mm, + with its centre on the eye side.
    pub(crate) c: f64,
    /// Conic constant.
    pub(crate) k: f64,
}

impl Conic {
    /// A conic of this curvature at its vertex and this conic constant.
    #[must_use]
    pub const fn new(curvature: Curvature, constant: f64) -> Self {
        Self { c: curvature.in_per_mm(), k: constant }
    }

    #[inline]
    pub(crate) fn sag(self, x: f64, y: f64) -> f64 {
        let square = x * x + y * y;
        self.c * square / (1.0 + (1.0 - (1.0 + self.k) * self.c * self.c * square).sqrt())
    }

    #[inline]
    pub(crate) fn on(self, x: f64, y: f64) -> On {
        let square = x * x + y * y;
        let w = (1.0 - (1.0 + self.k) * self.c * self.c * square).sqrt();
        On { sag: self.c * square / (1.0 + w), square: [-self.c * x, -self.c * y, w] }
    }

    /// Where the line q + s a meets it: A s² − 2 h s + g = 0, from c (x² + y² + (1 + k) z²) = 2 z with |a| = 1.
    #[inline]
    pub(crate) fn line(self, q: Vec3, a: Vec3) -> f64 {
        self.line_by(dot(q, q), dot(q, a), q[2], a[2])
    }

    /// The same from the products of q and a alone: the smaller root, in the form that holds for planes. Not a number
    /// where it lies on the far side of an ellipsoid or on the other sheet of a hyperboloid.
    #[inline]
    pub(crate) fn line_by(self, qq: f64, qa: f64, qz: f64, az: f64) -> f64 {
        let Self { c, k } = self;
        let h = az - c * (qa + k * qz * az);
        let g = c * (qq + k * qz * qz) - 2.0 * qz;
        let s = g / (h + (h * h - c * (1.0 + k * az * az) * g).sqrt());
        // The root of the sagitta's formula: below zero, the point is not one of those that the formula gives.
        let w = 1.0 - (1.0 + k) * c * (qz + s * az);
        if w < 0.0 { f64::NAN } else { s }
    }

    /// What a point of the rim gives to the volume under the conic.
    ///
    /// With w = sqrt(1 − (1 + k) c² ρ²) = 1 − (1 + k) c h the integral of sagitta times distance from the axis to the rim
    /// is c ρ⁴ (1 + 2w)/(6 (1 + w)²), the sphere's own: it is swept once round.
    #[inline]
    pub(crate) fn rim(self, u: f64, v: f64, h: f64) -> Rim {
        let w = 1.0 - (1.0 + self.k) * self.c * h;
        let swept = self.c * (u * u + v * v) * (1.0 + 2.0 * w) / (6.0 * (1.0 + w) * (1.0 + w));
        Rim { square: [-self.c * u, -self.c * v, w], beneath: [-swept * v, swept * u] }
    }

    /// The sagitta as a step of the open figure.
    pub(crate) fn worked_sag(self, w: &mut Working, x: f64, y: f64) -> f64 {
        if self.c == 0.0 {
            w.say(|| "A plane has no sagitta.".to_owned());
            return 0.0;
        }
        let (r, k) = (1.0 / self.c, self.k);
        step!(w, sag = (x * x + y * y) / (r * (1.0 + sqrt(1.0 - (1.0 + k) * (x * x + y * y) / (r * r))));
            x["mm"], y["mm"], r["mm"], k[""]; "mm", SAG)
    }

    /// How far along the direction from the point the surface lies, as steps.
    pub(crate) fn worked_line(self, w: &mut Working, [qx, qy, qz]: Vec3, [ax, ay, az]: Vec3) -> f64 {
        if self.c == 0.0 {
            return step!(w, along = (0.0 - qz) / az; qz["mm"], az[""]; "mm", "where a straight line meets a plane");
        }
        let (r, k) = (1.0 / self.c, self.k);
        let h = step!(w, h = az - (qx * ax + qy * ay + (1.0 + k) * qz * az) / r;
            qx["mm"], qy["mm"], qz["mm"], ax[""], ay[""], az[""], r["mm"], k[""]; "", LINE);
        let g = step!(w, g = (qx * qx + qy * qy + (1.0 + k) * qz * qz) / r - 2.0 * qz;
            qx["mm"], qy["mm"], qz["mm"], r["mm"], k[""]; "mm", LINE);
        step!(w, along = g / (h + sqrt(h * h - (1.0 + k * az * az) * g / r));
            g["mm"], h[""], r["mm"], k[""], az[""]; "mm", LINE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sphere::Sphere;
    use units::Mm;

    fn conic(radius: f64, constant: f64) -> Conic {
        Conic::new(Curvature::of_radius(Some(Mm::new(radius))), constant)
    }

    #[test]
    fn a_constant_of_nothing_is_a_sphere() {
        let sphere = Sphere::new(Curvature::of_radius(Some(Mm::new(80.0))));
        for (x, y) in [(0.0, 0.0), (20.0, 3.0), (-11.0, 27.0)] {
            assert!((conic(80.0, 0.0).sag(x, y) - sphere.worked_sag(&mut Working::off(), x, y)).abs() < 1e-13);
        }
    }

    #[test]
    fn a_paraboloid_is_a_parabola() {
        // z = y²/(2r) by definition of the parabola, r its radius at the vertex.
        assert!((conic(100.0, -1.0).sag(30.0, 0.0) - 4.5).abs() < 1e-13);
        assert!((conic(-100.0, -1.0).sag(18.0, 24.0) + 4.5).abs() < 1e-13);
    }

    #[test]
    fn an_ellipsoid_meets_its_equation() {
        // (z - a)²/a² + ρ²/b² = 1 with a = r/(1+k), b² = r a: the ellipse of semi-axes a along and b across.
        let (r, k) = (70.0, -0.4);
        let (a, b2) = (r / (1.0 + k), r * r / (1.0 + k));
        for rho in [0.0, 5.0, 25.0, 40.0] {
            let z = conic(r, k).sag(rho, 0.0);
            assert!(((z - a) * (z - a) / (a * a) + rho * rho / b2 - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn it_ends_where_it_has_no_sagitta() {
        // An oblate conic of r = 30 and k = 3 ends at r/sqrt(1 + k) = 15 mm from its axis.
        assert!(conic(30.0, 3.0).sag(14.99, 0.0).is_finite());
        assert!(conic(30.0, 3.0).sag(15.01, 0.0).is_nan());
    }

    #[test]
    fn a_slanting_line_ends_on_it() {
        for k in [-2.0, -1.0, -0.3, 0.7] {
            let surface = conic(75.0, k);
            let (q, a) = ([12.0, -7.0, 0.4], [0.08, -0.05, (1.0f64 - 0.0064 - 0.0025).sqrt()]);
            let s = surface.line(q, a);
            let at = [q[0] + s * a[0], q[1] + s * a[1], q[2] + s * a[2]];
            assert!((surface.sag(at[0], at[1]) - at[2]).abs() < 1e-12, "{k}");
            let mut w = Working::on();
            w.figure("", "line");
            assert!((surface.worked_line(&mut w, q, a) - s).abs() < 1e-12, "{k}");
        }
    }
}
