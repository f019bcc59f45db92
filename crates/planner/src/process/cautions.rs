//! What to take care of: what belongs to this lens, coat, frame and work, and nothing else.

use job::frame::FrameOwner;
use job::process::{Coolant, LensFamily};
use job::{FrameMaterial, Mounting, Treatments};

use super::edge;
use super::source::{
    COMMON, DUST, FILM, FRAME_PLASTICS, LARGEST_BLOCK, MEMORY, NITRATE, OURS, OWN_FRAME, POLY_CARE, POLY_TIPS,
    RIMLESS_WRAP, SLUDGE, SWARF, Source,
};
use super::{Job, mounting, once, treated};
use crate::said::mm2;

/// One thing to take care of.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// What it belongs to.
    pub about: About,
    /// What to take care of, a sentence without its full stop.
    pub says: String,
    /// Who says so.
    pub sources: Vec<Source>,
}

/// What a caution belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// The frame.
    Frame,
    /// The lens material.
    Lens,
    /// A coat or film.
    Coat,
    /// Eyes, hands, lungs, drains.
    Body,
    /// Whose word comes first.
    Law,
}

impl About {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Frame => "frame",
            Self::Lens => "lens",
            Self::Coat => "coat",
            Self::Body => "body",
            Self::Law => "law",
        }
    }
}

/// All that hold for this job, what spoils most first.
pub(super) fn of(job: &Job<'_>) -> Vec<Caution> {
    let mut all = Vec::new();
    of_frame(job, &mut all);
    of_lens(job, &mut all);
    of_coat(job, &mut all);
    of_body(job, &mut all);
    say(
        &mut all,
        About::Law,
        "the prescriber, the makers of lens, frame and machine, and local codes come before this sheet",
        &[OURS],
    );
    all
}

fn say(all: &mut Vec<Caution>, about: About, says: impl Into<String>, sources: &[Source]) {
    all.push(Caution { about, says: says.into(), sources: once(sources) });
}

fn of_frame(job: &Job<'_>, all: &mut Vec<Caution>) {
    let mut frame = |says: &str, sources: &[Source]| say(all, About::Frame, says, sources);
    match mounting::material(job) {
        FrameMaterial::Acetate => frame("acetone and strong solvents soften and dull acetate", &[COMMON]),
        FrameMaterial::Propionate => frame("acetone and strong solvents soften and dull propionate", &[COMMON]),
        FrameMaterial::Polyamide => frame("never heat polyamide: it shrinks for good", &[FRAME_PLASTICS]),
        FrameMaterial::Nitrate => {
            frame(
                "NEVER heat cellulose nitrate: it softens near 65 degrees C and may burst into flame; no flame or spark near it",
                &[NITRATE],
            );
            frame("acetone dissolves cellulose nitrate", &[MEMORY]);
        }
        FrameMaterial::Unknown => {
            frame(
                "no heat before you know what the frame is made of: a smell of camphor when rubbed is cellulose nitrate, which burns",
                &[NITRATE],
            );
        }
        FrameMaterial::Epoxy | FrameMaterial::Metal => {}
    }
    if job.order.frame.owner == Some(FrameOwner::Wearer) {
        frame("the wearer's own frame: say the risk first, photograph cracks and marks", &[OWN_FRAME, COMMON]);
    }
}

fn of_lens(job: &Job<'_>, all: &mut Vec<Caution>) {
    let mut lens = |says: &str, sources: &[Source]| say(all, About::Lens, says, sources);
    let drilled = job.order.frame.mounting == Mounting::Drilled;
    match job.family {
        LensFamily::Polycarbonate => {
            lens(
                "acetone, petrol, esters, amines, chlorinated and aromatic solvents attack the bare edges of polycarbonate",
                &[POLY_CARE],
            );
            lens(
                "swarf of polycarbonate clings and scratches the next lens: clean between; a 1.50 lens cleans the wheels",
                &[SWARF, POLY_TIPS],
            );
        }
        LensFamily::Acrylic => lens("acetone and alcohol craze acrylic", &[MEMORY]),
        LensFamily::Glass => lens("a chip or a scratch from a tool can break glass when it is toughened", &[MEMORY]),
        LensFamily::Unknown => {
            lens("this lens material is not in the rules: ask its maker about water, heat and solvents", &[OURS]);
        }
        LensFamily::Allyl
        | LensFamily::AcrylicAllyl
        | LensFamily::Urethane
        | LensFamily::Thiourethane
        | LensFamily::Episulfide => {}
    }
    if drilled {
        lens("no thread-locking fluid, acetone or nail-varnish remover near a hole: it stars", &[RIMLESS_WRAP]);
    }
}

