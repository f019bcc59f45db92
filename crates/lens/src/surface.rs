//! A surface of a lens, in its own axes: vertex at the origin, depth along its normal there.

use units::{Mm, Working};

use crate::sphere::Sphere;
use crate::torus::Torus;

/// A surface with an exact sagitta and exact slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surface {
    /// A sphere, or a plane.
    Sphere(Sphere),
    /// A circular-arc torus.
    Torus(Torus),
}

impl Surface {
    /// Depth under the plane that touches the vertex, mm, growing towards the eye; NaN beyond the end of the surface.
    #[inline]
    pub(crate) fn sag(&self, x: f64, y: f64) -> f64 {
        match self {
            Self::Sphere(sphere) => sphere.sag(x, y),
            Self::Torus(torus) => {
                let (u, v) = torus.turned(x, y);
                torus.sag_uv(u, v)
            }
        }
    }

    /// Slopes of the sagitta by x and y.
    pub(crate) fn gradient(&self, x: f64, y: f64) -> [f64; 2] {
        match self {
            Self::Sphere(sphere) => sphere.gradient(x, y),
            Self::Torus(torus) => torus.gradient(x, y),
        }
    }

    /// The sagitta as steps of the open figure.
    pub(crate) fn worked_sag(&self, w: &mut Working, x: f64, y: f64) -> f64 {
        match self {
            Self::Sphere(sphere) => sphere.worked_sag(w, x, y),
            Self::Torus(torus) => torus.worked_sag(w, x, y),
        }
    }

    /// Radii in the meridians along and across a torus's generating circle; twice the same for a sphere. A straight
    /// meridian has none.
    #[must_use]
    pub fn radii(&self) -> [Option<Mm>; 2] {
        let radius = |c: f64| if c == 0.0 { None } else { Some(Mm::new(1.0 / c)) };
        match self {
            Self::Sphere(sphere) => [radius(sphere.c); 2],
            Self::Torus(torus) => [radius(torus.generating), radius(torus.revolution)],
        }
    }

    /// Greatest curvature of any meridian, without sign, 1/mm.
    pub(crate) fn most_curved(&self) -> f64 {
        match self {
            Self::Sphere(sphere) => sphere.c.abs(),
            Self::Torus(torus) => torus.generating.abs().max(torus.revolution.abs()),
        }
    }

    /// Curvature of the sphere that comes nearest at the vertex, 1/mm.
    pub(crate) fn mean_curvature(&self) -> f64 {
        match self {
            Self::Sphere(sphere) => sphere.c,
            Self::Torus(torus) => 0.5 * (torus.generating + torus.revolution),
        }
    }
}
