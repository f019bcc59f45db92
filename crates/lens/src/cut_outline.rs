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

/// Up to this width, radians, four points a part are as good as ten on a wider one.
const NARROW: f64 = 0.051;

impl CutOutline {
    /// Samples an outline; it keeps the boxed centre as its origin.
    #[must_use]
    pub fn new(outline: Outline) -> Self {
        let mut x = Vec::with_capacity(SAMPLES);
        let mut y = Vec::with_capacity(SAMPLES);
        for i in 0..SAMPLES {
            let p = outline.point(direction(i));
            x.push(p.x);
            y.push(p.y);
        }
        let nodes = Nodes::of(&outline);
        Self { outline, x, y, nodes }
    }

    /// The curve.
    #[must_use]
    pub const fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Whether a place lies inside, to the accuracy of the polygon through the samples.
    pub(crate) fn holds(&self, at: Point) -> bool {
        let (radius, _) = self.outline.radius(libm::atan2(at.y, at.x));
        at.x * at.x + at.y * at.y <= radius * radius
    }
}

/// Direction of a sample, radians.
pub(crate) fn direction(i: usize) -> f64 {
    i as f64 * (TAU / SAMPLES as f64)
}

impl Nodes {
    fn of(outline: &Outline) -> Self {
        let breaks = outline.breaks();
        let mut nodes = Self::default();
        for (i, &from) in breaks.iter().enumerate() {
            let to = breaks.get(i + 1).copied().unwrap_or(breaks[0] + TAU);
            let rule: &[(f64, f64)] = if to - from <= NARROW { &FOUR } else { &TEN };
            let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
            for &(abscissa, weight) in rule {
                for t in [middle - half * abscissa, middle + half * abscissa] {
                    let (p, d) = outline.point_and_derivative(t);
                    nodes.x.push(p.x);
                    nodes.y.push(p.y);
                    nodes.dx.push(half * weight * d.x);
                    nodes.dy.push(half * weight * d.y);
                }
            }
        }
        nodes
    }
}

/// Gauss-Legendre abscissae and weights on [-1, 1], non-negative abscissae only: four points.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
const FOUR: [(f64, f64); 2] =
    [(0.339_981_043_584_856_26, 0.652_145_154_862_546_1), (0.861_136_311_594_052_6, 0.347_854_845_137_453_85)];

/// Ten points.
const TEN: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];
