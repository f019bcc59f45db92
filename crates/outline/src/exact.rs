//! Points that are declared exact, joined by a periodic cubic.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::error::NotAnOutline;
use crate::polar_cubic::{Knot, PolarCubic};
use crate::samples::Samples;

/// The periodic cubic spline of radius over angle: two continuous derivatives, every point met.
pub(crate) fn through(angles: &[Angle], radii: &[Mm]) -> Result<PolarCubic, NotAnOutline> {
    let samples = Samples::uneven(angles, radii)?;
    if let Some(at) = samples.angles.windows(2).position(|p| p[1] <= p[0]) {
        return Err(NotAnOutline::Angle { at: at + 1, given: samples.angles[at + 1].to_degrees() });
    }
    let (x, y) = (&samples.angles, &samples.radii);
    let slopes = slopes(x, y);
    let mut knots: Vec<Knot> = x
        .iter()
        .zip(y)
        .zip(&slopes)
        .map(|((&at, &radius), &s)| Knot { at: crate::point::turn(at), radius, arriving: s, leaving: s })
        .collect();
    knots.sort_by(|a, b| a.at.total_cmp(&b.at));
    Ok(PolarCubic { knots })
}

/// Slopes of the periodic cubic spline through (x, y), from the cyclic tridiagonal system
/// s[i-1]/h[i-1] + 2 s[i] (1/h[i-1] + 1/h[i]) + s[i+1]/h[i] = 3 (d[i-1]/h[i-1] + d[i]/h[i]), d the chords' slopes,
/// solved by elimination with the last unknown as border.
fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len();
    let next = |i: usize| if i + 1 == n { 0 } else { i + 1 };
    let inverse: Vec<f64> = (0..n).map(|i| 1.0 / (x[next(i)] - x[i] + if i + 1 == n { TAU } else { 0.0 })).collect();
    let chord: Vec<f64> = (0..n).map(|i| (y[next(i)] - y[i]) * inverse[i]).collect();
    let before = |i: usize| if i == 0 { n - 1 } else { i - 1 };
    let diagonal = |i: usize| 2.0 * (inverse[before(i)] + inverse[i]);
    let right = |i: usize| 3.0 * (chord[before(i)] * inverse[before(i)] + chord[i] * inverse[i]);
    // Rows 0..m of the unknowns 0..m, with m = n - 1 as border: columns (right side, border column).
    let m = n - 1;
    let mut pivots = vec![0.0; m];
    let mut columns = vec![[0.0; 2]; m];
    for i in 0..m {
        let mut border = 0.0;
        if i == 0 {
            border += inverse[m];
        }
        if i == m - 1 {
            border += inverse[m - 1];
        }
        let (mut pivot, mut column) = (diagonal(i), [right(i), border]);
        if i > 0 {
            let factor = inverse[i - 1] / pivots[i - 1];
            pivot -= factor * inverse[i - 1];
            column[0] -= factor * columns[i - 1][0];
            column[1] -= factor * columns[i - 1][1];
        }
        pivots[i] = pivot;
        columns[i] = column;
    }
    for i in (0..m).rev() {
        if i + 1 < m {
            let below = columns[i + 1];
            columns[i][0] -= inverse[i] * below[0];
            columns[i][1] -= inverse[i] * below[1];
        }
        columns[i][0] /= pivots[i];
        columns[i][1] /= pivots[i];
    }
    let last = (right(m) - inverse[m] * columns[0][0] - inverse[m - 1] * columns[m - 1][0])
        / (diagonal(m) - inverse[m] * columns[0][1] - inverse[m - 1] * columns[m - 1][1]);
    let mut slopes: Vec<f64> = columns.iter().map(|c| c[0] - c[1] * last).collect();
    slopes.push(last);
    slopes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A periodic cubic spline meets a smooth periodic function with the fourth power of the spacing.
    #[test]
    fn slopes_approach_those_of_a_sine() {
        let wave = |n: usize| {
            let x: Vec<f64> = (0..n).map(|i| TAU * (i as f64 + 0.3 * libm::sin(i as f64)) / n as f64 + 0.1).collect();
            let y: Vec<f64> = x.iter().map(|&x| 25.0 + libm::sin(3.0 * x)).collect();
            let slopes = slopes(&x, &y);
            x.iter().zip(&slopes).map(|(&x, &s)| (s - 3.0 * libm::cos(3.0 * x)).abs()).fold(0.0, f64::max)
        };
        let (coarse, fine) = (wave(100), wave(200));
        assert!(fine < 2e-4 && coarse / fine > 6.0, "{coarse} {fine}");
    }
}
