//! What a TOML parser's complaint means to the person who wrote the line.

use core::ops::Range;

use crate::fault::shown;

/// What happened and how to mend it, from the parser's message, its place and the text there.
pub(super) fn told(message: &str, span: &Range<usize>, text: &str) -> (String, &'static str) {
    let behind = text.get(span.start..).unwrap_or("");
    let rest = behind.split(['\n', '\r']).next().unwrap_or("").trim();
    let marked = text.get(span.clone()).unwrap_or("").trim();
    let begins = |starts: &[&str]| starts.iter().any(|s| message.starts_with(s));
    if begins(&["string values must be quoted"]) {
        unquoted(marked)
    } else if begins(&["unexpected key or value"]) {
        let hint = if rest.strip_prefix(',').is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit())) {
            "write decimals with a point, not a comma"
        } else {
            "write one key and its value a line, and close what is open"
        };
        (format!("`{}` stands behind a finished value", shown(rest)), hint)
    } else if begins(&["unexpected leading zero"]) {
        ("a number begins with 0".to_owned(), "write 8, not 008; where a text is asked for, put it in double quotes")
    } else if begins(&["duplicate key"]) {
        (format!("`{}` is given twice", shown(marked)), "keep one of the two")
    } else if begins(&["key with no value", "missing value for key", "missing assignment"]) {
        ("a key without a value".to_owned(), "write key = value")
    } else if begins(&["missing comma"]) {
        ("a comma is missing".to_owned(), "set a comma between two entries")
    } else if begins(&["unclosed", "invalid basic string", "invalid literal string", "invalid multi-line"]) {
        (format!("something is not closed: {message}"), "close the quote or bracket on this line")
    } else if begins(&["invalid date", "invalid time"]) {
        (format!("this is no date: {message}"), "write year-month-day without quotes: 2026-03-02")
    } else if begins(&["invalid float", "invalid integer", "invalid mantissa", "invalid fraction", "invalid exponent"])
    {
        (format!("this is no number: {message}"), "write digits, a point, digits: 0.5; powers stand in double quotes")
    } else if begins(&["carriage return"]) {
        ("a carriage return that ends no line".to_owned(), "save the file with common line ends")
    } else {
        (message.to_owned(), "write it as TOML: key = value, texts in double quotes")
    }
}

/// Whether the parser looks at nothing behind this complaint.
pub(super) fn stops(message: &str) -> bool {
    message.starts_with("key with no value")
}

fn unquoted(found: &str) -> (String, &'static str) {
    let quoted = |hint| (format!("`{}` stands without quotes", shown(found)), hint);
    match found.chars().next() {
        None => ("nothing stands behind `=`".to_owned(), "write a value, or take the key out"),
        Some('“' | '”' | '„' | '‘' | '’' | '«') => {
            (format!("`{}` stands in printer's quotes", shown(found)), "use straight double quotes: \"…\"")
        }
        Some(c) if c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '\u{2212}') => {
            quoted("a number stands alone, its unit is in the key; powers and other texts stand in double quotes")
        }
        Some(_) => quoted("put it in double quotes"),
    }
}
