//! One record as it stood, its fields, and the numbers in them.

use core::fmt;
use std::borrow::Cow;

use super::label::Label;
use super::problem::Problem;
use super::write::{check_field, check_label};

/// What was sent for one field. Empty, unknown and zero are three different things.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Sent<T> {
    /// A value.
    Value(T),
    /// `?`: the sender has no value.
    Unknown,
    /// The field is there, with nothing in it.
    Empty,
    /// The record, or this field of it, is not there.
    #[default]
    NotSent,
}

impl<T> Sent<T> {
    /// The value, where there is one.
    #[must_use]
    pub fn value(self) -> Option<T> {
        match self {
            Self::Value(value) => Some(value),
            _ => None,
        }
    }
}

/// One record: a label and its fields, with the raw text beside them.
///
/// A record read from a file knows its line; one made by [`Record::new`] has line 0.
#[derive(Clone, PartialEq)]
pub struct Record {
    line: usize,
    label: Cow<'static, str>,
    known: Option<&'static Label>,
    raw: Vec<u8>,
    value_at: usize,
}

impl Record {
    /// A record to be written. The label is put into upper case and the fields lose spaces at their ends, as a reader
    /// would take them. A field in double quotes is text in quotes.
    ///
    /// # Errors
    /// `bad-label` and `reserved-character`; a number is not looked at before
    /// [`write`](super::write()).
    pub fn new<F: AsRef<str>>(label: &str, fields: impl IntoIterator<Item = F>) -> Result<Self, Problem> {
        let label = label.trim().to_ascii_uppercase();
        let known = Label::find(&label);
        check_label(&label, 0)?;
        let mut raw = format!("{label}=").into_bytes();
        let value_at = raw.len();
        for (i, field) in fields.into_iter().enumerate() {
            if i > 0 {
                raw.push(b';');
            }
            let field = Field::trimmed(field.as_ref().as_bytes(), 0);
            check_field(&label, known, field, 0)?;
            if field.quoted {
                raw.push(b'"');
            }
            raw.extend_from_slice(field.bytes);
            if field.quoted {
                raw.push(b'"');
            }
        }
        Ok(Self { line: 0, label: Cow::Owned(label), known, raw, value_at })
    }

    pub(super) fn from_raw(line: usize, label: Cow<'static, str>, raw: Vec<u8>, value_at: usize) -> Self {
        let known = Label::find(&label);
        Self { line, label, known, raw, value_at }
    }

    /// Line of the file, from 1; 0 for a record that was not read.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// Label in upper case.
    #[must_use]
    pub fn label(&self) -> &str {
        &self.label
    }

    /// The whole record as it stood, without its line end.
    #[must_use]
    pub fn raw(&self) -> &[u8] {
        &self.raw
    }

    /// Everything after the first `=`, as it stood.
    #[must_use]
    pub fn raw_value(&self) -> &[u8] {
        self.raw.get(self.value_at..).unwrap_or_default()
    }

    /// The row of the label table, where the label is known.
    #[must_use]
    pub fn known(&self) -> Option<&'static Label> {
        self.known
    }

    /// Whether the label is private to two parties: it starts with `_`.
    #[must_use]
    pub fn is_local(&self) -> bool {
        self.label.starts_with('_')
    }

    /// Whether any field stands in double quotes.
    #[must_use]
    pub fn is_quoted(&self) -> bool {
        self.fields().any(|field| field.quoted)
    }

    /// The fields in order; at least one, perhaps empty.
    pub fn fields(&self) -> impl Iterator<Item = Field<'_>> {
        let mut at = self.value_at;
        self.raw_value().split(|byte| *byte == b';').map(move |part| {
            let start = at;
            at += part.len() + 1;
            Field::trimmed(part, start)
        })
    }

    /// The field at this place, counted from 0.
    #[must_use]
    pub fn field(&self, at: usize) -> Option<Field<'_>> {
        self.fields().nth(at)
    }
}

impl fmt::Debug for Record {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.line, self.raw.escape_ascii())
    }
}

/// One field, trimmed, without its quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field<'a> {
    /// The bytes, as they stood; ASCII unless the reader warned.
    pub bytes: &'a [u8],
    /// Whether it stood in double quotes.
    pub quoted: bool,
    /// First byte of it in the record, from 1.
    pub column: usize,
    /// Whether spaces stood round it.
    pub(super) spaced: bool,
}

impl<'a> Field<'a> {
    fn trimmed(part: &'a [u8], offset: usize) -> Self {
        // A plain number, as nearly all fields are, has nothing to trim.
        if let (Some(b'+' | b'-' | b'.' | b'0'..=b'9'), Some(b'0'..=b'9')) = (part.first(), part.last()) {
            return Self { bytes: part, quoted: false, column: offset + 1, spaced: false };
        }
        let inner = trim(part);
        let lead = part.iter().position(|byte| !is_space(*byte)).unwrap_or(0);
        let column = offset + lead + 1;
        let spaced = inner.len() != part.len();
        match inner {
            [b'"', text @ .., b'"'] => Self { bytes: text, quoted: true, column: column + 1, spaced },
            _ => Self { bytes: inner, quoted: false, column, spaced },
        }
    }

