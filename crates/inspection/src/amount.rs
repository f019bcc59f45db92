//! An exact amount, for comparisons that must come out the same at the edge.

use core::fmt;

use job::prescription::InUp;
use units::{Axis, Mm, Power};

/// Whole millionths of a unit, which stands beside it: dioptre, millimetre, degree, prism dioptre.
///
/// Ordered and read powers are thousandths, limits are thousandths or tenths of a percent of a power, so every limit is
/// a whole number of millionths and nothing is rounded before it is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Amount(i64);

impl Amount {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// From whole thousandths.
    #[must_use]
    pub const fn thousandths(n: i32) -> Self {
        Self(n as i64 * 1000)
    }

    /// From whole millionths.
    #[must_use]
    pub const fn millionths(n: i64) -> Self {
        Self(n)
    }

    /// The nearest whole millionth of a decimal number that a person wrote; 0.3 stored as a double is 0.3 again.
    #[must_use]
    pub fn nearest(value: f64) -> Self {
        Self((value * 1e6).round() as i64)
    }

    /// In the unit itself.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// In whole millionths.
    #[must_use]
    pub const fn in_millionths(self) -> i64 {
        self.0
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Rounded to two decimals, halves away from zero, as a limit is printed on a card.
    #[must_use]
    pub const fn to_hundredths(self) -> Self {
        Self((self.0.abs() + 5_000) / 10_000 * 10_000 * self.0.signum())
    }

    /// The length of the vector (x, y), to the nearest millionth.
    pub(crate) fn length(x: Self, y: Self) -> Self {
        Self::nearest((x.value() * x.value() + y.value() * y.value()).sqrt())
    }
}

impl From<Power> for Amount {
    fn from(power: Power) -> Self {
        Self::thousandths(power.thousandths())
    }
}
impl From<Mm> for Amount {
    fn from(length: Mm) -> Self {
        Self::nearest(length.mm())
    }
}
impl core::ops::Sub for Amount {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

/// Both parts of a prism, in and up, cm/m.
pub(crate) fn in_up(prism: InUp) -> (Amount, Amount) {
    (Amount::nearest(prism.base_in.cm_per_m()), Amount::nearest(prism.base_up.cm_per_m()))
}

/// From one axis to another, degrees, above -90 to 90, + anticlockwise: an axis comes back after 180 degrees.
pub(crate) fn turned(from: Axis, to: Axis) -> Amount {
    let apart = (i32::from(to.half_degrees()) - i32::from(from.half_degrees())).rem_euclid(360);
    Amount::thousandths(500 * if apart > 180 { apart - 360 } else { apart })
}

/// Two decimals, more where there are more.
impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0.abs() / 1_000_000, self.0.abs() % 1_000_000);
        let digits = format!("{rest:06}");
        let kept = digits.trim_end_matches('0').len().max(2);
        write!(f, "{}{whole}.{}", if self.0 < 0 { "-" } else { "" }, &digits[..kept])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_of_a_double_are_whole_again() {
        // 1.8 - 1.5 is 0.30000000000000004 in doubles.
        assert_eq!(Amount::nearest(1.8) - Amount::nearest(1.5), Amount::thousandths(300));
        for (n, text) in [(300_000, "0.30"), (-135_000, "-0.135"), (187_500, "0.1875"), (14_000_000, "14.00")] {
            assert_eq!(Amount::millionths(n).to_string(), text);
        }
        for (n, rounded) in [(135_000, 140_000), (132_500, 130_000), (-187_500, -190_000), (200_000, 200_000)] {
            assert_eq!(Amount::millionths(n).to_hundredths(), Amount::millionths(rounded));
        }
    }

    /// The reference's note on axes: 178 against 1 is 3 degrees, and 180 equals 0.
    #[test]
    fn axes_come_back_after_180_degrees() {
        let axis = |half| Axis::from_half_degrees(half).unwrap();
        for (from, to, degrees) in
            [(356, 2, 3), (2, 356, -3), (0, 360, 0), (360, 0, 0), (180, 0, 90), (0, 180, 90), (90, 100, 5)]
        {
            assert_eq!(turned(axis(from), axis(to)), Amount::thousandths(degrees * 1000), "{from} {to}");
        }
    }
}
