//! Findings as JSON.

use job::{Answer, Eye, Finding};
use schemars::JsonSchema;
use serde::Serialize;

/// What there is to say to the person at the bench.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FindingJson {
    /// Stable code; `rimwright findings` explains each.
    code: &'static str,
    /// `stop`, `ask`, `warn` or `note`.
    #[schemars(extend("enum" = ["stop", "ask", "warn", "note"]))]
    severity: &'static str,
    /// The eye it speaks of; absent for the pair or the whole order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["right", "left"]))]
    eye: Option<&'static str>,
    /// The figure it speaks of, as a path of the plan or of the order.
    figure: String,
    /// Its value as printed: an answer quotes it.
    value: String,
    /// The limit as printed.
    #[serde(skip_serializing_if = "Option::is_none")]
    limit: Option<String>,
    /// Unit of value and limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    /// Where the limit comes from.
    source: &'static str,
    /// The finding as a colleague would say it.
    sentence: String,
    /// What would mend it.
    #[serde(skip_serializing_if = "Option::is_none")]
    mend: Option<String>,
    /// The answer that covers it.
    #[serde(skip_serializing_if = "Option::is_none")]
    answered: Option<AnsweredJson>,
}

/// A person's answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct AnsweredJson {
    /// The value that was answered.
    figure: String,
    /// Why it may stand.
    reason: String,
    /// Who says so.
    who: String,
}

impl From<&Finding> for FindingJson {
    fn from(finding: &Finding) -> Self {
        Self {
            code: finding.kind.code,
            severity: finding.kind.severity.word(),
            eye: finding.eye.map(Eye::word),
            figure: finding.figure.clone(),
            value: finding.value.clone(),
            limit: finding.limit.clone(),
            unit: Some(finding.unit).filter(|unit| !unit.is_empty()),
            source: finding.kind.source,
            sentence: finding.sentence.clone(),
            mend: Some(finding.mend.clone()).filter(|mend| !mend.is_empty()),
            answered: finding.answered.as_ref().map(AnsweredJson::from),
        }
    }
}

impl From<&Answer> for AnsweredJson {
    fn from(answer: &Answer) -> Self {
        Self { figure: answer.figure.clone(), reason: answer.reason.clone(), who: answer.who.clone() }
    }
}
