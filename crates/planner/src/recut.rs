//! The trial fit: a lens was cut and tried in its rim; the size to cut it to next.
//!
//! Larger first, then down: a lens can be made smaller and never larger. It is never cut shorter than its rim, and by no
//! more than one step of the machine at a time.

use core::f64::consts::TAU;

use job::rules::{Rules, SizeUnit};
use job::{EdgeKind, Eye, Mounting, Order};
use lens::{NoLens, NoSize};
use units::{Mm, Working};

use crate::edge_line::per_radius;
use crate::plan::{Bench, EyePlan, Plan};
use crate::shape::FrameShapes;

/// Settings are told, and set, to this, mm: own choice.
const SET_TO: f64 = 0.01;
/// A circumference this far from what its size gives is another lens's, or was misread, mm: own choice.
const ANOTHER_LENS_MM: f64 = 2.0;
/// What a circumference tape and the eye cannot tell, mm round: own choice.
const SAME_MM: f64 = 0.03;

/// What the trial in the rim said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tried {
    /// The rim stays open by so much at its joint.
    Gap(Mm),
    /// It does not go in, or bows the rim.
    Tight,
    /// The rim just closes, and the lens does not turn.
    Closes,
    /// It turns by hand, or light shows round it.
    Loose,
    /// The lens is so long round its bevel apex, by tape.
    Circumference(Mm),
}

/// The answer to a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Next {
    /// It is as it should be.
    Keep,
    /// To be cut smaller.
    Cut {
        /// The next size, of radius beyond the traced outline.
        offset: Mm,
        /// How long it is round then.
        round: Mm,
        /// What kept it from going as far as was asked.
        held_by: Option<HeldBy>,
    },
    /// It is as short as its rim already: the trouble is not its size.
    AtRim,
    /// It is too small, by so much round where that is known: it has to be made again.
    TooSmall(Option<Mm>),
    /// No lens of this size is so long round; so far off.
    AnotherLens(Mm),
}

/// What holds a next size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBy {
    /// One step of the machine.
    Step,
    /// The rim's own length.
    Rim,
}

impl HeldBy {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Step => "step",
            Self::Rim => "rim",
        }
    }
}

/// One lens that was tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recut {
    /// Its eye.
    pub eye: Eye,
    /// The size it was cut at, of radius beyond the traced outline.
    pub cut: Mm,
    /// How long it is round: as measured, else as this size gives it.
    pub round: Mm,
    /// How long this size gives it.
    pub figured: Mm,
    /// The length that it may not fall below: as long as the rim is where the bevel reaches it; none where no rim closes
    /// round it.
    pub least: Option<Mm>,
    /// How long the lens is to be in the end.
    pub wanted: Mm,
    /// Whether these lengths are along curves in space; otherwise flat.
    pub in_space: bool,
    /// How much less round the trial asks, where it tells.
    pub asks: Option<Mm>,
    /// What to do.
    pub next: Next,
}

/// Why a trial has no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum NoRecut {
    /// The shape has no such size, or such a lens no seat.
    Size(NoSize),
    /// A length by tape runs in space, and no depth of the rim is known.
    Flat,
    /// A gap at a joint was told of a mounting that has none.
    NoJoint,
}

impl From<NoSize> for NoRecut {
    fn from(no: NoSize) -> Self {
        Self::Size(no)
    }
}

/// The radius of a setting: a machine is set in radius, box width or circumference.
#[must_use]
pub fn offset_of(unit: SizeUnit, setting: Mm) -> Mm {
    setting / per_radius(unit)
}

/// The size for the first cut, of radius: where the lens is tried in a rim, one step larger than the plan tells.
#[must_use]
pub fn first_cut(order: &Order, rules: &Rules, planned: Mm) -> Mm {
    let is_tried = order.frame.mounting == Mounting::FullRim && order.lens.edge == EdgeKind::Bevel;
    if !is_tried {
        return planned;
    }
    let factor = per_radius(rules.size.unit);
    let told = libm::round(planned.mm() * factor / SET_TO) * SET_TO;
    Mm::new((told + rules.size.step.mm()) / factor)
}

/// What a machine is set to, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// What the setting is of.
    pub unit: SizeUnit,
    /// For the planned size.
    pub planned: Mm,
    /// For the first cut.
    pub first: Mm,
}

/// The settings of a planned size, of radius.
pub(crate) fn setting(order: &Order, rules: &Rules, planned: Mm) -> Setting {
    let (unit, factor) = (rules.size.unit, per_radius(rules.size.unit));
    Setting { unit, planned: planned * factor, first: first_cut(order, rules, planned) * factor }
}

