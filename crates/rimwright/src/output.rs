//! Standard output, buffered; a reader that goes away early is no fault.

use std::io::{self, BufWriter, IsTerminal, StdoutLock, Write};

use crate::failure::Failure;
use crate::text::Page;

/// Where results go.
pub(crate) struct Output {
    out: BufWriter<StdoutLock<'static>>,
    colour: bool,
}

impl Output {
    pub(crate) fn new() -> Self {
        let colour = wants_colour(&io::stdout());
        Self { out: BufWriter::new(io::stdout().lock()), colour }
    }

    /// Whether its reader sees colour.
    pub(crate) const fn colour(&self) -> bool {
        self.colour
    }

    /// A page for this output.
    pub(crate) const fn page(&self) -> Page {
        Page::new(self.colour)
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

/// Colour on a terminal, unless `NO_COLOR` holds anything.
pub(crate) fn wants_colour(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

fn refused(error: &io::Error) -> Failure {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Failure::reader_gone()
    } else {
        Failure::new(
            format!("cannot write the result: {}", crate::failure::plain(error)),
            "make room on the disk, or send the output elsewhere",
        )
    }
}
