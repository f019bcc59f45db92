//! `rimwright demo`: an invented day, carried inside the program so that it works anywhere.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use planner::Shelf;

use super::GOOD;
use super::day;
use super::demo_files::DEMO;
use super::job::{Bench, Job};
use super::show::Wishes;
use crate::cli::DemoArgs;
use crate::failure::Failure;
use crate::files::{self, Frame, Stock};
use crate::output::Output;

type DemoFile = (&'static str, &'static [u8]);

pub(super) fn run(args: &DemoArgs, out: &mut Output) -> Result<u8, Failure> {
    if let Some(folder) = &args.unpack {
        unpack(folder)?;
        out.line(&format!("the demo's files are in {}; try: rimwright plan {}", folder.display(), folder.display()))?;
        return Ok(GOOD);
    }
    let in_force = files::built_in();
    let bytes = file("shelf.csv")?;
    let rows = exchange::read_shelf(bytes, &in_force.rules)
        .map_err(|faults| files::faulty(Path::new("demo/shelf.csv"), bytes, &faults))?;
    let bench = Bench::new(in_force, Some(Stock { shelf: Shelf::new(rows), digest: files::digest(bytes) }));
    let orders: Vec<DemoFile> = DEMO.iter().copied().filter(|(name, _)| is_order(name)).collect();
    day::run(&orders, |order| job(order, &bench), &Wishes::of_demo(args, out.colour()), None, &bench, out)?;
    // It ran: that some of its orders must not be cut is what it shows.
    Ok(GOOD)
}

fn job(&(name, bytes): &DemoFile, bench: &Bench) -> Result<Job, Failure> {
    let name = format!("demo/{name}");
    let order =
        exchange::read_order(bytes, &bench.rules).map_err(|faults| files::faulty(Path::new(&name), bytes, &faults))?;
    let records = file(&order.frame.outline)?;
    let shapes = files::shapes(Path::new(&name), records, &bench.rules)?;
    let frame = Frame { shapes: Arc::new(shapes), digest: files::digest(records) };
    Ok(Job { name, order, digest: files::digest(bytes), frame })
}

fn file(name: &str) -> Result<&'static [u8], Failure> {
    let found = DEMO.iter().find(|(known, _)| *known == name).map(|(_, bytes)| *bytes);
    found.ok_or_else(|| Failure::own(&format!("the demo has no file {name}")))
}

/// Orders lie at the top; frame files and readings of uncut lenses in folders of their own.
fn is_order(name: &str) -> bool {
    name.ends_with(".toml") && !name.contains('/')
}

/// Writes the demo's files into a folder that holds none of them yet: whoever tried something there keeps it.
fn unpack(folder: &Path) -> Result<(), Failure> {
    if let Some((name, _)) = DEMO.iter().find(|(name, _)| folder.join(name).exists()) {
        return Err(Failure::new(
            format!("{} is there already", folder.join(name).display()),
            "choose an empty folder; nothing was written",
        ));
    }
    fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, &e))?;
    for (name, bytes) in DEMO {
        let path = folder.join(name);
        let parent = files::folder_of(&path);
        fs::create_dir_all(&parent).map_err(|e| Failure::writing(&parent, &e))?;
        fs::write(&path, bytes).map_err(|e| Failure::writing(&path, &e))?;
    }
    Ok(())
}
