//! From records to sets of hundredths: format records open a set, data records fill it, and it is checked when it ends.

use job::Eye;

use super::problem::{Code, Problems};
use super::record::{Field, Record, Sent};
use super::trace::{Source, Spacing, even_angle, says_nothing};
use super::write::shown;

/// What a set holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Content {
    Radii,
    Heights,
}

impl Content {
    const fn word(self) -> &'static str {
        match self {
            Self::Radii => "radii",
            Self::Heights => "heights",
        }
    }

    const fn format_label(self) -> &'static str {
        match self {
            Self::Radii => "TRCFMT",
            Self::Heights => "ZFMT",
        }
    }
}

/// One set as sent.
#[derive(Debug)]
pub(super) struct Set {
    pub(super) content: Content,
    pub(super) line: usize,
    pub(super) eye: Eye,
    pub(super) source: Source,
    pub(super) spacing: Spacing,
    count: usize,
    values: Vec<i64>,
    angles: Vec<i64>,
    /// Angles stood beside an even set.
    ignored: Option<usize>,
    /// A fault was told already: the set only swallows its data.
    refused: bool,
}

/// Sets of the file in the order of their format records.
pub(super) fn gather(records: &[Record], problems: &mut Problems) -> Vec<Set> {
    let mut sets: Vec<Set> = Vec::new();
    // Places in `sets` of the sets that still take data. A format record ends the set of its own content, and that of
    // the other content when it names the other eye.
    let mut open: [Option<usize>; 2] = [None, None];
    let mut stray: [bool; 2] = [false, false];
    for record in records {
        let (content, angles) = match record.label() {
            "R" => (Content::Radii, false),
            "A" => (Content::Radii, true),
            "Z" => (Content::Heights, false),
            "ZA" => (Content::Heights, true),
            "TRCFMT" | "ZFMT" => {
                let content = if record.label() == "ZFMT" { Content::Heights } else { Content::Radii };
                open[content as usize] = None;
                if let Some(mut set) = opened(record, content, problems) {
                    let other = 1 - content as usize;
                    if open[other].and_then(|at| sets.get(at)).is_some_and(|before| before.eye != set.eye) {
                        open[other] = None;
                    }
                    // Data that came too early was told as such; that its set then lacks them is the same fault.
                    set.refused |= core::mem::take(&mut stray[content as usize]) && !has_data(records, record, content);
                    open[content as usize] = Some(sets.len());
                    sets.push(set);
                }
                continue;
            }
            _ => continue,
        };
        match open[content as usize].and_then(|at| sets.get_mut(at)) {
            Some(set) => set.take(record, angles, problems),
            None if says_nothing(record) => {}
            None => {
                if !stray[content as usize] {
                    let format = content.format_label();
                    let what = format!("{} before any {format} record that it belongs to", record.label());
                    let mend = "put the format record in front of its data";
                    problems.error(Code::DataWithoutFormat, record.line(), None, what, mend);
                }
                stray[content as usize] = true;
            }
        }
    }
    sets
}

/// Whether data follows this format record before the next one of its kind.
fn has_data(records: &[Record], format: &Record, content: Content) -> bool {
    let data = if content == Content::Radii { "R" } else { "Z" };
    records
        .iter()
        .skip_while(|record| record.line() <= format.line())
        .take_while(|record| record.label() != format.label())
        .any(|record| record.label() == data)
}

