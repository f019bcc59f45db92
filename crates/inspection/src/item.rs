//! One comparison of a reading with what was wanted.

use core::fmt;

use job::Eye;
use job::prescription::InUp;
use units::{Axis, Mm, Power};

use crate::{Against, Amount, Limit, Rule, Standard, Sure, Wanted};

/// What is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Code {
    /// Sphere, on the edition's basis.
    Sphere,
    /// The principal meridian of higher amount as ordered.
    MeridianHigh,
    /// The other principal meridian.
    MeridianLow,
    /// Cylinder.
    Cylinder,
    /// Axis of the cylinder.
    Axis,
    /// Addition.
    Add,
    /// Prism at the reference point of an uncut lens.
    Prp,
    /// Centre thickness.
    CentreThickness,
    /// Front curve on 1.530.
    BaseCurve,
}

impl Code {
    /// Its stable code.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sphere => "sphere",
            Self::MeridianHigh => "meridian_high",
            Self::MeridianLow => "meridian_low",
            Self::Cylinder => "cylinder",
            Self::Axis => "axis",
            Self::Add => "add",
            Self::Prp => "prp",
            Self::CentreThickness => "centre_thickness",
            Self::BaseCurve => "base_curve",
        }
    }

    /// Its name in a sentence.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sphere => "sphere",
            Self::MeridianHigh => "stronger principal power",
            Self::MeridianLow => "weaker principal power",
            Self::Cylinder => "cylinder",
            Self::Axis => "axis",
            Self::Add => "addition",
            Self::Prp => "prism at the dot",
            Self::CentreThickness => "centre thickness",
            Self::BaseCurve => "front curve",
        }
    }
}

/// What came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// At most the limit off.
    Within,
    /// More than the limit off.
    Outside,
    /// The edition's own wording leaves it open: a person decides.
    Marginal,
    /// Nothing was read.
    NotChecked,
    /// The edition sets no limit here.
    NotDefined,
}

impl Verdict {
    /// Its stable code.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::Outside => "outside",
            Self::Marginal => "marginal",
            Self::NotChecked => "not_checked",
            Self::NotDefined => "not_defined",
        }
    }

    /// Within or outside.
    pub(crate) fn of(error: Amount, limit: Amount) -> Self {
        if error.abs() <= limit { Self::Within } else { Self::Outside }
    }
}

/// A quantity that is wanted or read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A power, D.
    Power(Power),
    /// An axis.
    Axis(Axis),
    /// A length.
    Length(Mm),
    /// A surface curve, D on 1.530.
    Curve(f64),
    /// A prism, cm/m in and up.
    Prism(InUp),
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Power(power) => write!(f, "{power}"),
            Self::Axis(axis) => write!(f, "{axis}"),
            Self::Length(mm) => write!(f, "{:.2}", mm.mm()),
            Self::Curve(curve) => write!(f, "{curve:+.2}"),
            Self::Prism(p) => write!(f, "{:+.2} in {:+.2} up", p.base_in.cm_per_m(), p.base_up.cm_per_m()),
        }
    }
}

/// What another reading of the standard, or another edition, would say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Other {
    /// Its verdict.
    pub verdict: Verdict,
    /// Which reading, with its limit.
    pub reading: String,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What is compared.
    pub code: Code,
    /// The eye; `None` for the pair.
    pub eye: Option<Eye>,
    /// What the wanted value was taken from.
    pub against: Against,
    /// What was wanted, in the form in which it is compared.
    pub wanted: Value,
    /// What was read, in the same form; `None` = not read.
    pub read: Option<Value>,
    /// Read less wanted; an axis in degrees, + anticlockwise; of a prism the amount of the difference, or the part of it
    /// that decides.
    pub error: Option<Amount>,
    /// Greatest error without sign; `None` where none is defined.
    pub limit: Option<Amount>,
    /// Unit of error and limit: `D`, `degrees`, `mm`, `cm/m`.
    pub unit: &'static str,
    /// What came out.
    pub verdict: Verdict,
    /// Where another reading would come out differently.
    pub other: Option<Other>,
    /// The edition that judged.
    pub edition: String,
    /// What was limited and where in the table; with the why of a marginal verdict.
    pub clause: String,
    /// What the limit was taken from.
    pub source: String,
    /// How sure the limit is.
    pub sure: Sure,
}

