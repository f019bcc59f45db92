//! From measured points to a smooth outline.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::bends;
use crate::error::NotAnOutline;
use crate::noise::{self, ROUNDING_MM, Told};
use crate::outline::Outline;
use crate::periodic_spline::{Datum, Spline};
use crate::point::{Point, turn};
use crate::recentre;
use crate::samples::{LEAST_POINTS, Samples};
use crate::strays;

/// The stiffest curve, as the waves a turn that it halves: below 3 it would be a circle whatever the points say.
const LEAST_WAVES: f64 = 3.0;

/// The softest curve where the noise is told by the points themselves: three degrees. Of 18 000 points the residual is all
/// noise over a wide range, and more waves would lengthen the curve by more than 0.003 mm; what is sharper is a bend or a
/// corner and treated as such.
pub(crate) const MOST_WAVES: f64 = 120.0;

/// The softest curve where somebody states the noise: every point is met if need be.
const ALL_WAVES: f64 = 2000.0;

/// Third differences up to so many times the noise are no reason to look for stray points: one that counts as stray makes
/// one of at least five.
const SUSPICIOUS: f64 = 4.0;

/// A pole within this share of the mean half size of the box needs no moving: 1 mm or so.
const NEAR_THE_MIDDLE: f64 = 0.05;

/// Neighbours may swap by this much, radians, before the order of the points counts as another one.
const BACKWARDS: f64 = 0.01;

/// A wider piece of 1/r is cut up before a cubic of r stands for it, radians.
const WIDEST_PIECE: f64 = 0.05;

/// A smooth curve needs no more knots than these, whatever the trace had: half a degree each.
const MOST_KNOTS: usize = 720;

/// Where the search for the stiffness begins: what usual traces end at.
const START_WAVES: f64 = 15.0;

/// Residual rms is held to its target within this share. It is held from above: of many points the residual is all noise
/// over a wide range of stiffness, and of what serves equally well the stiffest is taken.
const HELD: f64 = 3e-3;

/// A smooth outline, and what the points said about themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct Smoothed {
    /// The outline.
    pub outline: Outline,
    /// Noise of the points estimated from themselves, mm rms; above 0.03 mm someone should look at the trace.
    pub noise_estimate: Mm,
    /// Root mean square of measured less smoothed radius.
    pub residual_rms: Mm,
    /// Length of the polygon through the points as measured.
    pub raw_circumference: Mm,
    /// The pole from which the points were measured, seen from the boxed centre.
    pub trace_pole: Point,
    /// How many points stand at the angle of the one before and were joined with it.
    pub doubled: usize,
    /// Widest angle without a point, and the direction of its middle seen from the trace's pole.
    pub widest_gap: (Angle, Angle),
    /// How many points stand off the curve by themselves and were left out.
    pub strays: usize,
    /// Waves a turn that the smoothing halves: how much detail the curve follows.
    pub waves: f64,
}

impl Outline {
    /// Smooths measured points; the crate's own page says how, and how well.
    ///
    /// `noise` is the noise to which the residual is held where it is known, rms; else it is estimated from the points.
    /// Never less than [`ROUNDING_MM`].
    ///
    /// # Errors
    /// [`NotAnOutline`] where more than a sixth of the turn is without a point, or the curve folds back.
    pub fn smoothed(samples: &Samples, noise: Option<Mm>) -> Result<Smoothed, NotAnOutline> {
        let data = joined(&samples.angles, &samples.radii);
        let doubled = samples.len() - data.len();
        let widest_gap = widest_gap(&data)?;
        let (mut data, middle) = from_the_middle(&data).unwrap_or((data, Point::ORIGIN));
        let told = estimate(&data);
        let noise_estimate = told.noise;
        let target = noise.map_or(noise_estimate, Mm::mm).max(ROUNDING_MM);
        let most_waves = if noise.is_some() { ALL_WAVES } else { MOST_WAVES };
        let strays = if told.greatest > SUSPICIOUS * target { strays::set_aside(&mut data, target) } else { 0 };
        let mut spline = Spline::new(&data);
        let mut rms = hold(&mut spline, target, most_waves);
        let bends = bends::found(&data, &mut spline, target);
        if let Some(bends) = &bends {
            spline = Spline::with_bends(&bends.data, bends.rho.clone(), bends.usual.clone());
            rms = hold(&mut spline, target, most_waves);
        }
        let recentred = recentre::about_boxed_centre(spline.curve(WIDEST_PIECE).thinned(MOST_KNOTS))?;
        Ok(Smoothed {
            outline: recentred.outline,
            noise_estimate: Mm::new(noise_estimate),
            residual_rms: Mm::new(rms),
            raw_circumference: Mm::new(polygon(samples)),
            trace_pole: recentred.pole + (Point::ORIGIN - middle),
            doubled,
            widest_gap,
            strays,
            waves: spline.waves(),
        })
    }
}

