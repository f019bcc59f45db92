//! The strict writer: CR LF, labels in upper case, at most 78 characters and CR LF a record, ASCII, no checksum.

use super::label::{Kind, Label, Shape};
use super::problem::{Code, Problem};
use super::record::{Field, Record};

/// Characters in a record before CR LF. Whether the standard's 80 bytes count CR LF is not settled; 78 holds either way.
pub const LONGEST_WRITTEN: usize = 78;

/// Labels whose fields are one list, so that a long record may go on in a further one.
const WRAPPED: [&str; 5] = ["R", "A", "Z", "ZA", "D"];

/// The records as bytes of a file, ready to be written under a temporary name and renamed.
///
/// Fields are written as they were read or given. Lists of radii, heights and angles are wrapped with their label
/// repeated. Nothing is mended silently.
///
/// # Errors
/// Every record that may not be written, with its number: `bad-label`, `reserved-character` (which includes letters
/// outside ASCII), `bad-number`, `bad-integer`, `long-record`.
pub fn write(records: &[Record]) -> Result<Vec<u8>, Vec<Problem>> {
    let mut out = Vec::with_capacity(records.len() * (LONGEST_WRITTEN + 2));
    let mut problems = Vec::new();
    for (i, record) in records.iter().enumerate() {
        if let Err(problem) = append(&mut out, record, i + 1) {
            problems.push(problem);
        }
    }
    if problems.is_empty() { Ok(out) } else { Err(problems) }
}

fn append(out: &mut Vec<u8>, record: &Record, number: usize) -> Result<(), Problem> {
    let label = record.label();
    check_label(label, number)?;
    let wraps = WRAPPED.contains(&label);
    let mut used = start(out, label);
    for (i, field) in record.fields().enumerate() {
        check_field(label, record.known(), field, number)?;
        check_number(record.known(), label, field, number)?;
        let length = field.bytes.len() + if field.quoted { 2 } else { 0 };
        if i > 0 {
            if wraps && used + 1 + length > LONGEST_WRITTEN {
                out.extend_from_slice(b"\r\n");
                used = start(out, label);
            } else {
                out.push(b';');
                used += 1;
            }
        }
        used += length;
        if used > LONGEST_WRITTEN {
            return Err(Problem {
                code: Code::LongRecord,
                line: number,
                column: None,
                what: format!("record {label} has more than {LONGEST_WRITTEN} characters"),
                mend: "shorten its text",
            });
        }
        if field.quoted {
            out.push(b'"');
        }
        out.extend_from_slice(field.bytes);
        if field.quoted {
            out.push(b'"');
        }
    }
    out.extend_from_slice(b"\r\n");
    Ok(())
}

fn start(out: &mut Vec<u8>, label: &str) -> usize {
    out.extend_from_slice(label.as_bytes());
    out.push(b'=');
    label.len() + 1
}

/// 1 to 8 characters A-Z 0-9, or `_` or `.` and the rest: what was read under such a label may be passed on.
pub(super) fn is_label(label: &str) -> bool {
    let rest = label.strip_prefix(['_', '.']).unwrap_or(label);
    !rest.is_empty() && label.len() <= 8 && rest.bytes().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit())
}

pub(super) fn check_label(label: &str, number: usize) -> Result<(), Problem> {
    if is_label(label) {
        return Ok(());
    }
    Err(Problem {
        code: Code::BadLabel,
        line: number,
        column: None,
        what: format!("`{}` is no label: 1 to 8 characters A-Z and 0-9, `_` first for a private one", shown(label)),
        mend: "write it under a label that follows the grammar",
    })
}

pub(super) fn check_field(label: &str, known: Option<&Label>, field: Field<'_>, number: usize) -> Result<(), Problem> {
    let Some(byte) = reserved_in(known, field) else { return Ok(()) };
    Err(Problem {
        code: Code::ReservedCharacter,
        line: number,
        column: None,
        what: format!("{label}: `{}` may not be written: it is reserved, or no ASCII", byte.escape_ascii()),
        mend: "replace the character before writing; records are plain ASCII without ; = , \" * ? in a value",
    })
}

/// The first byte of a field that a value may not hold.
///
/// The code separator `,` is allowed where codes may stand. `_` is reserved as the first character of a label only.
pub(super) fn reserved_in(label: Option<&Label>, field: Field<'_>) -> Option<u8> {
    let codes = label.is_none_or(|label| label.kind == Kind::Code);
    if field.is_unknown() {
        return None;
    }
    field.bytes.iter().copied().find(|byte| match byte {
        b'=' | b';' | b'"' | b'*' | b'?' => true,
        b',' => !codes,
        _ => !(0x20..=0x7E).contains(byte),
    })
}

fn check_number(known: Option<&Label>, label: &str, field: Field<'_>, number: usize) -> Result<(), Problem> {
    let (code, form) = match known {
        Some(Label { kind: Kind::Number, .. }) if field.number().is_err() => (Code::BadNumber, "a number"),
        Some(Label { kind: Kind::Integer, shape, .. }) if field.integer().is_err() => {
            (Code::BadInteger, if *shape == Shape::List { "a list of whole numbers" } else { "a whole number" })
        }
        _ => return Ok(()),
    };
    Err(Problem {
        code,
        line: number,
        column: None,
        what: format!("{label} is {form}, not `{}`", shown(&field.text())),
        mend: "write digits with a decimal point, `?` for unknown, or nothing",
    })
}

/// A found text, short enough for a message.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    let mut out: String = text.chars().take(MOST).flat_map(char::escape_debug).collect();
    if text.chars().nth(MOST).is_some() {
        out.push('…');
    }
    out
}
