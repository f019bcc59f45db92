//! The lens as the machine holds it: the cutting axis, and everything measured along it.

use job::rules::{Block, BlockAt, CuttingAxis};
use optics::Face;
use outline::Point;
use units::maths::{abs, asin_deg, atan2_deg, hypot, sqrt};
use units::{Mm, Working, step};

use crate::body::{Lens, there};
use crate::fault::NoLens;
use crate::seen::Seen;
use crate::surface::Surface;
use crate::vector::{Basis, Vec3, dot, minus, plus};

/// A lens with its cutting axis.
///
/// Cutting coordinates (x, y, depth): x and y in the plane square to the cutting axis, mm from the boxed centre, to the
/// viewer's right and up; depth along the cutting axis from the front surface at the block point, growing towards the
/// eye. Lens coordinates: see [`Lens`]. The lens is turned onto the axis by the least turn, without twist.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cutting {
    lens: Lens,
    vertex: Point,
    block: Point,
    /// The boxed centre at depth zero, in lens coordinates.
    origin: Vec3,
    pub(crate) basis: Basis,
    pub(crate) front: Seen,
    pub(crate) back: Seen,
}

/// The wall of the lens at one place: the line along the cutting axis from front to back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Where the front surface is met, along the cutting axis from the front at the block point.
    pub front_depth: Mm,
    /// Where the back surface is met, likewise.
    pub back_depth: Mm,
}

impl Wall {
    /// Length of the wall; at the cut outline the square edge. Negative where the surfaces have crossed before.
    #[must_use]
    pub fn thickness(self) -> Mm {
        self.back_depth - self.front_depth
    }
}

/// The block point is found to this, mm.
const BLOCK_POINT: f64 = 1e-12;

impl Cutting {
    /// Holds a lens so that its vertex (the optical centre of a lens without ground prism, the prism reference point of
    /// one with) lies at `vertex`, mm from the boxed centre in the plane square to the cutting axis.
    ///
    /// # Errors
    /// [`NoLens::BlockPoint`] where the front ends before it reaches the block point; [`NoLens::NotSettled`] where a
    /// front that is no sphere does not let it be found.
    pub fn new(lens: Lens, vertex: Point, block: &Block) -> Result<Self, NoLens> {
        let away = Mm::new(hypot(vertex.x, vertex.y));
        let off = NoLens::BlockPoint { away };
        let (at, basis, block_point) = match (block.at, block.axis) {
            (BlockAt::OpticalCentre, _) => ([0.0; 3], Basis::LENS, vertex),
            (BlockAt::BoxedCentre, CuttingAxis::LensAxis) => {
                let depth = lens.front_depth(-vertex.x, -vertex.y).ok_or(off)?;
                ([-vertex.x, -vertex.y, depth], Basis::LENS, Point::ORIGIN)
            }
            (BlockAt::BoxedCentre, CuttingAxis::FrontNormal) => {
                let (at, basis) = block_point_under(&lens, vertex)?;
                (at, basis, Point::ORIGIN)
            }
        };
        let origin = plus(plus(at, -block_point.x, basis.x), -block_point.y, basis.y);
        let (front, back) = (lens.front.seen(origin, basis), lens.back.seen(origin, basis));
        Ok(Self { lens, vertex, block: block_point, origin, basis, front, back })
    }

    /// The lens.
    #[must_use]
    pub const fn lens(&self) -> &Lens {
        &self.lens
    }

    /// The vertex, mm from the boxed centre.
    #[must_use]
    pub const fn vertex(&self) -> Point {
        self.vertex
    }

    /// The block point, mm from the boxed centre.
    #[must_use]
    pub const fn block_point(&self) -> Point {
        self.block
    }

    /// Whether the cutting axis is parallel to the lens axis.
    #[must_use]
    pub fn along_lens_axis(&self) -> bool {
        self.basis == Basis::LENS
    }

    /// The cutting axis in the lens's axes, a unit vector towards the viewer: to the viewer's right, up, towards the
    /// viewer.
    #[must_use]
    pub fn axis_in_lens(&self) -> [f64; 3] {
        let [x, y, depth] = self.basis.depth;
        [-x, -y, depth]
    }

    /// How far the cutting axis leans in the lens's axes, degrees: to the viewer's right and up. Steps of the open
    /// figure, which is the last of the two.
    pub fn lean_deg(&self, w: &mut Working) -> [f64; 2] {
        const LEAN: &str = "normal of the front at the block point, seen in the lens's axes";
        if self.along_lens_axis() {
            w.say(|| "The cutting axis is parallel to the lens axis.".to_owned());
            return [0.0, 0.0];
        }
        let (x, y) = (self.vertex.x, self.vertex.y);
        if let Surface::Sphere(sphere) = self.lens.front.surface {
            let r = 1.0 / sphere.c;
            step!(w, lean = asin_deg(sqrt(x * x + y * y) / abs(r)); x["mm"], y["mm"], r["mm"]; "degrees",
                "a normal of a sphere leans by the angle whose sine is the distance from the vertex over the radius");
            let right = step!(w, lean_right = atan2_deg(0.0 - x / r, sqrt(1.0 - (x * x + y * y) / (r * r)));
                x["mm"], y["mm"], r["mm"]; "degrees", LEAN);
            let up = step!(w, lean_up = atan2_deg(0.0 - y / r, sqrt(1.0 - (x * x + y * y) / (r * r)));
                x["mm"], y["mm"], r["mm"]; "degrees", LEAN);
            return [right, up];
        }
        w.say(|| "The block point was found on the front by iteration; its normal there:".to_owned());
        let [right, up, viewer] = self.axis_in_lens();
        [
            step!(w, lean_right = atan2_deg(right, viewer); right[""], viewer[""]; "degrees", LEAN),
            step!(w, lean_up = atan2_deg(up, viewer); up[""], viewer[""]; "degrees", LEAN),
        ]
    }

