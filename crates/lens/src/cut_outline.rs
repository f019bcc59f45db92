//! The outline that is cut, with the points at which every lens is figured: made once, used for every blank.

use core::f64::consts::TAU;

use outline::{Outline, Point};

/// Points at which a thickness or a distance is sampled before it is refined on the curve itself.
pub(crate) const SAMPLES: usize = 400;

/// An outline with its samples and its points of quadrature.
#[derive(Debug, Clone)]
pub struct CutOutline {
    outline: Outline,
    /// Samples, evenly spread over the directions from 0 on.
    pub(crate) x: Vec<f64>,
    pub(crate) y: Vec<f64>,
    pub(crate) nodes: Nodes,
}

/// Points of Gauss-Legendre quadrature round the outline: P, and w P' with w the weight.
#[derive(Debug, Clone, Default)]
pub(crate) struct Nodes {
    pub(crate) x: Vec<f64>,
    pub(crate) y: Vec<f64>,
    pub(crate) dx: Vec<f64>,
    pub(crate) dy: Vec<f64>,
}

impl CutOutline {
    /// Samples an outline; it keeps the boxed centre as its origin.
    #[must_use]
    pub fn new(outline: Outline) -> Self {
        let (mut x, mut y) = (Vec::with_capacity(SAMPLES), Vec::with_capacity(SAMPLES));
        let (step_sin, step_cos) = libm::sincos(direction(1));
        let (mut sin, mut cos) = (0.0, 1.0);
        for i in 0..SAMPLES {
            // Turned on from sample to sample; afresh now and then, so that rounding does not add up.
            if i % 20 == 0 {
                (sin, cos) = libm::sincos(direction(i));
            }
            let (radius, _) = outline.radius(direction(i));
            x.push(radius * cos);
            y.push(radius * sin);
            (sin, cos) = (sin * step_cos + cos * step_sin, cos * step_cos - sin * step_sin);
        }
        let nodes = Nodes::of(&outline);
        Self { outline, x, y, nodes }
    }

    /// The curve.
    #[must_use]
    pub const fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Whether a place lies inside: its ray from the boxed centre meets the curve once.
    pub(crate) fn holds(&self, at: Point) -> bool {
        let (radius, _) = self.outline.radius(libm::atan2(at.y, at.x));
        at.x * at.x + at.y * at.y <= radius * radius
    }
}

/// Direction of a sample, radians.
pub(crate) fn direction(i: usize) -> f64 {
    i as f64 * (TAU / SAMPLES as f64)
}

/// Gauss-Legendre abscissae and weights on [-1, 1], non-negative abscissae only.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
type Rule = &'static [(f64, f64)];

const TWO: Rule = &[(0.577_350_269_189_625_8, 1.0)];
const FOUR: Rule =
    &[(0.339_981_043_584_856_26, 0.652_145_154_862_546_1), (0.861_136_311_594_052_6, 0.347_854_845_137_453_85)];
const TEN: Rule = &[
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

/// How many points a part of the curve of this width, radians, is worth.
///
/// A cubic's parts are narrow and many: their fourth derivatives, times the fourth power of the width over 4320, leave two
/// points some 1e-10 of an area. A formula has narrow parts only where it is least smooth.
fn rule(width: f64, widest: f64) -> Rule {
    match width {
        _ if widest <= 0.021 => TWO,
        w if w <= 0.051 => FOUR,
        _ => TEN,
    }
}

impl Nodes {
    fn of(outline: &Outline) -> Self {
        let breaks = outline.breaks();
        let mut nodes = Self::default();
        for column in [&mut nodes.x, &mut nodes.y, &mut nodes.dx, &mut nodes.dy] {
            column.reserve(2 * breaks.len());
        }
        let to = |i: usize| breaks.get(i + 1).copied().unwrap_or(breaks[0] + TAU);
        let widest = breaks.iter().enumerate().map(|(i, from)| to(i) - from).fold(0.0, f64::max);
        for (i, &from) in breaks.iter().enumerate() {
            let to = to(i);
            let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
            let (sin, cos) = libm::sincos(middle);
            for &(abscissa, weight) in rule(to - from, widest) {
                let (aside_sin, aside_cos) = sincos_of_little(half * abscissa);
                for (t, aside_sin) in [(middle - half * abscissa, -aside_sin), (middle + half * abscissa, aside_sin)] {
                    let (cos, sin) = (cos * aside_cos - sin * aside_sin, sin * aside_cos + cos * aside_sin);
                    let (radius, slope) = outline.radius(t);
                    let w = half * weight;
                    nodes.x.push(radius * cos);
                    nodes.y.push(radius * sin);
                    nodes.dx.push(w * (slope * cos - radius * sin));
                    nodes.dy.push(w * (slope * sin + radius * cos));
                }
            }
        }
        nodes
    }
}

/// Sine and cosine; of a small angle by their series, which is shorter.
fn sincos_of_little(rad: f64) -> (f64, f64) {
    if rad > 0.02 {
        return libm::sincos(rad);
    }
    let square = rad * rad;
    (
        rad * (1.0 - square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0))),
        1.0 - square / 2.0 * (1.0 - square / 12.0 * (1.0 - square / 30.0 * (1.0 - square / 56.0))),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Mm;

    #[test]
    fn samples_lie_on_the_curve_and_nodes_integrate_its_area() {
        let exact = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap();
        let angles: Vec<units::Angle> = (0..400).map(|i| units::Angle::from_rad(direction(i))).collect();
        let radii: Vec<Mm> = angles.iter().map(|a| Mm::new(exact.radius(a.rad()).0)).collect();
        let cubic = Outline::exact(&angles, &radii).unwrap();
        let corners = Outline::rounded_rectangle(Mm::new(54.0), Mm::new(34.0), Mm::new(5.0)).unwrap();
        for outline in [exact, cubic, corners] {
            let cut = CutOutline::new(outline);
            for i in 0..SAMPLES {
                let p = cut.outline().point(direction(i));
                assert!((p.x - cut.x[i]).abs() < 1e-13 && (p.y - cut.y[i]).abs() < 1e-13);
            }
            let n = &cut.nodes;
            let area: f64 = (0..n.x.len()).map(|i| 0.5 * (n.x[i] * n.dy[i] - n.y[i] * n.dx[i])).sum();
            let want = cut.outline().area();
            assert!((area - want).abs() < 3e-10 * want, "{area} {want}");
        }
    }
}
