//! `rimwright completions` and `rimwright man`, from the one definition of the command line.

use clap::CommandFactory;
use clap_complete::Shell;

use super::GOOD;
use crate::cli::Cli;
use crate::failure::Failure;
use crate::output::Output;

pub(super) fn completions(shell: Shell, out: &mut Output) -> Result<u8, Failure> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "rimwright", &mut text);
    out.text(&String::from_utf8_lossy(&text))?;
    Ok(GOOD)
}

/// The man page of the whole, or of one command with its options.
pub(super) fn page(name: Option<&str>, out: &mut Output) -> Result<u8, Failure> {
    let mut whole = Cli::command();
    // Options that every command has come in only when it is built.
    whole.build();
    let command = match name {
        None => whole,
        Some(name) => whole.find_subcommand(name).cloned().ok_or_else(|| {
            let known: Vec<&str> = whole.get_subcommands().map(clap::Command::get_name).collect();
            Failure::new(format!("there is no command `{name}`"), format!("write one of {}", known.join(", ")))
        })?,
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(command).render(&mut text).map_err(|e| Failure::own(&e))?;
    out.text(&String::from_utf8_lossy(&text))?;
    Ok(GOOD)
}
