//! Where the outline is no smooth curve: corners and sharp bends, found in what smoothing leaves over.
//!
//! One stiffness for the whole turn cuts a sharp bend and, held by the bend's residual, leaves the sides rough. So where
//! the first curve bends sharply, it is laid again with a stiffness that the calm parts alone decide; what then stands
//! out of the noise at the bend is
//! - a **corner**, where two even arcs meet at an angle and every point near lies on the one or the other: the slope may
//!   jump where they cross, which as a rule is between two points;
//! - else a **bend**, which is softened step by step until its residual is noise.

use core::f64::consts::TAU;

use crate::even_arc::{EvenArc, likely};
use crate::periodic_spline::{Datum, Spline};
use crate::root;
use crate::smoothing::{MOST_WAVES, hold};

/// Points with corners put between them, and how each interval may bend.
pub(crate) struct Bends {
    pub(crate) data: Vec<Datum>,
    pub(crate) rho: Vec<f64>,
    /// Usual bending at the beginning and end of each interval.
    pub(crate) usual: Vec<[f64; 2]>,
}

/// Curvature, as a multiple of that of the mean circle, above which a place deserves a closer look: a radius of about
/// 5 mm. Usual shapes bend three times at most and pay nothing for the look.
const SHARP: f64 = 4.0;

/// Waves a turn above which the first curve is too rough to judge its own bending.
const ROUGH: f64 = 40.0;

/// The calm parts may be told with at least this many waves a turn: straight sides alone would ask for none.
const LEAST_WAVES: f64 = 8.0;

/// Sums of residuals over their own standard deviation that mark a place. Noise reaches it once in about a hundred
/// traces of 400 points; only places that bend sharply are judged.
const CLEAR: f64 = 4.5;

/// The same for a bend that is to be softened. Softening lets noise through, up to 0.1 mm at the tip; below this the
/// stiff curve is nearer to the truth, tried on rounded rectangles of 1 to 10 mm at 120 to 1600 points.
const STRONG: f64 = 15.0;

/// The same below which a softened bend is left as it is.
const SETTLED: f64 = 6.0;

/// Softening from one round to the next; a sixteenth narrows the smoothing to half.
const SOFTER: f64 = 1.0 / 16.0;

/// Rounds of softening at most; six let every point through.
const ROUNDS: usize = 6;

/// A corner turns by at least this, radians: below thirty degrees an arc of a few mm says the same.
const LEAST_TURN: f64 = core::f64::consts::PI / 6.0;

/// The sides of a corner bend at most this much more than the mean circle; a bend of its own is no side.
const SIDE_BENDS: f64 = 4.0;

/// Weight of the point that a corner puts between two measured ones: enough to keep the equations well posed.
const CORNER_WEIGHT: f64 = 0.02;

/// Looks for corners and bends; none where one stiffness serves all round. `smooth` holds the first curve, solved.
pub(crate) fn found(data: &[Datum], smooth: &mut Spline<'_>, noise: f64) -> Option<Bends> {
    let held = smooth.stiffness();
    let waves = smooth.waves();
    if waves > ROUGH {
        smooth.solve(smooth.stiffness_for(ROUGH));
    }
    let sharp: Vec<bool> = smooth.curvature().map(|b| b.abs() > SHARP).collect();
    let bends = if sharp.contains(&true) { look(data, &sharp, waves, noise) } else { None };
    if bends.is_none() && waves > ROUGH {
        smooth.solve(held);
    }
    bends
}

fn look(data: &[Datum], sharp: &[bool], waves: f64, noise: f64) -> Option<Bends> {
    let n = data.len();
    let near = widened(sharp, (n / 30).max(2));
    if near.iter().filter(|&&near| !near).count() < n / 4 {
        return None;
    }
    let residuals = {
        let calm: Vec<Datum> = data.iter().zip(&near).map(|(d, near)| Datum { counts: !near, ..*d }).collect();
        let mut spline = Spline::new(&calm);
        hold(&mut spline, noise, MOST_WAVES);
        let least = (0.5 * waves).max(LEAST_WAVES);
        if spline.waves() < least {
            spline.solve(spline.stiffness_for(least));
        }
        spline.residuals()
    };
    let clear = marks(data, &residuals, noise, |i| if near[i] { CLEAR } else { f64::INFINITY });
    let strong = marks(data, &residuals, noise, |_| STRONG);
    let mut corners = Vec::new();
    let mut soft = vec![1.0; n];
    let mut touched = vec![false; n];
    for cluster in clusters(&clear) {
        if let Some(corner) = corner(data, cluster, noise) {
            corners.push(corner);
        } else if cluster.points(n).any(|i| strong[i]) {
            cluster.soften(&mut soft);
        } else {
            continue;
        }
        cluster.points(n).for_each(|i| touched[i] = true);
    }
    if !touched.contains(&true) {
        return None;
    }
    let touched = widened(&touched, 3);
    let mut usual = vec![[0.0; 2]; n + corners.len()];
    for _ in 0..ROUNDS {
        let (with, rho) = together(data, &soft, &corners, &touched);
        let mut spline = Spline::with_bends(&with, rho, usual);
        hold(&mut spline, noise, MOST_WAVES);
        usual = spline.usual_bending();
        let residuals: Vec<f64> =
            spline.residuals().into_iter().zip(&with).filter(|(_, d)| !d.corner).map(|(r, _)| r).collect();
        let rough = marks(data, &residuals, noise, |i| if touched[i] { SETTLED } else { STRONG });
        if !rough.contains(&true) {
            break;
        }
        clusters(&rough).into_iter().for_each(|cluster| cluster.soften(&mut soft));
    }
    let (data, rho) = together(data, &soft, &corners, &vec![false; n]);
    Some(Bends { data, rho, usual })
}

