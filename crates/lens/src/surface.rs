//! A surface of a lens, in its own axes: vertex at the origin, depth along its normal there.

use units::Mm;

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
    /// Slopes of the sagitta by x and y.
    pub(crate) fn gradient(&self, x: f64, y: f64) -> [f64; 2] {
        match self {
            Self::Sphere(sphere) => sphere.gradient(x, y),
            Self::Torus(torus) => torus.gradient(x, y),
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
}
