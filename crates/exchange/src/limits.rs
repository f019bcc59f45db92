//! The range that a number of a file may have, with the words a fault uses for it.

use core::fmt;

/// Least and greatest, in a unit; the ends may or may not belong to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    least: f64,
    most: f64,
    ends_belong: bool,
    unit: &'static str,
}

impl Limits {
    /// From least to most, both ends allowed.
    pub(crate) const fn from_to(least: f64, most: f64, unit: &'static str) -> Self {
        Self { least, most, ends_belong: true, unit }
    }

    /// Above least and below most.
    pub(crate) const fn between(least: f64, most: f64, unit: &'static str) -> Self {
        Self { least, most, ends_belong: false, unit }
    }

    /// Whether a number is within; a NaN never is.
    pub(crate) fn hold(self, number: f64) -> bool {
        if self.ends_belong {
            (self.least..=self.most).contains(&number)
        } else {
            self.least < number && number < self.most
        }
    }

    /// What a number outside suggests.
    pub(crate) fn hint(self, number: f64) -> &'static str {
        if number < 0.0 && self.least >= 0.0 {
            "write the amount, without a minus"
        } else if number > self.most {
            "is a decimal point missing, or the unit another one?"
        } else {
            "write what was measured, or leave it out"
        }
    }
}

impl fmt::Display for Limits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { least, most, ends_belong, unit } = self;
        let gap = if unit.is_empty() { "" } else { " " };
        if *ends_belong {
            write!(f, "a number from {least} to {most}{gap}{unit}")
        } else {
            write!(f, "a number above {least} and below {most}{gap}{unit}")
        }
    }
}

/// A pupillary distance, wide: what no face has is a finding, not a fault.
pub(crate) const PD: Limits = Limits::between(0.0, 200.0, "mm");
/// A height above the lowest tangent.
pub(crate) const HEIGHT: Limits = Limits::between(0.0, 100.0, "mm");
/// A vertex distance.
pub(crate) const VERTEX: Limits = Limits::from_to(0.0, 50.0, "mm");
/// A thickness.
pub(crate) const THICKNESS: Limits = Limits::between(0.0, 40.0, "mm");
/// A diameter of a blank.
pub(crate) const DIAMETER: Limits = Limits::between(0.0, 150.0, "mm");
/// A shift within a lens.
pub(crate) const SHIFT: Limits = Limits::from_to(-60.0, 60.0, "mm");
/// A surface curve.
pub(crate) const CURVE: Limits = Limits::from_to(-30.0, 30.0, "D");
/// A refractive index.
pub(crate) const INDEX: Limits = Limits::from_to(1.3, 2.2, "");
/// A direction; 360 is read as 0.
pub(crate) const DIRECTION: Limits = Limits::from_to(0.0, 360.0, "degrees");