/// Marks the points of windows whose residuals add up to more than `limit` times what noise does.
fn marks(data: &[Datum], residuals: &[f64], noise: f64, limit: impl Fn(usize) -> f64) -> Vec<bool> {
    let n = residuals.len();
    let mut marks = vec![false; n];
    for width in [1usize, 2, 3, 5, 8] {
        for from in 0..n {
            let (mut sum, mut square) = (0.0, 0.0);
            for i in (from..from + width).map(|i| i % n).filter(|&i| data[i].counts) {
                sum += residuals[i] * data[i].weight;
                square += data[i].weight;
            }
            let most = limit(from) * noise;
            if sum * sum > square * most * most {
                (from..from + width).for_each(|i| marks[i % n] = true);
            }
        }
    }
    marks
}

/// A run of points round the ring.
#[derive(Debug, Clone, Copy)]
struct Cluster {
    from: usize,
    count: usize,
}

impl Cluster {
    fn points(self, n: usize) -> impl Iterator<Item = usize> {
        (self.from..self.from + self.count).map(move |i| i % n)
    }

    /// Softens the intervals between its points, and those before the first and after the last.
    fn soften(self, soft: &mut [f64]) {
        let n = soft.len();
        (self.from + n - 1..self.from + n + self.count).for_each(|i| soft[i % n] *= SOFTER);
    }
}

/// Runs of marked points; runs with fewer than four points between them are one.
fn clusters(marks: &[bool]) -> Vec<Cluster> {
    let n = marks.len();
    let mut joined = marks.to_vec();
    for i in (0..n).filter(|&i| marks[i]) {
        if let Some(gap) = (1..=4).find(|&k| marks[(i + k) % n]) {
            (1..gap).for_each(|k| joined[(i + k) % n] = true);
        }
    }
    let Some(start) = joined.iter().position(|&j| !j) else {
        return vec![Cluster { from: 0, count: n }];
    };
    let mut clusters: Vec<Cluster> = Vec::new();
    let mut count = 0;
    for k in 1..=n {
        if joined[(start + k) % n] {
            count += 1;
        } else if count > 0 {
            clusters.push(Cluster { from: (start + k - count) % n, count });
            count = 0;
        }
    }
    clusters
}

/// Marks every point within `by` of a marked one.
fn widened(marks: &[bool], by: usize) -> Vec<bool> {
    let n = marks.len();
    let mut wide = marks.to_vec();
    for i in (0..n).filter(|&i| marks[i]) {
        (i + n - by..=i + n + by).for_each(|k| wide[k % n] = true);
    }
    wide
}

/// Points and corners in their order, with the softness of each interval; residuals of `passed` points do not count.
fn together(data: &[Datum], soft: &[f64], corners: &[Corner], passed: &[bool]) -> (Vec<Datum>, Vec<f64>) {
    let whole = data.len() + corners.len();
    let (mut with, mut rho) = (Vec::with_capacity(whole), Vec::with_capacity(whole));
    for (i, datum) in data.iter().enumerate() {
        with.push(Datum { counts: datum.counts && !passed[i], ..*datum });
        rho.push(soft[i]);
        if let Some(corner) = corners.iter().find(|c| c.after == i) {
            let (at, radius) = (corner.at, corner.radius);
            with.push(Datum { at, radius, weight: CORNER_WEIGHT, corner: true, counts: false });
            rho.push(soft[i]);
        }
    }
    (with, rho)
}

/// A corner between two points.
struct Corner {
    /// The point before it.
    after: usize,
    at: f64,
    radius: f64,
}

/// How many points on either side tell a corner from a bend: those of eleven degrees, ten at least. None where the ring
/// has too few for that.
fn side(n: usize) -> Option<usize> {
    let side = (n / 33).clamp(10, 60).min(n / 12);
    (side >= 5).then_some(side)
}

/// A place where two even arcs meet at an angle, and all points near it lie on the one or the other.
fn corner(data: &[Datum], cluster: Cluster, noise: f64) -> Option<Corner> {
    let n = data.len();
    let side = side(n)?;
    let one = EvenArc::fit(data, (cluster.from + cluster.count / 2 + n - side) % n, 2 * side, None, noise);
    if one.fits(2 * side) {
        return None;
    }
    let mut best: Option<(f64, Corner)> = None;
    for k in 0..=cluster.count {
        let after = (cluster.from + k + n - 1) % n;
        let next = (after + 1) % n;
        let left = EvenArc::fit(data, (after + n + 1 - side) % n, side, None, noise);
        let right = EvenArc::fit(data, next, side, None, noise);
        let chi2 = left.chi2 + right.chi2;
        if chi2 >= best.as_ref().map_or(likely(2 * side - 2 * EvenArc::parameters(side)), |b| b.0) {
            continue;
        }
        let (start, end) = (data[after].at, data[next].at + if next == 0 { TAU } else { 0.0 });
        // The arcs should cross between the two points; a step and a half beyond may be noise.
        let apart = |t: f64| left.inverse(t) - right.inverse(t);
        let (a, b) = (start - 1.5 * (end - start), end + 1.5 * (end - start));
        if (apart(a) > 0.0) == (apart(b) > 0.0) {
            continue;
        }
        let inside = 0.02 * (end - start);
        let at = root::between(apart, a, b, apart(a), apart(b)).clamp(start + inside, end - inside);
        let radius = 0.5 * (left.radius(at) + right.radius(at));
        let turns = left.slant(at) - right.slant(at);
        let bends = left.bending().abs().max(right.bending().abs()) * radius;
        if turns.abs() >= LEAST_TURN && bends <= SIDE_BENDS {
            best = Some((chi2, Corner { after, at, radius }));
        }
    }
    best.map(|b| b.1)
}
