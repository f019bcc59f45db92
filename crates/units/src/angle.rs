//! A computed angle or direction.

use core::ops::{Add, Neg, Sub};

/// A computed angle. Directions run anticlockwise for the viewer, from the viewer's right.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Angle(f64);

impl Angle {
    /// No turn; the viewer's right.
    pub const ZERO: Self = Self(0.0);

    /// From radians.
    #[must_use]
    pub const fn from_rad(rad: f64) -> Self {
        Self(rad)
    }

    /// From degrees.
    #[must_use]
    pub const fn from_deg(deg: f64) -> Self {
        Self(deg * (core::f64::consts::PI / 180.0))
    }

    /// In radians, as it stands.
    #[must_use]
    pub const fn rad(self) -> f64 {
        self.0
    }

    /// In degrees, as it stands.
    #[must_use]
    pub const fn deg(self) -> f64 {
        self.0 * (180.0 / core::f64::consts::PI)
    }

    /// As a direction: degrees in [0, 360).
    #[must_use]
    pub fn direction_deg(self) -> f64 {
        let deg = self.deg() % 360.0;
        let deg = if deg < 0.0 { deg + 360.0 } else { deg };
        // A tiny negative angle plus 360 rounds to 360 itself.
        if deg >= 360.0 { 0.0 } else { deg }
    }

    /// As the axis of a cylinder: degrees in (0, 180].
    #[must_use]
    pub fn axis_deg(self) -> f64 {
        let deg = self.deg() % 180.0;
        let deg = if deg <= 0.0 { deg + 180.0 } else { deg };
        if deg > 180.0 { 180.0 } else { deg }
    }

    /// Sine, with the same bits on every machine.
    #[must_use]
    pub fn sin(self) -> f64 {
        libm::sin(self.0)
    }

    /// Cosine, with the same bits on every machine.
    #[must_use]
    pub fn cos(self) -> f64 {
        libm::cos(self.0)
    }

    /// Tangent, with the same bits on every machine.
    #[must_use]
    pub fn tan(self) -> f64 {
        libm::tan(self.0)
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_stay_below_a_full_turn() {
        for (deg, direction, axis) in
            [(0.0, 0.0, 180.0), (-90.0, 270.0, 90.0), (360.0, 0.0, 180.0), (180.0, 180.0, 180.0), (-1e-15, 0.0, 180.0)]
        {
            assert!((Angle::from_deg(deg).direction_deg() - direction).abs() < 1e-9, "{deg}");
            assert!((Angle::from_deg(deg).axis_deg() - axis).abs() < 1e-9, "{deg}");
        }
    }
}
