//! The two lenses together, as JSON.

use planner::PairPlan;
use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Fine, Grams};

/// The pair.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(super) struct PairJson {
    /// Residual prism base in, right plus left, cm/m.
    #[serde(skip_serializing_if = "Option::is_none")]
    horizontal_imbalance_cm_per_m: Option<Fine>,
    /// Residual prism base up, right less left, cm/m.
    #[serde(skip_serializing_if = "Option::is_none")]
    vertical_imbalance_cm_per_m: Option<Fine>,
    /// Vertical prism at the reading level, right less left, all prism counted, cm/m.
    #[serde(skip_serializing_if = "Option::is_none")]
    near_vertical_imbalance_cm_per_m: Option<Fine>,
    /// How far the pupillary distance may be off before it spends the prism that the rules allow, mm: the wearer's
    /// limit, not a verdict.
    #[serde(skip_serializing_if = "Option::is_none")]
    pd_error_allowed_mm: Option<Fine>,
    /// How far the pupillary distance may be off, by the way it was measured, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pd_doubt_mm: Option<Fine>,
    /// Thickest square edge, right less left, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    edge_difference_mm: Option<Fine>,
    /// Front curve on index 1.530, right less left, D.
    #[serde(skip_serializing_if = "Option::is_none")]
    front_curve_difference_d: Option<Fine>,
    /// Mass of the square lenses together, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_g: Option<Grams>,
}

impl From<&PairPlan> for PairJson {
    fn from(pair: &PairPlan) -> Self {
        Self {
            horizontal_imbalance_cm_per_m: pair.horizontal_imbalance.map(Fine::from),
            vertical_imbalance_cm_per_m: pair.vertical_imbalance.map(Fine::from),
            near_vertical_imbalance_cm_per_m: pair.near_vertical_imbalance.map(Fine::from),
            pd_error_allowed_mm: pair.pd_error_allowed.map(Fine::from),
            pd_doubt_mm: pair.pd_doubt.map(Fine::from),
            edge_difference_mm: pair.edge_difference.map(Fine::from),
            front_curve_difference_d: pair.front_curve_difference.map(Fine::from),
            mass_g: pair.mass_g.map(Grams::new),
        }
    }
}
