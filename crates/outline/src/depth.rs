//! Depth of a rim: heights of a trace, or the sphere of a frame curve; length in space.
//!
//! Heights are taken as the sphere that comes nearest plus a short Fourier series of what it leaves: the sphere has
//! what the shape's own corners put into the heights, and what is left is smooth, so that twelve waves a turn follow it
//! and average the noise away.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::error::NotAnOutline;
use crate::nearest_sphere::nearest_sphere;
use crate::outline::Outline;
use crate::point::Point;
use crate::samples::LEAST_POINTS;

/// Waves a turn that are kept of what the sphere leaves, at most; a sixth of the points where they are few.
const MOST_WAVES: usize = 12;
/// Rims flatter than this radius, mm, do not tell on which side their centre lies.
const UNDECIDED_RADIUS_MM: f64 = 530.0;

/// Heights of a trace over ascending angles about the trace's pole, mm; sign and zero level are not trusted.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightSamples {
    angles: Vec<f64>,
    heights: Vec<f64>,
}

/// Depth all round an outline, growing towards the eye.
#[derive(Debug, Clone, PartialEq)]
pub struct Depth {
    /// Curvature of the sphere, 1/mm, + with its centre on the eye's side, and its pole seen from the boxed centre.
    curvature: f64,
    pole: Point,
    /// Cosine and sine of each wave, from none a turn upwards, of what the sphere leaves.
    waves: Vec<(f64, f64)>,
}

/// A rim's depth as the heights of its trace give it.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthFit {
    /// The depth, with the sign that the data ask for.
    pub depth: Depth,
    /// Radius of the sphere with the least rms distance, its centre free; + with its centre on the eye's side.
    pub radius: Option<Mm>,
    /// Root mean square distance of the rim from that sphere.
    pub rms: Mm,
    /// Whether the heights had to be turned over.
    pub turned: bool,
    /// Whether the rim is curved enough to tell.
    pub decided: bool,
}

impl HeightSamples {
    /// Heights at even spacing: height i of n lies at 360 i / n degrees.
    ///
    /// # Errors
    /// [`NotAnOutline`] for fewer than [`LEAST_POINTS`] or a height that is no number.
    pub fn even(heights: &[Mm]) -> Result<Self, NotAnOutline> {
        let step = TAU / heights.len().max(1) as f64;
        let angles: Vec<Angle> = (0..heights.len()).map(|i| Angle::from_rad(i as f64 * step)).collect();
        Self::uneven(&angles, heights)
    }

    /// Heights at given angles, ascending within one turn.
    ///
    /// # Errors
    /// [`NotAnOutline`] for counts that differ, fewer than [`LEAST_POINTS`], a number that is none, or an angle that lies
    /// behind its predecessor or more than a full turn from the first.
    pub fn uneven(angles: &[Angle], heights: &[Mm]) -> Result<Self, NotAnOutline> {
        if angles.len() != heights.len() {
            return Err(NotAnOutline::Counts { angles: angles.len(), radii: heights.len() });
        }
        if heights.len() < LEAST_POINTS {
            return Err(NotAnOutline::TooFewPoints { given: heights.len(), least: LEAST_POINTS });
        }
        for (at, given) in angles.iter().map(|a| a.rad()).chain(heights.iter().map(|h| h.mm())).enumerate() {
            if !given.is_finite() {
                return Err(NotAnOutline::NotFinite { at: at % heights.len(), given });
            }
        }
        let first = angles.first().map_or(0.0, |a| a.rad());
        for (at, pair) in angles.windows(2).enumerate() {
            // The first point may be repeated at the end of the turn.
            if pair[1] < pair[0] || pair[1].rad() > first + TAU * (1.0 + 1e-12) {
                return Err(NotAnOutline::Angle { at: at + 1, given: pair[1].deg() });
            }
        }
        Ok(Self { angles: angles.iter().map(|a| a.rad()).collect(), heights: heights.iter().map(|h| h.mm()).collect() })
    }

