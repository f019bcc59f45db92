//! A job and the bench it is planned on, as they are read from the disk or from the demo.

use std::path::Path;

use job::{Order, PerEye, Rules, Uncut};
use planner::{Measured, Plan};
use units::Working;

use crate::failure::Failure;
use crate::files::{self, Frame, InForce, Stock};

/// Shelf and rules, read once for every order.
pub(super) struct Bench {
    pub(super) rules: Rules,
    pub(super) rules_digest: String,
    pub(super) shelf: Option<Stock>,
}

impl Bench {
    /// From files already read.
    pub(super) fn new(in_force: InForce, shelf: Option<Stock>) -> Self {
        Self { rules: in_force.rules, rules_digest: in_force.digest, shelf }
    }

    /// As the planner sees it.
    pub(super) fn of_planner(&self) -> planner::Bench<'_> {
        planner::Bench {
            shelf: self.shelf.as_ref().map(|stock| &stock.shelf),
            left: None,
            rules: &self.rules,
            uncut: PerEye::default(),
        }
    }
}

/// An order with all that belongs to it.
pub(super) struct Job {
    /// The file it came from.
    pub(super) name: String,
    pub(super) order: Order,
    pub(super) digest: String,
    pub(super) frame: Frame,
}

impl Job {
    /// Plans it to its figures, as if it were alone.
    pub(super) fn to_figures(&self, bench: &Bench, working: Working) -> Plan {
        planner::to_figures(&self.order, &self.frame.shapes, &bench.of_planner(), working)
    }

    /// Plans it as if it were alone.
    pub(super) fn plan(&self, bench: &Bench, working: Working) -> Plan {
        planner::plan(&self.order, &self.frame.shapes, &bench.of_planner(), working)
    }
}

impl Job {
    /// Plans it from its labels and again from what was read on the uncut lenses.
    pub(super) fn measured(&self, bench: &Bench, uncut: PerEye<Option<Uncut>>, working: Working) -> Measured {
        let standard = exchange::standards().for_uncut(&bench.rules.edition, self.order.lens.kind);
        planner::measured(&self.order, &self.frame.shapes, &bench.of_planner(), uncut, standard, working)
    }
}

/// Reads an order, and the frame that it names, by way of `frame`.
pub(super) fn read(
    path: &Path,
    rules: &Rules,
    frame: impl FnOnce(&Path) -> Result<Frame, Failure>,
) -> Result<Job, Failure> {
    let (order, digest) = files::order(path, rules)?;
    let frame = frame(&files::folder_of(path).join(&order.frame.outline))
        .map_err(|failure| failure.noting(&format!("it is the outline of {}", path.display())))?;
    Ok(Job { name: path.display().to_string(), order, digest, frame })
}
