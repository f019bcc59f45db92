//! Volume of the square lens, as an integral round the cut outline.

use crate::cut_outline::{CutOutline, Nodes};
use crate::cutting_axis::Cutting;
use crate::fault::NoLens;
use crate::placed::Seen;

/// Volume between the surfaces inside the cut outline, mm3; the walls are parallel to the cutting axis.
///
/// Exact for spheres, planes and tori at any lean: the integral over the area is turned into one round the outline by
/// Green's theorem, see [`under`]; Gauss-Legendre on each of the outline's smooth parts leaves some 1e-10 of it.
///
/// # Errors
/// [`NoLens::SurfaceEnds`] where a surface does not reach the outline.
pub fn volume_mm3(cutting: &Cutting, cut: &CutOutline) -> Result<f64, NoLens> {
    let nodes = &cut.nodes;
    let mut depths = vec![0.0; nodes.x.len()];
    let volume = under(&cutting.back, nodes, &mut depths) - under(&cutting.front, nodes, &mut depths);
    if volume.is_finite() {
        return Ok(volume);
    }
    let beyond = (0..nodes.x.len()).find(|&i| cutting.wall(outline::Point::new(nodes.x[i], nodes.y[i])).is_none());
    let i = beyond.unwrap_or(0);
    Err(cutting.ends(nodes.x[i], nodes.y[i]))
}

/// Volume between the cutting plane and a surface, inside the walls on the outline.
///
/// In the surface's own axes (u, v, z), z = h(u, v), let a be the cutting axis and o the origin of the cutting plane.
/// With L = a_u u + a_v v − a·o the depth of a point of the surface is L + a_z h, and the area that the surface's element
/// du dv covers of the cutting plane is (a_z − a_u h_u − a_v h_v) du dv. Multiplied out, with the derivatives of products
/// moved to the rim and a_u² + a_v² + a_z² = 1,
///
/// V = ∬ (a_z L + h) du dv − ∮ (L h + a_z h²/2)(a_u dv − a_v du),
///
/// over what the walls' ends enclose in (u, v). L is linear, and ∬ h has its own form round the rim for each surface:
/// [`crate::surface::Surface::beneath`].
fn under(seen: &Seen, nodes: &Nodes, depths: &mut [f64]) -> f64 {
    seen.depths(&nodes.x, &nodes.y, depths);
    let [au, av, az] = seen.a;
    let level = crate::vector::dot(seen.a, seen.o);
    let mut volume = 0.0;
    for i in 0..nodes.x.len() {
        let (x, y, dx, dy) = (nodes.x[i], nodes.y[i], nodes.dx[i], nodes.dy[i]);
        let [u, v, h] = crate::vector::plus(seen.base(x, y), depths[i], seen.a);
        let [by_x, by_y] = if seen.straight { [0.0; 2] } else { seen.slopes(x, y, depths[i]) };
        let deeper = by_x * dx + by_y * dy;
        let du = dx * seen.x[0] + dy * seen.y[0] + deeper * au;
        let dv = dx * seen.x[1] + dy * seen.y[1] + deeper * av;
        let l = au * u + av * v - level;
        volume += az * (0.5 * au * u + av * v - level) * u * dv;
        volume -= (l * h + 0.5 * az * h * h) * (au * dv - av * du);
        volume += seen.surface.beneath(u, v, du, dv);
    }
    volume
}