impl Item {
    /// An item of one lens on which nothing is known yet: no limit, nothing read.
    pub(crate) fn new(code: Code, wanted: &Wanted, value: Value, unit: &'static str, standard: &Standard) -> Self {
        Self {
            code,
            eye: Some(wanted.eye),
            against: wanted.against,
            wanted: value,
            read: None,
            error: None,
            limit: None,
            unit,
            verdict: Verdict::NotDefined,
            other: None,
            edition: standard.id.clone(),
            clause: format!("no limit on it is known of {}", standard.name),
            source: String::new(),
            sure: Sure::Memory,
        }
    }

    /// Names the rule that judges.
    pub(crate) fn by<T>(mut self, rule: &Rule<T>, clause: &str) -> Self {
        self.clause = if clause.is_empty() { rule.clause.clone() } else { format!("{}, {clause}", rule.clause) };
        self.source.clone_from(&rule.source);
        self.sure = rule.sure;
        self
    }

    /// Gives the limit.
    pub(crate) const fn limited(mut self, limit: Amount) -> Self {
        self.limit = Some(limit);
        self
    }

    /// Holds a reading against the limit. What has no limit cannot be missing.
    pub(crate) fn holds(mut self, read: Option<(Value, Amount)>) -> Self {
        self.read = read.map(|(value, _)| value);
        self.error = read.map(|(_, error)| error);
        self.verdict = match (self.error, self.limit) {
            (_, None) => Verdict::NotDefined,
            (None, Some(_)) => Verdict::NotChecked,
            (Some(error), Some(limit)) => Verdict::of(error, limit),
        };
        self
    }

    /// Where the limit is a percentage and its rounding would decide, the verdict is marginal: no public source states
    /// how a percentage is rounded.
    pub(crate) fn if_rounded(mut self, limit: Limit) -> Self {
        let (Limit::Permille(_), Some(error), Some(exact)) = (limit, self.error, self.limit) else { return self };
        let rounded = exact.to_hundredths();
        let verdict = Verdict::of(error, rounded);
        if verdict != self.verdict {
            self.other =
                Some(Other { verdict, reading: format!("limit rounded to two decimals: {rounded} {}", self.unit) });
            self.clause = format!(
                "{}; {} by {exact} {} as it is figured, but {} where that is rounded to {rounded}",
                self.clause,
                self.verdict.word(),
                self.unit,
                verdict.word()
            );
            self.verdict = Verdict::Marginal;
        }
        self
    }

    /// Says what another reading would come to, where that differs.
    pub(crate) fn or_else(mut self, verdict: Verdict, reading: impl FnOnce() -> String) -> Self {
        if self.other.is_none() && self.error.is_some() && verdict != self.verdict {
            self.other = Some(Other { verdict, reading: reading() });
        }
        self
    }

    /// Error over limit, without sign: 1 is exactly on the limit. `None` where there is no error or no limit.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        let (error, limit) = (self.error?, self.limit?);
        (limit > Amount::ZERO).then(|| error.abs().value() / limit.value())
    }
}

/// The verdict over the items that were read: outside if one is, else marginal if one is, else within if one is, else not
/// defined; not checked where nothing was read.
#[must_use]
pub fn overall(items: &[Item]) -> Verdict {
    let any = |verdict| items.iter().any(|item| item.verdict == verdict);
    [Verdict::Outside, Verdict::Marginal, Verdict::Within, Verdict::NotDefined]
        .into_iter()
        .find(|&verdict| any(verdict))
        .unwrap_or(Verdict::NotChecked)
}
