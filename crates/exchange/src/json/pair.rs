//! The two lenses together, as JSON.

use planner::PairPlan;
use planner::pair_prism::PairPrism;
use planner::plan::WorthMeasuring;
use schemars::JsonSchema;
use serde::Serialize;

use super::balance::BalanceJson;
use super::figure::{Direction, Fine, Grams, PrismJson};
use super::lens::SpreadJson;

/// The pair.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
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
    /// Prescribed prism between the eyes.
    #[serde(skip_serializing_if = "Option::is_none")]
    prism: Option<PairPrismJson>,
    /// How the two lenses stand to each other, and what would even them out.
    #[serde(skip_serializing_if = "Option::is_none")]
    balance: Option<BalanceJson>,
    /// How far figures of the pair may move with what is stated about the inputs.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    spread: Vec<SpreadJson>,
    /// The one input that is worth measuring again; absent where none is.
    #[serde(skip_serializing_if = "Option::is_none")]
    worth_measuring: Option<WorthMeasuringJson>,
}

/// An input whose doubt takes a figure across a limit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct WorthMeasuringJson {
    /// The input.
    #[schemars(extend("enum" = ["pd", "centre", "front-curve", "check-thickness", "trace"]))]
    input: &'static str,
    /// The eye whose lens it is; absent for the pupillary distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["right", "left"]))]
    eye: Option<&'static str>,
    /// The figure that crosses its limit, in that eye's plan or of the pair.
    figure: &'static str,
    /// The figure as planned, in its own unit.
    value: Fine,
    /// How far it may move.
    spread: EndsJson,
    /// The limit that lies between.
    limit: Fine,
    /// Why.
    why: String,
}

/// The two ends of a figure.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct EndsJson {
    /// Lowest, in the figure's own unit.
    low: Fine,
    /// Highest.
    high: Fine,
}

impl From<&WorthMeasuring> for WorthMeasuringJson {
    fn from(worth: &WorthMeasuring) -> Self {
        Self {
            input: worth.input,
            eye: worth.eye.map(job::Eye::word),
            figure: worth.figure,
            value: Fine::new(worth.value),
            spread: EndsJson { low: Fine::new(worth.low), high: Fine::new(worth.high) },
            limit: Fine::new(worth.limit),
            why: worth.why.clone(),
        }
    }
}

/// What the prisms of the two eyes do together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
struct PairPrismJson {
    /// Base in of both eyes added, as ordered, cm/m.
    horizontal_in_cm_per_m: Fine,
    /// Base up, right less left, as ordered, cm/m.
    vertical_up_cm_per_m: Fine,
    /// The two as one prism before the right eye, cm/m.
    resultant_cm_per_m: Fine,
    /// Its base, as the viewer sees the right eye.
    resultant_deg: Direction,
    /// Base in of both eyes added, as made, cm/m.
    made_in_cm_per_m: Fine,
    /// Base up, right less left, as made, cm/m.
    made_up_cm_per_m: Fine,
    /// The right eye's prism were the resultant shared equally.
    shared_right: PrismJson,
    /// The left eye's.
    shared_left: PrismJson,
}

impl From<&PairPrism> for PairPrismJson {
    fn from(prism: &PairPrism) -> Self {
        Self {
            horizontal_in_cm_per_m: prism.horizontal_in.into(),
            vertical_up_cm_per_m: prism.vertical_up.into(),
            resultant_cm_per_m: prism.resultant.into(),
            resultant_deg: Direction::new(prism.resultant_base.direction_deg()),
            made_in_cm_per_m: prism.made_in.into(),
            made_up_cm_per_m: prism.made_up.into(),
            shared_right: prism.shared.right.into(),
            shared_left: prism.shared.left.into(),
        }
    }
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
            prism: pair.prism.as_ref().map(PairPrismJson::from),
            balance: pair.balance.as_ref().and_then(|balance| {
                Some(BalanceJson::new(balance, pair.edge_difference?, pair.front_curve_difference?))
            }),
            spread: pair.spread.iter().map(SpreadJson::from).collect(),
            worth_measuring: pair.worth_measuring.as_ref().map(WorthMeasuringJson::from),
        }
    }
}