    /// The wall at a place of the cutting plane; none where a surface ends before.
    #[must_use]
    pub fn wall(&self, at: Point) -> Option<Wall> {
        Some(Wall { front_depth: Mm::new(self.front_depth(at)?), back_depth: Mm::new(self.back_depth(at)?) })
    }

    /// Depth of the front surface at a place of the cutting plane, mm; none where it ends before.
    #[must_use]
    pub fn front_depth(&self, at: Point) -> Option<f64> {
        there(self.front.depth(at.x, at.y))
    }

    /// Depth of the back surface at a place of the cutting plane, mm; none where it ends before.
    #[must_use]
    pub fn back_depth(&self, at: Point) -> Option<f64> {
        there(self.back.depth(at.x, at.y))
    }

    /// Thickness along the cutting axis as steps of the open figure.
    ///
    /// # Errors
    /// [`NoLens::SurfaceEnds`] where a surface does not reach the place.
    pub fn thickness(&self, w: &mut Working, at: Point) -> Result<Mm, NoLens> {
        self.wall(at).ok_or_else(|| self.ends(at.x, at.y))?;
        let (front, back) = self.worked_depths(w, at);
        Ok(Mm::new(step!(w, thickness = back - front; back["mm"], front["mm"]; "mm", "along the cutting axis")))
    }

    pub(crate) fn worked_depths(&self, w: &mut Working, at: Point) -> (f64, f64) {
        w.say(|| "Front surface:".to_owned());
        let front = self.front.worked_depth(w, at.x, at.y);
        w.say(|| "Back surface:".to_owned());
        let back = self.back.worked_depth(w, at.x, at.y);
        (front, back)
    }

    /// Thickness and its slopes by x and y; NaN where a surface ends.
    pub(crate) fn thickness_and_slopes(&self, x: f64, y: f64) -> (f64, [f64; 2]) {
        let (front, back) = (self.front.depth(x, y), self.back.depth(x, y));
        let (f, b) = (self.front.slopes(x, y, front), self.back.slopes(x, y, back));
        (back - front, [b[0] - f[0], b[1] - f[1]])
    }

    /// A point of cutting coordinates in lens coordinates, mm.
    #[must_use]
    pub fn to_lens(&self, [x, y, depth]: [f64; 3]) -> [f64; 3] {
        plus(plus(plus(self.origin, x, self.basis.x), y, self.basis.y), depth, self.basis.depth)
    }

    /// A point of lens coordinates in cutting coordinates, mm.
    #[must_use]
    pub fn from_lens(&self, point: [f64; 3]) -> [f64; 3] {
        let q = minus(point, self.origin);
        [dot(q, self.basis.x), dot(q, self.basis.y), dot(q, self.basis.depth)]
    }

    /// Where the wall at (x, y) ends on the front or the back, in the lens's own plane.
    pub(crate) fn wall_end(&self, x: f64, y: f64, at_back: bool) -> [f64; 2] {
        let depth = if at_back { self.back.depth(x, y) } else { self.front.depth(x, y) };
        let [x, y, _] = self.to_lens([x, y, depth]);
        [x, y]
    }

    pub(crate) const fn origin(&self) -> Vec3 {
        self.origin
    }

    /// The fault of a place that a surface does not reach.
    pub(crate) fn ends(&self, x: f64, y: f64) -> NoLens {
        let (face, seen) =
            if self.front.depth(x, y).is_finite() { (Face::Back, &self.back) } else { (Face::Front, &self.front) };
        let [q, v, _] = seen.base(x, y);
        let cause = seen.surface.ending(hypot(q, v));
        NoLens::SurfaceEnds { face, cause, x, y }
    }
}

/// The point of the front whose normal, taken as cutting axis, puts the vertex at `vertex` beside it.
fn block_point_under(lens: &Lens, vertex: Point) -> Result<(Vec3, Basis), NoLens> {
    let off = NoLens::BlockPoint { away: Mm::new(hypot(vertex.x, vertex.y)) };
    let at = |x: f64, y: f64| {
        let depth = lens.front_depth(x, y).ok_or(off)?;
        Ok(([x, y, depth], Basis::least_turn_to(lens.front.normal_at([x, y, depth]))))
    };
    // On a sphere the vertex lies as far beside the normal as the block point lies beside the axis: exact.
    let (mut x, mut y) = (-vertex.x, -vertex.y);
    let (mut point, mut basis) = at(x, y)?;
    if matches!(lens.front.surface, Surface::Sphere(_)) {
        return Ok((point, basis));
    }
    // Elsewhere nearly so: what is short is added, and shrinks by the curvature's share over the lens at each turn.
    let mut short = f64::INFINITY;
    for _ in 0..50 {
        let (dx, dy) = (vertex.x + dot(basis.x, point), vertex.y + dot(basis.y, point));
        short = hypot(dx, dy);
        if short <= BLOCK_POINT {
            return Ok((point, basis));
        }
        (x, y) = (x - dx, y - dy);
        (point, basis) = at(x, y)?;
    }
    Err(NoLens::NotSettled { what: "the block point", residual: short })
}
