//! Volume of the square lens, as an integral round the cut outline.

use crate::cut_outline::{CutOutline, Nodes};
use crate::cutting_axis::Cutting;
use crate::fault::NoLens;
use crate::seen::Seen;
use crate::surface::Surface;
use crate::vector::{Vec3, dot, plus};

/// Volume between the surfaces inside the cut outline, mm3; the walls are parallel to the cutting axis.
///
/// Exact for spheres, planes, tori, conics and biconics at any lean, correction in: the integral over the area is turned
/// into one round the outline by Green's theorem; Gauss-Legendre on each of the outline's smooth parts leaves some 1e-10
/// of it.
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
/// over what the walls' ends enclose in (u, v). L is linear, and ∬ h is an integral round the rim for each surface: see
/// [`Rim`].
fn under(seen: &Seen, nodes: &Nodes, depths: &mut [f64]) -> f64 {
    seen.depths(&nodes.x, &nodes.y, depths);
    let correction = seen.correction;
    match seen.surface {
        _ if !correction.is_none() => around(seen, nodes, depths, |u, v, h| {
            let uncorrected = h - correction.sag(u, v);
            correction.rim(u, v, seen.surface.rim(u, v, uncorrected))
        }),
        Surface::Sphere(sphere) => around(seen, nodes, depths, |u, v, h| sphere.rim(u, v, h)),
        Surface::Torus(torus) => around(seen, nodes, depths, |u, v, _| torus.rim(u, v)),
        Surface::Conic(conic) => around(seen, nodes, depths, |u, v, h| conic.rim(u, v, h)),
        Surface::Biconic(biconic) => around(seen, nodes, depths, |u, v, _| biconic.rim(u, v)),
    }
}

/// What a surface contributes at a point of its rim.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rim {
    /// A vector square to the surface, of any length.
    pub(crate) square: Vec3,
    /// P and Q of an integral ∮ P du + Q dv that is the integral of the sagitta over what the rim encloses.
    pub(crate) beneath: [f64; 2],
}

/// The integral of [`under`], from the depths at the nodes; they are overwritten by its elements, which a loop without a
/// sum makes in vectors.
fn around(seen: &Seen, nodes: &Nodes, depths: &mut [f64], rim: impl Fn(f64, f64, f64) -> Rim) -> f64 {
    let [au, av, az] = seen.a;
    let level = dot(seen.a, seen.o);
    let points = nodes.x.iter().zip(&nodes.y).zip(nodes.dx.iter().zip(&nodes.dy));
    for (depth, ((&x, &y), (&dx, &dy))) in depths.iter_mut().zip(points) {
        let [u, v, h] = plus(seen.base(x, y), *depth, seen.a);
        let Rim { square, beneath: [p, q] } = rim(u, v, h);
        // Along the rim the surface keeps to its own slope: the step across the wall, and what it deepens by.
        let step = plus(plus([0.0; 3], dx, seen.x), dy, seen.y);
        let [du, dv, _] = plus(step, -dot(square, step) / dot(square, seen.a), seen.a);
        let l = au * u + av * v - level;
        *depth = az * (l - 0.5 * au * u) * u * dv - (l * h + 0.5 * az * h * h) * (au * dv - av * du) + p * du + q * dv;
    }
    depths.iter().sum()
}
