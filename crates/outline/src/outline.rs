//! The closed outline of a lens, as everyone else sees it.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::boxing::{self, Boxed};
use crate::curve::{Curve, Place};
use crate::error::NotAnOutline;
use crate::point::{Point, Vector, turn};
use crate::polar_cubic::PolarCubic;
use crate::recentre;
use crate::rounded_rectangle::RoundedRectangle;
use crate::stations::{self, Station};
use crate::superellipse::Superellipse;
use crate::{breaks, lengths};

/// A closed lens outline: simple, finite, and met once by each ray from its boxed centre.
///
/// - Coordinates are mm from the **boxed centre**, x to the viewer's right, y up. An outline made by
///   [`Outline::offset`] keeps the boxed centre of the one it came from.
/// - The parameter `t` is the direction seen from the boxed centre in radians, in [0, 2 pi), anticlockwise from the
///   viewer's right; any other number is brought there.
/// - At a corner, derivatives are those of the part that follows; see [`Outline::corners`].
#[derive(Clone, PartialEq)]
pub struct Outline {
    pub(crate) curve: Curve,
    pub(crate) stations: Vec<Station>,
    breaks: Vec<f64>,
    corners: Vec<f64>,
    boxed: Boxed,
}

/// In short: a curve has hundreds of knots that nobody wants to read in a message.
impl core::fmt::Debug for Outline {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Outline").field("boxed", &self.boxed).field("corners", &self.corners).finish_non_exhaustive()
    }
}

impl Outline {
    /// The superellipse |x/a|^p + |y/b|^p = 1, exactly.
    ///
    /// # Errors
    /// [`NotAnOutline`] unless both half axes are positive and the exponent is from 2 to 40.
    pub fn superellipse(semi_x: Mm, semi_y: Mm, exponent: f64) -> Result<Self, NotAnOutline> {
        let shape = Superellipse::new(semi_x.mm(), semi_y.mm(), exponent)?;
        Ok(Self::of_formula(Curve::Superellipse(shape), &shape.seeds(), Vec::new()))
    }

    /// The ellipse with these half axes, exactly.
    ///
    /// # Errors
    /// [`NotAnOutline`] unless both are positive.
    pub fn ellipse(semi_x: Mm, semi_y: Mm) -> Result<Self, NotAnOutline> {
        Self::superellipse(semi_x, semi_y, 2.0)
    }

    /// The circle with this radius, exactly.
    ///
    /// # Errors
    /// [`NotAnOutline`] unless it is positive.
    pub fn circle(radius: Mm) -> Result<Self, NotAnOutline> {
        Self::ellipse(radius, radius)
    }

    /// The rectangle with circular corners of the given radius (0 for sharp ones), exactly.
    ///
    /// # Errors
    /// [`NotAnOutline`] unless the sizes are positive and the corner is at most half the smaller.
    pub fn rounded_rectangle(width: Mm, height: Mm, corner: Mm) -> Result<Self, NotAnOutline> {
        let shape = RoundedRectangle::new(width.mm(), height.mm(), corner.mm())?;
        Ok(Self::of_formula(Curve::RoundedRectangle(shape), &shape.seeds(), shape.corners()))
    }

    /// A curve given by a formula about its boxed centre.
    fn of_formula(curve: Curve, seeds: &[f64], corners: Vec<f64>) -> Self {
        let breaks = breaks::of_formula(&curve, seeds);
        // Half a degree apart, so that between two of them a distance turns once.
        let mut at: Vec<f64> = (0..720).map(|i| f64::from(i) * (TAU / 720.0)).collect();
        at.extend(&breaks);
        at.sort_by(f64::total_cmp);
        at.dedup_by(|b, a| *b - *a < 1e-9);
        let stations = stations::along(&curve, &at);
        let boxed = boxing::boxed(&curve, &stations);
        Self { curve, stations, breaks, corners, boxed }
    }

    /// A cubic about its boxed centre, knots close enough for quadrature.
    pub(crate) fn of_cubic(cubic: PolarCubic) -> Self {
        let stations = stations::at_knots(&cubic);
        Self::of_cubic_at(cubic, stations)
    }

    /// The same where its stations are known.
    pub(crate) fn of_cubic_at(cubic: PolarCubic, stations: Vec<Station>) -> Self {
        let breaks = cubic.knots.iter().map(|k| k.at).collect();
        let corners = cubic.corners();
        let curve = Curve::Cubic(cubic);
        let boxed = boxing::boxed(&curve, &stations);
        Self { curve, stations, breaks, corners, boxed }
    }

