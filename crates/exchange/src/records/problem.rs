//! What can be wrong or odd in a record file: a stable code, where it stands, what it is, how to mend it.

use core::fmt;

/// Stable code of an error or a warning. The text form ([`Code::as_str`]) never changes its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Code {
    // Errors: the file as a whole is refused.
    /// No record at all.
    NoRecords,
    /// The text is UTF-16.
    NotAscii,
    /// A record above the hard cap of 64 KiB.
    RecordTooLong,
    /// More records than a job can have.
    TooManyRecords,
    /// Reading stopped because so much was wrong.
    TooManyErrors,
    /// A line without `=`.
    MissingLabelSeparator,
    /// Nothing before the `=`.
    EmptyLabel,
    /// A control character inside a record; when writing, any reserved character.
    ReservedCharacter,
    /// A field of a numeric label is no number.
    BadNumber,
    /// A field is no whole number.
    BadInteger,
    /// Trace data before any format record that it could belong to.
    DataWithoutFormat,
    /// A trace in a binary format, or in one nobody knows.
    UnsupportedTraceFormat,
    /// A trace set that names neither the right nor the left eye.
    BadEye,
    /// A trace set that is neither evenly nor unevenly spaced.
    BadSpacing,
    /// As many points as the format record says are not there.
    TraceCount,
    /// Uneven spacing, and no angles.
    MissingAngles,
    /// Angles that do not rise.
    AnglesNotRising,
    /// An angle below 0 or at or above 360 degrees.
    AngleRange,
    /// A radius at or below zero.
    BadRadius,
    // Errors of the writer only.
    /// A label that the grammar does not allow.
    BadLabel,
    /// A record that cannot be held to 78 characters; in the reader a warning above 80.
    LongRecord,
    /// Angles of a set that is said to be even, but are not.
    AnglesNotEven,
    // Warnings: read, but look at it.
    /// A label of a form that is not known from the standard.
    OddLabel,
    /// A label that is not in our table.
    UnknownLabel,
    /// A label in lower case.
    LowerCaseLabel,
    /// A code in lower case.
    LowerCaseCode,
    /// Spaces round a separator.
    SpaceAroundSeparator,
    /// A reserved character inside a value.
    ReservedCharacterInValue,
    /// A byte from 80 to FF.
    NonAsciiByte,
    /// More fields than the label has.
    ExtraField,
    /// A label twice that may stand once; the last one counts.
    RepeatedLabel,
    /// A number outside the range that we expect.
    OutOfRange,
    /// Angles sent with an even set.
    AnglesIgnored,
    /// The same angle twice in succession.
    DoubledAngle,
    /// A source that is none of frame, pattern, lens.
    UnknownSource,
    /// A second set for the same eye; the last one counts.
    RepeatedTrace,
    /// Heights of an eye that has no radii.
    HeightsWithoutTrace,
    /// Radii outside 5 to 60 mm.
    RadiusRange,
    /// Neighbouring radii too far apart.
    RadiusStep,
    /// The box of the points is not the box of the records.
    BoxMismatch,
    /// The points' perimeter does not fit `CIRC`, flat or in space.
    CircumferenceMismatch,
    /// Right and mirrored left are too different.
    EyesDiffer,
    /// The eyes seem swapped, or the shape is not mirrored.
    EyesDoubtful,
    /// More warnings than are listed.
    MoreWarnings,
}

