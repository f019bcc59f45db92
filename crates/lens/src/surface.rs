//! A surface of a lens, in its own axes: vertex at the origin, depth along its normal there.

use units::{Mm, Working};

use crate::biconic::Biconic;
use crate::conic::Conic;
use crate::fault::Ending;
use crate::sphere::Sphere;
use crate::torus::Torus;
use crate::vector::Vec3;
use crate::volume::Rim;

/// A surface with an exact sagitta and exact slopes. Where it ends, its sagitta is not a number; what is asked of a lens
/// there is a fault or none.
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

/// A place of a surface.
#[derive(Debug, Clone, Copy)]
pub(crate) struct On {
    /// Sagitta there.
    pub(crate) sag: f64,
    /// A vector square to the surface there, of any length, its last component above zero: slopes without a division.
    pub(crate) square: Vec3,
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

    /// The surface at a place so described.
    #[inline]
    pub(crate) fn on(&self, u: f64, v: f64) -> On {
        match self {
            Self::Sphere(sphere) => sphere.on(u, v),
            Self::Torus(torus) => torus.on(u, v),
            Self::Conic(conic) => conic.on(u, v),
            Self::Biconic(biconic) => biconic.on(u, v),
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

    /// What makes it end before this distance from its axis, mm.
    pub(crate) fn ending(&self, distance: f64) -> Ending {
        let (c, constants) = match self {
            Self::Sphere(sphere) => ([sphere.c; 2], [0.0; 2]),
            Self::Conic(conic) => ([conic.c; 2], [conic.k; 2]),
            Self::Torus(torus) => ([torus.generating, torus.revolution], [0.0; 2]),
            Self::Biconic(biconic) => (biconic.c, biconic.k),
        };
        let steepest = if c[0].abs() > c[1].abs() { c[0] } else { c[1] };
        if constants.iter().any(|&k| k > 0.0) && steepest.abs() * distance < 1.0 {
            Ending::Conic
        } else if steepest < 0.0 {
            Ending::WrongWay
        } else {
            Ending::Steep
        }
    }

    /// Whether it is made of circles: a sphere, a plane or a torus.
    pub(crate) const fn of_circles(&self) -> bool {
        matches!(self, Self::Sphere(_) | Self::Torus(_))
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
