//! What was read on the uncut lenses, as JSON.

use planner::measured::{Measured, Moved};
use schemars::JsonSchema;
use serde::Serialize;

use super::figure::Fine;

/// Readings of the uncut lenses against their labels.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct MeasuredJson {
    /// The right lens.
    right: MeasuredEyeJson,
    /// The left lens.
    left: MeasuredEyeJson,
}

/// One lens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct MeasuredEyeJson {
    /// Figures that moved, most first.
    moved: Vec<MovedJson>,
}

/// A figure that moved.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct MovedJson {
    /// Which.
    figure: &'static str,
    /// By the label.
    label: Fine,
    /// As read.
    read: Fine,
    /// Unit of both.
    unit: &'static str,
}

impl From<&Measured> for MeasuredJson {
    fn from(measured: &Measured) -> Self {
        let eye = |moved: &[Moved]| MeasuredEyeJson { moved: moved.iter().map(MovedJson::from).collect() };
        Self { right: eye(&measured.moved.right), left: eye(&measured.moved.left) }
    }
}

impl From<&Moved> for MovedJson {
    fn from(moved: &Moved) -> Self {
        Self { figure: moved.figure, label: Fine::new(moved.label), read: Fine::new(moved.read), unit: moved.unit }
    }
}
