//! From measured points to a smooth outline.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::error::NotAnOutline;
use crate::noise::{self, ROUNDING_MM};
use crate::outline::Outline;
use crate::periodic_spline::{Datum, Spline};
use crate::point::{Point, turn};
use crate::recentre;
use crate::samples::Samples;

/// Softest and stiffest curve, as the waves a turn that it halves. Below 3 the curve would be a circle whatever the
/// points say; the upper limit lets every point through.
const WAVES: (f64, f64) = (3.0, 2000.0);

/// Residual rms is held to its target within this share.
const HELD: f64 = 1e-3;

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
    /// How many points said something else than their neighbour at the same angle and were joined with it.
    pub doubled: usize,
    /// Widest angle without a point, and the direction of its middle seen from the trace's pole.
    pub widest_gap: (Angle, Angle),
    /// Waves a turn that the smoothing halves: how much detail the curve follows.
    pub waves: f64,
}

impl Outline {
    /// Smooths measured points; see the crate's own page for how.
    ///
    /// `noise` is the noise to which the residual is held where it is known, rms; else it is estimated from the points.
    /// Never less than [`ROUNDING_MM`].
    ///
    /// # Errors
    /// [`NotAnOutline`] where more than a sixth of the turn is without a point, or the curve folds back.
    pub fn smoothed(samples: &Samples, noise: Option<Mm>) -> Result<Smoothed, NotAnOutline> {
        let data = joined(samples);
        let doubled = samples.len() - data.len();
        let widest_gap = widest_gap(&data)?;
        let noise_estimate = estimate(&data);
        let target = noise.map_or(noise_estimate, Mm::mm).max(ROUNDING_MM);
        let rho = vec![1.0; data.len()];
        let mut spline = Spline::new(&data, &rho);
        let rms = hold(&mut spline, target, None);
        let recentred = recentre::about_boxed_centre(spline.curve(0.05))?;
        Ok(Smoothed {
            outline: recentred.outline,
            noise_estimate: Mm::new(noise_estimate),
            residual_rms: Mm::new(rms),
            raw_circumference: Mm::new(polygon(samples)),
            trace_pole: recentred.pole,
            doubled,
            widest_gap,
            waves: spline.waves(),
        })
    }
}

/// Points at one angle, or so near that their distance says more about noise than about shape, become one.
fn joined(samples: &Samples) -> Vec<Datum> {
    let n = samples.len();
    let near = TAU / n as f64 * 0.05;
    let mut data: Vec<Datum> = Vec::with_capacity(n);
    for (&at, &radius) in samples.angles.iter().zip(&samples.radii) {
        match data.last_mut() {
            Some(last) if at - last.at < near => {
                let weight = last.weight + 1.0;
                last.at += (at - last.at) / weight;
                last.radius += (radius - last.radius) / weight;
                last.weight = weight;
            }
            _ => data.push(Datum { at, radius, weight: 1.0, corner: false }),
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
fn estimate(data: &[Datum]) -> f64 {
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

/// Finds the stiffness at which the residual rms is the target, and leaves the spline solved for it.
fn hold(spline: &mut Spline<'_>, target: f64, start: Option<f64>) -> f64 {
    let (mut soft, mut stiff) = (libm::log(spline.stiffness_for(WAVES.1)), libm::log(spline.stiffness_for(WAVES.0)));
    let mut at = start.map_or_else(|| libm::log(spline.stiffness_for(18.0)), libm::log).clamp(soft, stiff);
    let mut rms = 0.0;
    // Newton's steps on log rms over log stiffness, kept inside the bracket; a handful as a rule.
    for _ in 0..40 {
        let fit = spline.solve(libm::exp(at));
        rms = fit.rms;
        let off = libm::log(target / rms);
        if off.abs() < HELD {
            break;
        }
        if off > 0.0 {
            soft = at;
        } else {
            stiff = at;
        }
        if stiff - soft < 1e-6 {
            break;
        }
        // On the plateau, where the residual is all noise, the slope is next to nothing and the step would be wild.
        let step = (off / fit.slope.max(1e-3)).clamp(-4.0, 4.0);
        let to = at + step;
        at = if to > soft && to < stiff { to } else { 0.5 * (soft + stiff) };
    }
    rms
}
