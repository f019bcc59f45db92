//! How a job is made: when less pressure, in what steps, how long.

use job::process::{LensFamily, Minutes, Process};
use job::{Mounting, rules::Rules};

use super::section::Section;
use super::{DEGREES, SMALL};
use crate::limits::Limits;

const DIAMETER: Limits = Limits::between(0.0, 100.0, "mm");
const MINUTES: Limits = Limits::from_to(0.0, 600.0, "minutes");
const TIMES: Limits = Limits::from_to(1.0, 20.0, "");

pub(super) fn read(s: &Section<'_, '_>, base: Option<&Rules>) -> Option<Process> {
    let base = base.map(|b| &b.process);
    let thin_centre = s.mm("thin_centre_mm", SMALL, base.map(|b| b.thin_centre));
    let decentration = s.mm("decentration_mm", SMALL, base.map(|b| b.decentration));
    let thick_edge = s.mm("thick_edge_mm", SMALL, base.map(|b| b.thick_edge));
    let stage = s.mm("stage_mm", DIAMETER, base.map(|b| b.stage));
    let slip_deg = s.number("slip_deg", DEGREES, base.map(|b| b.slip_deg));
    let drill_step = s.mm("drill_step_mm", SMALL, base.map(|b| b.drill_step));
    let wrap_deg = s.number("wrap_deg", DEGREES, base.map(|b| b.wrap_deg));
    let minutes = minutes(s, base.map(|b| &b.minutes));
    s.end();
    Some(Process {
        thin_centre: thin_centre?,
        decentration: decentration?,
        thick_edge: thick_edge?,
        stage: stage?,
        slip_deg: slip_deg?,
        drill_step: drill_step?,
        wrap_deg: wrap_deg?,
        minutes: minutes?,
    })
}

fn minutes(s: &Section<'_, '_>, base: Option<&Minutes>) -> Option<Minutes> {
    let of = |key, pick: fn(&Minutes) -> f64| s.number(key, MINUTES, base.map(pick));
    let mark = of("mark_minutes", |m| m.mark);
    let block = of("block_minutes", |m| m.block);
    let cut = each(s, "cut_minutes", LensFamily::WORDS, base.map(|m| m.cut.as_slice()));
    let gentle_times = s.number("gentle_times", TIMES, base.map(|m| m.gentle_times));
    let groove = of("groove_minutes", |m| m.groove);
    let safety = of("safety_minutes", |m| m.safety);
    let hole = of("hole_minutes", |m| m.hole);
    let toughen = of("toughen_minutes", |m| m.toughen);
    let try_in = of("try_minutes", |m| m.try_in);
    let mount = each(s, "mount_minutes", Mounting::WORDS, base.map(|m| m.mount.as_slice()));
    let strain = of("strain_minutes", |m| m.strain);
    let true_up = of("true_minutes", |m| m.true_up);
    let verify = of("verify_minutes", |m| m.verify);
    let clean = of("clean_minutes", |m| m.clean);
    Some(Minutes {
        mark: mark?,
        block: block?,
        cut,
        gentle_times: gentle_times?,
        groove: groove?,
        safety: safety?,
        hole: hole?,
        toughen: toughen?,
        try_in: try_in?,
        mount,
        strain: strain?,
        true_up: true_up?,
        verify: verify?,
        clean: clean?,
    })
}

/// Minutes by word, over those that held before; in the built-in file no word may be left out.
fn each<T: Copy + PartialEq>(
    s: &Section<'_, '_>,
    key: &'static str,
    words: &[(&'static str, T)],
    base: Option<&[(T, f64)]>,
) -> Vec<(T, f64)> {
    let mut all = base.unwrap_or_default().to_vec();
    if let Some(table) = s.table.as_ref().and_then(|t| t.table(key)) {
        for &(word, of) in words {
            let read = table.number(word, MINUTES);
            let read = if s.complete { table.need(word, read, "the built-in rules are complete") } else { read };
            if let Some(minutes) = read {
                all.retain(|(known, _)| *known != of);
                all.push((of, minutes));
            }
        }
        table.end();
    }
    all
}
