//! The command `rimwright`: reads arguments and files, calls, prints. It decides nothing about lenses.

mod cli;
mod commands;
mod drawings;
mod failure;
mod files;
mod output;
mod record_files;
mod text;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let cli = cli::Cli::parse();
    let mut out = output::Output::new();
    let outcome = commands::run(&cli.command, &mut out).and_then(|exit| out.finish().map(|()| exit));
    match outcome {
        Ok(exit) => ExitCode::from(exit),
        Err(failure) => {
            failure.tell();
            ExitCode::from(failure.exit())
        }
    }
}
