//! `recut/1`: what a trial fit says of the next size.

use job::rules::Rules;
use job::{Eye, OrderNumber};
use planner::edge_line::setting;
use planner::recut::{HeldBy, Next, Recut};
use schemars::JsonSchema;
use serde::Serialize;

use super::ENGINE;
use super::figure::Fine;
use super::plan::Inputs;

/// A lens that was cut and tried in its rim, and the size to cut it to next.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "recut/1")]
pub struct RecutJson {
    /// Always `recut/1`.
    #[schemars(extend("const" = "recut/1"))]
    schema: &'static str,
    /// The program and its version.
    engine: &'static str,
    /// What it was made from.
    inputs: Inputs,
    /// The order's number.
    number: String,
    /// What the machine is set in: `radius`, `width` or `circumference`. Every `set_mm` is in it.
    unit: &'static str,
    /// The machine's step, mm.
    step_mm: Fine,
    /// The right lens.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<TriedJson>,
    /// The left lens.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<TriedJson>,
}

/// One lens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct TriedJson {
    /// What it was cut at, mm.
    cut_set_mm: Fine,
    /// The same as an offset of radius, mm.
    cut_offset_radius_mm: Fine,
    /// How long it is round its apex, as measured or as this size gives it, mm.
    round_mm: Fine,
    /// How long this size gives it, mm.
    figured_round_mm: Fine,
    /// The length that it may not fall below, mm: the rim's, as far down as the bevel reaches into it, or what was ordered where
    /// that is less; absent where no rim closes round it.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_mm: Option<Fine>,
    /// The length that it is to have in the end, mm.
    wanted_mm: Fine,
    /// Whether these lengths run along curves in space.
    in_space: bool,
    /// How much less round the trial asks, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    asks_round_mm: Option<Fine>,
    /// `keep`, `cut`, `at-rim`, `too-small` or `another-lens`.
    answer: &'static str,
    /// What to set next, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    next_set_mm: Option<Fine>,
    /// The same as an offset of radius, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    next_offset_radius_mm: Option<Fine>,
    /// How long it is round then, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    next_round_mm: Option<Fine>,
    /// What kept the next size from going as far as was asked: `step` or `rim`.
    #[serde(skip_serializing_if = "Option::is_none")]
    held_by: Option<&'static str>,
    /// How much it is too small round, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    too_small_by_mm: Option<Fine>,
    /// How far its length is from what this size gives, where that is another lens's, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    off_round_mm: Option<Fine>,
}

impl TriedJson {
    fn new(tried: &Recut, rules: &Rules) -> Self {
        let set = |offset| setting(rules.size.unit, offset).0.into();
        let (answer, next, held_by, small) = match tried.next {
            Next::Keep => ("keep", None, None, None),
            Next::Cut { offset, round, held_by } => ("cut", Some((offset, round)), held_by, None),
            Next::AtRim => ("at-rim", None, None, None),
            Next::TooSmall(by) => ("too-small", None, None, by),
            Next::AnotherLens(_) => ("another-lens", None, None, None),
        };
        Self {
            cut_set_mm: set(tried.cut),
            cut_offset_radius_mm: tried.cut.into(),
            round_mm: tried.round.into(),
            figured_round_mm: tried.figured.into(),
            least_mm: tried.least.map(Fine::from),
            wanted_mm: tried.wanted.into(),
            in_space: tried.in_space,
            asks_round_mm: tried.asks.map(Fine::from),
            answer,
            next_set_mm: next.map(|(offset, _)| set(offset)),
            next_offset_radius_mm: next.map(|(offset, _)| offset.into()),
            next_round_mm: next.map(|(_, round)| round.into()),
            held_by: held_by.map(HeldBy::word),
            too_small_by_mm: small.map(Fine::from),
            off_round_mm: if let Next::AnotherLens(off) = tried.next { Some(off.into()) } else { None },
        }
    }
}

impl RecutJson {
    /// The lenses that were tried.
    #[must_use]
    pub fn new(number: &OrderNumber, inputs: Inputs, rules: &Rules, tried: &[Recut]) -> Self {
        let of = |eye: Eye| tried.iter().find(|tried| tried.eye == eye).map(|tried| TriedJson::new(tried, rules));
        Self {
            schema: "recut/1",
            engine: ENGINE,
            inputs,
            number: number.to_string(),
            unit: rules.size.unit.word(),
            step_mm: rules.size.step.into(),
            right: of(Eye::Right),
            left: of(Eye::Left),
        }
    }
}