fn of_coat(job: &Job<'_>, all: &mut Vec<Caution>) {
    let mut coat = |says: String, sources: &[Source]| say(all, About::Coat, says, sources);
    let treatments = job.lenses.iter().fold(Treatments::NONE, |all, made| all.with(made.lens.blank.treatments));
    if treated::crazes(treatments) {
        let out = if mounting::row(mounting::material(job)).warm.is_some() {
            ": lenses out before the frame is warmed for any other bend; no hot water"
        } else {
            "; no hot water"
        };
        coat(format!("heat and flexing crack the coat{out}"), &[LARGEST_BLOCK]);
    }
    if treated::coated(treatments) {
        coat("no acetone, ammonia cleaner or bleach on the coat".to_owned(), &[COMMON]);
    }
    if job.has(Treatments::POLARISED) {
        let near = job.each(|made| Some(format!("{} mm", mm2(edge::least_before(made)?.max(0.0)))));
        let what = if job.order.lens.edge == job::EdgeKind::Groove { "groove's middle" } else { "apex" };
        let near =
            near.map_or(String::new(), |near| format!(" (the {what} runs {near} behind the front at the nearest)"));
        coat(
            format!(
                "the film lies 0.4 to 0.8 mm behind the front and is cut with the edge{near}: sharp wheel, water, no heat; look \
                 all round for parting before it is mounted"
            ),
            &[FILM],
        );
        coat("film level in both eyes, within 3 degrees".to_owned(), &[FILM]);
    }
    if job.has(Treatments::GRADIENT) {
        coat("gradient level and equally high in both eyes".to_owned(), &[COMMON]);
    }
    let unknown = treated::unknown(treatments);
    if !unknown.is_empty() {
        let names = job.rules.treatments.joined(unknown);
        coat(format!("{names}: ask its maker about pads, heat and solvents"), &[OURS]);
    }
}

fn of_body(job: &Job<'_>, all: &mut Vec<Caution>) {
    let mut body = |says: &str, sources: &[Source]| say(all, About::Body, says, sources);
    let drill = if job.order.frame.mounting == Mounting::Drilled { " and drill" } else { "" };
    let dust = if own_dust(job.family).is_none() { "; draw off dust" } else { "" };
    body(
        &format!("eye protection at the wheel{drill}; no gloves, sleeves or loose hair near what turns{dust}"),
        &[COMMON],
    );
    if let Some((says, source)) = own_dust(job.family) {
        body(says, &[source]);
    }
    if mounting::warmed(job) {
        body("no solvent near the frame heater: its vapour catches fire", &[MEMORY]);
    }
    let wet = |made: &super::Made<'_>| [made.cut.rough, made.cut.finish].contains(&Some(Coolant::Wet));
    if job.lenses.iter().any(wet) {
        body("strain the sludge; local code says what may go down the drain", &[SLUDGE]);
    }
}

/// What the dust of a material does beyond what any dust does.
const fn own_dust(family: LensFamily) -> Option<(&'static str, Source)> {
    match family {
        LensFamily::Polycarbonate => Some(("polycarbonate dust and hot fumes irritate: draw them off", DUST)),
        LensFamily::Thiourethane | LensFamily::Episulfide => {
            Some(("this resin gives off hydrogen sulphide when it is cut: draw it off", DUST))
        }
        LensFamily::Glass => Some(("glass dust and splinters: keep it wet, draw it off", COMMON)),
        LensFamily::Allyl
        | LensFamily::Acrylic
        | LensFamily::AcrylicAllyl
        | LensFamily::Urethane
        | LensFamily::Unknown => None,
    }
}
