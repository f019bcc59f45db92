//! Linear least squares with a handful of unknowns, by normal equations.

/// Normal equations of N unknowns, gathered row by row.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Normal<const N: usize> {
    matrix: [[f64; N]; N],
    right: [f64; N],
}

impl<const N: usize> Normal<N> {
    pub(crate) const fn new() -> Self {
        Self { matrix: [[0.0; N]; N], right: [0.0; N] }
    }

    /// Takes in the equation sum(row x unknowns) = value with a weight.
    pub(crate) fn take(&mut self, row: &[f64; N], value: f64, weight: f64) {
        for ((line, right), p) in self.matrix.iter_mut().zip(&mut self.right).zip(row) {
            for (cell, q) in line.iter_mut().zip(row) {
                *cell += weight * p * q;
            }
            *right += weight * p * value;
        }
    }

    /// The unknowns; none where the equations do not determine them to a ten-millionth.
    pub(crate) fn solved(&self) -> Option<[f64; N]> {
        self.solved_for(self.right)
    }

    /// Variance of one unknown for a variance of 1 in each value.
    pub(crate) fn variance(&self, unknown: usize) -> Option<f64> {
        let mut unit = [0.0; N];
        unit[unknown] = 1.0;
        self.solved_for(unit).map(|x| x[unknown])
    }

    /// Elimination by the L D L^T of the matrix scaled to a diagonal of ones.
    fn solved_for(&self, right: [f64; N]) -> Option<[f64; N]> {
        let mut scale = [0.0; N];
        for (i, s) in scale.iter_mut().enumerate() {
            if self.matrix[i][i] <= 0.0 {
                return None;
            }
            *s = 1.0 / self.matrix[i][i].sqrt();
        }
        let mut a = self.matrix;
        let mut x = right;
        for i in 0..N {
            x[i] *= scale[i];
            for j in 0..N {
                a[i][j] *= scale[i] * scale[j];
            }
        }
        for i in 0..N {
            // What is left of a one when the unknowns before it are taken out: the square of how far it is determined.
            if a[i][i] < 1e-14 {
                return None;
            }
            for j in i + 1..N {
                let factor = a[j][i] / a[i][i];
                let above = a[i];
                a[j].iter_mut().zip(above).skip(i).for_each(|(cell, above)| *cell -= factor * above);
                x[j] -= factor * x[i];
            }
        }
        for i in (0..N).rev() {
            for j in i + 1..N {
                x[i] -= a[i][j] * x[j];
            }
            x[i] /= a[i][i];
        }
        for (x, s) in x.iter_mut().zip(scale) {
            *x *= s;
        }
        Some(x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_parabola_and_the_variance_of_its_level() {
        let mut normal = Normal::<3>::new();
        for i in -5..=5 {
            let x = f64::from(i);
            normal.take(&[1.0, x, x * x], 3.0 - 2.0 * x + 0.25 * x * x, 1.0);
        }
        let found = normal.solved().expect("determined");
        assert!(found.iter().zip([3.0, -2.0, 0.25]).all(|(a, b)| (a - b).abs() < 1e-12), "{found:?}");
        // By hand: the level's variance is S4 / (11 S4 - S2^2) with S2 = 110, S4 = 1958.
        let level = normal.variance(0).expect("determined");
        assert!((level - 1958.0 / (11.0 * 1958.0 - 110.0 * 110.0)).abs() < 1e-12, "{level}");
    }

    #[test]
    fn says_when_it_cannot_tell() {
        let mut normal = Normal::<2>::new();
        for i in 0..5 {
            normal.take(&[1.0, 7.0], f64::from(i), 1.0);
        }
        assert_eq!(normal.solved(), None);
    }
}
