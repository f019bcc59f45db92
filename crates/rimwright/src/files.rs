//! The files of a job on the disk: which are read, where they are looked for, and what they hold.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use job::{Order, PerEye, Rules, Uncut};
use planner::{FrameShapes, Shelf};
use sha2::{Digest, Sha256};
use tempfile::NamedTempFile;

use crate::failure::Failure;

/// A larger file is none of ours.
const LARGEST: u64 = 64_000_000;

/// Reads a file whole.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let file = fs::File::open(path).map_err(|e| Failure::reading(path, &e))?;
    let about = file.metadata().map_err(|e| Failure::reading(path, &e))?;
    if about.is_dir() {
        return Err(Failure::new(format!("{} is a folder", path.display()), "name a file in it"));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(about.len().min(LARGEST)).unwrap_or_default());
    // A device or a pipe does not say how long it is, and may never end.
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|e| Failure::reading(path, &e))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::new(
            format!("{} has more than {} MB", path.display(), LARGEST / 1_000_000),
            "orders, traces and shelves are far smaller: is it the right file?",
        ));
    }
    Ok(bytes)
}

/// Writes a file whole or not at all: beside its place first, then under its name.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if path.is_dir() {
        return Err(Failure::new(format!("{} is a folder", path.display()), "name a file in it"));
    }
    if path.exists() {
        return Err(Failure::new(
            format!("{} is there already", path.display()),
            "name a file that is not there yet; nothing was written",
        ));
    }
    let folder = folder_of(path);
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { &folder };
    let written = beside(folder).and_then(|mut file| file.write_all(bytes).and_then(|()| file.flush()).map(|()| file));
    let file = written.map_err(|e| Failure::writing(path, &e))?;
    file.persist(path).map(drop).map_err(|e| Failure::writing(path, &e.error))
}

/// What is written is nobody's secret: it gets the permissions of any file, not those of a temporary one.
pub(crate) fn beside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".rimwright-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// SHA-256 in hexadecimal.
pub(crate) fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// The rules in force and the digest of their text.
pub(crate) struct InForce {
    pub(crate) rules: Rules,
    pub(crate) digest: String,
}

/// The built-in rules, with the digest of the text that `rimwright rules` prints.
pub(crate) fn built_in() -> InForce {
    InForce { rules: exchange::built_in_rules(), digest: digest(exchange::built_in_rules_text().as_bytes()) }
}

/// The rules: named, else beside the order, else built in.
pub(crate) fn rules(named: Option<&Path>, folder: &Path) -> Result<InForce, Failure> {
    let beside = folder.join("rules.toml");
    let path = named.map(Path::to_path_buf).or_else(|| beside.is_file().then_some(beside));
    match path {
        None => Ok(built_in()),
        Some(path) => {
            let bytes = read(&path)?;
            let rules = exchange::read_rules(&bytes).map_err(|faults| faulty(&path, &bytes, &faults))?;
            Ok(InForce { rules, digest: digest(&bytes) })
        }
    }
}

/// The shelf and its digest.
pub(crate) struct Stock {
    pub(crate) shelf: Shelf,
    pub(crate) digest: String,
}

/// The shelf: named, else beside the order, else none.
pub(crate) fn shelf(named: Option<&Path>, folder: &Path, rules: &Rules) -> Result<Option<Stock>, Failure> {
    let beside = folder.join("shelf.csv");
    let Some(path) = named.map(Path::to_path_buf).or_else(|| beside.is_file().then_some(beside)) else {
        return Ok(None);
    };
    let bytes = read(&path)?;
    let rows = exchange::read_shelf(&bytes, rules).map_err(|faults| faulty(&path, &bytes, &faults))?;
    Ok(Some(Stock { shelf: Shelf::new(rows), digest: digest(&bytes) }))
}

/// An order with its digest.
pub(crate) fn order(path: &Path, rules: &Rules) -> Result<(Order, String), Failure> {
    let bytes = read(path)?;
    let order = exchange::read_order(&bytes, rules).map_err(|faults| faulty(path, &bytes, &faults))?;
    Ok((order, digest(&bytes)))
}

