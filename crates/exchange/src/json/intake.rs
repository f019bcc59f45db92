//! `intake/1`: an order read back in plain words, and what is to be asked before it is planned.

use job::{Eye, Finding, OrderNumber};
use schemars::JsonSchema;
use serde::Serialize;

use super::ENGINE;
use super::finding::FindingJson;

/// An order as it was taken: read back for the wearer, and checked without frame and shelf.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "intake/1")]
pub struct IntakeJson {
    /// Always `intake/1`.
    #[schemars(extend("const" = "intake/1"))]
    schema: &'static str,
    /// The program and its version.
    engine: &'static str,
    /// What it was made from.
    inputs: IntakeInputs,
    /// The order's number.
    number: String,
    /// The order in plain words, line by line, to be sent to the wearer.
    read_back: Vec<String>,
    /// What the wearer is asked.
    questions: Vec<QuestionJson>,
    /// What there is to say to the bench, gravest first.
    findings: Vec<FindingJson>,
}

/// SHA-256 of the bytes of every file that went in, in hexadecimal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct IntakeInputs {
    /// The order.
    pub order: String,
    /// The rules: of the text that `rimwright rules` prints where there was no file.
    pub rules: String,
}

/// A question to the wearer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
struct QuestionJson {
    /// Code of the finding that asks it.
    code: &'static str,
    /// The eye; absent where it is of both or of the whole order.
    #[serde(skip_serializing_if = "Option::is_none")]
    eye: Option<&'static str>,
    /// In plain words.
    question: String,
}

impl IntakeJson {
    /// An order read back, with the questions that findings put to the wearer.
    #[must_use]
    pub fn new(
        number: &OrderNumber,
        inputs: IntakeInputs,
        read_back: Vec<String>,
        questions: Vec<(&Finding, String)>,
        findings: &[Finding],
    ) -> Self {
        let asked = |(finding, question): (&Finding, String)| QuestionJson {
            code: finding.kind.code,
            eye: finding.eye.map(Eye::word),
            question,
        };
        Self {
            schema: "intake/1",
            engine: ENGINE,
            inputs,
            number: number.to_string(),
            read_back,
            questions: questions.into_iter().map(asked).collect(),
            findings: findings.iter().map(FindingJson::from).collect(),
        }
    }
}
