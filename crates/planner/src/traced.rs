//! What the records of a frame say, typed: one trace for each eye that is in the file.

use job::{Finding, PerEye};
use outline::{HeightSamples, Samples};
use units::Mm;

/// The traces of a frame and what stands beside them in the records.
#[derive(Debug, Clone)]
pub struct Traced {
    /// Each eye's trace, where the file has it.
    pub eyes: PerEye<Option<EyeTrace>>,
    /// Distance between lenses.
    pub between_lenses: Option<Mm>,
    /// What the reader had to say: records read loosely, points out of range.
    pub notes: Vec<Finding>,
}

/// One eye's trace.
#[derive(Debug, Clone)]
pub struct EyeTrace {
    /// Radii over angle.
    pub samples: Samples,
    /// Heights over angle.
    pub heights: Option<HeightSamples>,
    /// Frame curve on 1.530, as the records state it.
    pub frame_curve_d: Option<f64>,
    /// Box width and height, as the records state them.
    pub stated_box: (Option<Mm>, Option<Mm>),
    /// Circumference, as the records state it; flat or in space is not said.
    pub stated_circumference: Option<Mm>,
    /// Tilt of the heights, as the records state it; reported, never added.
    pub tilt_deg: Option<f64>,
}
