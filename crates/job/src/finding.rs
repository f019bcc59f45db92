//! Findings: what a plan has to say to the person at the bench.

use crate::{Answer, Eye};

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Physically or lawfully cannot; never sent to a machine.
    Stop,
    /// A person must answer before the first cut.
    Ask,
    /// Look here.
    Warn,
    /// Good to know.
    Note,
}

impl Severity {
    /// `stop`, `ask`, `warn`, `note`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Ask => "ask",
            Self::Warn => "warn",
            Self::Note => "note",
        }
    }
}

/// A kind of finding: its stable code and what it means.
#[derive(Debug, PartialEq, Eq)]
pub struct Kind {
    /// Stable code, such as `axis-not-mirrored`.
    pub code: &'static str,
    /// How much it weighs.
    pub severity: Severity,
    /// What it means, in a sentence.
    pub meaning: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
}

/// One finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Its kind.
    pub kind: &'static Kind,
    /// The eye it speaks of; `None` for the pair or the whole order.
    pub eye: Option<Eye>,
    /// The figure it speaks of, as a path of the plan or of the order.
    pub figure: String,
    /// The value as printed; an answer must quote it.
    pub value: String,
    /// The limit as printed.
    pub limit: Option<String>,
    /// Unit of value and limit, empty where there is none.
    pub unit: &'static str,
    /// The finding as a colleague would say it, the value in it.
    pub sentence: String,
    /// What would mend it.
    pub mend: String,
    /// Consequence in prism dioptres, dioptres or millimetres, for the order of findings of one severity.
    pub weight: f64,
    /// The answer that covers it.
    pub answered: Option<Answer>,
}

impl Finding {
    /// Starts a finding about the whole order.
    #[must_use]
    pub fn new(kind: &'static Kind, figure: &str, value: impl Into<String>) -> Self {
        Self {
            kind,
            eye: None,
            figure: figure.to_owned(),
            value: value.into(),
            limit: None,
            unit: "",
            sentence: String::new(),
            mend: String::new(),
            weight: 0.0,
            answered: None,
        }
    }

    /// Speaks of one eye.
    #[must_use]
    pub const fn of(mut self, eye: Eye) -> Self {
        self.eye = Some(eye);
        self
    }

    /// Gives the limit.
    #[must_use]
    pub fn limit(mut self, limit: impl Into<String>) -> Self {
        self.limit = Some(limit.into());
        self
    }

    /// Gives the unit of value and limit.
    #[must_use]
    pub const fn unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// Says it, and what would mend it.
    #[must_use]
    pub fn says(mut self, sentence: impl Into<String>, mend: impl Into<String>) -> Self {
        self.sentence = sentence.into();
        self.mend = mend.into();
        self
    }

    /// Weighs it among its like.
    #[must_use]
    pub const fn weighs(mut self, weight: f64) -> Self {
        self.weight = weight;
        self
    }

    /// Whether it keeps the plan from being good: a stop, or an ask without a valid answer.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        match self.kind.severity {
            Severity::Stop => true,
            Severity::Ask => self.answered.is_none(),
            Severity::Warn | Severity::Note => false,
        }
    }

    /// Takes the answer that fits by code, eye and printed value; only an `ask` can be answered.
    pub fn take_answer(&mut self, answers: &[Answer]) {
        if self.kind.severity == Severity::Ask {
            self.answered = answers
                .iter()
                .find(|a| a.code == self.kind.code && (a.eye.is_none() || a.eye == self.eye) && a.figure == self.value)
                .cloned();
        }
    }
}
