//! How the job is made, as JSON.

use job::Eye;
use planner::process::{Caution, Cut, Gentle, Line, Process, Slip, Source};
use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Coarse, Figure, Fine};

/// Minutes: one decimal.
type Minutes = Figure<1>;

/// How this very job is made: wet or dry, where less pressure, held, mounted and taken out again, what to take care of, and
/// how long it takes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct ProcessJson {
    /// An estimate of the hands' time, by the minutes of the rules: the sum of the steps.
    minutes: Minutes,
    /// How the wearer's right lens is cut; absent where it is not planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<CutJson>,
    /// How the wearer's left lens is cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<CutJson>,
    /// In the order of the hands; the last, `take-out`, is for a lens that has to come out again.
    steps: Vec<LineJson>,
    /// Only what belongs to this lens, coat, frame and work.
    cautions: Vec<CautionJson>,
}

/// How one lens is cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct CutJson {
    /// Whether water runs while it is roughed; absent = as its maker says.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["wet", "dry"]))]
    rough: Option<&'static str>,
    /// Whether water runs while it is finished.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["wet", "dry"]))]
    finish: Option<&'static str>,
    /// Cuts from the blank to size, where it is roughed in stages.
    #[serde(skip_serializing_if = "Option::is_none")]
    cuts: Option<u32>,
    /// Diameter that each of them takes off where most comes off, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_mm: Option<Fine>,
    /// Why with less pressure and speed; empty where nothing asks for it.
    gentle: Vec<GentleJson>,
    /// What a turn on the block costs; absent for a sphere.
    #[serde(skip_serializing_if = "Option::is_none")]
    slip: Option<SlipJson>,
}

/// A reason for less pressure and speed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct GentleJson {
    /// Its stable word.
    #[schemars(extend("enum" = ["slippery-coat", "thin-centre", "narrow-shape", "decentration", "thick-edge", "film"]))]
    reason: &'static str,
    /// The figure that asks for it, mm; absent for a coat or film.
    #[serde(skip_serializing_if = "Option::is_none")]
    value_mm: Option<Fine>,
    /// The rule that it crosses, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    limit_mm: Option<Fine>,
    /// The reason in words.
    says: String,
    /// Who says so.
    source: &'static str,
}

/// A turn of the lens on its block.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct SlipJson {
    /// The turn, degrees.
    turn_deg: Coarse,
    /// Cylinder that nobody ordered, D.
    adds_d: Fine,
    /// The reasons of this lens to turn; empty = none beyond what any lens has.
    because: Vec<&'static str>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct LineJson {
    /// Its stable word.
    #[schemars(extend("enum" = [
        "mark", "block", "set", "rough", "finish", "pen-lines", "groove", "drill", "chamfer", "safety-bevel", "toughen",
        "try", "mount", "strain", "true", "verify", "clean", "take-out"
    ]))]
    step: &'static str,
    /// The eye whose lens alone it is for; absent = every lens that is made.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["right", "left"]))]
    eye: Option<&'static str>,
    /// What to do.
    says: String,
    /// How long it takes; absent = no time of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    minutes: Option<Minutes>,
    /// Who says so: title, author or publication, year; or `common practice, no source`; or `from memory`.
    source: String,
}

/// One thing to take care of.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct CautionJson {
    /// What it belongs to.
    #[schemars(extend("enum" = ["frame", "lens", "coat", "body", "law"]))]
    about: &'static str,
    /// What to take care of.
    says: String,
    /// Who says so.
    source: String,
}

fn joined(sources: &[Source]) -> String {
    sources.iter().map(|source| source.full).collect::<Vec<_>>().join("; ")
}

impl From<&Process> for ProcessJson {
    fn from(process: &Process) -> Self {
        Self {
            minutes: Minutes::new(process.minutes()),
            right: process.eyes.right.as_ref().map(CutJson::from),
            left: process.eyes.left.as_ref().map(CutJson::from),
            steps: process.steps.iter().map(LineJson::from).collect(),
            cautions: process.cautions.iter().map(CautionJson::from).collect(),
        }
    }
}

impl From<&Cut> for CutJson {
    fn from(cut: &Cut) -> Self {
        Self {
            rough: cut.rough.map(|coolant| coolant.word()),
            finish: cut.finish.map(|coolant| coolant.word()),
            cuts: cut.stages.map(|(cuts, _)| cuts),
            cut_mm: cut.stages.map(|(_, each)| each.into()),
            gentle: cut.gentle.iter().map(GentleJson::from).collect(),
            slip: cut.slip.as_ref().map(SlipJson::from),
        }
    }
}

impl From<&Gentle> for GentleJson {
    fn from(gentle: &Gentle) -> Self {
        Self {
            reason: gentle.reason.word(),
            value_mm: gentle.value.map(Fine::from),
            limit_mm: gentle.limit.map(Fine::from),
            says: gentle.says.clone(),
            source: gentle.source.full,
        }
    }
}

impl From<&Slip> for SlipJson {
    fn from(slip: &Slip) -> Self {
        Self {
            turn_deg: Coarse::new(slip.turn_deg),
            adds_d: slip.adds.into(),
            because: slip.because.iter().map(|reason| reason.word()).collect(),
        }
    }
}

impl From<&Line> for LineJson {
    fn from(line: &Line) -> Self {
        Self {
            step: line.step.word(),
            eye: line.eye.map(Eye::word),
            says: line.says.clone(),
            minutes: Some(line.minutes).filter(|&minutes| minutes > 0.0).map(Minutes::new),
            source: joined(&line.sources),
        }
    }
}

impl From<&Caution> for CautionJson {
    fn from(caution: &Caution) -> Self {
        Self { about: caution.about.word(), says: caution.says.clone(), source: joined(&caution.sources) }
    }
}
