//! The place where a continuous function changes its sign.

/// Values below this share of those at the ends are zero: what is sought is flat or slanted there, never steep.
const NOTHING: f64 = 1e-13;

/// Finds where `f` is zero between `a` and `b`, given its values there with opposite signs.
///
/// Ridders' method: each step at least halves the bracket, and doubles the digits near a simple root. Ends where the
/// value is 1e-13 of those at the ends, or the bracket as narrow as `f64` allows (a jump).
pub(crate) fn between(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64, mut fa: f64, mut fb: f64) -> f64 {
    let nothing = NOTHING * (fa.abs() + fb.abs());
    if fa.abs() <= nothing {
        return a;
    }
    if fb.abs() <= nothing {
        return b;
    }
    // Sixty halvings bring any bracket below the spacing of f64; Ridders' steps need about four.
    for _ in 0..60 {
        let m = 0.5 * (a + b);
        let fm = f(m);
        if fm.abs() <= nothing {
            return m;
        }
        let step = (m - a) * fm / (fm * fm - fa * fb).sqrt();
        let x = if fa > fb { m + step } else { m - step };
        let x = if x > a && x < b { x } else { m };
        let fx = f(x);
        if fx.abs() <= nothing {
            return x;
        }
        if (fx > 0.0) != (fm > 0.0) {
            if m < x {
                (a, fa, b, fb) = (m, fm, x, fx);
            } else {
                (a, fa, b, fb) = (x, fx, m, fm);
            }
        } else if (fx > 0.0) != (fa > 0.0) {
            (b, fb) = (x, fx);
        } else {
            (a, fa) = (x, fx);
        }
        if b - a <= 4e-16 * (1.0 + b.abs()) {
            break;
        }
    }
    if fa.abs() < fb.abs() { a } else { b }
}

#[cfg(test)]
mod tests {
    #[test]
    fn finds_roots_it_can_be_told() {
        for (f, a, b, root) in [
            ((|x| x * x - 2.0) as fn(f64) -> f64, 0.0, 2.0, core::f64::consts::SQRT_2),
            (|x| 1.0 - x * x * x, -5.0, 9.0, 1.0),
            (|x| libm::cos(x), 0.0, 3.0, core::f64::consts::FRAC_PI_2),
            (|x| if x < 0.3 { -1.0 } else { 1e9 }, -1.0, 1.0, 0.3),
        ] {
            let found = super::between(f, a, b, f(a), f(b));
            assert!((found - root).abs() < 2e-12, "{found} {root}");
        }
    }
}
