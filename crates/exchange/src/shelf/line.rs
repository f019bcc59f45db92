//! A line of a CSV file as cells, each with its place.
//!
//! A row is one line here. A CSV library reads a row on over line ends while a quote is open, and so one lost quote
//! swallows the rest of a file without a word; it also tells no columns. What is read is held against one in a test.

use core::ops::Range;

/// A cell: its text without quotes and outer blanks, and where it starts in the file.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Cell<'t> {
    /// As it stands between its quotes, where it has some: `""` is still two quotes.
    pub(super) text: &'t str,
    /// In bytes from the start of the file's text.
    pub(super) at: usize,
    /// Whether it stood in quotes.
    pub(super) quoted: bool,
}

impl Cell<'_> {
    pub(super) fn span(&self) -> Range<usize> {
        self.at..self.at + self.text.len()
    }

    /// The text that is meant: two quotes in a quoted cell are one.
    pub(super) fn meant(&self) -> String {
        if self.quoted { self.text.replace("\"\"", "\"") } else { self.text.to_owned() }
    }
}

/// What is wrong with a line's quotes, and where.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum BadQuote {
    /// Opened here and not closed on the line.
    Open(usize),
    /// Closed, and something other than a comma follows here.
    Behind(usize),
}

/// Splits a line at its commas and hands out each cell with its number; gives the number of cells.
pub(super) fn split<'t>(line: &'t str, at: usize, mut take: impl FnMut(usize, Cell<'t>)) -> Result<usize, BadQuote> {
    let bytes = line.as_bytes();
    let (mut start, mut count) = (0, 0);
    loop {
        let end = if bytes.get(start) == Some(&b'"') {
            let close = closing(bytes, start).ok_or(BadQuote::Open(at + start))?;
            let end = close + 1;
            if end < bytes.len() && bytes[end] != b',' {
                return Err(BadQuote::Behind(at + end));
            }
            take(count, trimmed(&line[start + 1..close], at + start + 1, true));
            end
        } else {
            let end = bytes[start..].iter().position(|&b| b == b',').map_or(bytes.len(), |comma| start + comma);
            take(count, trimmed(&line[start..end], at + start, false));
            end
        };
        count += 1;
        if end >= bytes.len() {
            return Ok(count);
        }
        start = end + 1;
    }
}

/// The quote that closes the one at `open`; two together are part of the text.
fn closing(bytes: &[u8], open: usize) -> Option<usize> {
    let mut i = open + 1;
    while i < bytes.len() {
        if bytes[i] == b'"' {
            if bytes.get(i + 1) != Some(&b'"') {
                return Some(i);
            }
            i += 1;
        }
        i += 1;
    }
    None
}

/// A cell without its outer blanks.
#[inline]
fn trimmed(text: &str, at: usize, quoted: bool) -> Cell<'_> {
    let blank = |byte: Option<&u8>| byte.is_some_and(|b| !b.is_ascii_graphic());
    // Most cells are empty or begin and end with a letter: they are not looked at twice.
    if !blank(text.as_bytes().first()) && !blank(text.as_bytes().last()) {
        return Cell { text, at, quoted };
    }
    let from = text.trim_start();
    Cell { text: from.trim_end(), at: at + text.len() - from.len(), quoted }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(line: &str) -> Result<Vec<(String, usize)>, BadQuote> {
        let mut cells = Vec::new();
        split(line, 100, |_, cell| cells.push((cell.meant(), cell.at))).map(|count| {
            assert_eq!(count, cells.len());
            cells
        })
    }

    #[test]
    fn cells_know_their_place() {
        let want = |list: &[(&str, usize)]| Ok(list.iter().map(|(t, at)| ((*t).to_owned(), *at)).collect());
        assert_eq!(cells(""), want(&[("", 100)]));
        assert_eq!(cells("a, b ,,"), want(&[("a", 100), ("b", 103), ("", 106), ("", 107)]));
        assert_eq!(cells("\"a,\"\"b\"\"\",c"), want(&[("a,\"b\"", 101), ("c", 110)]));
        assert_eq!(cells("a\"b,c"), want(&[("a\"b", 100), ("c", 104)]));
    }

    #[test]
    fn quotes_that_do_not_fit_are_told() {
        assert_eq!(cells("a,\"b,c"), Err(BadQuote::Open(102)));
        assert_eq!(cells("\"a\" b,c"), Err(BadQuote::Behind(103)));
        assert_eq!(cells("\"a\"\""), Err(BadQuote::Open(100)));
    }

    proptest::proptest! {
        /// The csv crate is the reference for every line whose quotes fit.
        #[test]
        fn reads_lines_as_a_csv_library_does(line in "[ab,\" é]{0,24}") {
            if let Ok(ours) = cells(&line) {
                let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(line.as_bytes());
                let theirs = reader.records().next();
                let theirs: Vec<String> = match theirs {
                    Some(record) => record.unwrap().iter().map(|c| c.trim().to_owned()).collect(),
                    None => vec![String::new()],
                };
                let ours: Vec<String> = ours.into_iter().map(|(text, _)| text.trim().to_owned()).collect();
                proptest::prop_assert_eq!(ours, theirs);
            }
        }
    }
}