impl Code {
    /// The code as printed and as other programs may rely on.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::NoRecords => "no-records",
            Self::NotAscii => "not-ascii",
            Self::RecordTooLong => "record-too-long",
            Self::TooManyRecords => "too-many-records",
            Self::TooManyErrors => "too-many-errors",
            Self::MissingLabelSeparator => "missing-label-separator",
            Self::EmptyLabel => "empty-label",
            Self::ReservedCharacter => "reserved-character",
            Self::BadNumber => "bad-number",
            Self::BadInteger => "bad-integer",
            Self::DataWithoutFormat => "data-without-format",
            Self::UnsupportedTraceFormat => "unsupported-trace-format",
            Self::BadEye => "bad-eye",
            Self::BadSpacing => "bad-spacing",
            Self::TraceCount => "trace-count",
            Self::MissingAngles => "missing-angles",
            Self::AnglesNotRising => "angles-not-rising",
            Self::AngleRange => "angle-range",
            Self::BadRadius => "bad-radius",
            Self::BadLabel => "bad-label",
            Self::LongRecord => "long-record",
            Self::AnglesNotEven => "angles-not-even",
            Self::OddLabel => "odd-label",
            Self::UnknownLabel => "unknown-label",
            Self::LowerCaseLabel => "lower-case-label",
            Self::LowerCaseCode => "lower-case-code",
            Self::SpaceAroundSeparator => "space-around-separator",
            Self::ReservedCharacterInValue => "reserved-character-in-value",
            Self::NonAsciiByte => "non-ascii-byte",
            Self::ExtraField => "extra-field",
            Self::RepeatedLabel => "repeated-label",
            Self::OutOfRange => "out-of-range",
            Self::AnglesIgnored => "angles-ignored",
            Self::DoubledAngle => "doubled-angle",
            Self::UnknownSource => "unknown-source",
            Self::RepeatedTrace => "repeated-trace",
            Self::HeightsWithoutTrace => "heights-without-trace",
            Self::RadiusRange => "radius-range",
            Self::RadiusStep => "radius-step",
            Self::BoxMismatch => "box-mismatch",
            Self::CircumferenceMismatch => "circumference-mismatch",
            Self::EyesDiffer => "eyes-differ",
            Self::EyesDoubtful => "eyes-doubtful",
            Self::MoreWarnings => "more-warnings",
        }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// One error or one warning. `Display` gives place, what, code, and the hint on a line of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Stable code.
    pub code: Code,
    /// Line of the file, from 1; when writing, number of the record, from 1; 0 where there is neither.
    pub line: usize,
    /// Byte in the line, from 1, where one byte can be blamed.
    pub column: Option<usize>,
    /// What was found, and what was expected.
    pub what: String,
    /// How to mend it.
    pub mend: &'static str,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column) {
            (0, _) => {}
            (line, None) => write!(f, "line {line}: ")?,
            (line, Some(column)) => write!(f, "line {line}, column {column}: ")?,
        }
        write!(f, "{} [{}]\nhint: {}", self.what, self.code, self.mend)
    }
}

impl std::error::Error for Problem {}

/// Errors and warnings as they are found, each list capped: a file that is no record file at all must not drown its
/// reader, and what is the matter with it shows in the first few.
#[derive(Debug, Default)]
pub(super) struct Problems {
    pub(super) errors: Vec<Problem>,
    pub(super) warnings: Vec<Problem>,
}

/// Errors kept before reading stops.
const MOST_ERRORS: usize = 50;
/// Warnings kept; those after it are told by one closing line.
const MOST_WARNINGS: usize = 200;

impl Problems {
    pub(super) fn error(&mut self, code: Code, line: usize, column: Option<usize>, what: String, mend: &'static str) {
        if self.errors.len() < MOST_ERRORS {
            self.errors.push(Problem { code, line, column, what, mend });
        } else if self.errors.len() == MOST_ERRORS {
            let what = format!("{MOST_ERRORS} errors so far; the rest of the file is not reported");
            let mend = "is this a record file, plain text with one LABEL=value a line?";
            self.errors.push(Problem { code: Code::TooManyErrors, line, column: None, what, mend });
        }
    }

    pub(super) fn warn(&mut self, code: Code, line: usize, column: Option<usize>, what: String, mend: &'static str) {
        if self.warnings.len() < MOST_WARNINGS {
            self.warnings.push(Problem { code, line, column, what, mend });
        } else if self.warnings.len() == MOST_WARNINGS {
            let what = format!("{MOST_WARNINGS} warnings so far; further ones are not listed");
            let mend = "mend the first ones and read the file again";
            self.warnings.push(Problem { code: Code::MoreWarnings, line, column: None, what, mend });
        }
    }

    /// Whether reading on is pointless.
    pub(super) fn gave_up(&self) -> bool {
        self.errors.len() > MOST_ERRORS
    }
}
