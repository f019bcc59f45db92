//! `rimwright findings`: every code with its meaning.

use job::kinds;

use super::GOOD;
use crate::failure::Failure;
use crate::output::Output;

pub(super) fn run(out: &mut Output) -> Result<u8, Failure> {
    for kind in kinds::ALL {
        out.line(&format!("{:<5} {}", kind.severity.word(), kind.code))?;
        out.line(&format!("      {}", kind.meaning))?;
        out.line(&format!("      limit from: {}", kind.source))?;
    }
    out.line("\nstop: cannot be made as it stands. ask: a person must answer; the plan prints the block to paste.")?;
    out.line("warn: look here. note: good to know.")?;
    Ok(GOOD)
}
