//! `rimwright plan`: one order, or a folder of them.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use exchange::json::{self, Inputs, PlanJson};
use indicatif::{ProgressBar, ProgressStyle};
use job::{Order, Severity};
use planner::{Bench, Plan, plan, stock};
use rayon::prelude::*;
use units::Working;

use super::{GOOD, NO, WRONG};
use crate::cli::PlanArgs;
use crate::failure::Failure;
use crate::files::{self, Frame, Frames, InForce, Stock};
use crate::output::Output;
use crate::{drawings, text};

pub(super) fn run(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() { folder(args, out) } else { single(args, out) }
}

/// What is printed, beside the plan itself.
pub(super) struct Wishes<'a> {
    pub(super) json: bool,
    pub(super) draw: Option<&'a Path>,
    pub(super) working: Option<&'a str>,
}

impl<'a> Wishes<'a> {
    fn of(args: &'a PlanArgs) -> Self {
        Self { json: args.json, draw: args.draw.as_deref(), working: args.working.as_deref() }
    }

    fn working(&self) -> Working {
        if self.working.is_some() { Working::on() } else { Working::off() }
    }
}

/// An order with all that belongs to it.
pub(super) struct Job {
    pub(super) order: Order,
    pub(super) digest: String,
    pub(super) frame: Frame,
}

fn single(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    let folder = files::folder_of(&args.order);
    let in_force = files::rules(args.rules.as_deref(), &folder)?;
    let (mut order, digest) = files::order(&args.order, &in_force.rules)?;
    name_blanks(args, &mut order);
    let stock = files::shelf(args.shelf.as_deref(), &folder, &in_force.rules)?;
    let frame = files::frame(&folder.join(&order.frame.outline), &in_force.rules)?;
    let wishes = Wishes::of(args);
    let bench = Bench { shelf: stock.as_ref().map(|s| &s.shelf), left: None, rules: &in_force.rules };
    let plan = plan(&order, &frame.shapes, &bench, wishes.working());
    let job = Job { order, digest, frame };
    show(&plan, &job, &wishes, &in_force, stock.as_ref(), out)?;
    Ok(if plan.is_good() { GOOD } else { NO })
}

/// Blanks named on the command line win over the order's.
fn name_blanks(args: &PlanArgs, order: &mut Order) {
    if args.right.is_some() {
        order.lens.blank.right.clone_from(&args.right);
    }
    if args.left.is_some() {
        order.lens.blank.left.clone_from(&args.left);
    }
}

fn folder(args: &PlanArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.right.is_some() || args.left.is_some() {
        return Err(Failure::new("--right and --left name the blanks of one order", "plan that order alone"));
    }
    let in_force = files::rules(args.rules.as_deref(), &args.order)?;
    let stock = files::shelf(args.shelf.as_deref(), &args.order, &in_force.rules)?;
    let paths = files::orders_in(&args.order)?;
    let frames = Frames::default();
    let read = |path: &PathBuf| {
        let (order, digest) = files::order(path, &in_force.rules)?;
        let frame = frames.get(&args.order.join(&order.frame.outline), &in_force.rules)?;
        Ok(Job { order, digest, frame })
    };
    day(&paths, read, &Wishes::of(args), &in_force, stock.as_ref(), out)
}

/// Plans many orders: read and planned in parallel, stock given in order of number, shown by number.
pub(super) fn day<P: Sync>(
    paths: &[P],
    read: impl Fn(&P) -> Result<Job, Failure> + Sync,
    wishes: &Wishes<'_>,
    in_force: &InForce,
    stock: Option<&Stock>,
    out: &mut Output,
) -> Result<u8, Failure> {
    let bench = Bench { shelf: stock.map(|s| &s.shelf), left: None, rules: &in_force.rules };
    let bar = progress(paths.len());
    let planned: Vec<Result<(Job, Plan), Failure>> = paths
        .par_iter()
        .map(|path| {
            let job = read(path)?;
            let plan = plan(&job.order, &job.frame.shapes, &bench, wishes.working());
            bar.inc(1);
            Ok((job, plan))
        })
        .collect();
    bar.finish_and_clear();
    let (mut jobs, mut plans, mut faulty) = (Vec::new(), Vec::new(), 0);
    for result in planned {
        match result {
            Ok((job, plan)) => {
                jobs.push(job);
                plans.push(plan);
            }
            Err(failure) => {
                faulty += 1;
                failure.tell();
            }
        }
    }
    if let Some(stock) = stock {
        let pairs: Vec<_> = jobs.iter().map(|job| (&job.order, &*job.frame.shapes)).collect();
        plans = stock::allocate(&pairs, plans, &bench, &stock.shelf);
    }
    let mut turn: Vec<usize> = (0..jobs.len()).collect();
    turn.sort_by_key(|&i| jobs[i].order.number.sort_key());
    for &i in &turn {
        show(&plans[i], &jobs[i], wishes, in_force, stock, out)?;
    }
    if !wishes.json {
        let in_turn: Vec<(&Order, &Plan)> = turn.iter().map(|&i| (&jobs[i].order, &plans[i])).collect();
        out.text(&text::summary(&in_turn, faulty))?;
    }
    let good = plans.iter().all(Plan::is_good);
    Ok(if faulty > 0 {
        WRONG
    } else if good {
        GOOD
    } else {
        NO
    })
}

/// A bar with a count, on a terminal only.
fn progress(length: usize) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("planned {pos} of {len} {bar:40}")
        .unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(length as u64).with_style(style)
}

fn show(
    plan: &Plan,
    job: &Job,
    wishes: &Wishes<'_>,
    in_force: &InForce,
    stock: Option<&Stock>,
    out: &mut Output,
) -> Result<(), Failure> {
    let wanted = match wishes.working {
        Some(figure) => Some(text::working(plan, figure)?),
        None => None,
    };
    if let Some(folder) = wishes.draw {
        let drawings: Vec<(String, String)> = drawing::all(plan, in_force.rules.block.lies)
            .into_iter()
            .map(|(view, scene)| (format!("{}-{view}", plan.number), drawing::svg(&scene)))
            .collect();
        drawings::write(folder, &drawings)?;
    }
    if wishes.json {
        let inputs = Inputs {
            order: job.digest.clone(),
            outline: job.frame.digest.clone(),
            shelf: stock.map(|s| s.digest.clone()),
            rules: in_force.digest.clone(),
        };
        let document = PlanJson::new(plan, inputs);
        return out.line(&json::line(&document).map_err(|e| Failure::new(e.to_string(), "please report this"))?);
    }
    match wanted {
        Some(working) => out.text(&working),
        None => out.text(&text::plan(plan, &job.order, &in_force.rules)),
    }
}

/// How many findings of a weight stand open in a plan.
pub(crate) fn open(plan: &Plan, severity: Severity) -> usize {
    plan.findings.iter().filter(|f| f.kind.severity == severity && f.is_open()).count()
}
