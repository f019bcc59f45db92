//! A surface of a lens, in its own axes: vertex at the origin, depth along its normal there.

use units::{Mm, Working};

use crate::biconic::Biconic;
use crate::conic::Conic;
use crate::sphere::Sphere;
use crate::torus::Torus;
use crate::volume::Rim;

/// A surface with an exact sagitta and exact slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surface {
    /// A sphere, or a plane.
    Sphere(Sphere),
    /// A circular-arc torus.
    Torus(Torus),
    /// A conic of revolution.
    Conic(Conic),
    /// A conic in each principal meridian.
    Biconic(Biconic),
}

impl Surface {
    /// A place in the directions in which the surface is described: along its principal meridians, where it has them.
    #[inline]
    pub(crate) fn turned(&self, x: f64, y: f64) -> (f64, f64) {
        match self {
            Self::Sphere(_) | Self::Conic(_) => (x, y),
            Self::Torus(torus) => torus.turned(x, y),
            Self::Biconic(biconic) => biconic.turned(x, y),
        }
    }

    /// Sagitta at a place so described.
    #[inline]
    pub(crate) fn sag_uv(&self, u: f64, v: f64) -> f64 {
        match self {
            Self::Sphere(sphere) => Conic { c: sphere.c, k: 0.0 }.sag(u, v),
            Self::Torus(torus) => torus.sag_uv(u, v),
            Self::Conic(conic) => conic.sag(u, v),
            Self::Biconic(biconic) => biconic.sag_uv(u, v),
        }
    }

    /// Slopes of the sagitta there by u and v.
    #[inline]
    pub(crate) fn slopes_uv(&self, u: f64, v: f64) -> [f64; 2] {
        match self {
            Self::Sphere(sphere) => sphere.gradient(u, v),
            Self::Torus(torus) => {
                let at = torus.slopes(u, v);
                [at.by_u, at.by_v]
            }
            Self::Conic(conic) => conic.gradient(u, v),
            Self::Biconic(biconic) => biconic.slopes_uv(u, v),
        }
    }

    /// The sagitta there as steps of the open figure.
    pub(crate) fn worked_sag_uv(&self, w: &mut Working, u: f64, v: f64) -> f64 {
        match self {
            Self::Sphere(sphere) => sphere.worked_sag(w, u, v),
            Self::Torus(torus) => torus.worked_sag_uv(w, u, v),
            Self::Conic(conic) => conic.worked_sag(w, u, v),
            Self::Biconic(biconic) => biconic.worked_sag_uv(w, u, v),
        }
    }

    /// What a point of the rim, h deep, gives to the volume under the surface.
    pub(crate) fn rim(&self, u: f64, v: f64, h: f64) -> Rim {
        match self {
            Self::Sphere(sphere) => sphere.rim(u, v, h),
            Self::Torus(torus) => torus.rim(u, v),
            Self::Conic(conic) => conic.rim(u, v, h),
            Self::Biconic(biconic) => biconic.rim(u, v),
        }
    }

    /// Curvature at the vertex, where it is the same in every meridian.
    pub(crate) const fn one_curvature(&self) -> Option<f64> {
        match self {
            Self::Sphere(sphere) => Some(sphere.c),
            Self::Conic(conic) => Some(conic.c),
            Self::Torus(_) | Self::Biconic(_) => None,
        }
    }

    /// Radii at the vertex in the meridians along and across: of a torus those of its generating circle and of its circle
    /// of revolution; twice the same for a sphere or a conic. A straight meridian has none.
    #[must_use]
    pub fn radii(&self) -> [Option<Mm>; 2] {
        let radius = |c: f64| if c == 0.0 { None } else { Some(Mm::new(1.0 / c)) };
        match self {
            Self::Sphere(sphere) => [radius(sphere.c); 2],
            Self::Conic(conic) => [radius(conic.c); 2],
            Self::Torus(torus) => [radius(torus.generating), radius(torus.revolution)],
            Self::Biconic(biconic) => biconic.c.map(radius),
        }
    }
}
