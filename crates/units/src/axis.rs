//! The ordered axis of a cylinder.

use core::fmt;

use crate::Angle;

/// Ordered cylinder axis in half degrees, 1 to 360 (0.5 to 180 degrees). Written 0, it is 180 degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Axis(u16);

/// Why a text is no axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAnAxis {
    /// What was written.
    pub given: String,
}

impl fmt::Display for NotAnAxis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is not an axis: whole or half degrees from 0 to 180", self.given)
    }
}
impl std::error::Error for NotAnAxis {}

impl Axis {
    /// From half degrees, 0 to 360; 0 is read as 180 degrees.
    #[must_use]
    pub const fn from_half_degrees(half_degrees: u16) -> Option<Self> {
        match half_degrees {
            0 => Some(Self(360)),
            1..=360 => Some(Self(half_degrees)),
            _ => None,
        }
    }

    /// In half degrees, 1 to 360.
    #[must_use]
    pub const fn half_degrees(self) -> u16 {
        self.0
    }

    /// In degrees, 0.5 to 180.
    #[must_use]
    pub fn deg(self) -> f64 {
        f64::from(self.0) / 2.0
    }

    /// As an angle, for formulas.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::from_deg(self.deg())
    }

    /// The axis at right angles: that of the transposed form.
    #[must_use]
    pub const fn crossed(self) -> Self {
        if self.0 > 180 { Self(self.0 - 180) } else { Self(self.0 + 180) }
    }

    /// The axis as the fellow eye mirrors it: 180 degrees minus this one.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        if self.0 == 360 { Self(360) } else { Self(360 - self.0) }
    }

    /// Smallest angle to another axis in half degrees, 0 to 180.
    #[must_use]
    pub const fn half_degrees_to(self, other: Self) -> u16 {
        let apart = self.0.abs_diff(other.0);
        if apart > 180 { 360 - apart } else { apart }
    }
}

impl core::str::FromStr for Axis {
    type Err = NotAnAxis;

    fn from_str(text: &str) -> Result<Self, NotAnAxis> {
        let fault = || NotAnAxis { given: text.to_owned() };
        let (whole, half) = match text.trim().split_once('.') {
            None => (text.trim(), 0),
            Some((whole, decimals)) => match decimals.trim_end_matches('0') {
                "" if !decimals.is_empty() => (whole, 0),
                "5" => (whole, 1),
                _ => return Err(fault()),
            },
        };
        if whole.is_empty() || whole.len() > 3 || !whole.bytes().all(|b| b.is_ascii_digit()) {
            return Err(fault());
        }
        let whole: u16 = whole.parse().map_err(|_| fault())?;
        Self::from_half_degrees(2 * whole + half).ok_or_else(fault)
    }
}

/// Three digits, the habit that keeps 18 and 180 apart; a half degree shows as `.5`.
impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:03}{}", self.0 / 2, if self.0 % 2 == 1 { ".5" } else { "" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_half_degrees_and_takes_zero_as_180() {
        for (text, half) in [("0", 360), ("180", 360), ("170", 340), ("008", 16), ("92.5", 185), ("90.0", 180)] {
            assert_eq!(text.parse::<Axis>().map(Axis::half_degrees), Ok(half), "{text}");
        }
        for text in ["", "181", "-5", "90.25", "12.", ".5", "1e2", "NaN", "1800"] {
            assert!(text.parse::<Axis>().is_err(), "{text}");
        }
    }

    #[test]
    fn fellow_eyes_mirror() {
        let axis = |d: u16| Axis::from_half_degrees(2 * d).expect("in range");
        assert_eq!(axis(170).mirrored(), axis(10));
        assert_eq!(axis(180).mirrored(), axis(180));
        // order.axis-mirror.example: R 010, L 175 stand 5 degrees from mirror.
        assert_eq!(axis(10).half_degrees_to(axis(175).mirrored()), 10);
        assert_eq!(axis(170).crossed(), axis(80));
    }
}
