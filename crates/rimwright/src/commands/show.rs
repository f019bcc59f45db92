//! What is shown of a plan: words, JSON, a working; and its drawings.

use std::path::Path;

use exchange::json::{self, Inputs, PlanJson};
use planner::{Measured, Plan};
use units::Working;

use super::job::{Bench, Job};
use crate::failure::Failure;
use crate::text::{self, Page};
use crate::{cli, drawings};

/// What is wanted of each plan.
pub(super) struct Wishes<'a> {
    json: bool,
    draw: Option<&'a Path>,
    sections: &'a [u32],
    working: Option<&'a str>,
    colour: bool,
}

impl<'a> Wishes<'a> {
    pub(super) fn of_plan(args: &'a cli::PlanArgs, colour: bool) -> Self {
        let (draw, working) = (args.draw.as_deref(), args.working.as_deref());
        Self { json: args.json, draw, sections: &args.section, working, colour }
    }

    pub(super) fn of_demo(args: &'a cli::DemoArgs, colour: bool) -> Self {
        Self { json: args.json, draw: args.draw.as_deref(), sections: &[], working: None, colour }
    }

    /// A working that keeps its steps where they are wanted.
    pub(super) fn working(&self) -> Working {
        if self.working.is_some() { Working::on() } else { Working::off() }
    }

    /// The figure whose working is wanted.
    pub(super) const fn figure(&self) -> Option<&'a str> {
        self.working
    }

    /// Whether words are printed, and so a summary after many.
    pub(super) const fn in_words(&self) -> bool {
        !self.json && self.working.is_none()
    }

    /// Whether JSON is printed.
    pub(super) const fn is_json(&self) -> bool {
        self.json
    }

    /// A page for words.
    pub(super) const fn page(&self) -> Page {
        Page::new(self.colour)
    }
}

/// Draws a plan, where that is wanted, and renders it. `None` where the working that is wanted is not in it.
pub(super) fn rendered(
    plan: &Plan,
    measured: Option<&Measured>,
    job: &Job,
    wishes: &Wishes<'_>,
    bench: &Bench,
) -> Result<Option<String>, Failure> {
    if let Some(folder) = wishes.draw {
        let compared = measured.and_then(drawing::measured).map(|scene| (scene.name.clone(), scene));
        let views: Vec<(String, String)> = drawing::all(plan, &job.order, &bench.rules, wishes.sections)
            .into_iter()
            .chain(compared)
            .map(|(view, scene)| (format!("{}-{view}", plan.number), drawing::svg(&scene)))
            .collect();
        drawings::write(folder, &views)?;
    }
    let names = wishes.working.map(|wish| text::working::wanted(plan, wish));
    if names.as_ref().is_some_and(Vec::is_empty) {
        return Ok(None);
    }
    if wishes.json {
        let mut document = PlanJson::new(plan, inputs(job, bench));
        if let Some(names) = &names {
            document.show_working(&plan.working, &text::working::in_turn(plan, names));
        }
        if let Some(measured) = measured {
            document.show_measured(measured);
        }
        return json::line(&document).map(|line| Some(line + "\n")).map_err(|e| Failure::own(&e));
    }
    let mut page = wishes.page();
    match names {
        Some(names) => text::working::show(&mut page, plan, &names),
        None => text::plan(&mut page, plan, measured, &job.order, &bench.rules),
    }
    Ok(Some(page.into_text()))
}

/// What a document was made from.
pub(super) fn inputs(job: &Job, bench: &Bench) -> Inputs {
    Inputs {
        order: job.digest.clone(),
        outline: job.frame.digest.clone(),
        shelf: bench.shelf.as_ref().map(|stock| stock.digest.clone()),
        rules: bench.rules_digest.clone(),
    }
}
