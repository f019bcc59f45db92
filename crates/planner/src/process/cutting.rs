//! Wet or dry, and in how many cuts, by what the lens is made of.

use core::f64::consts::TAU;

use job::order::BevelKind;
use job::process::{Coolant, LensFamily};
use job::{EdgeKind, Eye, Material, Mounting, Rules};
use units::Mm;
use units::maths::{hypot, sqrt};

use super::gentle::{self, Gentle, Reason};
use super::holding::{self, Slip};
use super::source::{BENCH, COMMON, FIRST_STEPS, MEMORY, POLISH, POLY_TIPS, POLY_URETHANE, STAGES, Source};
use super::{Job, Line, Made, Step};
use crate::edge_line;
use crate::plan::{EyePlan, LensPlan};
use crate::recut;
use crate::said::{mm1, signed2};

/// Places of the outline at which it is looked how much comes off: two degrees apart the most is met to 0.01 mm.
const PLACES: usize = 180;

/// How one lens is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Whether water runs while it is roughed; `None` = as its maker says.
    pub rough: Option<Coolant>,
    /// Whether water runs while it is finished.
    pub finish: Option<Coolant>,
    /// Cuts from the blank to size and the diameter each takes off, where it is roughed in stages.
    pub stages: Option<(u32, Mm)>,
    /// Why with less pressure and speed; empty = no reason.
    pub gentle: Vec<Gentle>,
    /// What a turn on the block costs; none for a sphere.
    pub slip: Option<Slip>,
}

impl Cut {
    /// Whether this reason holds.
    #[must_use]
    pub fn asks(&self, reason: Reason) -> bool {
        self.gentle.iter().any(|gentle| gentle.reason == reason)
    }
}

/// What a family of materials asks of the wheels.
struct Row {
    usual: (Coolant, Coolant),
    rough: &'static str,
    finish: &'static str,
    sources: &'static [Source],
}

fn row(family: LensFamily) -> Option<Row> {
    use Coolant::{Dry, Wet};
    let (usual, rough, finish, sources): (_, _, _, &'static [Source]) = match family {
        LensFamily::Allyl => ((Wet, Wet), "", "", &[FIRST_STEPS]),
        LensFamily::Acrylic => ((Wet, Wet), "it softens when it gets hot: slowly", "", &[MEMORY]),
        LensFamily::AcrylicAllyl => ((Wet, Wet), "", "", &[MEMORY]),
        LensFamily::Polycarbonate => (
            (Dry, Wet),
            "no water while stock comes off",
            "water only here and in the polish",
            &[POLY_TIPS, POLY_URETHANE],
        ),
        LensFamily::Urethane => {
            ((Dry, Wet), "water does no harm; as the lens's maker says", "", &[POLY_URETHANE, COMMON])
        }
        LensFamily::Thiourethane => ((Wet, Wet), "slowly: rushed, it chips", "", &[FIRST_STEPS]),
        LensFamily::Episulfide => ((Wet, Wet), "slowly, little pressure: brittle", "", &[FIRST_STEPS, MEMORY]),
        LensFamily::Glass => {
            ((Wet, Wet), "on a machine of its own, or one cleaned out before and after", "", &[COMMON])
        }
        LensFamily::Unknown => return None,
    };
    Some(Row { usual, rough, finish, sources })
}

/// How one lens is cut.
pub(super) fn cut(rules: &Rules, material: Option<&Material>, plan: &EyePlan, lens: &LensPlan) -> Cut {
    let family = material.map_or(LensFamily::Unknown, |m| m.family);
    let usual = row(family).map(|row| row.usual);
    let gentle = gentle::reasons(rules, plan, lens);
    let in_stages = family == LensFamily::Polycarbonate || gentle.iter().any(|g| g.reason == Reason::ThickEdge);
    let slip = holding::slip(rules, plan, &gentle);
    Cut {
        rough: material.and_then(|m| m.rough).or(usual.map(|u| u.0)),
        finish: material.and_then(|m| m.finish).or(usual.map(|u| u.1)),
        stages: in_stages.then(|| stages(rules.process.stage, comes_off(plan.eye, lens))).flatten(),
        gentle,
        slip,
    }
}

