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

pub(super) fn page(out: &mut Output) -> Result<u8, Failure> {
    let mut text = Vec::new();
    clap_mangen::Man::new(Cli::command()).render(&mut text).map_err(|e| Failure::own(&e))?;
    out.text(&String::from_utf8_lossy(&text))?;
    Ok(GOOD)
}
