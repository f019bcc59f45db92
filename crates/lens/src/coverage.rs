//! Does the blank cover the shape: how far the wall reaches from the blank's middle.

use outline::Point;
use units::{Angle, Mm};

use crate::cut_outline::{CutOutline, SAMPLES};
use crate::cutting_axis::Cutting;
use crate::edge::Walls;
use crate::search::{Wanted, round};
use crate::vector::plus;

/// How far the wall reaches, and what is left of the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// Greatest distance from the blank's middle to an end of the wall, square to the lens axis.
    pub greatest_distance: Mm,
    /// Cut-out margin: usable radius less allowance less that distance; negative where the blank does not cover.
    pub margin: Mm,
    /// Direction of that place from the boxed centre.
    pub tightest: Angle,
    /// The farthest point in the lens's own plane, mm from its vertex.
    pub point: Point,
    /// Whether it lies on the back surface.
    pub at_back: bool,
}

/// The ends of the wall at one place that count: both surfaces, or the front alone where the wall is square to the plane in
/// which a blank is round.
const fn ends(cutting_along_lens_axis: bool) -> &'static [bool] {
    if cutting_along_lens_axis { &[false] } else { &[false, true] }
}

/// The cut-out margin of a blank.
///
/// Distances are square to the lens axis, in the lens's own plane, from `middle` (mm from the vertex there) to the front
/// and back end of the wall (`walls` at the samples), refined on the outline itself.
#[must_use]
pub fn coverage(
    cutting: &Cutting,
    cut: &CutOutline,
    walls: &Walls,
    middle: Point,
    usable_radius: Mm,
    allowance: Mm,
) -> Coverage {
    let (mut square, mut t, mut at_back) = (f64::NEG_INFINITY, 0.0, false);
    for &back in ends(cutting.along_lens_axis()) {
        let squares = square_distances(cutting, cut, walls, middle, back);
        let found = round(Wanted::Greatest, &squares, |t| square_distance(cutting, cut, middle, back, t));
        if found.value > square {
            (square, t, at_back) = (found.value, found.t, back);
        }
    }
    let p = cut.outline().point(t);
    let [x, y] = cutting.wall_end(p.x, p.y, at_back);
    let greatest_distance = Mm::new(square.sqrt());
    Coverage {
        greatest_distance,
        margin: usable_radius - allowance - greatest_distance,
        tightest: Angle::from_rad(t),
        point: Point::new(x, y),
        at_back,
    }
}

/// Square distances at the samples.
fn square_distances(
    cutting: &Cutting,
    cut: &CutOutline,
    walls: &Walls,
    middle: Point,
    at_back: bool,
) -> [f64; SAMPLES] {
    let mut out = if at_back { walls.back } else { walls.front };
    let (o, b) = (cutting.origin(), cutting.basis);
    for ((out, &x), &y) in out.iter_mut().zip(&cut.x).zip(&cut.y) {
        let dx = o[0] + x * b.x[0] + y * b.y[0] + *out * b.depth[0] - middle.x;
        let dy = o[1] + x * b.x[1] + y * b.y[1] + *out * b.depth[1] - middle.y;
        *out = dx * dx + dy * dy;
    }
    out
}

/// Square distance at one direction, and its slope by the direction.
fn square_distance(cutting: &Cutting, cut: &CutOutline, middle: Point, at_back: bool, t: f64) -> (f64, f64) {
    let (p, d) = cut.outline().point_and_derivative(t);
    let seen = if at_back { &cutting.back } else { &cutting.front };
    let depth = seen.depth(p.x, p.y);
    let [by_x, by_y] = seen.slopes(p.x, p.y, depth);
    let b = cutting.basis;
    let at = cutting.to_lens([p.x, p.y, depth]);
    let moves = plus(plus(plus([0.0; 3], d.x, b.x), d.y, b.y), by_x * d.x + by_y * d.y, b.depth);
    let (dx, dy) = (at[0] - middle.x, at[1] - middle.y);
    (dx * dx + dy * dy, 2.0 * (dx * moves[0] + dy * moves[1]))
}