/// The diameter that comes off where most does: twice the way of the wheel, which works towards the block.
fn comes_off(eye: Eye, lens: &LensPlan) -> Mm {
    let block = lens.cutting.block_point();
    let (middle_x, middle_y) = lens.middle.xy(eye);
    let (off_x, off_y) = (block.x - middle_x, block.y - middle_y);
    let radius = lens.blank.nominal.mm() / 2.0;
    let room = radius * radius - (off_x * off_x + off_y * off_y);
    let outline = lens.cut.outline();
    let mut most = 0.0;
    for i in 0..PLACES {
        let at = outline.point(TAU * i as f64 / PLACES as f64);
        let (x, y) = (at.x - block.x, at.y - block.y);
        let reach = hypot(x, y);
        if reach > 0.0 {
            // From the block point to the blank's rim, in this direction.
            let along = (off_x * x + off_y * y) / reach;
            let rim = sqrt((along * along + room).max(0.0)) - along;
            most = f64::max(most, rim - reach);
        }
    }
    Mm::new(2.0 * most)
}

/// Cuts of at most `step` of diameter, all alike; none where nothing comes off.
fn stages(step: Mm, comes_off: Mm) -> Option<(u32, Mm)> {
    if step <= Mm::ZERO || comes_off <= Mm::ZERO {
        return None;
    }
    // Twenty millimetres in steps of five are four cuts, whatever the last bit says.
    let cuts = libm::ceil(comes_off.mm() / step.mm() - 1e-9).max(1.0);
    Some((cuts as u32, comes_off / cuts))
}

/// Setting, roughing, finishing.
pub(super) fn steps(job: &Job<'_>, steps: &mut Vec<Line>) {
    steps.push(set(job));
    let minutes = &job.rules.process.minutes;
    // A cutting cycle, half of it each.
    let cycle = job.sum(|made| {
        let times = if made.cut.gentle.is_empty() { 1.0 } else { minutes.gentle_times };
        minutes.cut(job.family) * times
    });
    for (step, coolant) in [(Step::Rough, job.lenses[0].cut.rough), (Step::Finish, job.lenses[0].cut.finish)] {
        steps.push(wheel(job, step, coolant, cycle / 2.0));
    }
}

fn wheel(job: &Job<'_>, step: Step, coolant: Option<Coolant>, minutes: f64) -> Line {
    let row = row(job.family);
    let mut sources = Vec::new();
    let mut says: Vec<String> = Vec::new();
    match (coolant, &row) {
        (Some(coolant), Some(row)) => {
            let usual = if step == Step::Rough { row.usual.0 } else { row.usual.1 };
            says.push(coolant.word().to_owned());
            if usual == coolant {
                let how = if step == Step::Rough { row.rough } else { row.finish };
                says.extend(Some(how).filter(|how| !how.is_empty()).map(str::to_owned));
                sources.extend(row.sources);
            } else {
                sources.push(BENCH);
            }
        }
        (Some(coolant), None) => {
            says.push(coolant.word().to_owned());
            sources.push(BENCH);
        }
        (None, _) => {
            let edging = job.material.and_then(|m| m.edging.as_deref());
            says.push(edging.map_or_else(|| "wet or dry as the lens's maker says".to_owned(), str::to_owned));
            sources.push(if edging.is_some() { BENCH } else { COMMON });
        }
    }
    if step == Step::Rough {
        let stages = job.each(|made| {
            made.cut.stages.map(|(cuts, each)| match cuts {
                1 => "1 cut".to_owned(),
                _ => format!("{cuts} cuts of {} mm", mm1(each.mm())),
            })
        });
        if let Some(stages) = stages {
            says.push(format!("{stages} off the diameter"));
            sources.push(if job.family == LensFamily::Polycarbonate { POLY_TIPS } else { STAGES });
        }
    } else {
        says.push(kind_of_edge(job).to_owned());
        let thick = job.lenses.iter().any(|made| made.cut.asks(Reason::ThickEdge));
        if job.family == LensFamily::Polycarbonate || job.order.frame.mounting == Mounting::Drilled || thick {
            says.push("such an edge is usually polished".to_owned());
            sources.push(POLISH);
        }
    }
    job.of_pair(step, says.join("; "), minutes, &sources)
}

