//! The sphere that comes nearest to a rim.

use crate::least_squares::Normal;
use crate::noise::ROUNDING_MM;
use crate::point::Point;

/// The sphere with the least rms distance from a line, its centre free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct NearestSphere {
    /// One over its radius, 1/mm, + with the centre where heights grow; 0 for a plane, or where the rim does not tell.
    pub(crate) curvature: f64,
    /// The point of the sphere nearest to the plane of the outline, seen from above.
    pub(crate) pole: Point,
    /// Root mean square distance, mm.
    pub(crate) rms: f64,
    /// Whether the rim tells the curvature: a round rim that lies flat is met by spheres of any radius.
    pub(crate) told: bool,
}

/// A curvature below so many of its standard deviations is not told.
const TOLD: f64 = 4.0;

/// Gauss-Newton from the paraboloid of least squares; every place counts with its weight. None where the places do not
/// determine a plane.
pub(crate) fn nearest_sphere(places: &[Point], heights: &[f64], weights: &[f64]) -> Option<NearestSphere> {
    let n = places.len() as f64;
    // Weights of mean 1, so that variances are those of single heights.
    let mean = weights.iter().sum::<f64>() / n;
    let weights: Vec<f64> = weights.iter().map(|w| w / mean).collect();
    // z = level + by_x x + by_y y + k (x^2 + y^2) / 2
    let mut normal = Normal::<4>::new();
    for ((p, &z), &w) in places.iter().zip(heights).zip(&weights) {
        normal.take(&[1.0, p.x, p.y, 0.5 * (p.x * p.x + p.y * p.y)], z, w);
    }
    let paraboloid = normal.solved().and_then(|[level, by_x, by_y, k]| {
        let off = |p: &Point, z: f64| z - level - by_x * p.x - by_y * p.y - 0.5 * k * (p.x * p.x + p.y * p.y);
        let squares: f64 = places.iter().zip(heights).zip(&weights).map(|((p, &z), w)| w * off(p, z) * off(p, z)).sum();
        let noise = (squares / n).sqrt().max(ROUNDING_MM);
        let told = k.abs() > TOLD * noise * normal.variance(3)?.sqrt();
        told.then_some((level, by_x, by_y, k))
    });
    let Some((level, by_x, by_y, k)) = paraboloid else {
        return plane(places, heights, &weights);
    };
    let mut radius = (1.0 / k).abs();
    let (mut cx, mut cy) = (-by_x / k, -by_y / k);
    let mut cz = level - 0.5 * k * (cx * cx + cy * cy) + 1.0 / k;
    let mut rms = 0.0;
    for _ in 0..50 {
        let mut normal = Normal::<4>::new();
        let mut squares = 0.0;
        for ((p, &z), &w) in places.iter().zip(heights).zip(&weights) {
            let (dx, dy, dz) = (p.x - cx, p.y - cy, z - cz);
            let distance = (dx * dx + dy * dy + dz * dz).sqrt();
            let off = distance - radius;
            squares += w * off * off;
            // The distance falls as the centre comes nearer.
            normal.take(&[dx / distance, dy / distance, dz / distance, 1.0], off, w);
        }
        rms = (squares / n).sqrt();
        let Some([mx, my, mz, mr]) = normal.solved() else { break };
        (cx, cy, cz, radius) = (cx + mx, cy + my, cz + mz, radius + mr);
        if mx.abs().max(my.abs()).max(mz.abs()).max(mr.abs()) < 1e-9 * radius {
            break;
        }
    }
    Some(NearestSphere { curvature: k.signum() / radius, pole: Point::new(cx, cy), rms, told: true })
}

fn plane(places: &[Point], heights: &[f64], weights: &[f64]) -> Option<NearestSphere> {
    let mut normal = Normal::<3>::new();
    for ((p, &z), &w) in places.iter().zip(heights).zip(weights) {
        normal.take(&[1.0, p.x, p.y], z, w);
    }
    let [level, by_x, by_y] = normal.solved()?;
    let lean = (1.0 + by_x * by_x + by_y * by_y).sqrt();
    let off = |p: &Point, z: f64| (z - level - by_x * p.x - by_y * p.y) / lean;
    let squares: f64 = places.iter().zip(heights).zip(weights).map(|((p, &z), w)| w * off(p, z) * off(p, z)).sum();
    let rms = (squares / places.len() as f64).sqrt();
    Some(NearestSphere { curvature: 0.0, pole: Point::ORIGIN, rms, told: false })
}
