//! Record files of ISO 16284 (the interchange records of tracers, blockers and edgers): a tolerant reader, a strict
//! writer, and the trace sets in them.
//!
//! # What this rests on
//!
//! The body of the standard was **not** read; only contents lists and some definitions were. The record grammar, the
//! labels and the trace geometry come from public secondary sources, from the shape of one set of real record data, and
//! to a large part from memory. **No conformance with ISO 16284, ANSI Z80.24 or the trade association's documents is
//! claimed.** In short:
//!
//! | fact | rests on |
//! | --- | --- |
//! | CR LF between records, FS, GS, RS round packets, `REQ`, `ANS`, `STATUS` | a public secondary source |
//! | `=` and `;`, `?` for unknown, double quotes, the form of `TRCFMT` and `R`, lists that go on under the same label | the shape of real data |
//! | right then left in a pair; empty, unknown and zero differ; 7-bit ASCII; `A`, `ZFMT`, `Z`, `ZA` | memory, high |
//! | 0.01 mm and 0.01 degree; anticlockwise for the viewer from the viewer's right; first point not repeated; the other eye is radius at 180 - t | memory, high; data agree on the direction |
//! | formats 2 to 4 are binary, 0 is none; 80 bytes a record, 8 characters a label; frame curve on index 1.530 | memory, medium |
//! | `,` between codes, `*` for mandatory; labels marked `memory low` in [`Label::all`] | memory, low |
//! | sign and zero of the heights | not settled: they are handed on as sent |
//! | expected ranges, all limits of the checks, what is forgiven with a warning | our own choice |
//!
//! So the reader keeps every label in order with its raw text, known or not, and the writer uses only the plainest form.
//!
//! # Use
//!
//! ```
//! use exchange::records;
//! let reading = records::read(b"REQ=FIL\r\nJOB=\"0871\"\r\nDBL=17.50\r\nTRCFMT=1;4;E;R;P\r\nR=2600;2000;2400;2100\r\n");
//! assert!(reading.errors.is_empty());
//! assert_eq!(reading.number("DBL").value(), Some(17.5));
//! assert_eq!(reading.text("JOB").value().as_deref(), Some("0871"));
//! let right = reading.trace(job::Eye::Right).unwrap();
//! assert_eq!(right.mirrored().radii_mm, [24.0, 20.0, 26.0, 21.0]);
//! ```

mod check;
mod label;
mod lines;
mod problem;
mod record;
mod sets;
mod trace;
mod write;

use job::{Eye, PerEye};

pub use check::RawSizes;
pub use label::{Kind, Label, Shape};
pub use lines::{LONGEST_READ, MOST_RECORDS};
pub use problem::{Code, Problem};
pub use record::{Field, NotANumber, Record, Sent};
pub use trace::{Heights, Source, Spacing, Trace};
pub use write::{LONGEST_WRITTEN, write};

/// A file as read: all that could be kept, and all that is wrong with it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// Every record in order, known or not.
    pub records: Vec<Record>,
    /// The trace sets that are sound, in order.
    pub traces: Vec<Trace>,
    /// Accepted, but worth a look; in order of line.
    pub warnings: Vec<Problem>,
    /// With any of these the file as a whole is refused; in order of line.
    pub errors: Vec<Problem>,
}

/// Reads a record file. Never fails: what is wrong stands in [`Reading::errors`].
#[must_use]
pub fn read(bytes: &[u8]) -> Reading {
    let mut problems = problem::Problems::default();
    let records = lines::read_records(bytes, &mut problems);
    let traces = trace::read_traces(&records, &mut problems);
    let mut reading = Reading { records, traces, ..Reading::default() };
    let stated = check::Stated {
        box_width: reading.pair("HBOX"),
        box_height: reading.pair("VBOX"),
        circumference: reading.pair("CIRC"),
        longest_deg: reading.pair("FEDAX"),
    };
    check::check_traces(&reading.traces, &stated, &mut problems);
    problems.errors.sort_by_key(|problem| problem.line);
    problems.warnings.sort_by_key(|problem| problem.line);
    reading.warnings = problems.warnings;
    reading.errors = problems.errors;
    reading
}

impl Reading {
    /// The last record with this label: it counts where a label stands more than once.
    #[must_use]
    pub fn record(&self, label: &str) -> Option<&Record> {
        self.records.iter().rev().find(|record| record.label() == label)
    }

    /// The number under a label of one field. A field that is no number counts as unknown; its error is told.
    #[must_use]
    pub fn number(&self, label: &str) -> Sent<f64> {
        self.pair(label).right
    }

    /// The numbers under a label, right then left. A field that was not sent stays so: whether right counts for both
    /// is for the job to say.
    #[must_use]
    pub fn pair(&self, label: &str) -> PerEye<Sent<f64>> {
        self.fields(label, |field| field.number().unwrap_or(Sent::Unknown))
    }

    /// The text or code under a label of one field.
    #[must_use]
    pub fn text(&self, label: &str) -> Sent<String> {
        self.texts(label).right
    }

    /// The texts or codes under a label, right then left.
    #[must_use]
    pub fn texts(&self, label: &str) -> PerEye<Sent<String>> {
        self.fields(label, |field| field.sent_text())
    }

    /// The trace of an eye; the last one where there are several.
    #[must_use]
    pub fn trace(&self, eye: Eye) -> Option<&Trace> {
        self.traces.iter().rev().find(|trace| trace.eye == eye)
    }

    fn fields<T>(&self, label: &str, read: impl Fn(Field<'_>) -> Sent<T>) -> PerEye<Sent<T>> {
        let Some(record) = self.record(label) else { return PerEye { right: Sent::NotSent, left: Sent::NotSent } };
        let mut fields = record.fields();
        let right = fields.next().map_or(Sent::NotSent, &read);
        let left = fields.next().map_or(Sent::NotSent, &read);
        PerEye { right, left }
    }
}
