//! One file a command, named as it is typed.

mod compare;
mod day;
mod demo;
mod demo_files;
mod findings;
mod intake;
mod job;
mod man;
mod outline;
mod plan;
mod records;
mod recut;
mod rules;
mod schema;
mod show;
mod to_order;

use crate::cli::Command;
use crate::failure::Failure;
use crate::output::Output;

/// Done and good.
pub(crate) const GOOD: u8 = 0;
/// Readable, but the answer is no.
pub(crate) const NO: u8 = 1;
/// Wrong input.
pub(crate) const WRONG: u8 = 2;

/// Runs a command; its exit code.
pub(crate) fn run(command: &Command, out: &mut Output) -> Result<u8, Failure> {
    match command {
        Command::Plan(args) => plan::run(args, out),
        Command::Compare(args) => compare::run(args, out),
        Command::Intake(args) => intake::run(args, out),
        Command::Recut(args) => recut::run(args, out),
        Command::Outline(args) => outline::run(args, out),
        Command::Rules(args) => rules::run(args, out),
        Command::Findings => findings::run(out),
        Command::Schema { name } => schema::run(name, out),
        Command::Demo(args) => demo::run(args, out),
        Command::Completions { shell } => man::completions(*shell, out),
        Command::Man { command } => man::page(command.as_deref(), out),
    }
}
