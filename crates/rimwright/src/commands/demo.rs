//! `rimwright demo`: an invented day, carried inside the program so that it works anywhere.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use planner::Shelf;

use super::GOOD;
use super::demo_files::DEMO;
use super::plan::{Job, Wishes, day};
use crate::cli::DemoArgs;
use crate::failure::Failure;
use crate::files::{self, Frame, InForce, Stock};
use crate::output::Output;

pub(super) fn run(args: &DemoArgs, out: &mut Output) -> Result<u8, Failure> {
    if let Some(folder) = &args.unpack {
        unpack(folder)?;
        out.line(&format!("the demo's files are in {}; try: rimwright plan {}", folder.display(), folder.display()))?;
        return Ok(GOOD);
    }
    let text = exchange::built_in_rules_text();
    let in_force = InForce { rules: exchange::built_in_rules(), digest: files::digest(text.as_bytes()) };
    let shelf = file("shelf.csv")?;
    let rows = exchange::read_shelf(shelf, &in_force.rules)
        .map_err(|faults| files::faulty(Path::new("demo/shelf.csv"), shelf, &faults))?;
    let stock = Stock { shelf: Shelf::new(rows), digest: files::digest(shelf) };
    let orders: Vec<&(&str, &[u8])> = DEMO.iter().filter(|(name, _)| name.ends_with(".toml")).collect();
    let read = |(name, bytes): &&(&str, &[u8])| {
        let order = exchange::read_order(bytes, &in_force.rules)
            .map_err(|faults| files::faulty(Path::new("demo").join(name).as_path(), bytes, &faults))?;
        let records = file(&order.frame.outline)?;
        let traced = exchange::read_traced(records).map_err(|e| Failure::report(format!("demo: {e}")))?;
        let shapes =
            planner::shape::figure(&traced, &in_force.rules).map_err(|e| Failure::report(format!("demo: {e}")))?;
        let frame = Frame { shapes: Arc::new(shapes), digest: files::digest(records) };
        Ok(Job { order, digest: files::digest(bytes), frame })
    };
    let wishes = Wishes { json: args.json, draw: args.draw.as_deref(), working: None };
    day(&orders, read, &wishes, &in_force, Some(&stock), out)?;
    Ok(GOOD)
}

fn file(name: &str) -> Result<&'static [u8], Failure> {
    let found = DEMO.iter().find(|(known, _)| *known == name).map(|(_, bytes)| *bytes);
    found.ok_or_else(|| Failure::report(format!("the demo has no file {name}")))
}

fn unpack(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, &e))?;
    for (name, bytes) in DEMO {
        let path = folder.join(name);
        fs::write(&path, bytes).map_err(|e| Failure::writing(&path, &e))?;
    }
    Ok(())
}
