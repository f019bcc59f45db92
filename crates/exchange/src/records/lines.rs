//! From bytes to records: line ends, marks between records, labels, and the typed check of every known label.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::label::{Kind, Label, Shape};
use super::problem::{Code, Problems};
use super::record::{NotANumber, Record, Sent, is_space, trim};
use super::write::{is_label, reserved_in, shown};

/// Longest record read. Real ones have at most 80 bytes; a line of megabytes is no record, and must not cost memory.
pub const LONGEST_READ: usize = 64 * 1024;
/// Longest record that is not warned about, without its line end.
const LONGEST_EXPECTED: usize = 80;
/// Most records of one file. The longest trace known of, 18 000 points for each eye with heights, takes under 5 000.
pub const MOST_RECORDS: usize = 100_000;

/// Splits and checks the records of a file.
pub(super) fn read_records(bytes: &[u8], problems: &mut Problems) -> Vec<Record> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        let what = "the file is UTF-16 text; records are plain ASCII".to_owned();
        problems.error(Code::NotAscii, 1, Some(1), what, "save it again as plain text (ASCII or UTF-8)");
        return Vec::new();
    }
    let mut lines = Lines { records: Vec::with_capacity(bytes.len() / 70 + 1), ..Lines::default() };
    let mut rest = bytes;
    let mut line = 0;
    while !rest.is_empty() {
        line += 1;
        let end = rest.iter().position(|byte| *byte == b'\n' || *byte == b'\r');
        let (text, after) = match end {
            Some(end) => rest.split_at(end),
            None => (rest, &[][..]),
        };
        rest = match after {
            [b'\r', b'\n', next @ ..] | [b'\r' | b'\n', next @ ..] => next,
            _ => &[],
        };
        lines.take(text, line, end.is_none(), problems);
        if lines.records.len() >= MOST_RECORDS && !rest.is_empty() {
            let what = format!("more than {MOST_RECORDS} records; a file holds one job");
            problems.error(Code::TooManyRecords, line, None, what, "split the file, one job in each");
            break;
        }
        if problems.gave_up() {
            break;
        }
    }
    if lines.records.is_empty() && problems.errors.is_empty() {
        let what = "no record in the file; expected lines such as DBL=18.00".to_owned();
        problems.error(Code::NoRecords, 1, None, what, "send the trace again, or look whether this is the right file");
    }
    lines.records
}

#[derive(Default)]
struct Lines {
    records: Vec<Record>,
    /// Known labels that stood already; few enough to look through.
    seen: Vec<&'static str>,
    /// Unknown ones may be many, in a file that is made to hurt.
    seen_unknown: BTreeSet<String>,
    /// Inside a trace set in a binary format: what follows is bytes, not text.
    binary: bool,
}

impl Lines {
    fn take(&mut self, text: &[u8], line: usize, last: bool, problems: &mut Problems) {
        let (text, skipped) = without_marks(text, last);
        if text.iter().all(|byte| is_space(*byte)) {
            return;
        }
        if self.binary {
            if let Some(label) = binary_data_label(text) {
                if let Some(label) = label {
                    let raw = text.get(..LONGEST_READ).unwrap_or(text).to_vec();
                    self.records.push(Record::from_raw(line, Cow::Borrowed(label), raw, label.len() + 1));
                }
                return;
            }
            self.binary = false;
        }
        if text.len() > LONGEST_READ {
            let what = format!("a record of {} bytes; at most {LONGEST_READ} are read, 80 are usual", text.len());
            let mend = "line ends are missing, or this is no record file: send it again as plain text";
            problems.error(Code::RecordTooLong, line, None, what, mend);
            return;
        }
        let Some(separator) = text.iter().position(|byte| *byte == b'=') else {
            let what = format!("`{}` has no `=` between label and value", shown(&String::from_utf8_lossy(text)));
            let mend = "write LABEL=value, one record a line";
            problems.error(Code::MissingLabelSeparator, line, Some(skipped + 1), what, mend);
            return;
        };
        let Some(record) = self.label(text, separator, line, skipped, problems) else { return };
        let ok = check_characters(&record, skipped, problems);
        if text.len() > LONGEST_EXPECTED {
            let what = format!("a record of {} characters; at most {LONGEST_EXPECTED} are expected", text.len());
            problems.warn(Code::LongRecord, line, None, what, "nothing to do if its values are right");
        }
        if ok {
            check_values(&record, skipped, problems);
        }
        self.binary = opens_binary(&record);
        self.records.push(record);
    }