const fn kind_of_edge(job: &Job<'_>) -> &'static str {
    match (job.order.lens.edge, job.order.lens.bevel) {
        (EdgeKind::Bevel, Some(BevelKind::Small)) => "small bevel",
        (EdgeKind::Bevel, Some(BevelKind::Stepped)) => "stepped bevel",
        (EdgeKind::Bevel, _) => "V bevel",
        (EdgeKind::Groove, _) => "flat, for the groove",
        (EdgeKind::Flat, _) => "flat",
    }
}

/// What the edger is set to.
fn set(job: &Job<'_>) -> Line {
    let mut sources = vec![COMMON];
    let mut says = vec![format!("cycle for {}", job.material.map_or("this material", |m| m.name.as_str()))];
    let unit = job.rules.size.unit;
    let of = edge_line::setting(unit, Mm::ZERO).1;
    let first = |made: &Made<'_>| {
        let planned = made.plan.size_offset?;
        Some((planned, recut::first_cut(job.order, job.rules, planned)))
    };
    let told = |offset: Mm| signed2(edge_line::setting(unit, offset).0.mm());
    let size = job.each(|made| first(made).map(|(_, cut)| told(cut)));
    let larger = job.lenses.iter().any(|made| first(made).is_some_and(|(planned, cut)| cut > planned));
    match size.filter(|size| size != "+0.00") {
        Some(size) if larger => says.push(format!("first cut {size} mm of {of}")),
        Some(size) => says.push(format!("size {size} mm of {of}")),
        None => says.push("size as traced".to_owned()),
    }
    let gentle = job.each(|made| {
        let reasons: Vec<&str> = made.cut.gentle.iter().map(|g| g.says.as_str()).collect();
        (!reasons.is_empty()).then(|| reasons.join(", "))
    });
    if let Some(gentle) = gentle {
        says.push(format!("less pressure and speed: {gentle}"));
        sources.extend(job.lenses.iter().flat_map(|made| made.cut.gentle.iter().map(|g| g.source)));
    }
    job.of_pair(Step::Set, says.join("; "), 0.0, &sources)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 70 to 50 mm is 20 mm of diameter, four cuts of 5; 20.1 is five of 4.02.
    #[test]
    fn stages_are_as_few_as_the_step_allows() {
        let told = |off| stages(Mm::new(5.0), Mm::new(off)).map(|(n, each)| (n, each.mm()));
        assert_eq!(told(20.0), Some((4, 5.0)));
        assert_eq!(told(20.000_000_000_1).map(|t| t.0), Some(4));
        assert_eq!(told(20.1).map(|(n, each)| (n, (each * 100.0).round())), Some((5, 402.0)));
        assert_eq!(told(0.4).map(|t| t.0), Some(1));
        assert_eq!((told(0.0), stages(Mm::ZERO, Mm::new(3.0))), (None, None));
    }

    #[test]
    fn every_family_that_is_known_has_a_row_and_every_row_a_source() {
        for &(word, family) in LensFamily::WORDS {
            let row = row(family);
            assert_eq!(row.is_some(), family != LensFamily::Unknown, "{word}");
            assert!(row.is_none_or(|row| !row.sources.is_empty()), "{word}");
        }
    }
}