/// The set that a format record opens; `None` for format 0 and for `?`. An empty one is more likely a file cut short.
fn opened(record: &Record, content: Content, problems: &mut Problems) -> Option<Set> {
    if record.fields().all(|field| field.is_unknown()) {
        return None;
    }
    let line = record.line();
    let label = record.label();
    let mut set = Set {
        content,
        line,
        eye: Eye::Right,
        source: Source::Unknown,
        spacing: Spacing::Even,
        count: 0,
        values: Vec::new(),
        angles: Vec::new(),
        ignored: None,
        refused: false,
    };
    let mut fields = record.fields();
    match whole(fields.next(), record, "format", problems) {
        Some(0) => return None,
        Some(1) => {}
        Some(format) => {
            let kind = if (2..=4).contains(&format) { "binary" } else { "unknown" };
            let what = format!("{label}: format {format} is {kind}; only text (format 1) is read");
            let mend = "set the device to send traces as text, format 1";
            problems.error(Code::UnsupportedTraceFormat, line, None, what, mend);
            return Some(Set { refused: true, ..set });
        }
        None => return Some(Set { refused: true, ..set }),
    }
    match whole(fields.next(), record, "count", problems).map(usize::try_from) {
        Some(Ok(count)) if count >= 3 => set.count = count,
        Some(_) => {
            let what = format!("{label}: a set needs at least 3 points");
            problems.error(Code::TraceCount, line, None, what, "trace the shape again with more points");
            set.refused = true;
        }
        None => set.refused = true,
    }
    let spacing = letter(fields.next(), record, problems);
    match spacing.as_slice() {
        b"E" => {}
        b"U" => set.spacing = Spacing::Uneven,
        other => {
            let what = format!("{label}: spacing is E or U, not `{}`", shown(&String::from_utf8_lossy(other)));
            problems.error(Code::BadSpacing, line, None, what, "write E for even, U with angles for uneven");
            set.refused = true;
        }
    }
    let eye = letter(fields.next(), record, problems);
    match eye.as_slice() {
        b"R" => {}
        b"L" => set.eye = Eye::Left,
        other => {
            let what = format!("{label}: eye is R or L, not `{}`", shown(&String::from_utf8_lossy(other)));
            problems.error(Code::BadEye, line, None, what, "a set is for one eye: send one set for each");
            set.refused = true;
        }
    }
    let source = letter(fields.next(), record, problems);
    set.source = match source.as_slice() {
        b"F" => Source::Frame,
        b"P" => Source::Pattern,
        b"L" => Source::Lens,
        b"" | b"?" => Source::Unknown,
        other => {
            let what = format!("{label}: source is F, P or L, not `{}`", shown(&String::from_utf8_lossy(other)));
            problems.warn(Code::UnknownSource, line, None, what, "it was taken as not said");
            Source::Unknown
        }
    };
    if let Some(extra) = fields.next() {
        let what = format!("{label} has more than 5 fields; the rest is left out");
        problems.warn(Code::ExtraField, line, Some(extra.column), what, "leave the further fields out");
    }
    Some(set)
}

fn whole(field: Option<Field<'_>>, record: &Record, name: &str, problems: &mut Problems) -> Option<i64> {
    match field.map(|field| field.integer()) {
        Some(Ok(Sent::Value(value))) => Some(value),
        _ => {
            let found = field.map(|field| field.text().into_owned()).unwrap_or_default();
            let what = format!("{}: {name} is a whole number, not `{}`", record.label(), shown(&found));
            let mend = "write format;count;spacing;eye;source, such as TRCFMT=1;400;E;R;F";
            let column = field.map(|field| field.column);
            problems.error(Code::BadInteger, record.line(), column, what, mend);
            None
        }
    }
}

/// A one-letter code in upper case.
fn letter(field: Option<Field<'_>>, record: &Record, problems: &mut Problems) -> Vec<u8> {
    let Some(field) = field else { return Vec::new() };
    if field.bytes.len() == 1 && field.bytes.iter().any(u8::is_ascii_lowercase) {
        let what = format!("{}: code `{}` is in lower case", record.label(), field.text());
        problems.warn(Code::LowerCaseCode, record.line(), Some(field.column), what, "it was read in upper case");
        return field.bytes.to_ascii_uppercase();
    }
    field.bytes.to_vec()
}

