//! Cyclic systems of five diagonals, solved in a time proportional to their size.

/// A symmetric positive definite matrix with five diagonals that close in a ring: entry (i, i + 1) and (i, i + 2) with
/// indices taken round the end. At least six rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct CyclicBand {
    pub(crate) diagonal: Vec<f64>,
    pub(crate) first: Vec<f64>,
    pub(crate) second: Vec<f64>,
}

/// Its factors: L D L^T of all rows but the last two, which stand as a border.
#[derive(Debug, Clone, Default)]
pub(crate) struct Factors {
    /// One over D, L one below the diagonal, L two below.
    rows: Vec<[f64; 3]>,
    /// The inner matrix's inverse times the two border columns.
    border: Vec<[f64; 2]>,
    /// Inverse of what is left of the border block.
    corner: [f64; 3],
    /// Entries of the border columns: rows 0, 1, m - 2, m - 1.
    ends: [[f64; 2]; 4],
}

impl CyclicBand {
    /// Nothing, of `n` rows.
    pub(crate) fn zero(n: usize) -> Self {
        Self { diagonal: vec![0.0; n], first: vec![0.0; n], second: vec![0.0; n] }
    }

    /// Becomes `a` + `factor` x `b`.
    pub(crate) fn sum(&mut self, a: &Self, factor: f64, b: &Self) {
        let add = |to: &mut [f64], a: &[f64], b: &[f64]| {
            for ((to, a), b) in to.iter_mut().zip(a).zip(b) {
                *to = a + factor * b;
            }
        };
        add(&mut self.diagonal, &a.diagonal, &b.diagonal);
        add(&mut self.first, &a.first, &b.first);
        add(&mut self.second, &a.second, &b.second);
    }

    /// Factors the matrix into `factors`, whose storage is used again, and solves for one right side on the way.
    pub(crate) fn factor_and_solve(&self, factors: &mut Factors, right: &[f64], x: &mut Vec<f64>) {
        let n = self.diagonal.len();
        let m = n - 2;
        let (a, b, c) = (&self.diagonal[..n], &self.first[..n], &self.second[..n]);
        factors.ends = [[c[m], b[m + 1]], [0.0, c[m + 1]], [c[m - 2], 0.0], [b[m - 1], c[m - 1]]];
        factors.rows.clear();
        factors.border.clear();
        x.clear();
        let (mut one, mut two) = ([0.0; 3], [0.0; 3]);
        let (mut g_before, mut inverse_one, mut inverse_two) = (0.0, 0.0, 0.0);
        for i in 0..m {
            let (b1, c2) = (if i > 0 { b[i - 1] } else { 0.0 }, if i > 1 { c[i - 2] } else { 0.0 });
            let f = c2 * inverse_two;
            let over = b1 - c2 * g_before;
            let g = over * inverse_one;
            let inverse = 1.0 / (a[i] - g * over - f * c2);
            let ends = if i < 2 {
                factors.ends[i]
            } else if i + 2 >= m {
                factors.ends[i + 4 - m]
            } else {
                [0.0; 2]
            };
            let z = [
                right[i] - g * one[0] - f * two[0],
                ends[0] - g * one[1] - f * two[1],
                ends[1] - g * one[2] - f * two[2],
            ];
            factors.rows.push([inverse, g, f]);
            factors.border.push([z[1], z[2]]);
            x.push(z[0]);
            two = one;
            one = z;
            inverse_two = inverse_one;
            inverse_one = inverse;
            g_before = g;
        }
        // Back again, all three columns at once.
        let (mut g1, mut f1, mut f2) = (0.0, 0.0, 0.0);
        let (mut q, mut p) = (([0.0; 2], 0.0), ([0.0; 2], 0.0));
        for i in (0..m).rev() {
            let [inverse, g, f] = factors.rows[i];
            let border = factors.border[i];
            let now = (
                [border[0] * inverse - g1 * q.0[0] - f2 * p.0[0], border[1] * inverse - g1 * q.0[1] - f2 * p.0[1]],
                x[i] * inverse - g1 * q.1 - f2 * p.1,
            );
            factors.border[i] = now.0;
            x[i] = now.1;
            p = q;
            q = now;
            f2 = f1;
            f1 = f;
            g1 = g;
        }
        let [top, next, low, bottom] = factors.ends;
        let across = |column: usize, k: usize| {
            let s = &factors.border;
            top[column] * s[0][k] + next[column] * s[1][k] + low[column] * s[m - 2][k] + bottom[column] * s[m - 1][k]
        };
        let left = [a[m] - across(0, 0), b[m] - across(0, 1), a[m + 1] - across(1, 1)];
        let determinant = left[0] * left[2] - left[1] * left[1];
        factors.corner = [left[2] / determinant, -left[1] / determinant, left[0] / determinant];
        factors.close(x, [right[m], right[m + 1]]);
    }

