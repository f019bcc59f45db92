//! A day of orders: read and planned in parallel, stock given and plans shown in order of number.

use std::io;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use planner::{Plan, stock};
use rayon::prelude::*;

use super::job::{Bench, Job};
use super::records::DeviceSheets;
use super::show::{Wishes, rendered};
use super::{GOOD, NO, WRONG};
use crate::failure::Failure;
use crate::output::Output;
use crate::text;

/// Plans that are rendered together before they are written: enough for every core, little enough to hold.
const AT_ONCE: usize = 64;

/// Plans every order that can be read, tells of those that cannot, and exits as the worst of all.
pub(super) fn run<P: Sync>(
    orders: &[P],
    read: impl Fn(&P) -> Result<Job, Failure> + Sync,
    wishes: &Wishes<'_>,
    sheets: Option<DeviceSheets<'_>>,
    bench: &Bench,
    out: &mut Output,
) -> Result<u8, Failure> {
    let (planned, faulty) = planned(orders, read, wishes, bench);
    show(&planned, wishes, bench, out)?;
    let (told, unwritten) = sheets.map_or((true, 0), |sheets| write_records(sheets, &planned, bench));
    if wishes.in_words() {
        let mut page = wishes.page();
        let plans: Vec<&Plan> = planned.iter().map(|(_, plan)| plan).collect();
        text::summary(&mut page, &plans, faulty);
        out.text(page.text())?;
    }
    let good = planned.iter().all(|(_, plan)| plan.is_good());
    Ok(match (faulty + unwritten, good && told) {
        (0, true) => GOOD,
        (0, false) => NO,
        _ => WRONG,
    })
}

/// Writes the records of every plan; whether all could be told, and of how many orders the files could not be written.
fn write_records(mut sheets: DeviceSheets<'_>, planned: &[(Job, Plan)], bench: &Bench) -> (bool, usize) {
    let (mut told, mut unwritten) = (true, 0);
    for (job, plan) in planned {
        match sheets.write(plan, &job.order, &bench.rules) {
            Ok(all) => told &= all,
            Err(failure) => {
                failure.tell();
                unwritten += 1;
            }
        }
    }
    sheets.close();
    (told, unwritten)
}

/// Jobs with their plans in order of number, and how many orders could not be read.
fn planned<P: Sync>(
    orders: &[P],
    read: impl Fn(&P) -> Result<Job, Failure> + Sync,
    wishes: &Wishes<'_>,
    bench: &Bench,
) -> (Vec<(Job, Plan)>, usize) {
    let bar = progress(orders.len());
    let results: Vec<Result<(Job, Plan), Failure>> = orders
        .par_iter()
        .map(|order| {
            let job = read(order);
            let planned = job.map(|job| {
                let plan = job.to_figures(bench, wishes.working());
                (job, plan)
            });
            bar.inc(1);
            planned
        })
        .collect();
    bar.finish_and_clear();
    let mut faulty = 0;
    let mut planned: Vec<(Job, Plan)> = Vec::with_capacity(results.len());
    for result in results {
        match result {
            Ok(one) => planned.push(one),
            Err(failure) => {
                failure.tell();
                faulty += 1;
            }
        }
    }
    planned.sort_by(|(a, _), (b, _)| a.order.number.sort_key().cmp(&b.order.number.sort_key()));
    let before = planned.len();
    planned.dedup_by(|(second, _), (first, _)| {
        let twice = second.order.number == first.order.number;
        if twice {
            same_number(first, second).tell();
        }
        twice
    });
    faulty += before - planned.len();
    let mut planned = give_stock(planned, bench);
    planned.par_iter_mut().for_each(|(job, plan)| planner::complete(&job.order, &bench.of_planner(), plan));
    (planned, faulty)
}

fn same_number(first: &Job, second: &Job) -> Failure {
    Failure::new(
        format!("{} has the number {}, which is that of {}", second.name, second.order.number, first.name),
        "give it a number of its own: numbers name drawings and stock; it was not planned",
    )
}

fn give_stock(planned: Vec<(Job, Plan)>, bench: &Bench) -> Vec<(Job, Plan)> {
    let Some(stock) = &bench.shelf else { return planned };
    let (jobs, plans): (Vec<Job>, Vec<Plan>) = planned.into_iter().unzip();
    let asked: Vec<_> = jobs.iter().map(|job| (&job.order, &*job.frame.shapes)).collect();
    let plans = stock::allocate(&asked, plans, &bench.of_planner(), &stock.shelf);
    jobs.into_iter().zip(plans).collect()
}

fn show(planned: &[(Job, Plan)], wishes: &Wishes<'_>, bench: &Bench, out: &mut Output) -> Result<(), Failure> {
    let mut shown = 0;
    for some in planned.chunks(AT_ONCE) {
        let texts: Vec<Result<Option<String>, Failure>> =
            some.par_iter().map(|(job, plan)| rendered(plan, None, job, wishes, bench)).collect();
        for ((_, plan), text) in some.iter().zip(texts) {
            let Some(text) = text? else { continue };
            out.text(&headed(plan, text, wishes))?;
            shown += 1;
        }
    }
    match (planned.first(), wishes.figure()) {
        (Some((_, first)), Some(figure)) if shown == 0 => Err(text::working::unknown(first, figure)),
        _ => Ok(()),
    }
}

/// A working does not say whose it is.
fn headed(plan: &Plan, text: String, wishes: &Wishes<'_>) -> String {
    if wishes.is_json() || wishes.in_words() {
        return text;
    }
    let mut page = wishes.page();
    page.rule(plan.number.as_str());
    page.gap();
    page.into_text() + &text + "\n"
}

/// A bar with a count, on a terminal only.
fn progress(length: usize) -> ProgressBar {
    if !io::IsTerminal::is_terminal(&io::stderr()) {
        return ProgressBar::hidden();
    }
    let style = ProgressStyle::with_template("planned {pos} of {len} {bar:40}");
    ProgressBar::with_draw_target(Some(length as u64), ProgressDrawTarget::stderr())
        .with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}
