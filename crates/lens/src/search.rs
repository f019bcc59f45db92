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

/// The extreme of a quantity round the outline: `values` at the samples, `at` its value and slope by the direction.
///
/// Every sample that is no worse than its neighbours starts a refinement, unless its neighbours show that it cannot win.
/// Between samples the quantity is taken to have one extreme, as a thickness has over 0.9 degrees.
pub(crate) fn round(wanted: Wanted, values: &[f64], at: impl Fn(f64) -> (f64, f64)) -> Found {
    let sign = if wanted == Wanted::Least { 1.0 } else { -1.0 };
    let value = |i: usize| sign * values[i % values.len()];
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
        let found = refined(sign, i, here, &at);
        let better = found.value < best.value - EQUAL;
        let as_good = found.value < best.value + EQUAL && found.t < best.t;
        if better || as_good {
            best = found;
        }
    }
    Found { t: best.t, value: sign * best.value }
}

fn refined(sign: f64, i: usize, here: f64, at: &impl Fn(f64) -> (f64, f64)) -> Found {
    let step = TAU / SAMPLES as f64;
    let t = i as f64 * step;
    let slope = |t: f64| sign * at(t).1;
    let s = slope(t);
    let (a, b) = if s > 0.0 { (t - step, t) } else { (t, t + step) };
    let (sa, sb) = if s > 0.0 { (slope(a), s) } else { (s, slope(b)) };
    let place = if sa < 0.0 && sb > 0.0 { sign_change(slope, a, b, sa, sb) } else { t };
    let value = sign * at(place).0;
    // A plateau made of rounding may be better at the sample itself.
    if value <= here { Found { t: wrapped(place), value } } else { Found { t: wrapped(t), value: here } }
}

fn wrapped(t: f64) -> f64 {
    let t = if t < 0.0 { t + TAU } else { t };
    if t >= TAU { t - TAU } else { t }
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