impl Set {
    fn take(&mut self, record: &Record, angles: bool, problems: &mut Problems) {
        if self.refused {
            return;
        }
        if angles && self.spacing == Spacing::Even {
            self.ignored = self.ignored.or(Some(record.line()));
            return;
        }
        let (into, unit) = if angles { (&mut self.angles, "degree") } else { (&mut self.values, "mm") };
        if into.capacity() == 0 {
            // No more than a line can hold is set aside on the word of the file.
            into.reserve(self.count.min(1024));
        }
        let mut fields = record.fields().peekable();
        let mut any = false;
        while let Some(field) = fields.next() {
            match field.integer() {
                Ok(Sent::Value(value)) => into.push(value),
                Ok(Sent::Empty) if fields.peek().is_none() => {
                    if any {
                        let what = format!("{} ends with a separator", record.label());
                        let mend = "leave the last separator out";
                        problems.warn(Code::ExtraField, record.line(), Some(field.column), what, mend);
                    }
                }
                _ => {
                    let what = format!(
                        "{} is a list of whole numbers of 0.01 {unit}; `{}` is none",
                        record.label(),
                        shown(&field.text())
                    );
                    let mend = "write 25.00 as 2500; leave out a point that was not measured, and count it out";
                    problems.error(Code::BadInteger, record.line(), Some(field.column), what, mend);
                    self.refused = true;
                    return;
                }
            }
            any = true;
        }
    }

    /// Angles in degrees and values in mm, if the set is sound.
    pub(super) fn points(self, problems: &mut Problems) -> Option<(Vec<f64>, Vec<f64>)> {
        if self.refused {
            return None;
        }
        let (line, n, eye, word) = (self.line, self.count, self.eye.letter(), self.content.word());
        if self.values.len() != n {
            let what = format!("{eye} eye: {} of {n} {word}", self.values.len());
            let mend = "the file was cut short, or its count is wrong: send the trace again";
            problems.error(Code::TraceCount, line, None, what, mend);
            return None;
        }
        if let Some(line) = self.ignored {
            let what = format!("{eye} eye: angles sent with an even set");
            problems.warn(Code::AnglesIgnored, line, None, what, "they were left out; if they matter, mark the set U");
        }
        if self.content == Content::Radii
            && let Some(at) = self.values.iter().position(|radius| *radius <= 0)
        {
            let what = format!("{eye} eye: radius {} of {n} is {} hundredths of a mm", at + 1, self.values[at]);
            problems.error(Code::BadRadius, line, None, what, "trace again; a point that was not measured is left out");
            return None;
        }
        let angles = match self.spacing {
            Spacing::Even => (0..n).map(|i| even_angle(i, n)).collect(),
            Spacing::Uneven => self.uneven(problems)?,
        };
        Some((angles, self.values.iter().map(|value| *value as f64 / 100.0).collect()))
    }

    fn uneven(&self, problems: &mut Problems) -> Option<Vec<f64>> {
        let (line, n, eye, angles) = (self.line, self.count, self.eye.letter(), &self.angles);
        if angles.is_empty() {
            let what = format!("{eye} eye: uneven {} without angles", self.content.word());
            problems.error(Code::MissingAngles, line, None, what, "send the angles, or mark the set E if it is even");
            return None;
        }
        if angles.len() != n {
            let what = format!("{eye} eye: {} of {n} angles", angles.len());
            let mend = "the file was cut short, or its count is wrong: send the trace again";
            problems.error(Code::TraceCount, line, None, what, mend);
            return None;
        }
        if let Some(at) = angles.iter().position(|angle| !(0..36_000).contains(angle)) {
            let what = format!("{eye} eye: angle {} of {n} is {}; they run from 0 to 35999", at + 1, angles[at]);
            problems.error(Code::AngleRange, line, None, what, "36000 is the first point again: leave it out");
            return None;
        }
        if let Some(at) = angles.windows(2).position(|two| two[0] > two[1]) {
            let what = format!("{eye} eye: angle {} of {n} is less than the one before it", at + 2);
            problems.error(
                Code::AnglesNotRising,
                line,
                None,
                what,
                "trace the frame again: the points do not go round it in order",
            );
            return None;
        }
        let doubled = angles.windows(2).filter(|two| two[0] == two[1]).count();
        if doubled > 0 {
            let what = format!("{eye} eye: the same angle twice, {doubled} time(s)");
            problems.warn(Code::DoubledAngle, line, None, what, "both points were kept; trace again if they disagree");
        }
        Some(angles.iter().map(|angle| *angle as f64 / 100.0).collect())
    }
}
