//! A closed line in space along an outline: its length, equal shares of it, and the sphere that comes nearest.

use units::Mm;

use crate::nearest_sphere::nearest_sphere;
use crate::places::Places;
use crate::point::Point;
use crate::{Depth, Outline};

/// A closed line in space: places round an outline, a depth at each, and the length up to each.
///
/// Shares are counted along the line in space, anticlockwise from the place at 90 degrees. Depths grow towards the eye.
#[derive(Debug, Clone, PartialEq)]
pub struct SpaceLine {
    x: Vec<f64>,
    y: Vec<f64>,
    depth: Vec<f64>,
    /// Length up to each place; the last entry is the whole.
    along: Vec<f64>,
}

/// A line that is a sphere's: frame curve or bevel curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineSphere {
    /// Its radius, + with its centre on the eye's side; `None` where the line tells none, or a plane.
    pub radius: Option<Mm>,
    /// Root mean square distance of the line from it.
    pub rms: Mm,
}

impl LineSphere {
    /// As frame curves are marked, 530/radius.
    #[must_use]
    pub fn curve_d(&self) -> Option<f64> {
        self.radius.map(|r| 530.0 / r.mm())
    }
}

impl SpaceLine {
    /// The line over places with these depths, as many; none where a depth is no number.
    #[must_use]
    pub fn new(places: &Places, depth: Vec<f64>) -> Option<Self> {
        if depth.len() != places.len() || !depth.iter().all(|d| d.is_finite()) {
            return None;
        }
        let along = lengths(&places.step, &depth);
        Some(Self { x: places.x.clone(), y: places.y.clone(), depth, along })
    }

    /// An outline at the depth of its rim; none where the depth ends inside the outline.
    #[must_use]
    pub fn of_rim(outline: &Outline, places: &Places, depth: &Depth) -> Option<Self> {
        let depths = places.t.iter().map(|&t| depth.on(outline, t)).collect();
        Self::new(places, depths)
    }

    /// Length in space.
    #[must_use]
    pub fn length(&self) -> Mm {
        Mm::new(self.along.last().copied().unwrap_or(0.0))
    }

    /// Depth at each place.
    #[must_use]
    pub fn depths(&self) -> &[f64] {
        &self.depth
    }

    /// Length up to each place, from 0 on; the last entry, one more than there are places, is the whole.
    #[must_use]
    pub fn along(&self) -> &[f64] {
        &self.along
    }

    /// What of the line stands for each place, as a share of the whole: half the step before and half the one after.
    #[must_use]
    pub fn weights(&self) -> Vec<f64> {
        let n = self.depth.len();
        let whole = self.along[n];
        let step = |i: usize| self.along[i + 1] - self.along[i];
        (0..n).map(|i| 0.5 * (step((i + n - 1) % n) + step(i)) / whole).collect()
    }

    /// Mean depth along the line.
    #[must_use]
    pub fn mean_depth(&self) -> f64 {
        self.weights().iter().zip(&self.depth).map(|(w, d)| w * d).sum()
    }

    /// The places of this line at the shares at which the places of another stand: x, y and depth, by the cubic through
    /// four neighbours.
    #[must_use]
    pub fn at_shares_of(&self, other: &Self) -> [Vec<f64>; 3] {
        let (n, m) = (self.depth.len(), other.depth.len());
        let scale = self.along[n] / other.along[m];
        let mut out = [Vec::with_capacity(m), Vec::with_capacity(m), Vec::with_capacity(m)];
        // One place before the first and two after the last, so that four neighbours are a slice everywhere.
        let whole = self.along[n];
        let round = |column: &[f64], turn: f64| -> Vec<f64> {
            let mut more = Vec::with_capacity(n + 3);
            more.push(column[n - 1] - turn);
            more.extend_from_slice(&column[..n]);
            more.extend([column[0] + turn, column[1] + turn]);
            more
        };
        let along = round(&self.along, whole);
        let columns = [&self.x, &self.y, &self.depth].map(|column| round(column, 0.0));
        let mut k = 0;
        for at in other.along[..m].iter().map(|along| along * scale) {
            while k + 1 < n && self.along[k + 1] <= at {
                k += 1;
            }
            let s = &along[k..k + 4];
            let from = [at - s[0], at - s[1], at - s[2], at - s[3]];
            let weight = [
                from[1] * from[2] * from[3] / ((s[0] - s[1]) * (s[0] - s[2]) * (s[0] - s[3])),
                from[0] * from[2] * from[3] / ((s[1] - s[0]) * (s[1] - s[2]) * (s[1] - s[3])),
                from[0] * from[1] * from[3] / ((s[2] - s[0]) * (s[2] - s[1]) * (s[2] - s[3])),
                from[0] * from[1] * from[2] / ((s[3] - s[0]) * (s[3] - s[1]) * (s[3] - s[2])),
            ];
            for (out, column) in out.iter_mut().zip(&columns) {
                let c = &column[k..k + 4];
                out.push(weight[0] * c[0] + weight[1] * c[1] + weight[2] * c[2] + weight[3] * c[3]);
            }
        }
        out
    }

