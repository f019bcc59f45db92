//! Gauss-Legendre quadrature.

/// Abscissae and weights on [-1, 1], non-negative abscissae only, four points in all.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
const FOUR: [(f64, f64); 2] =
    [(0.339_981_043_584_856_26, 0.652_145_154_862_546_1), (0.861_136_311_594_052_6, 0.347_854_845_137_453_85)];

/// The same with ten points in all.
const TEN: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

fn gauss(rule: &[(f64, f64)], f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
    let mut sum = 0.0;
    for &(x, w) in rule {
        sum += w * (f(middle - half * x) + f(middle + half * x));
    }
    half * sum
}

/// Integral over [a, b], exact for polynomials of degree 7.
pub(crate) fn gauss4(f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    gauss(&FOUR, f, a, b)
}

/// Integral over [a, b], exact for polynomials of degree 19.
pub(crate) fn gauss10(f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    gauss(&TEN, f, a, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_for_the_degree_it_claims() {
        let power = |x: f64, n: usize| (0..n).fold(1.0, |p, _| p * x);
        for n in 0..=7 {
            let exact = power(2.0, n + 1) / (n as f64 + 1.0);
            assert!((gauss4(|x| power(x, n), 0.0, 2.0) - exact).abs() < 1e-13 * exact);
        }
        for n in 0..=19 {
            let exact = power(2.0, n + 1) / (n as f64 + 1.0);
            assert!((gauss10(|x| power(x, n), 0.0, 2.0) - exact).abs() < 1e-13 * exact);
        }
    }
}
