//! `rimwright rules`: the rules in force with their sources, as a file that reads back.

use super::GOOD;
use crate::cli::RulesArgs;
use crate::failure::Failure;
use crate::files;
use crate::output::Output;

pub(super) fn run(args: &RulesArgs, out: &mut Output) -> Result<u8, Failure> {
    let text = exchange::built_in_rules_text();
    match &args.rules {
        None => out.text(&text)?,
        Some(path) => {
            let bytes = files::read(path)?;
            let merged = exchange::rules_in_force(&bytes).map_err(|faults| files::faulty(path, &bytes, &faults))?;
            out.text(&merged)?;
        }
    }
    Ok(GOOD)
}