    /// The depth of the rim along a smoothed outline. `pole` is the trace's pole seen from the boxed centre.
    ///
    /// The sign is the one by which points far from the centre lie deeper; on a rim whose sphere has a
    /// radius over 530 mm, and on a round one that lies flat, the heights stand as they are and `decided` is false.
    ///
    /// # Errors
    /// [`NotAnOutline::Gap`] where the heights do not determine a sphere.
    pub fn depth(&self, outline: &Outline, pole: Point) -> Result<DepthFit, NotAnOutline> {
        let at: Vec<f64> = self.angles.iter().map(|&a| seen_from(outline, pole, a)).collect();
        let places: Vec<Point> = at.iter().map(|&t| outline.point(t)).collect();
        let undetermined = NotAnOutline::Gap { from: 0.0, to: 360.0 };
        let sphere = nearest_sphere(&places, &self.heights, &stands_for(&places, &self.heights)).ok_or(undetermined)?;
        let curved = sphere.told && sphere.curvature.abs() * UNDECIDED_RADIUS_MM >= 1.0;
        let turned = curved && sphere.curvature < 0.0;
        let sign = if turned { -1.0 } else { 1.0 };
        let mut depth = Depth { curvature: sign * sphere.curvature, pole: sphere.pole, waves: Vec::new() };
        let left: Vec<f64> = places.iter().zip(&self.heights).map(|(p, h)| sign * h - depth.sphere_at(*p).0).collect();
        let most = MOST_WAVES.min(at.len() / 6);
        depth.waves = waves(&at, &left, most);
        // The zero level says nothing: the mean depth becomes zero.
        let mean = places.iter().zip(&at).map(|(p, t)| depth.at(*p, *t)).sum::<f64>() / at.len() as f64;
        if let Some(level) = depth.waves.first_mut() {
            level.0 -= mean;
        }
        let radius = (sphere.curvature != 0.0).then(|| Mm::new(sign / sphere.curvature));
        Ok(DepthFit { depth, radius, rms: Mm::new(sphere.rms), turned, decided: curved })
    }
}

impl DepthFit {
    /// Frame curve as lens measures are marked, 530/radius; 0 for a flat rim.
    #[must_use]
    pub fn frame_curve_d(&self) -> f64 {
        self.radius.map_or(0.0, |r| UNDECIDED_RADIUS_MM / r.mm())
    }
}

impl Depth {
    /// The sphere of a radius with its pole over the boxed centre.
    ///
    /// # Errors
    /// [`NotAnOutline::NotALength`] for a radius that is not positive.
    pub fn sphere(radius: Mm) -> Result<Self, NotAnOutline> {
        let given = radius.mm();
        if !(given.is_finite() && given > 0.0) {
            return Err(NotAnOutline::NotALength { what: "the radius of the rim's sphere", given });
        }
        Ok(Self { curvature: 1.0 / given, pole: Point::ORIGIN, waves: Vec::new() })
    }

    /// As the fellow eye has it.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let waves = self.waves.iter().enumerate().map(|(k, &(a, b))| if k % 2 == 0 { (a, -b) } else { (-a, b) });
        Self { curvature: self.curvature, pole: Point::new(-self.pole.x, self.pole.y), waves: waves.collect() }
    }

    /// Depth at a parameter of the outline, mm; NaN beyond the end of the sphere.
    #[must_use]
    pub fn on(&self, outline: &Outline, t: f64) -> f64 {
        self.at(outline.point(t), t)
    }

    fn at(&self, place: Point, t: f64) -> f64 {
        self.sphere_at(place).0 + self.series(t).0
    }

    /// Depth of the sphere under a place, and its slopes.
    fn sphere_at(&self, place: Point) -> (f64, f64, f64) {
        let (x, y, c) = (place.x - self.pole.x, place.y - self.pole.y, self.curvature);
        let square = x * x + y * y;
        let root = (1.0 - c * c * square).sqrt();
        (c * square / (1.0 + root), c * x / root, c * y / root)
    }

    /// The series and its slope, by the recurrence of cosines and sines of multiples.
    fn series(&self, t: f64) -> (f64, f64) {
        let (sin, cos) = (libm::sin(t), libm::cos(t));
        let (mut c, mut s) = (1.0, 0.0);
        let (mut value, mut slope) = (0.0, 0.0);
        for (k, &(a, b)) in self.waves.iter().enumerate() {
            value += a * c + b * s;
            slope += k as f64 * (b * c - a * s);
            (c, s) = (c * cos - s * sin, s * cos + c * sin);
        }
        (value, slope)
    }
}

