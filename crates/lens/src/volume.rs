//! Volume of the square lens.

use crate::cut_outline::CutOutline;
use crate::cutting_axis::Cutting;
use crate::fault::NoLens;

/// Gauss-Legendre on [0, 1], eight points: exact for polynomials of degree 15 along a radius.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4, moved from [-1, 1].
const RADIAL: [(f64, f64); 8] = [
    (0.019_855_071_751_231_856, 0.050_614_268_145_188_13),
    (0.101_666_761_293_186_64, 0.111_190_517_226_687_24),
    (0.237_233_795_041_835_5, 0.156_853_322_938_943_64),
    (0.408_282_678_752_175_1, 0.181_341_891_689_180_99),
    (0.591_717_321_247_824_9, 0.181_341_891_689_180_99),
    (0.762_766_204_958_164_5, 0.156_853_322_938_943_64),
    (0.898_333_238_706_813_4, 0.111_190_517_226_687_24),
    (0.980_144_928_248_768_1, 0.050_614_268_145_188_13),
];

/// Volume between the surfaces inside the cut outline, mm3; the walls are parallel to the cutting axis.
///
/// The integral of the thickness over the area, in shares of the outline's own radius: round the outline
/// Gauss-Legendre on each of its smooth parts, inwards eight points of the same.
///
/// # Errors
/// [`NoLens::SurfaceEnds`] where a surface does not reach the outline.
pub fn volume_mm3(cutting: &Cutting, cut: &CutOutline) -> Result<f64, NoLens> {
    let nodes = &cut.nodes;
    let n = nodes.x.len();
    let (mut xs, mut ys) = (vec![0.0; n], vec![0.0; n]);
    let (mut front, mut back) = (vec![0.0; n], vec![0.0; n]);
    let mut volume = 0.0;
    for (share, weight) in RADIAL {
        for i in 0..n {
            (xs[i], ys[i]) = (share * nodes.x[i], share * nodes.y[i]);
        }
        cutting.front.depths(&xs, &ys, &mut front);
        cutting.back.depths(&xs, &ys, &mut back);
        let mut ring = 0.0;
        for i in 0..n {
            // P x P' dt is twice the area that the ray sweeps.
            ring += (back[i] - front[i]) * (nodes.x[i] * nodes.dy[i] - nodes.y[i] * nodes.dx[i]);
        }
        volume += weight * share * ring;
    }
    if volume.is_finite() {
        return Ok(volume);
    }
    crate::edge::samples(cutting, cut)?;
    // The samples reach all round: only a node between them can have missed.
    Err(cutting.ends(nodes.x[0], nodes.y[0]))
}
