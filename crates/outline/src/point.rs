//! Points and vectors in the plane of an outline.

use core::ops::{Add, Mul, Sub};

use units::Angle;

/// A place in the plane of the outline, in mm: x to the viewer's right, y up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the viewer's right, mm.
    pub x: f64,
    /// Up, mm.
    pub y: f64,
}

/// A difference of two places, or a derivative of one by a parameter in radians: mm, or mm per radian.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vector {
    /// To the viewer's right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

impl Point {
    /// The boxed centre.
    pub const ORIGIN: Self = Self { x: 0.0, y: 0.0 };

    /// From its coordinates in mm.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Distance to another point in mm.
    #[must_use]
    pub fn distance_to(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// Direction in which it is seen from the origin, in [0, 2 pi).
    #[must_use]
    pub fn direction(self) -> Angle {
        Angle::from_rad(turn(libm::atan2(self.y, self.x)))
    }

    /// The vector from the origin to it.
    #[must_use]
    pub const fn from_origin(self) -> Vector {
        Vector { x: self.x, y: self.y }
    }
}

impl Vector {
    /// From its components.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// z component of the vector product: positive where `other` lies anticlockwise of `self`.
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length.
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Turned a quarter clockwise: from the direction of travel of an anticlockwise outline to its outside.
    #[must_use]
    pub const fn clockwise(self) -> Self {
        Self { x: self.y, y: -self.x }
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, other: Self) -> Vector {
        Vector { x: self.x - other.x, y: self.y - other.y }
    }
}
impl Add<Vector> for Point {
    type Output = Self;
    fn add(self, by: Vector) -> Self {
        Self { x: self.x + by.x, y: self.y + by.y }
    }
}
impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}
impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self { x: self.x * factor, y: self.y * factor }
    }
}

/// An angle in radians brought into [0, 2 pi).
pub(crate) fn turn(rad: f64) -> f64 {
    const FULL: f64 = core::f64::consts::TAU;
    if (0.0..FULL).contains(&rad) {
        return rad;
    }
    let rad = rad % FULL;
    let rad = if rad < 0.0 { rad + FULL } else { rad };
    // A tiny negative angle plus a full turn rounds to the full turn itself.
    if rad >= FULL { 0.0 } else { rad }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_stay_in_one_turn() {
        for rad in [-1e-18, core::f64::consts::TAU, -7.0, 1e6, 0.0, -0.0] {
            assert!((0.0..core::f64::consts::TAU).contains(&turn(rad)), "{rad}");
        }
    }

    #[test]
    fn the_outside_of_an_anticlockwise_outline_is_clockwise_of_its_travel() {
        // At the viewer's right of a circle the travel is up and the outside is to the right.
        assert_eq!(Vector::new(0.0, 1.0).clockwise(), Vector::new(1.0, 0.0));
    }
}