    /// Solves for another right side.
    pub(crate) fn solve(factors: &Factors, right: &[f64], x: &mut Vec<f64>) {
        let m = factors.rows.len();
        x.clear();
        let (mut one, mut two) = (0.0, 0.0);
        for (&[_, g, f], &r) in factors.rows.iter().zip(right) {
            let z = r - g * one - f * two;
            x.push(z);
            two = one;
            one = z;
        }
        let (mut g1, mut f1, mut f2) = (0.0, 0.0, 0.0);
        let (mut q, mut p) = (0.0, 0.0);
        for i in (0..m).rev() {
            let [inverse, g, f] = factors.rows[i];
            let now = x[i] * inverse - g1 * q - f2 * p;
            x[i] = now;
            p = q;
            q = now;
            f2 = f1;
            f1 = f;
            g1 = g;
        }
        factors.close(x, [right[m], right[m + 1]]);
    }
}

impl Factors {
    /// From the inner solution alone to the whole one: the two border unknowns, and what they take from the inner ones.
    fn close(&self, x: &mut Vec<f64>, right: [f64; 2]) {
        let m = self.rows.len();
        let [top, next, low, bottom] = self.ends;
        let over = |k: usize| right[k] - top[k] * x[0] - next[k] * x[1] - low[k] * x[m - 2] - bottom[k] * x[m - 1];
        let (r0, r1) = (over(0), over(1));
        let u = self.corner[0] * r0 + self.corner[1] * r1;
        let v = self.corner[1] * r0 + self.corner[2] * r1;
        for (x, border) in x.iter_mut().zip(&self.border) {
            *x -= border[0] * u + border[1] * v;
        }
        x.push(u);
        x.push(v);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_what_it_multiplies() {
        for n in [6usize, 7, 8, 30, 401] {
            let wave = |i: usize, k: f64| libm::sin(k * i as f64 + 1.0);
            let band = CyclicBand {
                diagonal: (0..n).map(|i| 7.0 + wave(i, 1.3)).collect(),
                first: (0..n).map(|i| -2.0 + wave(i, 2.1)).collect(),
                second: (0..n).map(|i| 0.4 * wave(i, 0.7)).collect(),
            };
            let multiply = |x: &[f64]| -> Vec<f64> {
                let mut y: Vec<f64> = (0..n).map(|i| band.diagonal[i] * x[i]).collect();
                for i in 0..n {
                    let (j, k) = ((i + 1) % n, (i + 2) % n);
                    y[i] += band.first[i] * x[j] + band.second[i] * x[k];
                    y[j] += band.first[i] * x[i];
                    y[k] += band.second[i] * x[i];
                }
                y
            };
            let (mut factors, mut x) = (Factors::default(), Vec::new());
            for shift in [0.0, 2.0] {
                let truth: Vec<f64> = (0..n).map(|i| wave(i, 0.9) + shift).collect();
                let right = multiply(&truth);
                if shift == 0.0 {
                    band.factor_and_solve(&mut factors, &right, &mut x);
                } else {
                    CyclicBand::solve(&factors, &right, &mut x);
                }
                assert_eq!(x.len(), n);
                for (x, truth) in x.iter().zip(&truth) {
                    assert!((x - truth).abs() < 1e-12, "{n}: {x} {truth}");
                }
            }
        }
    }
}
