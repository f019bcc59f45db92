//! The closed curve itself: radius over polar angle about a pole.

use crate::point::{Point, Vector};
use crate::polar_cubic::PolarCubic;
use crate::rounded_rectangle::RoundedRectangle;
use crate::superellipse::Superellipse;

/// Radius and its derivatives by the polar angle: mm, mm/rad, mm/rad^2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Polar {
    pub(crate) radius: f64,
    pub(crate) first: f64,
    pub(crate) second: f64,
}

/// Place on the curve with the derivatives by the polar angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    pub(crate) point: Point,
    pub(crate) first: Vector,
    pub(crate) second: Vector,
}

impl Polar {
    /// The place in direction `t` from the pole.
    pub(crate) fn place(self, t: f64) -> Place {
        let (sin, cos) = libm::sincos(t);
        self.place_along(Vector::new(cos, sin))
    }

    /// The place along a unit vector from the pole.
    pub(crate) fn place_along(self, out: Vector) -> Place {
        let on = Vector::new(-out.y, out.x);
        Place {
            point: Point::ORIGIN + out * self.radius,
            first: out * self.first + on * self.radius,
            second: out * (self.second - self.radius) + on * (2.0 * self.first),
        }
    }

    /// Length of the derivative: mm of curve per radian.
    pub(crate) fn speed(self) -> f64 {
        (self.radius * self.radius + self.first * self.first).sqrt()
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Curve {
    Superellipse(Superellipse),
    RoundedRectangle(RoundedRectangle),
    Cubic(PolarCubic),
}

impl Curve {
    /// Radius at `t` in [0, 2 pi); at a break, that of the part that follows.
    pub(crate) fn polar(&self, t: f64) -> Polar {
        match self {
            Self::Superellipse(s) => s.polar(t),
            Self::RoundedRectangle(r) => r.polar(t),
            Self::Cubic(c) => c.polar(t),
        }
    }

    /// Radius inside the part of the curve from break or station `from` to `to`, its ends included.
    ///
    /// At an end the neighbouring part may have another slope or curvature; this one takes it from inside.
    pub(crate) fn polar_within(&self, t: f64, from: f64, to: f64) -> Polar {
        match self {
            Self::Superellipse(s) => s.polar(t),
            Self::RoundedRectangle(r) => r.polar_within(t, 0.5 * (from + to)),
            Self::Cubic(c) => c.polar_within(t, 0.5 * (from + to)),
        }
    }
}
