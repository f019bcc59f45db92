//! The shelf: one CSV row a kind of blank, columns by the names of the header.
//!
//! A shelf has thousands of rows and most cells are empty, so a cell is read where it lies: no text is made of it unless
//! it is kept or faulty.

mod column;
mod line;
mod row;

use std::sync::Arc;

use job::Blank;
use job::rules::Rules;

use crate::fault::{Fault, locate, shown};
use crate::nearest::suggestion;
use crate::source;
pub use column::COLUMNS;
use line::{BadQuote, Cell};
use row::Row;

/// A first line of more cells than this is no header.
const MOST_COLUMNS: usize = 200;

/// Reads a shelf.
///
/// A row without a quantity counts as one piece, and a row without a `type` is single vision. A row whose cells are all
/// empty is passed over; a sku may stand in several rows, such as one for each lot.
///
/// # Errors
/// Every fault of every row.
pub fn read_shelf(bytes: &[u8], rules: &Rules) -> Result<Vec<Arc<Blank>>, Vec<Fault>> {
    let text = source::text(bytes);
    let mut faults = Vec::new();
    let mut blanks = Vec::new();
    if let Some(fault) = source::utf16_fault(bytes) {
        faults.push(fault);
    } else {
        faults.extend(source::encoding_fault(bytes));
        read(&text, rules, &mut blanks, &mut faults);
    }
    if faults.is_empty() {
        return Ok(blanks);
    }
    locate(&text, &mut faults);
    Err(faults)
}

fn read(text: &str, rules: &Rules, blanks: &mut Vec<Arc<Blank>>, faults: &mut Vec<Fault>) {
    let start = source::start(text);
    let mut lines = lines(text, start).filter(|(_, line)| !line.trim().is_empty());
    let Some((at, first)) = lines.next() else {
        let hint = format!("begin with a line of column names: {}", COLUMNS[..8].join(","));
        faults.push(Fault::at(start..start, "the shelf is empty; expected a header line", hint));
        return;
    };
    let Some(header) = Header::read(first, at, faults) else { return };
    for (at, line) in lines {
        let Some(cells) = header.cells(line, at, faults) else { continue };
        if let Some(blank) = (Row { cells: &cells, rules, faults }).blank() {
            blanks.push(Arc::new(blank));
        }
    }
}

/// The lines of a text with their places, without their ends.
fn lines(text: &str, start: usize) -> impl Iterator<Item = (usize, &str)> {
    let mut at = start;
    text[start..].split('\n').map(move |line| {
        let place = at;
        at += line.len() + 1;
        (place, line.strip_suffix('\r').unwrap_or(line))
    })
}

/// Which column each cell of a row belongs to; a stranger's belongs to none.
struct Header(Vec<Option<usize>>);

impl Header {
    /// Reads the header line; `None` where rows cannot be read by it.
    fn read(line: &str, at: usize, faults: &mut Vec<Fault>) -> Option<Self> {
        let many = line.bytes().filter(|&b| b == b',').count() + 1;
        if many > MOST_COLUMNS {
            let what =
                format!("the first line has {many} cells; expected a header of at most {} columns", COLUMNS.len());
            faults.push(Fault::at(at..at + 1, what, "is it another file?"));
            return None;
        }
        let mut names = Vec::new();
        if let Err(quote) = line::split(line, at, |_, cell| names.push(cell)) {
            faults.push(quote_fault(&quote, at + line.len()));
            return None;
        }
        if let Some(fault) = wrong_separator(line, at, &names) {
            faults.push(fault);
            return None;
        }
        let mut columns: Vec<Option<usize>> = Vec::new();
        let mut sound = true;
        for name in names {
            let known = COLUMNS.iter().position(|known| *known == name.text);
            let twice = known.is_some() && columns.contains(&known);
            if twice {
                sound = false;
                faults.push(Fault::at(
                    name.span(),
                    format!("the column `{}` stands twice", name.text),
                    "keep one of them",
                ));
            } else if known.is_none() {
                let what = format!("`{}` is not a column of a shelf", shown(name.text));
                faults.push(Fault::at(name.span(), what, suggestion(name.text, COLUMNS)));
            }
            columns.push(known);
        }
        for required in column::REQUIRED {
            if !columns.contains(&Some(required)) {
                sound = false;
                let what = format!("the column `{}` is missing", COLUMNS[required]);
                let end = at + line.len();
                faults.push(Fault::at(end..end, what, "add it to the header line, and its cells to each row"));
            }
        }
        sound.then_some(Self(columns))
    }

    /// The cells of a row in the order of [`COLUMNS`]; `None` where the row is empty or does not fit the header.
    fn cells<'t>(&self, line: &'t str, at: usize, faults: &mut Vec<Fault>) -> Option<[Cell<'t>; COLUMNS.len()]> {
        let mut cells = [Cell { text: "", at, quoted: false }; COLUMNS.len()];
        let mut empty = true;
        let mut behind = at + line.len();
        let split = line::split(line, at, |i, cell| {
            empty &= cell.text.is_empty();
            match self.0.get(i) {
                Some(Some(column)) => cells[*column] = cell,
                Some(None) => {}
                None => behind = behind.min(cell.at),
            }
        });
        match split {
            Err(quote) => faults.push(quote_fault(&quote, at + line.len())),
            Ok(_) if empty => {}
            Ok(count) if count == self.0.len() => return Some(cells),
            Ok(count) => faults.push(Fault::at(
                behind..at + line.len(),
                format!("the row has {count} cells; the header names {}", self.0.len()),
                if count > self.0.len() {
                    "write decimals with a point, and put a text with a comma in double quotes"
                } else {
                    "an empty cell keeps its comma"
                },
            )),
        }
        None
    }
}

fn quote_fault(quote: &BadQuote, end: usize) -> Fault {
    match *quote {
        BadQuote::Open(at) => Fault::at(
            at..end,
            "a quote is opened and not closed on its line",
            "close it, or take it out: a row is one line",
        ),
        BadQuote::Behind(at) => Fault::at(
            at..at + 1,
            "something stands behind a closing quote",
            "put a comma there, or write a quote inside a text twice",
        ),
    }
}

/// A header in one piece that another separator would split, or whose lines end in carriage returns.
fn wrong_separator(line: &str, at: usize, names: &[Cell<'_>]) -> Option<Fault> {
    if line.contains('\r') {
        let what = "the lines end in carriage returns; expected line feeds";
        return Some(Fault::at(at..at + 1, what, "save the file with common line ends"));
    }
    let [only] = names else { return None };
    let (separator, name) = [(';', "semicolons"), ('\t', "tabs")].into_iter().find(|(c, _)| only.text.contains(*c))?;
    let place = at + line.find(separator)?;
    let what = format!("the columns are separated by {name}; expected commas");
    Some(Fault::at(place..place + 1, what, "save the file as comma-separated values"))
}
