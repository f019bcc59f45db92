//! A surface at its place in the lens.

use crate::correction::Correction;
use crate::seen::Seen;
use crate::surface::Surface;
use crate::vector::{Basis, Vec3, dot, minus, plus, unit};

/// A surface with the place of its vertex and its directions, in the lens's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    pub(crate) surface: Surface,
    /// What is added to its sagitta.
    pub(crate) correction: Correction,
    pub(crate) vertex: Vec3,
    pub(crate) basis: Basis,
}

impl Placed {
    fn own(&self, direction: Vec3) -> Vec3 {
        [dot(direction, self.basis.x), dot(direction, self.basis.y), dot(direction, self.basis.depth)]
    }

    /// The surface as it looks to lines through a plane: see [`Seen`].
    pub(crate) fn seen(&self, origin: Vec3, plane: Basis) -> Seen {
        let line = self.seen_along(origin, plane.depth);
        Seen { x: self.turned(plane.x), y: self.turned(plane.y), ..line }
    }

    /// A direction in the surface's own axes, along its principal meridians.
    #[inline]
    fn turned(&self, direction: Vec3) -> Vec3 {
        let [x, y, z] = self.own(direction);
        let (u, v) = self.surface.turned(x, y);
        [u, v, z]
    }

    /// As it looks to the one line through the origin.
    #[inline]
    fn seen_along(&self, origin: Vec3, direction: Vec3) -> Seen {
        let (o, a) = (self.turned(minus(origin, self.vertex)), self.turned(direction));
        let straight = a[0] == 0.0 && a[1] == 0.0;
        Seen { surface: self.surface, correction: self.correction, o, x: [0.0; 3], y: [0.0; 3], a, straight }
    }

    /// How far along `direction` from `point` the surface lies, mm; NaN where the line misses it.
    pub(crate) fn along(&self, point: Vec3, direction: Vec3) -> f64 {
        self.seen_along(point, direction).depth_at_origin()
    }

    /// The surface's normal, a unit vector in the lens's axes towards the eye, at a point on it.
    pub(crate) fn normal_at(&self, point: Vec3) -> Vec3 {
        let [x, y, _] = self.own(minus(point, self.vertex));
        let (u, v) = self.surface.turned(x, y);
        let [nu, nv, nz] = unit(self.correction.on(u, v, self.surface.on(u, v)).square);
        // Back from the principal meridians: turning by an angle and mirroring undo one another.
        let (ux, uy) = self.surface.turned(1.0, 0.0);
        let (nx, ny) = (nu * ux + nv * uy, nv * ux - nu * uy);
        let Basis { x, y, depth } = self.basis;
        plus(plus(plus([0.0; 3], nx, x), ny, y), nz, depth)
    }
}
