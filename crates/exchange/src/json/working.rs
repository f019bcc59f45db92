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
pub enum StepJson {
    /// A formula with its numbers.
    Formula {
        /// Name of the result.
        symbol: &'static str,
        /// The expression.
        formula: &'static str,
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
pub struct InputJson {
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
                formula,
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

/// Every figure's steps by its name; `None` where no working was asked for.
pub(super) fn figures(working: &Working) -> Option<BTreeMap<String, Vec<StepJson>>> {
    working.is_on().then(|| {
        working.figures().map(|(name, steps)| (name.to_owned(), steps.iter().map(StepJson::from).collect())).collect()
    })
}
