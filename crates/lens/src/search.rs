//! Extremes round an outline: sampled, then refined on the curve itself.

use core::f64::consts::TAU;

use crate::cut_outline::SAMPLES;

/// Least or greatest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    Least,
    Greatest,
}

/// An extreme round an outline: where, in radians within [0, 2 pi), and how much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Found {
    pub(crate) t: f64,
    pub(crate) value: f64,
}

/// Values that differ by less than this, mm, are one value: of equal extremes the first from direction 0 on is taken.
const EQUAL: f64 = 1e-10;

/// Places nearer than this, radians, are one place (a hundred-millionth of a degree).
const SAME_PLACE: f64 = 2e-10;

/// A slope of less than this, mm per radian, is none.
const STILL: f64 = 1e-9;

/// Between two samples, radians.
const STEP: f64 = TAU / SAMPLES as f64;

/// The extreme of a quantity round the outline: `values` at the samples, `at` its value and slope by the direction.
///
/// Every sample that is no worse than its neighbours starts a refinement, unless its neighbours show that it cannot win.
/// A thickness or a distance has one extreme within a step of it; two only where the sample stands still between them, as
/// at the end of a superellipse's axis, whose curvature is none there.
pub(crate) fn round(wanted: Wanted, values: &[f64], at: impl Fn(f64) -> (f64, f64)) -> Found {
    let sign = if wanted == Wanted::Least { 1.0 } else { -1.0 };
    let value = |i: usize| sign * values[i % values.len()];
    let at = |t: f64| {
        let (value, slope) = at(t);
        (sign * value, sign * slope)
    };
    let n = values.len();
    let least = (0..n).map(value).fold(f64::INFINITY, f64::min);
    let mut best = Found { t: 0.0, value: f64::INFINITY };
    for i in 0..n {
        let (before, here, after) = (value(i + n - 1), value(i), value(i + 1));
        if here > before || here > after {
            continue;
        }
        // On either side the curve lies above the straight line carried on from the other side.
        if here - (before - here).max(after - here) > least {
            continue;
        }
        let t = i as f64 * STEP;
        best = better(best, Found { t, value: here });
        let slope = at(t).1;
        // Standing still, the sample may be the extreme, or lie between two: then it falls on either side.
        let aside = if slope.abs() <= STILL { STEP / 16.0 } else { 0.0 };
        if slope > -STILL {
            best = between(best, &at, t - STEP, t - aside);
        }
        if slope < STILL {
            best = between(best, &at, t + aside, t + STEP);
        }
    }
    Found { t: best.t, value: sign * best.value }
}

/// The better of what was found before and the minimum between two places, if it falls and rises again between them.
fn between(best: Found, at: &impl Fn(f64) -> (f64, f64), from: f64, to: f64) -> Found {
    let slope = |t: f64| at(t).1;
    let (falls, rises) = (slope(from), slope(to));
    if falls < 0.0 && rises > 0.0 {
        let t = sign_change(slope, from, to, falls, rises);
        better(best, Found { t: wrapped(t), value: at(t).0 })
    } else {
        best
    }
}

/// The lower of two; of equal ones at different places the first from direction 0 on.
fn better(one: Found, other: Found) -> Found {
    let apart = (one.t - other.t).abs();
    let wins = if apart.min(TAU - apart) < STEP {
        other.value < one.value
    } else {
        other.value < one.value - EQUAL || other.value < one.value + EQUAL && other.t < one.t
    };
    if wins { other } else { one }
}

/// Brought into [0, 2 pi); what lies a hair before the full turn is direction 0.
fn wrapped(t: f64) -> f64 {
    let t = if t < 0.0 { t + TAU } else { t };
    if t > TAU - 1e-8 { 0.0 } else { t }
}

/// Where `f`, negative at a and positive at b, changes its sign (Ridders' method: the bracket at least halves at each
/// turn); a jump through zero, as at a corner, is found alike.
fn sign_change(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64, mut fa: f64, mut fb: f64) -> f64 {
    let mut last = f64::INFINITY;
    while b - a > SAME_PLACE {
        let m = 0.5 * (a + b);
        let fm = f(m);
        let x = m - (m - a) * fm / (fm * fm - fa * fb).sqrt();
        let x = if x > a && x < b { x } else { m };
        if (x - last).abs() <= SAME_PLACE {
            return x;
        }
        last = x;
        let fx = f(x);
        for (t, ft) in [(m, fm), (x, fx)] {
            if ft < 0.0 && t > a {
                (a, fa) = (t, ft);
            } else if ft >= 0.0 && t < b {
                (b, fb) = (t, ft);
            }
        }
    }
    0.5 * (a + b)
}