    /// The sphere with the least rms distance, its centre free, every millimetre of the line alike. None where the line
    /// does not determine a plane.
    #[must_use]
    pub fn nearest_sphere(&self) -> Option<LineSphere> {
        let places: Vec<Point> = self.x.iter().zip(&self.y).map(|(&x, &y)| Point::new(x, y)).collect();
        let found = nearest_sphere(&places, &self.depth, &self.weights())?;
        let radius = (found.told && found.curvature != 0.0).then(|| Mm::new(1.0 / found.curvature));
        Some(LineSphere { radius, rms: Mm::new(found.rms) })
    }

    /// The normal of the plane that comes nearest, a unit vector towards the viewer: to the viewer's right, up, towards
    /// the viewer.
    #[must_use]
    pub fn best_plane(&self) -> Option<[f64; 3]> {
        crate::best_plane::normal(&self.x, &self.y, &self.depth, &self.weights())
    }
}

/// Lengths up to each place of a line with these flat steps and depths.
///
/// A step is straight in the unrolled outline but for what its slope changes over it: with the slope m and its change j,
/// sqrt(1 + m²) + j²/24 / (1 + m²)^(3/2) of its flat length.
fn lengths(step: &[f64], depth: &[f64]) -> Vec<f64> {
    let n = step.len();
    let slope: Vec<f64> = (0..n).map(|i| (depth[(i + 1) % n] - depth[i]) / step[i]).collect();
    let mut along = Vec::with_capacity(n + 1);
    let mut sum = 0.0;
    along.push(0.0);
    for i in 0..n {
        let change = 0.5 * (slope[(i + 1) % n] - slope[(i + n - 1) % n]);
        let one = (1.0 + slope[i] * slope[i]).sqrt();
        sum += step[i] * (one + change * change / (24.0 * one * one * one));
        along.push(sum);
    }
    along
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circumference_in_space;

    #[test]
    fn a_rim_on_a_sphere_is_as_long_as_its_integral() {
        let outline = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap();
        for radius in [60.0, 106.0, 265.0] {
            let sphere = Depth::sphere(Mm::new(radius)).unwrap();
            let line = SpaceLine::of_rim(&outline, &outline.places(720), &sphere).unwrap();
            let exact = circumference_in_space(&outline, &sphere).unwrap();
            assert!((line.length() - exact).abs().mm() < 1e-5, "{} {exact:?}", line.length().mm());
            let nearest = line.nearest_sphere().unwrap();
            assert!(
                (nearest.radius.unwrap().mm() - radius).abs() < 1e-6 && nearest.rms.mm() < 1e-7,
                "{nearest:?} {radius}"
            );
        }
    }

    #[test]
    fn shares_of_a_line_by_itself_give_it_back() {
        let outline = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap();
        let line = SpaceLine::of_rim(&outline, &outline.places(360), &Depth::sphere(Mm::new(88.0)).unwrap()).unwrap();
        let [x, y, depth] = line.at_shares_of(&line);
        for i in 0..360 {
            assert!((x[i] - line.x[i]).abs() < 1e-12 && (y[i] - line.y[i]).abs() < 1e-12);
            assert!((depth[i] - line.depth[i]).abs() < 1e-12);
        }
    }

    #[test]
    fn a_finer_line_gives_the_same_places_at_shares() {
        let outline = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap();
        let sphere = Depth::sphere(Mm::new(88.0)).unwrap();
        let line = |n| SpaceLine::of_rim(&outline, &outline.places(n), &sphere).unwrap();
        let (coarse, fine) = (line(360), line(721));
        let [x, y, depth] = coarse.at_shares_of(&fine);
        for i in 0..721 {
            assert!((x[i] - fine.x[i]).abs() < 2e-4 && (y[i] - fine.y[i]).abs() < 2e-4);
            assert!((depth[i] - fine.depth[i]).abs() < 2e-5);
        }
    }

    /// A circle turned about the x axis by 4 degrees: its plane leans by just that.
    #[test]
    fn a_leaning_plane_is_told() {
        let angle = 4.0_f64.to_radians();
        let outline = Outline::ellipse(Mm::new(25.0), Mm::new(25.0 * libm::cos(angle))).unwrap();
        let places = outline.places(360);
        let depth = places.y.iter().map(|y| 3.0 - y * libm::tan(angle)).collect();
        let [x, y, z] = SpaceLine::new(&places, depth).unwrap().best_plane().unwrap();
        // Its upper end lies nearer to the viewer (depth falls with y), so that the normal leans down.
        assert!(x.abs() < 1e-9 && (libm::atan2(-y, z) - angle).abs() < 1e-9, "{x} {y} {z}");
    }
}