    /// The record with its label read, in upper case.
    fn label(
        &mut self,
        text: &[u8],
        separator: usize,
        line: usize,
        skipped: usize,
        problems: &mut Problems,
    ) -> Option<Record> {
        let (before, _) = text.split_at(separator);
        let written = trim(before);
        let column = skipped + before.iter().position(|byte| !is_space(*byte)).unwrap_or(0) + 1;
        if written.is_empty() {
            let what = "nothing stands before the `=`".to_owned();
            problems.error(Code::EmptyLabel, line, Some(column), what, "write the label, or delete the line");
            return None;
        }
        if let Some(at) = written.iter().position(|byte| *byte < 0x20 || *byte == 0x7F) {
            let what = "a control character in the label".to_owned();
            let mend = "delete the character, or send the file again";
            problems.error(Code::ReservedCharacter, line, Some(column + at), what, mend);
            return None;
        }
        let value = text.get(separator + 1..).unwrap_or_default();
        let spaced = written.len() != before.len() || value.first().is_some_and(|byte| is_space(*byte));
        if spaced || value.last().is_some_and(|byte| is_space(*byte)) {
            let what = "spaces round a separator or at the end".to_owned();
            problems.warn(Code::SpaceAroundSeparator, line, Some(column), what, "they were left out; no harm done");
        }
        let written = String::from_utf8_lossy(written);
        let name = if written.bytes().any(|byte| byte.is_ascii_lowercase()) {
            let what = format!("label `{}` is in lower case", shown(&written));
            problems.warn(Code::LowerCaseLabel, line, Some(column), what, "it was read in upper case");
            Cow::Owned(written.to_ascii_uppercase())
        } else {
            written
        };
        let name = self.name(name, line, column, problems);
        Some(Record::from_raw(line, name, text.to_vec(), separator + 1))
    }

