//! Single points that stand beside the curve of their neighbours: a slip of the stylus, a figure mistyped.

use core::f64::consts::TAU;

use crate::even_arc::EvenArc;
use crate::periodic_spline::Datum;

/// Distance of a stray point from its neighbours' curve, in standard deviations of the noise, at least.
const FAR: f64 = 8.0;

/// Neighbours on either side that must lie on one even arc without the point.
const SIDE: usize = 6;

/// What is left of a stray point's weight: enough to keep the equations well posed.
const STRAY_WEIGHT: f64 = 1e-4;

/// Takes the weight from each point that stands far off an even arc on which all its neighbours lie, and counts them.
///
/// At a corner or a bend the neighbours lie on no even arc, so that nothing is taken from the shape itself.
pub(crate) fn set_aside(data: &mut [Datum], noise: f64) -> usize {
    let n = data.len();
    if n < 4 * SIDE {
        return 0;
    }
    let off: Vec<f64> = (0..n).map(|i| off_its_neighbours(data, i)).collect();
    let suspects: Vec<usize> = (0..n)
        .filter(|&i| off[i] > FAR * noise && off[i] >= off[(i + 1) % n] && off[i] >= off[(i + n - 1) % n])
        .collect();
    let mut found = 0;
    for i in suspects {
        let arc = EvenArc::fit(data, (i + n - SIDE) % n, 2 * SIDE + 1, Some(i), noise);
        let beside = (data[i].radius - arc.radius(data[i].at)).abs();
        if beside > FAR * noise && arc.fits(2 * SIDE) {
            data[i].weight *= STRAY_WEIGHT;
            data[i].counts = false;
            found += 1;
        }
    }
    found
}

/// How far, in mm, a point stands off the cubic of 1/r through its two neighbours on either side.
fn off_its_neighbours(data: &[Datum], i: usize) -> f64 {
    let n = data.len();
    let near = |k: usize| {
        let at = data[(i + n + k - 2) % n].at - data[i].at;
        if at > 0.5 * TAU {
            at - TAU
        } else if at < -0.5 * TAU {
            at + TAU
        } else {
            at
        }
    };
    let x = [near(0), near(1), near(3), near(4)];
    let mut there = 0.0;
    for (a, k) in [0, 1, 3, 4].into_iter().enumerate() {
        let mut share = 1.0;
        for (b, other) in x.iter().enumerate() {
            if b != a {
                share *= other / (other - x[a]);
            }
        }
        there += share / data[(i + n + k - 2) % n].radius;
    }
    (data[i].radius - 1.0 / there).abs()
}
