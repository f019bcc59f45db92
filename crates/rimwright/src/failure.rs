//! What keeps a command from doing its work, in words.

use std::fmt;
use std::io::{self, Write};
use std::path::Path;

/// Wrong input, usage or a disk that will not: told on standard error, exit 2.
#[derive(Debug, Clone)]
pub(crate) struct Failure {
    /// What happened and how to mend it; empty where there is nobody left to tell.
    message: String,
    exit: u8,
}

impl Failure {
    /// Says what happened, with its hint on a line of its own.
    pub(crate) fn new(what: impl AsRef<str>, hint: impl AsRef<str>) -> Self {
        Self { message: format!("rimwright: {}\nhint: {}", what.as_ref(), hint.as_ref()), exit: 2 }
    }

    /// A report that already has its shape.
    pub(crate) fn report(report: impl Into<String>) -> Self {
        Self { message: report.into(), exit: 2 }
    }

    /// The reader of standard output went away: nothing to say, nothing went wrong here.
    pub(crate) const fn reader_gone() -> Self {
        Self { message: String::new(), exit: 0 }
    }

    /// A file that cannot be read.
    pub(crate) fn reading(path: &Path, error: &io::Error) -> Self {
        let hint = match error.kind() {
            io::ErrorKind::NotFound => "check the name and the folder",
            io::ErrorKind::PermissionDenied => "check who may read it",
            _ => "check the disk and try again",
        };
        Self::new(format!("cannot read {}: {}", path.display(), plain(error)), hint)
    }

    /// A file that cannot be written.
    pub(crate) fn writing(path: &Path, error: &io::Error) -> Self {
        let hint = match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
                "the disk is full: make room; nothing was left half-written"
            }
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                "choose a folder that you may write to; nothing was written"
            }
            io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => "that is a file: name a folder",
            _ => "choose another folder; nothing was left half-written",
        };
        Self::new(format!("cannot write {}: {}", path.display(), plain(error)), hint)
    }

    /// Adds a line that says how it came to this.
    pub(crate) fn noting(self, note: &str) -> Self {
        Self { message: format!("{}\nnote: {note}", self.message.trim_end()), exit: self.exit }
    }

    /// This one and another, told together.
    pub(crate) fn and(self, other: &Self) -> Self {
        Self { message: format!("{}\n{}", self.message.trim_end(), other.message), exit: self.exit.max(other.exit) }
    }

    /// A fault of this program itself.
    pub(crate) fn own(error: &dyn std::fmt::Display) -> Self {
        Self::new(error.to_string(), "keep the files that led here and report it")
    }

    pub(crate) fn tell(&self) {
        if !self.message.is_empty() {
            // Nobody may be listening there either.
            drop(writeln!(io::stderr(), "{self}"));
        }
    }

    pub(crate) const fn exit(&self) -> u8 {
        self.exit
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message.trim_end())
    }
}

/// The system's words without its number.
pub(crate) fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or(&text).to_lowercase()
}

/// Two results that do not wait for one another: both values, or all that went wrong.
pub(crate) fn both<A, B>(a: Result<A, Failure>, b: Result<B, Failure>) -> Result<(A, B), Failure> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(a), Err(b)) => Err(a.and(&b)),
        (Err(failure), Ok(_)) | (Ok(_), Err(failure)) => Err(failure),
    }
}
