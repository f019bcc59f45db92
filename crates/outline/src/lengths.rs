//! Length along the curve and the area it encloses.

use core::f64::consts::TAU;

use units::Mm;

use crate::curve::Curve;
use crate::outline::Outline;
use crate::point::turn;
use crate::quadrature::{gauss4, gauss10};

/// Integral round the curve, part by part, of a function of `t` and of the part's ends.
fn around(curve: &Curve, breaks: &[f64], f: impl Fn(f64, f64, f64) -> f64) -> f64 {
    let mut sum = 0.0;
    for (from, to) in parts(breaks) {
        sum += part(curve, |t| f(t, from, to), from, to);
    }
    sum
}

fn parts(breaks: &[f64]) -> impl Iterator<Item = (f64, f64)> {
    let ends = breaks.iter().skip(1).copied().chain(breaks.first().map(|b| b + TAU));
    breaks.iter().copied().zip(ends)
}

fn part(curve: &Curve, f: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    match curve {
        Curve::Cubic(_) => gauss4(f, from, to),
        Curve::Superellipse(_) | Curve::RoundedRectangle(_) => gauss10(f, from, to),
    }
}

pub(crate) fn circumference(curve: &Curve, breaks: &[f64]) -> f64 {
    if let Curve::Cubic(cubic) = curve {
        return (0..cubic.knots.len()).map(|i| cubic.integral(i, |r, slope| (r * r + slope * slope).sqrt())).sum();
    }
    around(curve, breaks, |t, from, to| curve.polar_within(t, from, to).speed())
}

pub(crate) fn area(curve: &Curve, breaks: &[f64]) -> f64 {
    if let Curve::Cubic(cubic) = curve {
        return (0..cubic.knots.len()).map(|i| cubic.integral(i, |r, _| 0.5 * r * r)).sum();
    }
    around(curve, breaks, |t, from, to| {
        let r = curve.polar_within(t, from, to).radius;
        0.5 * r * r
    })
}

/// Arc length round an outline, anticlockwise from t = 0, and back from length to place.
#[derive(Debug, Clone, PartialEq)]
pub struct Lengths<'a> {
    outline: &'a Outline,
    /// Break and length from t = 0 up to it; first (0, 0), last (2 pi, circumference).
    table: Vec<(f64, f64)>,
}

impl Outline {
    /// Arc length as a table, for figures that stand at equal shares of the circumference.
    #[must_use]
    pub fn lengths(&self) -> Lengths<'_> {
        let mut table = vec![(0.0, 0.0)];
        let mut sum = 0.0;
        let mut from = 0.0;
        for &to in self.breaks().iter().filter(|&&b| b > 0.0).chain(core::iter::once(&TAU)) {
            sum += self.length_within(from, to);
            table.push((to, sum));
            from = to;
        }
        Lengths { outline: self, table }
    }

    /// Length of a stretch that no break cuts.
    fn length_within(&self, from: f64, to: f64) -> f64 {
        part(&self.curve, |t| self.curve.polar_within(t, from, to).speed(), from, to)
    }
}

impl Lengths<'_> {
    /// The whole length.
    #[must_use]
    pub fn circumference(&self) -> Mm {
        Mm::new(self.table.last().map_or(0.0, |e| e.1))
    }

    /// Length from t = 0 anticlockwise to `t`, `t` in [0, 2 pi).
    #[must_use]
    pub fn up_to(&self, t: f64) -> Mm {
        let t = turn(t);
        let i = self.table.partition_point(|e| e.0 <= t).max(1) - 1;
        let (from, sum) = self.table[i];
        Mm::new(sum + if t > from { self.outline.length_within(from, t) } else { 0.0 })
    }

    /// The parameter that lies this length anticlockwise from t = 0; any length, taken round the curve.
    #[must_use]
    pub fn at(&self, length: Mm) -> f64 {
        let whole = self.circumference().mm();
        let wanted = length.mm() % whole;
        let wanted = if wanted < 0.0 { wanted + whole } else { wanted };
        let i = self.table.partition_point(|e| e.1 <= wanted).clamp(1, self.table.len() - 1);
        let ((from, below), (to, above)) = (self.table[i - 1], self.table[i]);
        let over = |t: f64| below - wanted + if t > from { self.outline.length_within(from, t) } else { 0.0 };
        turn(crate::root::between(over, from, to, below - wanted, above - wanted))
    }
}
