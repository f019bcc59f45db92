//! Faults of a file: what cannot be read, where it stands, how to mend it; and how they are shown to a person.

use core::fmt;
use core::ops::Range;

use annotate_snippets::{AnnotationKind, Level, Origin, Padding, Renderer, Snippet};

use crate::source;

/// One thing in a file that cannot be read or typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where, in bytes of the file's text. Bytes that are not UTF-8 count as the replacement character, as in
    /// [`String::from_utf8_lossy`].
    pub span: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What was found, and what was expected.
    pub what: String,
    /// How to mend it.
    pub hint: String,
}

/// Line and column, what happened, and the hint on a line of its own.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}\nhint: {}", self.line, self.column, self.what, self.hint)
    }
}

impl Fault {
    /// A fault whose line and column are still to be found by [`locate`].
    pub(crate) fn at(span: Range<usize>, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { span, line: 0, column: 0, what: what.into(), hint: hint.into() }
    }
}

/// Puts faults in the order of the file and gives each its line and column, in one pass over the text.
pub(crate) fn locate(text: &str, faults: &mut [Fault]) {
    faults.sort_by_key(|fault| fault.span.start);
    let (mut at, mut line, mut line_start) = (source::start(text), 1, source::start(text));
    let (mut counted, mut column) = (line_start, 1);
    for fault in faults {
        let to = boundary(text, fault.span.start);
        while let Some(newline) = text.as_bytes()[at.min(to)..to].iter().position(|&b| b == b'\n') {
            at += newline + 1;
            line += 1;
            line_start = at;
        }
        at = at.max(to);
        if counted < line_start {
            (counted, column) = (line_start, 1);
        }
        column += text[counted.min(to)..to].chars().count();
        counted = counted.max(to);
        (fault.line, fault.column) = (line, column);
    }
}

/// The nearest place at or before `at` where a character starts.
fn boundary(text: &str, at: usize) -> usize {
    text.floor_char_boundary(at.min(text.len()))
}

/// A text as it may stand in a message: at most 40 characters of it.
pub(crate) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    match text.char_indices().nth(MOST) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", &text[..end]),
    }
}

/// At most this many faults are shown one by one; the rest is counted.
pub const MOST_SHOWN: usize = 50;

/// The faults of a file as a person reads them: each with its place, the line it stands on and a hint; without colour.
///
/// `bytes` is the file as it was read; the first [`MOST_SHOWN`] faults are shown, the rest is counted.
#[must_use]
pub fn report(file_name: &str, bytes: &[u8], faults: &[Fault]) -> String {
    render(&Renderer::plain(), file_name, bytes, faults)
}

/// The same, with the colours of a terminal.
#[must_use]
pub fn report_in_colour(file_name: &str, bytes: &[u8], faults: &[Fault]) -> String {
    render(&Renderer::styled(), file_name, bytes, faults)
}

fn render(renderer: &Renderer, file_name: &str, bytes: &[u8], faults: &[Fault]) -> String {
    let text = source::text(bytes);
    let mut out = String::new();
    for fault in faults.iter().take(MOST_SHOWN) {
        let (window, mark, whole) = window(&text, &fault.span);
        let snippet = Snippet::source(window).line_start(fault.line).annotation(AnnotationKind::Primary.span(mark));
        let title = Level::ERROR.with_name("fault").primary_title(fault.what.as_str());
        let group = if whole {
            title.element(snippet.path(file_name))
        } else {
            // A cut line would be counted from the cut: its place is given.
            title
                .element(Origin::path(file_name).line(fault.line).char_column(fault.column))
                .element(Padding)
                .element(snippet)
        };
        let group = group.element(Level::HELP.with_name("hint").message(fault.hint.as_str()));
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    let left = faults.len().saturating_sub(MOST_SHOWN);
    if left > 0 {
        out.push_str(&format!("and {left} more faults\n"));
    }
    out
}

/// The line of a fault, cut to what fits on a screen where it is longer, the place to mark in it, and whether it is whole.
fn window<'t>(text: &'t str, span: &Range<usize>) -> (&'t str, Range<usize>, bool) {
    const LONGEST: usize = 200;
    const BEFORE: usize = 60;
    const AFTER: usize = 100;
    let start = boundary(text, span.start);
    let line_start = text[..start].rfind('\n').map_or(source::start(text).min(start), |newline| newline + 1);
    let line_end = text[start..].find(['\n', '\r']).map_or(text.len(), |newline| start + newline);
    let whole = line_end - line_start <= LONGEST;
    let (from, to) = if whole {
        (line_start, line_end)
    } else {
        let from = line_start.max(boundary(text, start.saturating_sub(BEFORE)));
        (from, line_end.min(boundary(text, start + AFTER)).max(start))
    };
    let end = boundary(text, span.end).clamp(start, to);
    (&text[from..to], start - from..end - from, whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_characters_from_one() {
        let text = "\u{feff}ab\nµ = 1, x\r\n\nend";
        let mut faults: Vec<Fault> =
            [text.len(), 3, 12, 6, 4].into_iter().map(|at| Fault::at(at..at, "", "")).collect();
        locate(text, &mut faults);
        let places: Vec<_> = faults.iter().map(|f| (f.line, f.column)).collect();
        assert_eq!(places, [(1, 1), (1, 2), (2, 1), (2, 6), (4, 4)]);
    }

    #[test]
    fn a_long_line_is_cut_round_the_fault() {
        let text = format!("{}é!{}\nnext", "a".repeat(5_000_000), "b".repeat(5_000_000));
        let mut faults = [Fault::at(5_000_002..5_000_003, "found `!`", "take it out")];
        locate(&text, &mut faults);
        assert_eq!((faults[0].line, faults[0].column), (1, 5_000_002));
        let report = report("long.txt", text.as_bytes(), &faults);
        assert!(report.len() < 1000, "{}", report.len());
        assert!(report.contains("long.txt:1:5000002") && report.contains("aé!b"), "{report}");
    }

    #[test]
    fn the_rest_is_counted() {
        let faults = vec![Fault::at(0..1, "no", "yes"); 53];
        assert!(report("f", b"x", &faults).ends_with("and 3 more faults\n"));
    }
}