/// Length of an outline that lies at a depth, mm; none where the sphere ends inside the outline.
///
/// Gauss-Legendre with four points on each smooth part.
#[must_use]
pub fn circumference_in_space(outline: &Outline, depth: &Depth) -> Option<Mm> {
    /// Four points on [-1, 1]: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
    const NODES: [(f64, f64); 4] = [
        (-0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
        (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
        (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
        (0.861_136_311_594_052_6, 0.347_854_845_137_453_85),
    ];
    let breaks = outline.breaks();
    let mut length = 0.0;
    for (i, &from) in breaks.iter().enumerate() {
        let to = breaks.get(i + 1).copied().unwrap_or(breaks[0] + TAU);
        // A part wider than a few degrees is an exact shape's own: cut it up so that four points do.
        let pieces = libm::ceil((to - from) / 0.05).max(1.0);
        for piece in 0..pieces as usize {
            let step = (to - from) / pieces;
            let (middle, half) = (from + (piece as f64 + 0.5) * step, 0.5 * step);
            for (abscissa, weight) in NODES {
                let t = middle + half * abscissa;
                let (p, d) = outline.point_and_derivative(t);
                let (_, by_x, by_y) = depth.sphere_at(p);
                let dz = by_x * d.x + by_y * d.y + depth.series(t).1;
                length += half * weight * (d.x * d.x + d.y * d.y + dz * dz).sqrt();
            }
        }
    }
    length.is_finite().then(|| Mm::new(length))
}

/// The parameter at which a ray from another pole meets the outline.
fn seen_from(outline: &Outline, pole: Point, angle: f64) -> f64 {
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    let mut t = angle;
    for _ in 0..20 {
        let (p, d) = outline.point_and_derivative(t);
        let off = (p.x - pole.x) * sin - (p.y - pole.y) * cos;
        let slope = d.x * sin - d.y * cos;
        let step = (off / slope).clamp(-0.2, 0.2);
        t -= step;
        if step.abs() < 1e-12 {
            break;
        }
    }
    t
}

/// Length of the line in space that each of its points stands for: half of what lies on either side.
fn stands_for(places: &[Point], heights: &[f64]) -> Vec<f64> {
    let n = places.len();
    let step = |i: usize| {
        let j = (i + 1) % n;
        let (flat, rise) = (places[j] - places[i], heights[j] - heights[i]);
        (flat.dot(flat) + rise * rise).sqrt()
    };
    (0..n).map(|i| 0.5 * (step((i + n - 1) % n) + step(i))).collect()
}

/// Fourier coefficients by the trapezoidal rule over the angles as they stand: exact means for even ones.
fn waves(at: &[f64], values: &[f64], most: usize) -> Vec<(f64, f64)> {
    let n = at.len();
    let mut out = vec![(0.0, 0.0); most + 1];
    for i in 0..n {
        let before = if i == 0 { at[n - 1] - TAU } else { at[i - 1] };
        let after = if i + 1 == n { at[0] + TAU } else { at[i + 1] };
        let share = 0.5 * (after - before) / TAU;
        let (sin, cos) = (libm::sin(at[i]), libm::cos(at[i]));
        let (mut c, mut s) = (1.0, 0.0);
        for (k, wave) in out.iter_mut().enumerate() {
            let twice = if k == 0 { 1.0 } else { 2.0 };
            wave.0 += twice * share * values[i] * c;
            wave.1 += twice * share * values[i] * s;
            (c, s) = (c * cos - s * sin, s * cos + c * sin);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rim() -> Outline {
        Outline::superellipse(Mm::new(26.0), Mm::new(19.0), 2.6).unwrap()
    }

    fn heights(outline: &Outline, depth: &Depth, n: usize, sign: f64, level: f64) -> HeightSamples {
        let z: Vec<Mm> = (0..n).map(|i| Mm::new(level + sign * depth.on(outline, i as f64 * TAU / n as f64))).collect();
        HeightSamples::even(&z).unwrap()
    }

    #[test]
    fn a_circle_on_a_sphere_keeps_its_length() {
        let circle = Outline::circle(Mm::new(25.0)).unwrap();
        let sphere = Depth::sphere(Mm::new(106.0)).unwrap();
        // It lies in a plane: 2 pi 25.
        let length = circumference_in_space(&circle, &sphere).unwrap().mm();
        assert!((length - TAU * 25.0).abs() < 1e-9, "{length}");
    }

    #[test]
    fn an_ellipse_on_a_sphere_against_a_fine_polygon_in_space() {
        let outline = Outline::ellipse(Mm::new(27.0), Mm::new(18.0)).unwrap();
        let sphere = Depth::sphere(Mm::new(88.0)).unwrap();
        let n = 40_000;
        let at = |i: usize| {
            let t = i as f64 * TAU / n as f64;
            let p = outline.point(t);
            [p.x, p.y, 88.0 - (88.0f64 * 88.0 - p.x * p.x - p.y * p.y).sqrt()]
        };
        let mut polygon = 0.0;
        for i in 0..n {
            let (a, b) = (at(i), at((i + 1) % n));
            polygon +=
                ((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) + (a[2] - b[2]) * (a[2] - b[2])).sqrt();
        }
        let length = circumference_in_space(&outline, &sphere).unwrap().mm();
        assert!((length - polygon).abs() < 2e-6, "{length} {polygon}");
        assert!(length > outline.circumference().mm());
    }

    #[test]
    fn heights_give_back_their_sphere_whatever_sign_and_level() {
        let outline = rim();
        let sphere = Depth::sphere(Mm::new(106.0)).unwrap();
        let flat = circumference_in_space(&outline, &sphere).unwrap().mm();
        for (sign, level) in [(1.0, 0.0), (-1.0, 3.5), (1.0, -12.0)] {
            let fit = heights(&outline, &sphere, 200, sign, level).depth(&outline, Point::ORIGIN).unwrap();
            assert!((fit.radius.unwrap().mm() - 106.0).abs() < 1e-6, "{fit:?}");
            assert!((fit.frame_curve_d() - 5.0).abs() < 1e-6);
            assert_eq!((fit.turned, fit.decided), (sign < 0.0, true));
            let length = circumference_in_space(&outline, &fit.depth).unwrap().mm();
            assert!((length - flat).abs() < 1e-6, "{length} {flat}");
        }
    }

    #[test]
    fn a_flat_rim_is_left_undecided() {
        let outline = rim();
        let fit = heights(&outline, &Depth::sphere(Mm::new(700.0)).unwrap(), 200, -1.0, 0.0)
            .depth(&outline, Point::ORIGIN)
            .unwrap();
        assert!(!fit.decided && !fit.turned);
    }

    #[test]
    fn heights_out_of_order_are_refused() {
        let mut angles: Vec<Angle> = (0..20).map(|i| Angle::from_deg(18.0 * f64::from(i))).collect();
        angles.swap(4, 5);
        let heights = vec![Mm::new(1.0); 20];
        assert!(matches!(HeightSamples::uneven(&angles, &heights), Err(NotAnOutline::Angle { at: 5, .. })));
    }

    /// A round rim that lies flat is met by spheres of any radius; noise may not choose one.
    #[test]
    fn a_round_flat_rim_tells_no_sphere() {
        let outline = Outline::circle(Mm::new(24.0)).unwrap();
        let z: Vec<Mm> = (0..200).map(|i| Mm::new((100.0 * libm::sin(f64::from(i * i))).round() / 1e4)).collect();
        let fit = HeightSamples::even(&z).unwrap().depth(&outline, Point::new(0.01, -0.01)).unwrap();
        assert_eq!((fit.decided, fit.radius), (false, None), "{fit:?}");
        assert!((circumference_in_space(&outline, &fit.depth).unwrap().mm() - TAU * 24.0).abs() < 0.01);
    }

    #[test]
    fn a_pole_off_the_boxed_centre_changes_nothing() {
        let outline = rim();
        let sphere = Depth::sphere(Mm::new(88.0)).unwrap();
        let pole = Point::new(3.0, -2.0);
        let n = 360;
        let z: Vec<Mm> = (0..n)
            .map(|i| Mm::new(sphere.on(&outline, seen_from(&outline, pole, f64::from(i) * TAU / f64::from(n)))))
            .collect();
        let fit = HeightSamples::even(&z).unwrap().depth(&outline, pole).unwrap();
        assert!((fit.radius.unwrap().mm() - 88.0).abs() < 1e-6);
    }

    #[test]
    fn mirroring_twice_is_the_identity_and_keeps_the_length() {
        let outline = rim();
        let depth =
            Depth { curvature: 0.008, pole: Point::new(2.0, 1.0), waves: vec![(0.1, 0.0), (0.2, 0.3), (-0.1, 0.05)] };
        assert_eq!(depth.mirrored().mirrored(), depth);
        let (a, b) = (
            circumference_in_space(&outline, &depth).unwrap(),
            circumference_in_space(&outline.mirrored(), &depth.mirrored()).unwrap(),
        );
        assert!((a - b).abs().mm() < 1e-9);
    }
}