    /// Points that are exact, joined by a periodic cubic of radius over angle (two continuous derivatives).
    ///
    /// Angles ascend, within one turn, about the pole from which the radii are measured; the pole need not be the boxed
    /// centre.
    ///
    /// # Errors
    /// [`NotAnOutline`] for fewer than 8 points, a radius that is not positive, angles that do not ascend, or a curve
    /// that rays from its boxed centre do not meet once.
    pub fn exact(angles: &[Angle], radii: &[Mm]) -> Result<Self, NotAnOutline> {
        let cubic = crate::exact::through(angles, radii)?;
        Ok(recentre::about_boxed_centre(cubic)?.outline)
    }

    /// The point in direction `t` from the boxed centre.
    #[must_use]
    pub fn point(&self, t: f64) -> Point {
        self.place(t).point
    }

    /// dP/dt at `t`, mm per radian.
    #[must_use]
    pub fn derivative(&self, t: f64) -> Vector {
        self.place(t).first
    }

    /// Second derivative of P by t at `t`, mm per radian squared. Between pieces of the curve it may jump.
    #[must_use]
    pub fn second_derivative(&self, t: f64) -> Vector {
        self.place(t).second
    }

    /// Point and dP/dt at once.
    #[must_use]
    pub fn point_and_derivative(&self, t: f64) -> (Point, Vector) {
        let place = self.place(t);
        (place.point, place.first)
    }

    /// Radius from the boxed centre in direction `t` and its derivative by t: mm and mm per radian.
    #[must_use]
    pub fn radius(&self, t: f64) -> (f64, f64) {
        let polar = self.curve.polar(turn(t));
        (polar.radius, polar.first)
    }

    /// Unit normal at `t`, pointing out of the lens.
    #[must_use]
    pub fn normal(&self, t: f64) -> Vector {
        let first = self.derivative(t).clockwise();
        first * (1.0 / first.length())
    }

    /// Curvature at `t` in 1/mm, + where the outline bulges outwards.
    #[must_use]
    pub fn curvature(&self, t: f64) -> f64 {
        let place = self.place(t);
        let speed = place.first.length();
        place.first.cross(place.second) / (speed * speed * speed)
    }

    pub(crate) fn place(&self, t: f64) -> Place {
        let t = turn(t);
        self.curve.polar(t).place(t)
    }

    /// The parameter at which a ray from the boxed centre in this direction meets the curve.
    ///
    /// The parameter is that direction, so there is nothing to solve; the name says what is meant.
    #[must_use]
    pub fn towards(&self, direction: Angle) -> f64 {
        turn(direction.rad())
    }

    /// The direction in which the point at `t` is seen from the boxed centre, in [0, 2 pi).
    #[must_use]
    pub fn direction_of(&self, t: f64) -> Angle {
        Angle::from_rad(turn(t))
    }

    /// Parameters between which the curve is smooth enough for Gauss quadrature, ascending, in [0, 2 pi).
    ///
    /// The last part runs from the last of them over 2 pi to the first. Pieces of a cubic are at most 0.05 rad wide, so
    /// that four points a piece integrate a length to 1e-9 mm; pieces of a formula are as wide as ten points allow.
    #[must_use]
    pub fn breaks(&self) -> &[f64] {
        &self.breaks
    }

    /// Parameters of the corners, where the direction of the curve jumps, ascending.
    #[must_use]
    pub fn corners(&self) -> &[f64] {
        &self.corners
    }

    /// dP/dt with which the curve arrives at `t`; differs from [`Outline::derivative`] at a corner only.
    #[must_use]
    pub fn derivative_arriving(&self, t: f64) -> Vector {
        let t = turn(t);
        match self.stations.binary_search_by(|s| s.at.total_cmp(&t)) {
            Ok(i) => self.stations[i].arriving,
            Err(_) => self.derivative(t),
        }
    }

    /// The box and the effective diameter, from the extremes of the curve itself.
    #[must_use]
    pub const fn boxed(&self) -> Boxed {
        self.boxed
    }

    /// Length of the curve in its plane.
    #[must_use]
    pub fn circumference(&self) -> Mm {
        Mm::new(lengths::circumference(&self.curve, &self.breaks))
    }

    /// Enclosed area in mm^2.
    #[must_use]
    pub fn area(&self) -> f64 {
        lengths::area(&self.curve, &self.breaks)
    }

    /// The outline as the fellow eye has it: x becomes -x.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match &self.curve {
            Curve::Cubic(cubic) => Self::of_cubic(cubic.mirrored()),
            // The formulas are symmetrical.
            Curve::Superellipse(_) | Curve::RoundedRectangle(_) => self.clone(),
        }
    }
}
