//! `rimwright compare`: an order side by side with its alternatives.

use std::path::{Path, PathBuf};

use exchange::json::{self, ComparisonJson};
use planner::OtherFrame;

use super::GOOD;
use super::job::{self as jobs, Bench};
use super::show::inputs;
use crate::cli::CompareArgs;
use crate::failure::{Failure, both};
use crate::output::Output;
use crate::{files, text};

pub(super) fn run(args: &CompareArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() {
        return Err(Failure::new(
            format!("{} is a folder", args.order.display()),
            "compare takes one order; plan takes a folder",
        ));
    }
    let folder = files::folder_of(&args.order);
    let in_force = files::rules(args.rules.as_deref(), &folder)?;
    let job = jobs::read(&args.order, &in_force.rules, |path| files::frame(path, &in_force.rules));
    let shelf = files::shelf(args.shelf.as_deref(), &folder, &in_force.rules);
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

/// The frame files of a folder, by name, each with the records that it names.
fn other_frames(folder: &Path, in_force: &files::InForce) -> Result<Vec<OtherFrame>, Failure> {
    let mut frames = Vec::new();
    for path in files::frame_files_in(folder)? {
        frames.push(other_frame(&path, in_force)?);
    }
    Ok(frames)
}

fn other_frame(path: &PathBuf, in_force: &files::InForce) -> Result<OtherFrame, Failure> {
    let bytes = files::read(path)?;
    let frame = exchange::read_frame(&bytes).map_err(|faults| files::faulty(path, &bytes, &faults))?;
    let records = files::folder_of(path).join(&frame.outline);
    let shapes = files::frame(&records, &in_force.rules)
        .map_err(|failure| failure.noting(&format!("it is the outline of {}", path.display())))?;
    let name = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    Ok(OtherFrame { name, frame, shapes: (*shapes.shapes).clone() })
}
