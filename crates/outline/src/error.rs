//! Why numbers are no outline, and how to mend them.

use units::Mm;

/// Why numbers are no outline.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NotAnOutline {
    /// A size that must be positive and finite is not.
    #[error("{what} is {given} mm, not a positive length")]
    NotALength {
        /// Which size.
        what: &'static str,
        /// What was given.
        given: f64,
    },
    /// An exponent outside the superellipses that this crate draws.
    #[error("the exponent {given} is not between {least} and {most}")]
    Exponent {
        /// What was given.
        given: f64,
        /// The least that is taken.
        least: f64,
        /// The greatest that is taken.
        most: f64,
    },
    /// A corner that does not fit into its rectangle.
    #[error("a corner of {corner} mm does not fit a rectangle of {width} x {height} mm")]
    Corner {
        /// Radius of the corner.
        corner: f64,
        /// Width of the rectangle.
        width: f64,
        /// Height of the rectangle.
        height: f64,
    },
    /// Too few points to say anything about a shape.
    #[error("{given} points are too few for an outline, {least} are the least")]
    TooFewPoints {
        /// How many there are.
        given: usize,
        /// How many it takes.
        least: usize,
    },
    /// Not one angle for each radius.
    #[error("{angles} angles for {radii} radii")]
    Counts {
        /// How many angles.
        angles: usize,
        /// How many radii.
        radii: usize,
    },
    /// A radius that is not a positive number.
    #[error("radius {at} is {given} mm, not a positive length")]
    Radius {
        /// Which one, counted from 0.
        at: usize,
        /// What was given.
        given: f64,
    },
    /// A number that is none.
    #[error("number {at} is {given}")]
    NotFinite {
        /// Which one, counted from 0.
        at: usize,
        /// What was given.
        given: f64,
    },
    /// An angle that does not follow its predecessor.
    #[error("angle {at} is {given} degrees, behind its predecessor or beyond a full turn")]
    Angle {
        /// Which one, counted from 0.
        at: usize,
        /// What was given, degrees.
        given: f64,
    },
    /// A part of the turn without any point.
    #[error("no point between {from} and {to} degrees")]
    Gap {
        /// Where the gap begins, degrees.
        from: f64,
        /// Where it ends, degrees.
        to: f64,
    },
    /// A ray from the boxed centre meets the curve more than once.
    #[error("seen from its boxed centre the curve folds back near {near:.0} degrees")]
    Folded {
        /// Where, degrees.
        near: f64,
    },
    /// The parallel curve does not exist as one closed curve round the boxed centre.
    #[error("a parallel curve {by} mm inside does not exist; {greatest} mm is the most")]
    TooFarIn {
        /// What was asked for, mm inwards.
        by: Hundredths,
        /// The greatest amount inwards that would do, mm.
        greatest: Hundredths,
    },
}

/// A length that errors show to 0.01 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hundredths(pub Mm);

impl core::fmt::Display for Hundredths {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:.2}", self.0.mm())
    }
}

impl NotAnOutline {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::NotALength { .. } => "give it in mm, above 0".to_owned(),
            Self::Exponent { .. } => "2 is an ellipse, 2.3 to 4 are usual lens shapes".to_owned(),
            Self::Corner { width, height, .. } => {
                format!("give a corner radius from 0 to {}", 0.5 * width.min(*height))
            }
            Self::TooFewPoints { .. } => "trace the shape again; 400 points are usual".to_owned(),
            Self::Counts { .. } => "give one angle for each radius, or no angles where they are even".to_owned(),
            Self::Radius { .. } | Self::NotFinite { .. } => "trace the shape again, or take the point out".to_owned(),
            Self::Angle { .. } => "sort the points by angle, anticlockwise, within one turn".to_owned(),
            Self::Gap { .. } => "trace the shape again with the stylus in the groove all round".to_owned(),
            Self::Folded { .. } => "trace the shape again; a lens shape meets each ray from its middle once".to_owned(),
            Self::TooFarIn { greatest, .. } => format!("take an offset of at most {greatest} mm inwards"),
        }
    }
}
