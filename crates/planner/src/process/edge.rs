//! What is done to the edge behind the wheels: groove, holes, safety bevel, and the toughening of glass.

use core::f64::consts::FRAC_1_SQRT_2;

use job::process::LensFamily;
use job::{EdgeKind, Mounting};
use units::Mm;

use super::source::{
    COMMON, IMPACT, MEMORY, POLY_DRILL, RIMLESS, RIMLESS_EIGHT, RIMLESS_NUTS, RIMLESS_WRAP, Source, THREE_PIECE,
};
use super::{Job, Line, Made, Step};
use crate::said::{mm1, mm2};

/// Groove, holes, safety bevel, toughening: what this edge needs.
pub(super) fn steps(job: &Job<'_>, steps: &mut Vec<Line>) {
    let minutes = &job.rules.process.minutes;
    if job.order.lens.edge == EdgeKind::Groove {
        steps.push(job.line(Step::Groove, groove(job), minutes.groove, &[COMMON]));
    }
    if job.order.frame.mounting == Mounting::Drilled {
        let holes =
            job.order.frame.holes.iter().filter(|hole| job.lenses.iter().any(|made| made.eye == hole.eye)).count();
        let (says, sources) = drill(job);
        steps.push(job.of_pair(Step::Drill, says, minutes.hole * holes as f64, &sources));
        steps.push(job.line(
            Step::Chamfer,
            "both ends of each hole at 45 degrees; look at them 5 times larger; no file",
            0.0,
            &[THREE_PIECE],
        ));
    }
    let (says, sources) = safety(job);
    steps.push(job.line(Step::SafetyBevel, says, minutes.safety, &sources));
    if job.family == LensFamily::Glass {
        steps.push(job.line(
            Step::Toughen,
            "when all edge work is done; then test each lens for impact, as the local code has it, before it is mounted",
            minutes.toughen,
            &[IMPACT, MEMORY],
        ));
    }
}

fn groove(job: &Job<'_>) -> String {
    let groove = &job.rules.groove;
    let behind = job.each(|made| Some(mm2(least_before(made)?.max(0.0))));
    let behind = behind.map_or(String::new(), |behind| format!(", its middle {behind} mm behind the front"));
    let for_what = match job.order.frame.mounting {
        Mounting::GroovedRim => "the rim's own section decides width and depth",
        _ => "no swarf in it",
    };
    format!("{} mm wide, {} deep{behind}; {for_what}", mm1(groove.width.mm()), mm1(groove.depth.mm()))
}

/// Where the line on the edge comes nearest to the front, mm.
pub(super) fn least_before(made: &Made<'_>) -> Option<f64> {
    nearest(made, |row| row.to_front.mm())
}

fn nearest(made: &Made<'_>, of: impl Fn(crate::edge_line::EdgeLineRow) -> f64) -> Option<f64> {
    let line = made.lens.edge_line.as_ref()?;
    (0..360).step_by(5).filter_map(|deg| line.row(deg).map(&of)).reduce(f64::min)
}

/// Edge, direction, and what this material does under the drill.
fn drill(job: &Job<'_>) -> (String, Vec<Source>) {
    let (least, most) = (job.rules.least.hole_edge_ask, job.rules.least.drilled_most_ask);
    let here = job.each(|made| {
        let there = || made.lens.holes.iter().filter_map(|hole| hole.thickness).map(Mm::mm);
        Some(format!("{} to {}", mm1(there().reduce(f64::min)?), mm1(there().reduce(f64::max)?)))
    });
    let mut says = format!(
        "outline against the demonstration lens first; edge {} to {} mm where drilled{}; square to the front; at the hardware's spacing",
        mm1(least.mm()),
        mm1(most.mm()),
        here.map_or(String::new(), |here| format!(" (here {here})"))
    );
    let mut sources = vec![RIMLESS, RIMLESS_NUTS];
    let step = mm1(job.rules.process.drill_step.mm());
    let (also, source): (String, Source) = match job.family {
        LensFamily::Polycarbonate => (format!("{step} mm at a time, out to clear and cool"), POLY_DRILL),
        LensFamily::Allyl => ("brittle: sharp drill, no push, or it stars".to_owned(), RIMLESS),
        LensFamily::Acrylic | LensFamily::AcrylicAllyl | LensFamily::Episulfide => {
            ("brittle: better not drilled in this material".to_owned(), MEMORY)
        }
        LensFamily::Glass => ("glass is better not drilled".to_owned(), RIMLESS),
        LensFamily::Unknown => ("ask the lens's maker whether it may be drilled".to_owned(), COMMON),
        LensFamily::Urethane | LensFamily::Thiourethane => ("a sharp drill, not fast".to_owned(), RIMLESS_WRAP),
    };
    says.push_str("; ");
    says.push_str(&also);
    sources.push(source);
    (says, sources)
}

fn safety(job: &Job<'_>) -> (String, Vec<Source>) {
    let wide = mm1(job.rules.bevel.safety.mm());
    let mut sources = vec![COMMON];
    let mut says = match job.order.frame.mounting {
        Mounting::FullRim => {
            let least = job.each(|made| Some(mm2(least_before(made)?.max(0.0))));
            let least = least.map_or(String::new(), |least| format!(", {least} mm at the least"));
            format!(
                "{wide} mm at 45 degrees on the back, even; the front just broken, not into the bevel's shoulder{least}"
            )
        }
        Mounting::NylonCord | Mounting::GroovedRim | Mounting::Drilled => {
            sources.push(RIMLESS_EIGHT);
            format!("{wide} mm at 45 degrees, back always, front by hand, even")
        }
    };
    if job.order.lens.edge == EdgeKind::Groove {
        // A face so wide at 45 degrees takes its width over the root of two off the wall.
        let half = job.rules.groove.width.mm() / 2.0 + job.rules.bevel.safety.mm() * FRAC_1_SQRT_2;
        let wall = job.each(|made| {
            let side = f64::min(least_before(made)?, nearest(made, |row| row.to_back.mm())?);
            Some(mm2((side - half).max(0.0)))
        });
        if let Some(wall) = wall {
            says.push_str(&format!("; it leaves groove walls of {wall} mm"));
        }
    }
    (says, sources)
}
