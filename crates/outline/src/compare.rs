//! One outline against another.

use core::f64::consts::TAU;

use units::{Angle, Mm};

use crate::outline::Outline;

/// How one outline differs from another, boxed centres laid on each other, along rays from them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Root mean square over the directions.
    pub rms: Mm,
    /// Mean amount over the directions, without sign.
    pub mean: Mm,
    /// The greatest difference, + where this outline is the larger one.
    pub worst: Mm,
    /// Direction of the greatest difference.
    pub worst_at: Angle,
}

/// Half a degree between two directions.
const DIRECTIONS: u32 = 720;

impl Outline {
    /// Compares radii from the boxed centres: this one's less the other's, at 720 even directions.
    ///
    /// For right against left, give the left one mirrored.
    #[must_use]
    pub fn compared_with(&self, other: &Self) -> Difference {
        let (mut squares, mut amounts, mut worst, mut worst_at) = (0.0, 0.0, 0.0f64, 0.0);
        for i in 0..DIRECTIONS {
            let t = f64::from(i) * (TAU / f64::from(DIRECTIONS));
            let difference = self.radius(t).0 - other.radius(t).0;
            squares += difference * difference;
            amounts += difference.abs();
            if difference.abs() > worst.abs() {
                (worst, worst_at) = (difference, t);
            }
        }
        let n = f64::from(DIRECTIONS);
        Difference {
            rms: Mm::new((squares / n).sqrt()),
            mean: Mm::new(amounts / n),
            worst: Mm::new(worst),
            worst_at: Angle::from_rad(worst_at),
        }
    }
}