    /// The field as text; bytes that are no UTF-8 show as U+FFFD, and [`Field::bytes`] has them.
    #[must_use]
    pub fn text(&self) -> Cow<'a, str> {
        String::from_utf8_lossy(self.bytes)
    }

    /// `?` and nothing else.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        !self.quoted && self.bytes == b"?"
    }

    /// The field read as a number; `Err` where it is none.
    ///
    /// # Errors
    /// [`NotANumber`] for anything but sign, digits and one decimal point.
    pub fn number(&self) -> Result<Sent<f64>, NotANumber> {
        self.read_as(number)
    }

    /// The field read as a whole number.
    ///
    /// # Errors
    /// [`NotANumber`] for anything but sign and digits, or beyond 18 digits.
    pub fn integer(&self) -> Result<Sent<i64>, NotANumber> {
        self.read_as(integer)
    }

    fn read_as<T>(&self, parse: impl Fn(&[u8]) -> Option<T>) -> Result<Sent<T>, NotANumber> {
        match self.bytes {
            b"" => Ok(Sent::Empty),
            b"?" if !self.quoted => Ok(Sent::Unknown),
            bytes => parse(bytes).map(Sent::Value).ok_or(NotANumber),
        }
    }

    /// The field read as text or code.
    #[must_use]
    pub fn sent_text(&self) -> Sent<String> {
        match self.bytes {
            b"" => Sent::Empty,
            b"?" if !self.quoted => Sent::Unknown,
            _ => Sent::Value(self.text().into_owned()),
        }
    }
}

/// A field is not the number that its label asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotANumber;

impl fmt::Display for NotANumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a number: sign, digits and one decimal point are allowed")
    }
}
impl std::error::Error for NotANumber {}

pub(super) fn is_space(byte: u8) -> bool {
    byte == b' ' || byte == b'\t'
}

pub(super) fn trim(bytes: &[u8]) -> &[u8] {
    let Some(start) = bytes.iter().position(|byte| !is_space(*byte)) else { return &[] };
    let end = bytes.iter().rposition(|byte| !is_space(*byte)).map_or(start, |last| last + 1);
    bytes.get(start..end).unwrap_or_default()
}

/// Optional sign, digits, optional point and digits, at least one digit. `f64`'s own parser would take exponents,
/// `inf` and `NaN`, which the record grammar does not have.
fn number(bytes: &[u8]) -> Option<f64> {
    let digits = match bytes {
        [b'+' | b'-', rest @ ..] => rest,
        _ => bytes,
    };
    let points = digits.iter().filter(|byte| **byte == b'.').count();
    let plain = digits.iter().all(|byte| byte.is_ascii_digit() || *byte == b'.');
    if !plain || points > 1 || digits.len() == points {
        return None;
    }
    let value: f64 = core::str::from_utf8(bytes).ok()?.parse().ok()?;
    value.is_finite().then_some(value)
}

/// Optional sign and 1 to 18 digits.
fn integer(bytes: &[u8]) -> Option<i64> {
    let (negative, digits) = match bytes {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, bytes),
    };
    if digits.is_empty() || digits.len() > 18 {
        return None;
    }
    let mut value: i64 = 0;
    for digit in digits {
        if !digit.is_ascii_digit() {
            return None;
        }
        value = value * 10 + i64::from(digit - b'0');
    }
    Some(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_follow_the_record_grammar_not_the_languages() {
        for (written, value) in [("-1.25", -1.25), ("+2.", 2.0), (".5", 0.5), ("0", 0.0), ("-0", 0.0), ("007", 7.0)] {
            assert_eq!(number(written.as_bytes()), Some(value), "{written}");
        }
        for written in ["", "+", "-", ".", "-.", "1e1", "1,5", "NaN", "inf", "--1", "1.2.3", "1 2", "0x1", "1_0", "½"]
        {
            assert_eq!(number(written.as_bytes()), None, "{written}");
        }
        assert_eq!(number("9".repeat(400).as_bytes()), None, "infinite");
    }

    #[test]
    fn whole_numbers_have_no_point() {
        for (written, value) in [("2501", 2501), ("-35", -35), ("+7", 7), ("0", 0), ("000000000000000012", 12)] {
            assert_eq!(integer(written.as_bytes()), Some(value), "{written}");
        }
        for written in ["", "-", "25.00", "many", "1e3", "1234567890123456789"] {
            assert_eq!(integer(written.as_bytes()), None, "{written}");
        }
    }

    #[test]
    fn a_new_record_is_trimmed_and_keeps_its_quotes() {
        let record = Record::new("rem", [" a b ", "", "\" c\""]).unwrap();
        assert_eq!(record.label(), "REM");
        assert_eq!(record.raw(), b"REM=a b;;\" c\"");
        let fields: Vec<_> = record.fields().map(|field| (field.text().into_owned(), field.quoted)).collect();
        assert_eq!(fields, [("a b".into(), false), (String::new(), false), (" c".into(), true)]);
    }
}
