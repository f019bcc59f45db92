//! `outline/1`: what is in a trace, as JSON.

use job::{Eye, Finding, PerEye};
use planner::FrameShapes;
use planner::plan::Shape;
use schemars::JsonSchema;
use serde::Serialize;

use super::ENGINE;
use super::eye::BoxJson;
use super::figure::{Coarse, Fine};
use super::finding::FindingJson;

/// A traced frame, measured.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "outline/1")]
pub struct OutlineJson {
    /// Always `outline/1`.
    #[schemars(extend("const" = "outline/1"))]
    schema: &'static str,
    /// The program and its version.
    engine: &'static str,
    /// What it was made from.
    inputs: OutlineInputs,
    /// The wearer's right eye.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<ShapeJson>,
    /// The wearer's left eye.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<ShapeJson>,
    /// Distance between lenses as the records state it, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    distance_between_lenses_mm: Option<Fine>,
    /// All that is doubtful about the trace.
    doubts: Vec<FindingJson>,
}

/// SHA-256 of the bytes of the record file, in hexadecimal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
struct OutlineInputs {
    /// The record file.
    outline: String,
}

/// The outline of one eye.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ShapeJson {
    /// The outline, measured.
    #[serde(rename = "box")]
    boxed: BoxJson,
    /// Frame curve on index 1.530, D.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame_curve_d: Option<Fine>,
    /// Tilt that the records report, degrees; it is never added to the heights.
    #[serde(skip_serializing_if = "Option::is_none")]
    tilt_deg: Option<Coarse>,
    /// Noise of the trace, as estimated, mm.
    noise_mm: Fine,
    /// This eye is not in the file: it is the mirror image of its fellow.
    #[serde(skip_serializing_if = "Option::is_none")]
    mirrored: Option<bool>,
    /// What is doubtful about this eye, or about both.
    doubts: Vec<FindingJson>,
}

impl OutlineJson {
    /// A figured frame, with the digest of its record file.
    #[must_use]
    pub fn new(frame: &FrameShapes, outline_sha256: String) -> Self {
        let shapes = PerEye::from_fn(|eye| Some(ShapeJson::new(&frame.eyes[eye], eye, &frame.doubts)));
        Self {
            schema: "outline/1",
            engine: ENGINE,
            inputs: OutlineInputs { outline: outline_sha256 },
            right: shapes.right,
            left: shapes.left,
            distance_between_lenses_mm: frame.between_lenses.map(Fine::from),
            doubts: frame.doubts.iter().map(FindingJson::from).collect(),
        }
    }
}

impl ShapeJson {
    fn new(shape: &Shape, eye: Eye, doubts: &[Finding]) -> Self {
        Self {
            boxed: BoxJson::new(shape, shape.circumference_3d),
            frame_curve_d: shape.frame_curve_d.map(Fine::new),
            tilt_deg: shape.tilt_deg.map(Coarse::new),
            noise_mm: shape.noise.into(),
            mirrored: shape.mirrored.then_some(true),
            doubts: doubts.iter().filter(|doubt| doubt.eye.is_none_or(|of| of == eye)).map(FindingJson::from).collect(),
        }
    }
}