/// The answer for one eye of a plan. `cut` is the size at which it was cut, of radius; none = the first cut.
///
/// # Errors
/// [`NoRecut`] where the shape has no such size, or the trial is none of this frame.
pub fn recut(
    order: &Order,
    frame: &FrameShapes,
    bench: &Bench<'_>,
    plan: &Plan,
    eye_plan: &EyePlan,
    (cut, tried): (Option<Mm>, Tried),
) -> Result<Recut, NoRecut> {
    let rules = bench.rules;
    let eye = eye_plan.eye;
    let planned = eye_plan.size_offset.unwrap_or_default();
    let cut = cut.unwrap_or_else(|| first_cut(order, rules, planned));
    let line = eye_plan.lens.as_ref().and_then(|lens| lens.edge_line.as_ref());
    let in_space = line.is_some_and(|line| line.rim_3d.is_some());
    if matches!(tried, Tried::Circumference(_)) && !in_space {
        return Err(NoRecut::Flat);
    }
    let has_rim = matches!(order.frame.mounting, Mounting::FullRim | Mounting::GroovedRim);
    if matches!(tried, Tried::Gap(_)) && !has_rim {
        return Err(NoRecut::NoJoint);
    }
    let rounds = Rounds { order, frame, bench, plan, eye_plan, in_space };
    let figured = rounds.at(cut)?;
    let (rim, wanted) = match line.and_then(|line| line.rim_3d) {
        Some(rim) => (Some(rim), line.and_then(|line| line.wanted_3d).map_or_else(|| rounds.at(planned), Ok)?),
        None => (has_rim.then(|| rounds.at(Mm::ZERO)).transpose()?, rounds.at(planned)?),
    };
    // A bevel that stays above the bottom of the rim's groove sits in a shorter rim; and an order may want less than the rim.
    let above = line.and_then(|line| line.sits).map_or(Mm::ZERO, |sits| sits.short * TAU);
    let least = rim.map(|rim| (rim - above).min(wanted));
    let round = if let Tried::Circumference(read) = tried { read } else { figured };
    let answer = |asks, next| Ok(Recut { eye, cut, round, figured, least, wanted, in_space, asks, next });
    let factor = per_radius(rules.size.unit);
    let step = rules.size.step / factor;
    let asks = match tried {
        Tried::Closes => return answer(None, Next::Keep),
        Tried::Loose => return answer(None, Next::TooSmall(None)),
        Tried::Gap(gap) => gap,
        Tried::Tight => step * TAU,
        Tried::Circumference(read) => {
            let off = read - figured;
            if off.abs().mm() > ANOTHER_LENS_MM {
                return answer(None, Next::AnotherLens(off));
            }
            if let Some(short) = least.map(|least| least - read).filter(|short| short.mm() > SAME_MM) {
                return answer(None, Next::TooSmall(Some(short)));
            }
            if read.mm() <= wanted.mm() + SAME_MM {
                return answer(None, Next::Keep);
            }
            read - wanted
        }
    };
    let room = least.map(|least| (round - least) / TAU);
    let (mut less, mut held_by) = (asks / TAU, None);
    if less > step {
        (less, held_by) = (step, Some(HeldBy::Step));
    }
    if let Some(room) = room.filter(|&room| less > room) {
        (less, held_by) = (room, Some(HeldBy::Rim));
    }
    // Rounded to the larger side, since what is cut off is gone; but a hundredth, where there is room for one, is a cut.
    let hundredth = Mm::new(SET_TO / factor);
    let set = libm::ceil((cut - less).mm() * factor / SET_TO - 1e-6) * SET_TO;
    let rounded = Mm::new(set / factor);
    let offset = if (cut - rounded).mm() > 0.5 * hundredth.mm() { rounded } else { cut - hundredth };
    if room.is_some_and(|room| (cut - offset).mm() > room.mm() + 1e-9) {
        return answer(Some(asks), Next::AtRim);
    }
    let after = rounds.at(offset)? + (round - figured);
    answer(Some(asks), Next::Cut { offset, round: after, held_by })
}

/// Lengths round a lens of other sizes.
struct Rounds<'a> {
    order: &'a Order,
    frame: &'a FrameShapes,
    bench: &'a Bench<'a>,
    plan: &'a Plan,
    eye_plan: &'a EyePlan,
    in_space: bool,
}

impl Rounds<'_> {
    /// How long the lens is round its apex at a size: seated anew where it is seated; else flat.
    fn at(&self, offset: Mm) -> Result<Mm, NoSize> {
        let eye = self.eye_plan.eye;
        let grown = self.eye_plan.shape.outline.offset(offset).map_err(|why| NoSize::Outline { offset, why })?;
        if !self.in_space {
            return Ok(grown.circumference());
        }
        let mut order = self.order.clone();
        order.frame.outline_allowance = Some(offset);
        for (eye, planned) in [(Eye::Right, &self.plan.eyes.right), (Eye::Left, &self.plan.eyes.left)] {
            order.lens.blank[eye] =
                planned.as_ref().and_then(|planned| planned.lens.as_ref()).map(|lens| lens.blank.sku.clone());
        }
        let plan = crate::to_figures(&order, self.frame, self.bench, Working::off());
        let line = plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).and_then(|l| l.edge_line.as_ref());
        line.map(|line| line.sized.line.length())
            .ok_or(NoSize::Lens(NoLens::NotSettled { what: "the seat of a lens of this size", residual: 0.0 }))
    }
}
