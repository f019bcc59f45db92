//! Measured points of an outline: radii over ascending angles about some pole inside.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::error::NotAnOutline;

/// Fewer points than these say nothing about a shape.
pub const LEAST_POINTS: usize = 8;

/// Radii over angles about a pole that lies inside the shape, not necessarily at its boxed centre.
///
/// Angles are radians, ascending (equal ones may follow one another: a doubled point), all within one turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Samples {
    pub(crate) angles: Vec<f64>,
    pub(crate) radii: Vec<f64>,
}

impl Samples {
    /// Radii at even spacing: point i of n lies at 360 i / n degrees.
    ///
    /// # Errors
    /// [`NotAnOutline`] for fewer than [`LEAST_POINTS`] or a radius that is not a positive number.
    pub fn even(radii: &[Mm]) -> Result<Self, NotAnOutline> {
        let step = TAU / radii.len().max(1) as f64;
        Self::checked((0..radii.len()).map(|i| i as f64 * step).collect(), radii)
    }

    /// Radii at given angles, ascending within one turn; the first need not be 0.
    ///
    /// # Errors
    /// [`NotAnOutline`] for counts that differ, fewer than [`LEAST_POINTS`], a radius that is not a positive number, or an
    /// angle that lies behind its predecessor or more than a full turn from the first.
    pub fn uneven(angles: &[Angle], radii: &[Mm]) -> Result<Self, NotAnOutline> {
        if angles.len() != radii.len() {
            return Err(NotAnOutline::Counts { angles: angles.len(), radii: radii.len() });
        }
        let angles: Vec<f64> = angles.iter().map(|a| a.rad()).collect();
        if let Some(at) = angles.iter().position(|a| !a.is_finite()) {
            return Err(NotAnOutline::NotFinite { at, given: angles[at] });
        }
        let first = angles.first().copied().unwrap_or(0.0);
        for (at, &angle) in angles.iter().enumerate() {
            let behind = at > 0 && angle < angles[at - 1];
            // The first point may be repeated at the end of the turn.
            if behind || angle > first + TAU * (1.0 + 1e-12) {
                return Err(NotAnOutline::Angle { at, given: angle.to_degrees() });
            }
        }
        Self::checked(angles, radii)
    }

    fn checked(angles: Vec<f64>, radii: &[Mm]) -> Result<Self, NotAnOutline> {
        if radii.len() < LEAST_POINTS {
            return Err(NotAnOutline::TooFewPoints { given: radii.len(), least: LEAST_POINTS });
        }
        for (at, radius) in radii.iter().enumerate() {
            let given = radius.mm();
            if !(given.is_finite() && given > 0.0) {
                return Err(NotAnOutline::Radius { at, given });
            }
        }
        Ok(Self { angles, radii: radii.iter().map(|r| r.mm()).collect() })
    }

    /// How many points.
    #[must_use]
    pub fn len(&self) -> usize {
        self.radii.len()
    }

    /// Never: there are at least [`LEAST_POINTS`].
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.radii.is_empty()
    }

    /// As the fellow eye has it: the radius at angle t is the other's at 180 degrees less t.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        // pi - t descends; run backwards it ascends, from an angle that may be negative.
        Self {
            angles: self.angles.iter().rev().map(|a| core::f64::consts::PI - a).collect(),
            radii: self.radii.iter().rev().copied().collect(),
        }
    }
}
