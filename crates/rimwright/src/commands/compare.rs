//! `rimwright compare`: an order side by side with its alternatives.

use std::path::Path;

use drawing::EdgeRow;
use exchange::json::{self, ComparisonJson};
use job::Eye;
use planner::compare::Candidate;
use planner::{Comparison, OtherFrame};

use super::GOOD;
use super::job::{self as jobs, Bench};
use super::show::inputs;
use crate::cli::CompareArgs;
use crate::failure::{Failure, both};
use crate::output::Output;
use crate::{drawings, files, text};

pub(super) fn run(args: &CompareArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() {
        return Err(Failure::new(
            format!("{} is a folder", args.order.display()),
            "compare takes one order; plan takes a folder",
        ));
    }
    let folder = files::folder_of(&args.order);
    let in_force = files::rules(args.on.rules.as_deref(), &folder)?;
    let job = jobs::read(&args.order, &in_force.rules, |path| files::frame(path, &in_force.rules));
    let shelf = files::shelf(args.on.shelf.as_deref(), &folder, &in_force.rules);
    let (job, shelf) = both(job, shelf)?;
    if shelf.is_none() {
        return Err(Failure::new(
            format!("there is no shelf beside {}", args.order.display()),
            "name it: --shelf shelf.csv; without blanks there is nothing to compare",
        ));
    }
    let frames = args.frames.as_deref().map_or_else(|| Ok(Vec::new()), |folder| other_frames(folder, &in_force))?;
    let bench = Bench::new(in_force, shelf);
    let comparison = planner::compare(&job.order, &job.frame.shapes, &frames, &bench.of_planner());
    if let Some(folder) = &args.draw {
        drawings::write(folder, &views(&comparison))?;
    }
    if args.json {
        let document = ComparisonJson::new(&comparison, inputs(&job, &bench));
        out.line(&json::line(&document).map_err(|e| Failure::own(&e))?)?;
    } else {
        let mut page = out.page();
        text::comparison(&mut page, &comparison, &job.order);
        out.text(page.text())?;
    }
    Ok(GOOD)
}

/// The edges of each eye side by side.
fn views(comparison: &Comparison) -> Vec<(String, String)> {
    let plan = &comparison.ordered.plan;
    let rows = |eye: Eye| -> Vec<EdgeRow<'_>> {
        std::iter::once((&comparison.ordered, true))
            .chain(comparison.others.iter().chain(&comparison.frames).map(|row| (row, false)))
            .filter_map(|(row, chosen)| edge_row(row, eye, chosen))
            .collect()
    };
    plan.made
        .made()
        .iter()
        .filter_map(|&eye| drawing::strips(plan.number.as_str(), eye, &rows(eye)))
        .map(|scene| (format!("{}-{}", plan.number, scene.name), drawing::svg(&scene)))
        .collect()
}

fn edge_row(row: &Candidate, eye: Eye, chosen: bool) -> Option<EdgeRow<'_>> {
    let lens = row.plan.eyes[eye].as_ref()?.lens.as_ref()?;
    let title = row.frame.clone().unwrap_or_else(|| row.material.to_string());
    let blank = if row.to_order { "to order, usual curve".to_owned() } else { lens.blank.sku.clone() };
    let details = vec![blank, format!("centre {:.2} mm, {:.1} g", lens.thickness.vertex.mm(), lens.mass_g)];
    Some(EdgeRow { title, details, lens, otherwise: None, chosen })
}

/// The frame files of a folder, by name, each with the records that it names.
fn other_frames(folder: &Path, in_force: &files::InForce) -> Result<Vec<OtherFrame>, Failure> {
    let mut frames = Vec::new();
    for path in files::frame_files_in(folder)? {
        frames.push(other_frame(&path, in_force)?);
    }
    Ok(frames)
}

fn other_frame(path: &Path, in_force: &files::InForce) -> Result<OtherFrame, Failure> {
    let bytes = files::read(path)?;
    let frame = exchange::read_frame(&bytes).map_err(|faults| files::faulty(path, &bytes, &faults))?;
    let records = files::folder_of(path).join(&frame.outline);
    let shapes = files::frame(&records, &in_force.rules)
        .map_err(|failure| failure.noting(&format!("it is the outline of {}", path.display())))?;
    let name = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    Ok(OtherFrame { name, frame, shapes: (*shapes.shapes).clone() })
}
