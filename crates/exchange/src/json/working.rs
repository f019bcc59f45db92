//! Workings as JSON: every step of a figure, in order.

use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use units::Working;
use units::working::{Input, Step};

use super::figure::{Figure, Places};

type Number = Figure<{ Places::WORKING }>;

/// One line of a working.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum StepJson {
    /// A formula with its numbers.
    Formula {
        /// Name of the result.
        symbol: &'static str,
        /// The expression.
        formula: String,
        /// What was put in.
        put_in: Vec<InputJson>,
        /// What came out.
        value: Number,
        /// Unit of the result; empty for a ratio.
        unit: &'static str,
        /// Where formula or constant come from.
        source: &'static str,
    },
    /// A sentence.
    Said {
        /// How a place was found, what was left out, which value was taken.
        said: String,
    },
    /// Another figure that this one builds on.
    Uses {
        /// Its name.
        uses: String,
    },
}

/// A number put into a formula.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct InputJson {
    /// Its name in the formula.
    name: &'static str,
    /// Its value.
    value: Number,
    /// Its unit; empty for a ratio.
    unit: &'static str,
}

impl From<&Step> for StepJson {
    fn from(step: &Step) -> Self {
        match step {
            Step::Formula { symbol, formula, inputs, value, unit, source } => Self::Formula {
                symbol,
                // The macro that keeps the text breaks a long one into lines.
                formula: formula.split_whitespace().collect::<Vec<_>>().join(" "),
                put_in: inputs.iter().map(InputJson::from).collect(),
                value: Number::new(*value),
                unit,
                source,
            },
            Step::Said(said) => Self::Said { said: said.clone() },
            Step::Uses(uses) => Self::Uses { uses: uses.clone() },
        }
    }
}

impl From<&Input> for InputJson {
    fn from(input: &Input) -> Self {
        Self { name: input.name, value: Number::new(input.value), unit: input.unit }
    }
}

/// The steps of each of these figures that the working has, by its name.
pub(super) fn figures(working: &Working, names: &[&str]) -> BTreeMap<String, Vec<StepJson>> {
    names
        .iter()
        .filter_map(|&name| Some((name.to_owned(), working.steps(name)?.iter().map(StepJson::from).collect())))
        .collect()
}
