//! Standard output, buffered; a reader that goes away early is no fault.

use std::io::{self, BufWriter, StdoutLock, Write};

use crate::failure::Failure;

/// Where results go.
pub(crate) struct Output {
    out: BufWriter<StdoutLock<'static>>,
}

impl Output {
    pub(crate) fn new() -> Self {
        Self { out: BufWriter::new(io::stdout().lock()) }
    }

    /// Writes a text as it stands.
    pub(crate) fn text(&mut self, text: &str) -> Result<(), Failure> {
        self.out.write_all(text.as_bytes()).map_err(|e| refused(&e))
    }

    /// Writes a line.
    pub(crate) fn line(&mut self, line: &str) -> Result<(), Failure> {
        self.text(line)?;
        self.text("\n")
    }

    /// Sees that all of it has arrived.
    pub(crate) fn finish(&mut self) -> Result<(), Failure> {
        self.out.flush().map_err(|e| refused(&e))
    }
}

fn refused(error: &io::Error) -> Failure {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Failure::reader_gone()
    } else {
        Failure::new(format!("cannot write the result: {error}"), "check the disk and where the output goes")
    }
}
