//! How this very pair is made: wet or dry, where less pressure, in what stages, how it is held, mounted and taken out
//! again, what to take care of, and how long it takes.
//!
//! Only what holds for this job is said, and every line names its source.

mod cautions;
mod cutting;
mod edge;
mod finishing;
mod gentle;
mod holding;
mod mounting;
mod source;
mod treated;

use job::process::LensFamily;
use job::{Eye, Material, Order, PerEye, Rules};

pub use cautions::{About, Caution};
pub use cutting::Cut;
pub use gentle::{Gentle, Reason};
pub use holding::Slip;
pub use source::{COMMON, Source};

use crate::plan::{EyePlan, LensPlan};

/// How a job is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Process {
    /// How each lens is cut.
    pub eyes: PerEye<Option<Cut>>,
    /// What the hands do, in their order; the last is how to take a lens out again.
    pub steps: Vec<Line>,
    /// What to take care of: only what belongs to this lens, coat, frame and work.
    pub cautions: Vec<Caution>,
}

impl Process {
    /// All steps together, minutes.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        tenths(self.steps.iter().map(|line| line.minutes).sum())
    }
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Which.
    pub step: Step,
    /// The eye whose lens alone it is for; `None` = every lens that is made.
    pub eye: Option<Eye>,
    /// What to do, as a sentence's end.
    pub says: String,
    /// How long it takes with all lenses that it is for, minutes, in tenths; 0 = no time of its own.
    pub minutes: f64,
    /// Who says so.
    pub sources: Vec<Source>,
}

/// The steps, in the order of the hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Focimeter, dots, letter, arrow.
    Mark,
    /// Film or pad, and block.
    Block,
    /// What the edger is set to.
    Set,
    /// Most of the stock off.
    Rough,
    /// To shape and size.
    Finish,
    /// Whether the lens has turned on its block.
    PenLines,
    /// Groove for cord or rim.
    Groove,
    /// Holes.
    Drill,
    /// Both ends of each hole.
    Chamfer,
    /// Sharp rims of the edge broken.
    SafetyBevel,
    /// First try in the frame.
    TryIn,
    /// Glass: toughening and impact test. After the trial: toughened glass is cut no more.
    Toughen,
    /// Into the frame.
    Mount,
    /// Polariscope.
    Strain,
    /// Frame trued.
    TrueUp,
    /// Mounted pair read.
    Verify,
    /// Cleaned.
    Clean,
    /// Out of the frame again, where that is needed.
    TakeOut,
}

impl Step {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mark => "mark",
            Self::Block => "block",
            Self::Set => "set",
            Self::Rough => "rough",
            Self::Finish => "finish",
            Self::PenLines => "pen-lines",
            Self::Groove => "groove",
            Self::Drill => "drill",
            Self::Chamfer => "chamfer",
            Self::SafetyBevel => "safety-bevel",
            Self::Toughen => "toughen",
            Self::TryIn => "try",
            Self::Mount => "mount",
            Self::Strain => "strain",
            Self::TrueUp => "true",
            Self::Verify => "verify",
            Self::Clean => "clean",
            Self::TakeOut => "take-out",
        }
    }
}

/// The process of a plan; none where no lens is planned.
#[must_use]
pub fn figure(order: &Order, rules: &Rules, eyes: &PerEye<Option<EyePlan>>) -> Option<Process> {
    let lenses: Vec<Made<'_>> = Eye::BOTH
        .into_iter()
        .filter_map(|eye| {
            let plan = eyes[eye].as_ref()?;
            let lens = plan.lens.as_ref()?;
            let material = rules.material(&lens.blank.material);
            Some(Made { eye, plan, lens, cut: cutting::cut(rules, material, plan, lens) })
        })
        .collect();
    let material = rules.material(&lenses.first()?.lens.blank.material);
    let job = Job { order, rules, material, family: material.map_or(LensFamily::Unknown, |m| m.family), lenses };
    let mut steps = Vec::new();
    holding::steps(&job, &mut steps);
    cutting::steps(&job, &mut steps);
    edge::steps(&job, &mut steps);
    mounting::steps(&job, &mut steps);
    finishing::steps(&job, &mut steps);
    // Stable: what one step is told in stays in its order.
    steps.sort_by_key(|line| line.step);
    let cautions = cautions::of(&job);
    let mut cuts = PerEye::default();
    for made in job.lenses {
        cuts[made.eye] = Some(made.cut);
    }
    Some(Process { eyes: cuts, steps, cautions })
}

/// What the process of one job is made from.
struct Job<'a> {
    order: &'a Order,
    rules: &'a Rules,
    material: Option<&'a Material>,
    family: LensFamily,
    lenses: Vec<Made<'a>>,
}

/// A lens that is made.
struct Made<'a> {
    eye: Eye,
    plan: &'a EyePlan,
    lens: &'a LensPlan,
    cut: Cut,
}

impl Job<'_> {
    /// A line for every lens; `minutes` are of one.
    fn line(&self, step: Step, says: impl Into<String>, minutes: f64, sources: &[Source]) -> Line {
        self.of_pair(step, says, minutes * self.lenses.len() as f64, sources)
    }

    /// A line for the pair; `minutes` are of both.
    fn of_pair(&self, step: Step, says: impl Into<String>, minutes: f64, sources: &[Source]) -> Line {
        let eye = if let [only] = &self.lenses[..] { Some(only.eye) } else { None };
        Line { step, eye, says: says.into(), minutes: tenths(minutes), sources: once(sources) }
    }

    /// What is to be said of each lens: once where it is the same, else after its letter. Nothing where nothing is to be said.
    fn each(&self, of: impl Fn(&Made<'_>) -> Option<String>) -> Option<String> {
        let said: Vec<Option<String>> = self.lenses.iter().map(of).collect();
        if let [first, rest @ ..] = &said[..]
            && rest.iter().all(|other| other == first)
        {
            return first.clone();
        }
        let lettered: Vec<String> = self
            .lenses
            .iter()
            .zip(&said)
            .filter_map(|(made, said)| said.as_ref().map(|said| format!("{} {said}", made.eye.letter())))
            .collect();
        // What has commas of its own is kept apart by more.
        let between = if said.iter().flatten().any(|said| said.contains(", ")) { "; " } else { ", " };
        Some(lettered.join(between))
    }

    /// Whether a lens has this treatment.
    fn has(&self, treatment: job::Treatments) -> bool {
        self.lenses.iter().any(|made| made.lens.blank.treatments.has(treatment))
    }

    /// The sum of something over the lenses.
    fn sum(&self, of: impl Fn(&Made<'_>) -> f64) -> f64 {
        self.lenses.iter().map(of).sum()
    }
}

/// Each source once, in the order in which it was first named.
fn once(sources: &[Source]) -> Vec<Source> {
    let mut all: Vec<Source> = Vec::new();
    for source in sources {
        if !all.contains(source) {
            all.push(*source);
        }
    }
    all
}

/// Minutes in tenths, so that what is printed adds up.
fn tenths(minutes: f64) -> f64 {
    libm::round(minutes * 10.0) / 10.0
}
