//! `plan/1`: a whole plan as JSON.

use job::Eyes;
use planner::{Measured, Plan};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use units::Working;

use super::ENGINE;
use super::eye::EyeJson;
use super::finding::FindingJson;
use super::measured::MeasuredJson;
use super::pair::PairJson;
use super::process::ProcessJson;
use super::working::{self, StepJson};

/// The plan of one order: which blanks, where to put them, and what there is to say about it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "plan/1")]
pub struct PlanJson {
    /// Always `plan/1`.
    #[schemars(extend("const" = "plan/1"))]
    schema: &'static str,
    /// The program and its version.
    engine: &'static str,
    /// What it was made from.
    inputs: Inputs,
    /// The order's number.
    number: String,
    /// Which eyes are made.
    #[schemars(extend("enum" = ["both", "right", "left"]))]
    eyes: &'static str,
    /// Edition of the tolerance standard.
    standard: String,
    /// The wearer's right eye; absent where it is not made.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<EyeJson>,
    /// The wearer's left eye; absent where it is not made.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<EyeJson>,
    /// The two together.
    pair: PairJson,
    /// How it is made; absent where no lens is planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    process: Option<ProcessJson>,
    /// What there is to say, gravest first.
    findings: Vec<FindingJson>,
    /// What was read on the uncut lenses against their labels, where that was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    measured: Option<MeasuredJson>,
    /// How each figure came about, where that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<BTreeMap<String, Vec<StepJson>>>,
}

/// SHA-256 of the bytes of every file that went in, in hexadecimal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Inputs {
    /// The order.
    pub order: String,
    /// The outline's records.
    pub outline: String,
    /// The shelf; absent where there was none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shelf: Option<String>,
    /// The rules: of the text that `rimwright rules` prints where there was no file.
    pub rules: String,
}

impl PlanJson {
    /// A plan with what it was made from.
    #[must_use]
    pub fn new(plan: &Plan, inputs: Inputs) -> Self {
        Self {
            schema: "plan/1",
            engine: ENGINE,
            inputs,
            number: plan.number.to_string(),
            eyes: match plan.made {
                Eyes::Both => "both",
                Eyes::Right => "right",
                Eyes::Left => "left",
            },
            standard: plan.standard.clone(),
            right: plan.eyes.right.as_ref().map(EyeJson::from),
            left: plan.eyes.left.as_ref().map(EyeJson::from),
            pair: PairJson::from(&plan.pair),
            process: plan.process.as_ref().map(ProcessJson::from),
            findings: plan.findings.iter().map(FindingJson::from).collect(),
            measured: None,
            working: None,
        }
    }

    /// Adds what was read on the uncut lenses.
    pub fn show_measured(&mut self, measured: &Measured) {
        self.measured = Some(measured.into());
    }

    /// Adds how these figures came about.
    pub fn show_working(&mut self, working: &Working, figures: &[&str]) {
        self.working = Some(working::figures(working, figures));
    }
}
