//! The plane that comes nearest to a line in space.

/// Unit normal, towards the viewer, of the plane with the least rms distance; None where the places lie on one line.
///
/// Gauss-Newton on the distance from the plane depth = a x + b y + c, whose normal is (a, b, 1) in (x, y, −depth) turned to
/// the viewer: a rim leans little, so that the plane is never on edge.
pub(crate) fn normal(x: &[f64], y: &[f64], depth: &[f64], weights: &[f64]) -> Option<[f64; 3]> {
    let mean = |column: &[f64]| -> f64 { column.iter().zip(weights).map(|(v, w)| v * w).sum::<f64>() };
    let whole: f64 = weights.iter().sum();
    let (mx, my, md) = (mean(x) / whole, mean(y) / whole, mean(depth) / whole);
    // Moments about the mean: the plane passes through it.
    let moment = |p: &[f64], mp: f64, q: &[f64], mq: f64| -> f64 {
        p.iter().zip(q).zip(weights).map(|((a, b), w)| w * (a - mp) * (b - mq)).sum()
    };
    let (xx, yy, dd) = (moment(x, mx, x, mx), moment(y, my, y, my), moment(depth, md, depth, md));
    let (xy, xd, yd) = (moment(x, mx, y, my), moment(x, mx, depth, md), moment(y, my, depth, md));
    let matrix = [[xx, xy, xd], [xy, yy, yd], [xd, yd, dd]];
    // The eigenvector of the least eigenvalue, by inverse iteration; shifted a little so that a flat line can be solved.
    let shift = 1e-12 * (xx + yy + dd);
    let mut v = [0.0, 0.0, 1.0];
    for _ in 0..60 {
        let next = solved(&matrix, shift, v)?;
        let size = (next[0] * next[0] + next[1] * next[1] + next[2] * next[2]).sqrt();
        let next = next.map(|c| c / size);
        let change = (0..3).map(|i| (next[i] - v[i]).abs()).fold(0.0, f64::max);
        v = next;
        if change < 1e-14 {
            break;
        }
    }
    // In (x, y, depth); the viewer's direction is −depth.
    let towards = if v[2] < 0.0 { 1.0 } else { -1.0 };
    Some([v[0] * towards, v[1] * towards, -v[2] * towards])
}

/// Solves (M + shift) u = v by Cramer's rule; none where it cannot be.
fn solved(m: &[[f64; 3]; 3], shift: f64, v: [f64; 3]) -> Option<[f64; 3]> {
    let a =
        [[m[0][0] + shift, m[0][1], m[0][2]], [m[1][0], m[1][1] + shift, m[1][2]], [m[2][0], m[2][1], m[2][2] + shift]];
    let det = |c: [[f64; 3]; 3]| {
        c[0][0] * (c[1][1] * c[2][2] - c[1][2] * c[2][1]) - c[0][1] * (c[1][0] * c[2][2] - c[1][2] * c[2][0])
            + c[0][2] * (c[1][0] * c[2][1] - c[1][1] * c[2][0])
    };
    let whole = det(a);
    if whole == 0.0 || !whole.is_finite() {
        return None;
    }
    let column = |j: usize| {
        let mut c = a;
        for (line, v) in c.iter_mut().zip(v) {
            line[j] = v;
        }
        det(c) / whole
    };
    Some([column(0), column(1), column(2)])
}
