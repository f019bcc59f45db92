//! What was read on the uncut lenses, as JSON.

use inspection::Item;
use job::Eye;
use planner::measured::{Measured, Moved};
use schemars::JsonSchema;
use serde::Serialize;

use super::figure::Fine;

/// Readings of the uncut lenses against their labels.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct MeasuredJson {
    /// Whether right and left were taken for one another.
    swapped: bool,
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
    /// Each reading against what was ordered.
    items: Vec<ItemJson>,
}

/// One reading against what was ordered.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ItemJson {
    /// What is compared.
    item: &'static str,
    /// `ordered` or `verification`.
    against: &'static str,
    /// What was wanted, as text.
    wanted: String,
    /// What was read, as text.
    #[serde(skip_serializing_if = "Option::is_none")]
    read: Option<String>,
    /// Read less wanted, in the unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<Fine>,
    /// Greatest error without sign.
    #[serde(skip_serializing_if = "Option::is_none")]
    limit: Option<Fine>,
    /// Unit of error and limit.
    unit: &'static str,
    /// Error over limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    share: Option<Fine>,
    /// `within`, `outside`, `marginal`, `not_checked` or `not_defined`.
    verdict: &'static str,
    /// What another reading of the standard would say.
    #[serde(skip_serializing_if = "Option::is_none")]
    other: Option<OtherJson>,
    /// The edition that judged.
    edition: String,
    /// What it limits, and where.
    clause: String,
    /// What the limit was taken from.
    source: String,
    /// How sure the limit is.
    sure: &'static str,
}

/// Another reading of the standard.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct OtherJson {
    /// Its verdict.
    verdict: &'static str,
    /// Which.
    reading: String,
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
        let of = |eye: Eye| MeasuredEyeJson {
            moved: measured.moved[eye].iter().map(MovedJson::from).collect(),
            items: measured.items[eye].iter().map(ItemJson::from).collect(),
        };
        Self { swapped: measured.swap.is_some(), right: of(Eye::Right), left: of(Eye::Left) }
    }
}

impl From<&Item> for ItemJson {
    fn from(item: &Item) -> Self {
        Self {
            item: item.code.word(),
            against: item.against.word(),
            wanted: item.wanted.to_string(),
            read: item.read.map(|read| read.to_string()),
            error: item.error.map(|error| Fine::new(error.value())),
            limit: item.limit.map(|limit| Fine::new(limit.value())),
            unit: item.unit,
            share: item.share().map(Fine::new),
            verdict: item.verdict.word(),
            other: item.other.as_ref().map(|o| OtherJson { verdict: o.verdict.word(), reading: o.reading.clone() }),
            edition: item.edition.clone(),
            clause: item.clause.clone(),
            source: item.source.clone(),
            sure: item.sure.word(),
        }
    }
}

impl From<&Moved> for MovedJson {
    fn from(moved: &Moved) -> Self {
        Self { figure: moved.figure, label: Fine::new(moved.label), read: Fine::new(moved.read), unit: moved.unit }
    }
}
