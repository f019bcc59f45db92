//! `rimwright recut`: after the trial fit, the size to cut a lens to next.

use exchange::json::{self, RecutJson};
use job::Eye;
use planner::recut::{Next, NoRecut, Recut, Tried, offset_of, recut};
use units::{Mm, Working};

use super::job::{self as jobs, Bench, Job};
use super::show::inputs;
use super::{GOOD, NO};
use crate::cli::RecutArgs;
use crate::failure::{Failure, both};
use crate::output::Output;
use crate::{files, text};

/// No lens is cut further off its trace, of radius: what an order may ask of an allowance.
const MOST_OFFSET: Mm = Mm::new(3.0);

pub(super) fn run(args: &RecutArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() {
        return Err(Failure::new(
            format!("{} is a folder: a trial is of one order's lenses", args.order.display()),
            "name one order in it",
        ));
    }
    let folder = files::folder_of(&args.order);
    let in_force = files::rules(args.on.rules.as_deref(), &folder)?;
    let job = jobs::read(&args.order, &in_force.rules, |path| files::frame(path, &in_force.rules));
    let shelf = files::shelf(args.on.shelf.as_deref(), &folder, &in_force.rules);
    let (job, shelf) = both(job, shelf)?;
    let bench = Bench::new(in_force, shelf);
    let tried = tried(args, &job, &bench)?;
    if args.json {
        let document = RecutJson::new(&job.order.number, inputs(&job, &bench), &bench.rules, &tried);
        out.line(&json::line(&document).map_err(|e| Failure::own(&e))?)?;
    } else {
        let mut page = out.page();
        text::recut(&mut page, &job.order, &bench.rules, &tried, trial(args));
        out.text(page.text())?;
    }
    let is_mended = |tried: &Recut| matches!(tried.next, Next::Keep | Next::Cut { .. });
    Ok(if tried.iter().all(is_mended) { GOOD } else { NO })
}

/// The one that was given: the command line has exactly one.
fn trial(args: &RecutArgs) -> Tried {
    args.fit.or(args.measured_circumference.map(Tried::Circumference)).unwrap_or(Tried::Closes)
}

fn tried(args: &RecutArgs, job: &Job, bench: &Bench) -> Result<Vec<Recut>, Failure> {
    let eyes: Vec<Eye> =
        job.order.eyes.made().iter().copied().filter(|eye| args.eye.is_none_or(|only| only == *eye)).collect();
    if let ([], Some(eye)) = (&eyes[..], args.eye) {
        return Err(Failure::new(
            format!("{} does not make the {eye} lens", job.name),
            "leave --eye out, or name the lens that was tried",
        ));
    }
    let plan = job.to_figures(bench, Working::off());
    let cut = args.cut.map(|set| offset_of(bench.rules.size.unit, set));
    if let Some(far) = cut.filter(|cut| cut.abs() > MOST_OFFSET) {
        return Err(Failure::new(
            format!("--cut makes the lens {:+.2} mm larger in radius than its trace", far.mm()),
            "write what the machine was set to, as the plan's size setting; is a decimal point missing?",
        ));
    }
    let on = bench.of_planner();
    let mut answers = Vec::new();
    for eye in eyes {
        let Some(eye_plan) = &plan.eyes[eye] else { continue };
        let answer = recut(&job.order, &job.frame.shapes, &on, &plan, eye_plan, (cut, trial(args)));
        answers.push(answer.map_err(|no| unanswered(&no, job, eye))?);
    }
    Ok(answers)
}

fn unanswered(no: &NoRecut, job: &Job, eye: Eye) -> Failure {
    match no {
        NoRecut::Size(no) => Failure::new(
            format!("{}, {eye}: {no}", job.name),
            "see --cut: it is what the machine was set to, as the plan's size setting",
        ),
        NoRecut::Flat => Failure::new(
            format!("{}, {eye}: a tape runs along the bevel in space, and no depth of this rim is known", job.name),
            "measure the frame curve and write frame_curve_d into the order; or say what the trial showed: --fit",
        ),
        NoRecut::NoJoint => Failure::new(
            format!("{}, {eye}: a {} frame has no joint that stays open", job.name, job.order.frame.mounting.word()),
            "say tight, loose or closes, as the lens lies against bar or hardware",
        ),
    }
}