    /// The label as kept, with what is odd about it.
    fn name(&mut self, name: Cow<'_, str>, line: usize, column: usize, problems: &mut Problems) -> Cow<'static, str> {
        let known = Label::find(&name).filter(|known| known.name == name);
        let repeated = match known {
            Some(known) if known.repeats => false,
            Some(known) => {
                let repeated = self.seen.contains(&known.name);
                self.seen.push(known.name);
                repeated
            }
            None => !self.seen_unknown.insert(name.clone().into_owned()),
        };
        if known.is_none() {
            let private = name.starts_with('_');
            if !is_label(&name) || name.starts_with('.') {
                let what = format!("label `{}` is of a form not known from the standard", shown(&name));
                problems.warn(Code::OddLabel, line, Some(column), what, "it was kept as it stands");
            } else if !private && Label::find(&name).is_none() {
                let what = format!("label {name} is not known here");
                problems.warn(Code::UnknownLabel, line, Some(column), what, "it was kept as it stands");
            }
        }
        if repeated {
            let what = format!("{} stands a second time", shown(&name));
            problems.warn(Code::RepeatedLabel, line, Some(column), what, "the last one counts; delete the others");
        }
        known.map_or_else(|| Cow::Owned(name.into_owned()), |known| Cow::Borrowed(known.name))
    }
}

/// The line without FS, GS and RS that stand between records, and at the end of a file without its end mark; with
/// how many bytes were left out in front.
fn without_marks(text: &[u8], last: bool) -> (&[u8], usize) {
    let between = |byte: &u8| matches!(byte, 0x1C..=0x1E);
    let skipped = text.iter().take_while(|byte| between(byte)).count();
    let mut text = text.get(skipped..).unwrap_or_default();
    while last && let [rest @ .., 0x1A | 0x1C..=0x1E] = text {
        text = rest;
    }
    (text, skipped)
}

/// Control characters refuse a record; what else a value should not hold is warned about, once each.
fn check_characters(record: &Record, skipped: usize, problems: &mut Problems) -> bool {
    // One pass that ordinary records, above all the long lists, leave at once.
    let value = record.raw_value();
    let odd = |byte: &u8| !matches!(byte, b'+' | b'-'..=b'<' | b'A'..=b'Z' | b'a'..=b'z');
    if !value.iter().any(odd) {
        return true;
    }
    let line = record.line();
    let base = skipped + record.raw().len() - value.len() + 1;
    let mut spaces = false;
    let mut high = None;
    let mut reserved = None;
    for field in record.fields() {
        spaces |= field.spaced;
        for (i, byte) in field.bytes.iter().enumerate() {
            match byte {
                0x00..=0x1F | 0x7F => {
                    let what =
                        format!("a control character ({byte:02X} hex) in the value of {}", shown(record.label()));
                    let mend = "delete the character, or send the file again";
                    problems.error(Code::ReservedCharacter, line, Some(skipped + field.column + i), what, mend);
                    return false;
                }
                0x80..=0xFF => high = high.or(Some((skipped + field.column + i, *byte))),
                _ => {}
            }
        }
        let text = record.known().is_none_or(|known| matches!(known.kind, Kind::Text | Kind::Code));
        if text && high.is_none() && reserved.is_none() {
            reserved = reserved_in(record.known(), field).map(|byte| (skipped + field.column, byte));
        }
    }
    let already = value.first().is_some_and(|byte| is_space(*byte)) || value.last().is_some_and(|byte| is_space(*byte));
    if spaces && !already {
        let what = "spaces round a field separator".to_owned();
        problems.warn(Code::SpaceAroundSeparator, line, Some(base), what, "they were left out; no harm done");
    }
    if let Some((column, byte)) = high {
        let what = format!("{} holds a byte that is no ASCII ({byte:02X} hex); kept as it is", shown(record.label()));
        problems.warn(Code::NonAsciiByte, line, Some(column), what, "write the text in plain letters at the device");
    }
    if let Some((column, byte)) = reserved {
        let what = format!("{} holds the reserved character `{}`", shown(record.label()), char::from(byte));
        problems.warn(Code::ReservedCharacterInValue, line, Some(column), what, "leave the character out");
    }
    true
}

/// Field count, number form and expected range of a known label.
fn check_values(record: &Record, skipped: usize, problems: &mut Problems) {
    let Some(known) = record.known() else { return };
    let most = match known.shape {
        Shape::Scalar => 1,
        Shape::Pair => 2,
        Shape::List => return,
    };
    for (i, field) in record.fields().enumerate() {
        let column = Some(skipped + field.column);
        if i == most {
            let what = format!("{} has more than {most} field(s); the rest is left out", record.label());
            problems.warn(Code::ExtraField, record.line(), column, what, "leave the further fields out");
            return;
        }
        let (code, read) = match known.kind {
            Kind::Number => (Code::BadNumber, field.number()),
            Kind::Integer => (
                Code::BadInteger,
                field.integer().map(|sent| match sent {
                    Sent::Value(value) => Sent::Value(value as f64),
                    _ => Sent::Unknown,
                }),
            ),
            Kind::Text | Kind::Code => continue,
        };
        match read {
            Err(NotANumber) => {
                let form = if known.kind == Kind::Integer { "a whole number" } else { "a number" };
                let what = format!("{} is {form}, not `{}`", record.label(), shown(&field.text()));
                let mend = "write digits with a decimal point, no comma, no exponent; `?` for unknown";
                problems.error(code, record.line(), column, what, mend);
            }
            Ok(Sent::Value(value)) => {
                if let Some((low, high)) = known.range
                    && !(low..=high).contains(&value)
                {
                    let what = format!("{} = {value} lies outside {low} to {high} {}", record.label(), known.unit);
                    problems.warn(Code::OutOfRange, record.line(), column, what, "measure again if it looks wrong");
                }
            }
            Ok(_) => {}
        }
    }
}

/// Whether this record opens a trace set whose data is bytes.
fn opens_binary(record: &Record) -> bool {
    matches!(record.label(), "TRCFMT" | "ZFMT")
        && record
            .field(0)
            .is_some_and(|field| matches!(field.integer(), Ok(Sent::Value(format)) if !(0..=1).contains(&format)))
}

/// Inside binary data: `Some(Some(label))` for a data record, `Some(None)` for bytes that only look like a line,
/// `None` for an ordinary record, where the text goes on.
fn binary_data_label(text: &[u8]) -> Option<Option<&'static str>> {
    let Some(separator) = text.iter().position(|byte| *byte == b'=') else { return Some(None) };
    let label = match text.split_at(separator).0 {
        b"R" => "R",
        b"A" => "A",
        b"Z" => "Z",
        b"ZA" => "ZA",
        label => {
            let plain = text.len() <= LONGEST_READ && text.iter().all(|byte| (0x20..=0x7E).contains(byte));
            let name = core::str::from_utf8(label).is_ok_and(|name| is_label(name.trim()));
            return if plain && name { None } else { Some(None) };
        }
    };
    Some(Some(label))
}