/// Readings of uncut lenses.
pub(crate) fn uncut(path: &Path) -> Result<PerEye<Option<Uncut>>, Failure> {
    let bytes = read(path)?;
    exchange::read_uncut(&bytes).map_err(|faults| faulty(path, &bytes, &faults))
}

/// The shapes of a frame and the digest of its records.
#[derive(Debug, Clone)]
pub(crate) struct Frame {
    pub(crate) shapes: Arc<FrameShapes>,
    pub(crate) digest: String,
}

/// Reads and smooths the records of a frame.
pub(crate) fn frame(path: &Path, rules: &Rules) -> Result<Frame, Failure> {
    let bytes = read(path)?;
    Ok(Frame { shapes: Arc::new(shapes(path, &bytes, rules)?), digest: digest(&bytes) })
}

/// The shapes in records that were read from a path.
pub(crate) fn shapes(path: &Path, records: &[u8], rules: &Rules) -> Result<FrameShapes, Failure> {
    let place = |fault: String| {
        let lines: Vec<String> = fault
            .lines()
            .map(|line| if line.starts_with("hint: ") { line.to_owned() } else { format!("{}:{line}", path.display()) })
            .collect();
        Failure::report(lines.join("\n"))
    };
    let traced = exchange::read_traced(records).map_err(|fault| place(fault.to_string()))?;
    planner::shape::figure(&traced, rules).map_err(|fault| {
        // What the reader doubted is the likeliest cause: a point of another unit folds the curve.
        let doubts = traced.notes.iter().filter(|note| note.kind.severity == job::Severity::Ask);
        let lines: Vec<String> = doubts
            .map(|doubt| {
                let said = doubt.sentence.strip_prefix("line ").unwrap_or(&doubt.sentence);
                format!("{said}\nhint: {}", doubt.mend)
            })
            .chain([format!("1: {fault}\nhint: {}", fault.hint())])
            .collect();
        place(lines.join("\n"))
    })
}

type Once = Arc<OnceLock<Result<Frame, Failure>>>;

/// Frames that were read before: orders of a folder often share one.
#[derive(Default)]
pub(crate) struct Frames(Mutex<BTreeMap<PathBuf, Once>>);

impl Frames {
    pub(crate) fn get(&self, path: &Path, rules: &Rules) -> Result<Frame, Failure> {
        let once = {
            let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(known.entry(path.to_path_buf()).or_default())
        };
        once.get_or_init(|| frame(path, rules)).clone()
    }
}

/// The faults of a file as a report.
pub(crate) fn faulty(path: &Path, bytes: &[u8], faults: &[exchange::Fault]) -> Failure {
    let name = path.display().to_string();
    let colour = crate::output::wants_colour(&std::io::stderr());
    let report =
        if colour { exchange::report_in_colour(&name, bytes, faults) } else { exchange::report(&name, bytes, faults) };
    Failure::report(report)
}

/// The folder of a file; empty for one that is named without its folder.
pub(crate) fn folder_of(path: &Path) -> PathBuf {
    path.parent().map(Path::to_path_buf).unwrap_or_default()
}

/// The orders of a folder, by name.
pub(crate) fn orders_in(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    tables_in(folder, "order", "orders are files that end in .toml (rules.toml is not one)")
}

/// The frame files of a folder, by name.
pub(crate) fn frame_files_in(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    tables_in(folder, "frame file", "frame files end in .toml and hold a [frame] table as an order does")
}

fn tables_in(folder: &Path, what: &str, hint: &str) -> Result<Vec<PathBuf>, Failure> {
    if folder.is_file() {
        return Err(Failure::new(format!("{} is a file", folder.display()), "name the folder it lies in"));
    }
    let mut orders = Vec::new();
    for entry in fs::read_dir(folder).map_err(|e| Failure::reading(folder, &e))? {
        let path = entry.map_err(|e| Failure::reading(folder, &e))?.path();
        let toml = path.extension().is_some_and(|e| e == "toml");
        if toml && path.file_name().is_some_and(|n| n != "rules.toml") && path.is_file() {
            orders.push(path);
        }
    }
    orders.sort();
    if orders.is_empty() {
        return Err(Failure::new(format!("there is no {what} in {}", folder.display()), hint));
    }
    Ok(orders)
}