/// The points about the middle of their own box, and where that lies seen from their pole; none where the pole is near
/// enough already, or where rays from the middle would meet the points in another order.
///
/// Radius over angle about a pole far off the middle has waves that the shape has not.
fn from_the_middle(data: &[Datum]) -> Option<(Vec<Datum>, Point)> {
    let points: Vec<Point> = data
        .iter()
        .map(|d| {
            let (sin, cos) = libm::sincos(d.at);
            Point::new(d.radius * cos, d.radius * sin)
        })
        .collect();
    let (mut low, mut high) = (points[0], points[0]);
    for p in &points {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    let middle = Point::new(0.5 * (low.x + high.x), 0.5 * (low.y + high.y));
    let size = 0.25 * (high.x - low.x + high.y - low.y);
    if (middle - Point::ORIGIN).length() < NEAR_THE_MIDDLE * size {
        return None;
    }
    let mut seen: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    let mut last = 0.0;
    for (i, p) in points.iter().enumerate() {
        let away = *p - middle;
        let at = libm::atan2(away.y, away.x);
        // Written on from its predecessor, so that the order of the points is kept.
        let at = if i == 0 { at } else { last + core::f64::consts::PI - turn(last + core::f64::consts::PI - at) };
        if i > 0 && at < last - BACKWARDS {
            return None;
        }
        seen.push((at, away.length()));
        last = at;
    }
    // Noise may swap neighbours that stand close together.
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    let within = seen.last().is_some_and(|l| l.0 < seen[0].0 + TAU);
    let (angles, radii): (Vec<f64>, Vec<f64>) = seen.into_iter().unzip();
    let seen = joined(&angles, &radii);
    (within && seen.len() >= LEAST_POINTS.min(data.len())).then_some((seen, middle))
}

/// Points at one angle, or so near that their distance says more about noise than about shape, become one.
fn joined(angles: &[f64], radii: &[f64]) -> Vec<Datum> {
    let n = angles.len();
    let near = TAU / n as f64 * 0.05;
    let mut data: Vec<Datum> = Vec::with_capacity(n);
    for (&at, &radius) in angles.iter().zip(radii) {
        match data.last_mut() {
            Some(last) if at - last.at < near => {
                let weight = last.weight + 1.0;
                last.at += (at - last.at) / weight;
                last.radius += (radius - last.radius) / weight;
                last.weight = weight;
            }
            _ => data.push(Datum { at, radius, weight: 1.0, corner: false, counts: true }),
        }
    }
    // The last one may repeat the first.
    if data.len() > 1
        && let (Some(first), Some(last)) = (data.first().copied(), data.last().copied())
        && first.at + TAU - last.at < near
    {
        data.pop();
        let weight = first.weight + last.weight;
        data[0].radius = (first.radius * first.weight + last.radius * last.weight) / weight;
        data[0].weight = weight;
    }
    data
}

fn widest_gap(data: &[Datum]) -> Result<(Angle, Angle), NotAnOutline> {
    let n = data.len();
    let (mut widest, mut from) = (0.0, 0.0);
    for i in 0..n {
        let end = if i + 1 == n { data[0].at + TAU } else { data[i + 1].at };
        if end - data[i].at > widest {
            (widest, from) = (end - data[i].at, data[i].at);
        }
    }
    // Eight even points stand 45 degrees apart; over a sixth of the turn nobody knows the shape.
    if widest > TAU / 6.0 {
        let deg = |a: f64| turn(a).to_degrees();
        return Err(NotAnOutline::Gap { from: deg(from), to: deg(from + widest) });
    }
    Ok((Angle::from_rad(widest), Angle::from_rad(turn(from + 0.5 * widest))))
}

/// Noise from third differences of 1/r, in which straight sides have next to none of their own.
fn estimate(data: &[Datum]) -> Told {
    let at: Vec<f64> = data.iter().map(|d| d.at).collect();
    let inverse: Vec<f64> = data.iter().map(|d| 1.0 / d.radius).collect();
    let spread: Vec<f64> = data.iter().map(|d| 1.0 / (d.radius * d.radius * d.weight.sqrt())).collect();
    noise::estimate(&at, &inverse, &spread)
}

fn polygon(samples: &Samples) -> f64 {
    let n = samples.len();
    let mut sum = 0.0;
    for i in 0..n {
        let j = if i + 1 == n { 0 } else { i + 1 };
        let (a, b) = (samples.radii[i], samples.radii[j]);
        // |P - Q|^2 = (a - b)^2 + 4 a b sin^2(half the angle between).
        let half = libm::sin(0.5 * (samples.angles[j] - samples.angles[i]));
        sum += ((a - b) * (a - b) + 4.0 * a * b * half * half).sqrt();
    }
    sum
}

/// Finds the stiffest curve whose residual rms does not exceed the target by more than [`HELD`], and leaves the spline
/// solved for it. Gives the rms, which stays above the target where even the softest curve does.
pub(crate) fn hold(spline: &mut Spline<'_>, target: f64, most_waves: f64) -> f64 {
    let most = libm::log(target * (1.0 + 0.5 * HELD));
    let (mut soft, mut stiff) =
        (libm::log(spline.stiffness_for(most_waves)), libm::log(spline.stiffness_for(LEAST_WAVES)));
    let mut at = libm::log(spline.stiffness_for(START_WAVES)).clamp(soft, stiff);
    let (mut rms, mut slope) = (0.0, 0.0);
    let mut before: Option<(f64, f64)> = None;
    // The first step is Newton's on log rms over log stiffness, the next ones go by the chord, all kept inside the
    // bracket; three as a rule.
    for _ in 0..40 {
        rms = spline.solve(libm::exp(at));
        let off = most - libm::log(rms);
        if off.abs() < 0.5 * HELD {
            break;
        }
        if off > 0.0 {
            soft = at;
        } else {
            stiff = at;
        }
        if stiff - soft < 1e-3 {
            break;
        }
        slope = match before {
            None => spline.slope(),
            Some((there, was)) if (at - there).abs() > 1e-6 => (was - off) / (at - there),
            Some(_) => slope,
        };
        before = Some((at, off));
        // On the plateau, where the residual is all noise, the slope is next to nothing and the step would be wild.
        let to = at + (off / slope.max(1e-3)).clamp(-4.0, 4.0);
        at = if to > soft && to < stiff { to } else { 0.5 * (soft + stiff) };
    }
    rms
}
