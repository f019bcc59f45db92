//! `rimwright plan`: one order, or a folder of them.

use std::path::{Path, PathBuf};

use job::{Eye, PerEye, Uncut};
use planner::Plan;

use super::day;
use super::job::{self as jobs, Bench, Job};
use super::records::DeviceSheets;
use super::show::{Wishes, rendered};
use super::{GOOD, NO};
use crate::cli::PlanArgs;
use crate::failure::{Failure, both};
use crate::files::{self, Frames};
use crate::output::Output;
use crate::text;

pub(super) fn run(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() { folder(args, out) } else { single(args, out) }
}

fn single(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    let folder = files::folder_of(&args.order);
    let in_force = files::rules(args.on.rules.as_deref(), &folder)?;
    let job = jobs::read(&args.order, &in_force.rules, |path| files::frame(path, &in_force.rules));
    let shelf = files::shelf(args.on.shelf.as_deref(), &folder, &in_force.rules);
    let (mut job, shelf) = both(job, shelf)?;
    name_blanks(args, &mut job)?;
    if shelf.is_none() && (args.measured.is_some() || args.right.is_some() || args.left.is_some()) {
        return Err(Failure::new(
            format!("there is no shelf beside {}", args.order.display()),
            "name it: --shelf shelf.csv; --right, --left and --measured speak of blanks on it",
        ));
    }
    let bench = Bench::new(in_force, shelf);
    let wishes = Wishes::of_plan(args, out.colour());
    let (plan, measured) = match &args.measured {
        None => (job.plan(&bench, wishes.working()), None),
        Some(path) => {
            let uncut = files::uncut(path)?;
            of_lenses_made(path, &uncut, &job)?;
            let measured = job.measured(&bench, uncut, wishes.working());
            (measured.read.clone(), Some(measured))
        }
    };
    can_be_cut(args, &plan, &job)?;
    if let Some(path) = &args.to_order {
        super::to_order::write(path, &plan, &job.order)?;
    }
    let Some(text) = rendered(&plan, measured.as_ref(), &job, &wishes, &bench)? else {
        return Err(text::working::unknown(&plan, wishes.figure().unwrap_or_default()));
    };
    let mut told = true;
    if let Some(mut sheets) = DeviceSheets::wanted(args) {
        told = sheets.write(&plan, &job.order, &bench.rules)?;
        sheets.close();
    }
    out.text(&text)?;
    Ok(if plan.is_good() && told { GOOD } else { NO })
}

/// Readings of a lens that the order does not make are of another order, or of the other eye.
fn of_lenses_made(path: &Path, uncut: &PerEye<Option<Uncut>>, job: &Job) -> Result<(), Failure> {
    match Eye::BOTH.into_iter().find(|&eye| uncut[eye].is_some() && !job.order.eyes.makes(eye)) {
        None => Ok(()),
        Some(eye) => Err(Failure::new(
            format!("{} has readings of the {eye} lens, but {} does not make it", path.display(), job.name),
            format!("see whether they are of this order and of this eye; else take [{eye}] out"),
        )),
    }
}

/// A section was asked for where there is no lens to cut through.
fn can_be_cut(args: &PlanArgs, plan: &Plan, job: &Job) -> Result<(), Failure> {
    if args.section.is_empty() || plan.planned().any(|eye| eye.lens.is_some()) {
        return Ok(());
    }
    Err(Failure::new(
        format!("--section cuts through an edge, but no blank was found for {}, so that it has none", job.name),
        "plan it without --section to see why; then try again",
    ))
}

/// Blanks named on the command line win over the order's.
fn name_blanks(args: &PlanArgs, job: &mut Job) -> Result<(), Failure> {
    for (eye, sku) in [(Eye::Right, &args.right), (Eye::Left, &args.left)] {
        let Some(sku) = sku else { continue };
        if !job.order.eyes.makes(eye) {
            return Err(Failure::new(
                format!("--{eye} names a blank, but {} does not make the {eye} lens", job.name),
                format!("leave --{eye} out, or set eyes in the order"),
            ));
        }
        job.order.lens.blank[eye] = Some(sku.clone());
    }
    Ok(())
}

fn folder(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.right.is_some() || args.left.is_some() {
        return Err(Failure::new("--right and --left name the blanks of one order", "plan that order alone"));
    }
    if args.measured.is_some() {
        return Err(Failure::new("--measured tells of the lenses of one order", "plan that order alone"));
    }
    if args.to_order.is_some() {
        return Err(Failure::new("--to-order writes what one order needs from a supplier", "plan that order alone"));
    }
    let in_force = files::rules(args.on.rules.as_deref(), &args.order)?;
    let shelf = files::shelf(args.on.shelf.as_deref(), &args.order, &in_force.rules)?;
    let bench = Bench::new(in_force, shelf);
    let paths = files::orders_in(&args.order)?;
    let frames = Frames::default();
    let read = |path: &PathBuf| jobs::read(path, &bench.rules, |frame| frames.get(frame, &bench.rules));
    day::run(&paths, read, &Wishes::of_plan(args, out.colour()), DeviceSheets::wanted(args), &bench, out)
}
