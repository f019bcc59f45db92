//! Where to cut a curve so that each part suits Gauss quadrature.

use core::f64::consts::TAU;

use crate::curve::Curve;
use crate::quadrature::gauss10;

/// Splits the parts between `seeds` until ten points give each part's length to 1e-11 mm.
pub(crate) fn of_formula(curve: &Curve, seeds: &[f64]) -> Vec<f64> {
    let mut breaks = Vec::new();
    for (i, &from) in seeds.iter().enumerate() {
        let to = seeds.get(i + 1).copied().unwrap_or(seeds[0] + TAU);
        let within = |a: f64, b: f64| gauss10(|t| curve.polar_within(t, from, to).speed(), a, b);
        split(&within, from, to, 0, &mut breaks);
    }
    breaks
}

fn split(length: &impl Fn(f64, f64) -> f64, from: f64, to: f64, depth: u32, breaks: &mut Vec<f64>) {
    let middle = 0.5 * (from + to);
    let whole = length(from, to);
    let halves = length(from, middle) + length(middle, to);
    // Towards the end of an axis |cos|^p has few derivatives; eight halvings leave it 0.003 rad.
    if depth == 8 || (whole - halves).abs() < 1e-11 {
        breaks.push(from);
    } else {
        split(length, from, middle, depth + 1, breaks);
        split(length, middle, to, depth + 1, breaks);
    }
}
