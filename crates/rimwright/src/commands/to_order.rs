//! `rimwright plan --to-order FILE`: what a supplier is asked for, as records.

use std::io::{self, Write};
use std::path::Path;

use exchange::records;
use job::Order;
use planner::Plan;

use crate::failure::Failure;
use crate::files;

/// Writes the records, and says on standard error what was written and what of it to have confirmed; where there is
/// nothing to order it says that, and writes nothing.
pub(super) fn write(path: &Path, plan: &Plan, order: &Order) -> Result<(), Failure> {
    let Some(sheet) = exchange::surfacing_order(plan, order).map_err(|fault| Failure::own(&fault))? else {
        tell(&format!("rimwright: {}; {} was not written", nothing(plan), path.display()));
        return Ok(());
    };
    let bytes = records::write(&sheet.records).map_err(|faults| {
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Failure::own(&told.join("; "))
    })?;
    files::write_whole(path, &bytes)?;
    tell(&format!("rimwright: wrote {}", path.display()));
    tell(&format!(
        "note: {} are labels that we know from memory: have the supplier confirm that they read them so",
        sheet.unsure().join(" ")
    ));
    Ok(())
}

/// A line on standard error; nobody may be listening there.
fn tell(line: &str) {
    drop(writeln!(io::stderr(), "{line}"));
}

/// Why there is nothing to order.
fn nothing(plan: &Plan) -> &'static str {
    if plan.planned().all(|eye| eye.lens.is_some()) {
        "nothing to order: the shelf makes every lens"
    } else {
        "nothing can be ordered as it stands: the findings say why"
    }
}
