//! How the line on an edge runs, as an order or the rules write it: a table of one key.

use job::edge_run::{Beside, EdgeRun};

use crate::limits::Limits;
use crate::toml_walk::Table;

/// Behind the front surface.
const FROM_FRONT: Limits = Limits::between(0.0, 20.0, "mm");
/// Of the edge.
const SHARE: Limits = Limits::between(0.0, 1.0, "");
/// Of a sphere on which a line runs.
const RUN_CURVE: Limits = Limits::from_to(0.0, 30.0, "D");

/// The mend of a table that says nothing, or more than one thing.
const MEND: &str = "write one of { along = \"rim\" }, { along = \"front\" }, { along = \"back\" }, { from_front_mm = 1.0 }, { share = 0.33 }, { curve_d = 6.0 }";

/// Reads the table; a fault where it has not exactly one key.
pub(crate) fn read(table: &Table<'_, '_>) -> Option<EdgeRun> {
    let along = table.word("along", Beside::WORDS).map(EdgeRun::Along);
    let from_front = table.mm("from_front_mm", FROM_FRONT).map(EdgeRun::FromFront);
    let share = table.number("share", SHARE).map(EdgeRun::Share);
    let curve = table.number("curve_d", RUN_CURVE).map(EdgeRun::Curve);
    let given: Vec<&'static str> =
        ["along", "from_front_mm", "share", "curve_d"].into_iter().filter(|key| table.has(key)).collect();
    table.end();
    match given[..] {
        [_] => along.or(from_front).or(share).or(curve),
        [_, second, ..] => table.value(second)?.wrong("one way for the line to run", MEND),
        [] => table.need("along", None, MEND),
    }
}
