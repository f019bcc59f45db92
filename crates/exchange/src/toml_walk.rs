//! Our walk through a TOML document: every wrong key and value in one run, each with its place and its mend.
//!
//! A [`Table`] hands out values by key and remembers which keys were asked for; what nobody asked for is unknown. Numbers
//! keep their text until they are read, and a value that will not do leaves a fault and `None`, never a guess. Read every
//! key of a table before the first `?`: a fault must not hide the next one.

mod syntax;
mod value;

use core::cell::{Cell, RefCell};
use core::ops::Range;
use std::borrow::Cow;
use std::rc::Rc;

use jiff::civil::Date;
use job::{Eye, PerEye};
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::{Mm, WrittenPower};

use crate::fault::{Fault, locate, shown};
use crate::limits::Limits;
use crate::nearest::{nearest, suggestion};
use crate::source;
pub(crate) use value::Value;

/// More than an order or a shop's rules ever have: a parser's complaints about 10 MB of noise would fill the memory.
const MOST_BYTES: usize = 1 << 20;

/// After so many complaints the rest of a file is not looked at again.
const MOST_STOPS: usize = 50;

/// Parses a document and walks it; the result only where nothing was wrong.
pub(crate) fn read<T>(bytes: &[u8], walk: impl FnOnce(&Table<'_, '_>) -> Option<T>) -> Result<T, Vec<Fault>> {
    let text = source::text(bytes);
    let met = Met::default();
    let whole_file = source::utf16_fault(bytes).or_else(|| too_long(bytes));
    let result = match whole_file {
        Some(fault) => {
            met.faults.borrow_mut().push(fault);
            None
        }
        None => {
            met.faults.borrow_mut().extend(source::encoding_fault(bytes));
            parse_and_walk(&text, Vec::new(), &text, &met, walk)
        }
    };
    let mut faults = met.faults.into_inner();
    match result {
        Some(result) if faults.is_empty() => Ok(result),
        _ => {
            locate(&text, &mut faults);
            faults.dedup();
            Err(faults)
        }
    }
}

fn too_long(bytes: &[u8]) -> Option<Fault> {
    (bytes.len() > MOST_BYTES).then(|| {
        Fault::at(
            0..0,
            format!("the file has {} bytes; expected at most {MOST_BYTES}", bytes.len()),
            "is it another file? An order has some two thousand bytes",
        )
    })
}

/// Parses and walks a text, in which lines that stopped the parser before may have been blanked.
fn parse_and_walk<T>(
    text: &str,
    mut errors: Vec<toml::de::Error>,
    original: &str,
    met: &Met,
    walk: impl FnOnce(&Table<'_, '_>) -> Option<T>,
) -> Option<T> {
    let start = source::start(text);
    // The parser steps over a byte order mark itself and counts it in its places.
    let (document, more) = DeTable::parse_recoverable(text);
    let blanked = without_stops(text, &more);
    errors.extend(more);
    if let Some(blanked) = blanked.filter(|_| errors.len() < MOST_STOPS) {
        return parse_and_walk(&blanked, errors, original, met, walk);
    }
    let broken = broken_lines(original, &errors);
    let table = Table {
        name: Rc::from(""),
        head: start..start,
        entries: Some(document.get_ref()),
        asked: RefCell::default(),
        any_key: Cell::new(false),
        met,
    };
    let result = walk(&table);
    table.end();
    met.tell_strangers();
    if broken.is_empty() {
        met.faults.borrow_mut().append(&mut met.missing.borrow_mut());
        return result;
    }
    // What the parser gave up is missing or maimed: only what stands on sound lines is told beside its own complaints.
    let mut faults = met.faults.borrow_mut();
    faults.retain(|fault| !broken.iter().any(|(line, _)| line.contains(&fault.span.start)));
    for (_, error) in broken {
        let span = error.span().unwrap_or(start..start);
        let (what, hint) = syntax::told(error.message(), &span, original);
        faults.push(Fault::at(span, what, hint));
    }
    None
}

/// The text with the lines blanked at which the parser stopped: it reads nothing behind a line without `=`.
fn without_stops(text: &str, errors: &[toml::de::Error]) -> Option<String> {
    let stop = errors.iter().find(|error| syntax::stops(error.message()))?;
    let (line, _) = broken_lines(text, core::slice::from_ref(stop)).pop()?;
    let line = line.start..line.end.min(text.len());
    if text.get(line.clone())?.trim_matches([' ', '\n']).is_empty() {
        return None;
    }
    let blank: String = text[line.clone()].bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }).collect();
    Some(format!("{}{blank}{}", &text[..line.start], &text[line.end..]))
}

/// The lines that the parser could not read, each with its first complaint: what follows on a line follows from that.
fn broken_lines<'e>(text: &str, errors: &'e [toml::de::Error]) -> Vec<(Range<usize>, &'e toml::de::Error)> {
    let mut errors: Vec<_> =
        errors.iter().map(|error| (error.span().map_or(0, |s| s.start.min(text.len())), error)).collect();
    errors.sort_by_key(|(at, _)| *at);
    let mut lines: Vec<(Range<usize>, &toml::de::Error)> = Vec::new();
    for (at, error) in errors {
        if lines.last().is_some_and(|(line, _)| line.contains(&at)) {
            continue;
        }
        let start = text.as_bytes()[..at].iter().rposition(|&b| b == b'\n').map_or(0, |newline| newline + 1);
        let end = text.as_bytes()[at..].iter().position(|&b| b == b'\n').map_or(text.len(), |newline| at + newline);
        lines.push((start..end + 1, error));
    }
    lines
}

/// What was met on the walk.
#[derive(Debug, Default)]
struct Met {
    faults: RefCell<Vec<Fault>>,
    /// What was not there; told only where the parser understood the whole file.
    missing: RefCell<Vec<Fault>>,
    strangers: RefCell<Vec<Stranger>>,
    /// The keys that each table may have.
    keys: RefCell<Vec<(Rc<str>, Vec<&'static str>)>>,
}

/// A key that nobody asked for.
#[derive(Debug)]
struct Stranger {
    table: Rc<str>,
    name: String,
    span: Range<usize>,
}

impl Met {
    fn add(&self, span: Range<usize>, what: impl Into<String>, hint: impl Into<String>) {
        self.faults.borrow_mut().push(Fault::at(span, what, hint));
    }

    /// Unknown keys are told last, when every table's keys are known: a key may just stand in the wrong table.
    fn tell_strangers(&self) {
        let keys = self.keys.borrow();
        for Stranger { table, name, span } in self.strangers.take() {
            let hint = home_of(&keys, &table, &name);
            let place = if table.is_empty() { "the top of this file".to_owned() } else { format!("[{table}]") };
            self.add(span, format!("`{}` is not a key of {place}", shown(&name)), hint);
        }
    }
}

/// Where a stranger may belong: known by this name elsewhere, like a key of its own table, or like one of another.
fn home_of(keys: &[(Rc<str>, Vec<&'static str>)], table: &Rc<str>, name: &str) -> String {
    let (own, others): (Vec<_>, Vec<_>) = keys.iter().partition(|(other, _)| other == table);
    if let Some((home, _)) = others.iter().find(|(_, known)| known.contains(&name)) {
        return match &**home {
            "" => "it belongs at the top of the file, before the first [table]".to_owned(),
            home => format!("it belongs in [{home}]"),
        };
    }
    let own = || own.iter().flat_map(|(_, known)| known.iter().copied());
    if nearest(name, own()).is_none() {
        let elsewhere = |(home, known): &&(Rc<str>, Vec<&'static str>)| {
            Some((Rc::clone(home), nearest(name, known.iter().copied())?))
        };
        if let Some((home, near)) = others.iter().find_map(elsewhere) {
            let place = if home.is_empty() { "at the top of the file".to_owned() } else { format!("in [{home}]") };
            return format!("did you mean `{near}`, {place}?");
        }
    }
    suggestion(name, own())
}

/// A table of the document.
pub(crate) struct Table<'a, 't> {
    /// Its path, empty for the document itself.
    name: Rc<str>,
    head: Range<usize>,
    /// `None` where the file has no such table.
    entries: Option<&'a DeTable<'t>>,
    asked: RefCell<Vec<&'static str>>,
    any_key: Cell<bool>,
    met: &'a Met,
}

impl<'a, 't> Table<'a, 't> {
    fn path(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }

    /// The value of a key.
    pub(crate) fn value(&self, key: &'static str) -> Option<Value<'a, 't>> {
        self.asked.borrow_mut().push(key);
        self.peek(key)
    }

    fn wrap(&self, key: Cow<'static, str>, value: &'a Spanned<DeValue<'t>>) -> Value<'a, 't> {
        Value { table: Rc::clone(&self.name), key, span: value.span(), value: value.get_ref(), met: self.met }
    }

    /// Every key with its value, in the order of the file; all of them are known.
    pub(crate) fn each(&self) -> Vec<(String, Value<'a, 't>)> {
        self.any_key.set(true);
        let mut each: Vec<_> = self
            .entries
            .into_iter()
            .flatten()
            .map(|(key, value)| {
                let name = key.get_ref().as_ref().to_owned();
                (key.span().start, name.clone(), self.wrap(Cow::Owned(name), value))
            })
            .collect();
        each.sort_by_key(|(at, ..)| *at);
        each.into_iter().map(|(_, name, value)| (name, value)).collect()
    }

    /// Whether a key is there at all.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.is_some_and(|entries| entries.contains_key(key))
    }

    /// A value that is only looked at: the key does not count as asked for.
    pub(crate) fn peek(&self, key: &'static str) -> Option<Value<'a, 't>> {
        self.entries?.get(key).map(|value| self.wrap(Cow::Borrowed(key), value))
    }

    /// A fault at the table's head.
    pub(crate) fn fault(&self, what: impl Into<String>, hint: impl Into<String>) {
        self.met.add(self.head.clone(), what, hint);
    }

    /// Something that this table lacks. Of a table that is missing itself nothing else is.
    pub(crate) fn missing(&self, what: impl Into<String>, hint: impl Into<String>) {
        if self.entries.is_none() {
            return;
        }
        self.met.missing.borrow_mut().push(Fault::at(self.head.clone(), what, hint));
    }

    /// What a key must have; where it has nothing at all, that is a fault. Where its value was wrong, the fault is told
    /// already.
    pub(crate) fn need<T>(&self, key: &str, value: Option<T>, hint: &str) -> Option<T> {
        if value.is_none() && !self.has(key) {
            self.missing(format!("`{}` is missing", self.path(key)), hint);
        }
        value
    }

    /// A table under a key.
    pub(crate) fn table(&self, key: &'static str) -> Option<Table<'a, 't>> {
        self.value(key)?.table()
    }

    /// A table under a key, or an empty one: its keys are then known all the same, and a key of it that stands elsewhere
    /// can be told where it belongs.
    pub(crate) fn section(&self, key: &'static str) -> Option<Table<'a, 't>> {
        if self.has(key) {
            return self.table(key);
        }
        self.asked.borrow_mut().push(key);
        Some(Table {
            name: self.path(key).into(),
            head: self.head.clone(),
            entries: None,
            asked: RefCell::default(),
            any_key: Cell::new(false),
            met: self.met,
        })
    }

    /// A text.
    pub(crate) fn text(&self, key: &'static str) -> Option<&'a str> {
        self.value(key)?.text("a text in double quotes")
    }

    /// One of a list of words.
    pub(crate) fn word<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> Option<T> {
        self.value(key)?.word(words)
    }

    /// A number within limits.
    pub(crate) fn number(&self, key: &'static str, limits: Limits) -> Option<f64> {
        self.value(key)?.number(limits)
    }

    /// A length within limits.
    pub(crate) fn mm(&self, key: &'static str, limits: Limits) -> Option<Mm> {
        self.number(key, limits).map(Mm::new)
    }

    /// A date.
    pub(crate) fn date(&self, key: &'static str) -> Option<Date> {
        self.value(key)?.date()
    }

    /// Yes or no.
    pub(crate) fn boolean(&self, key: &'static str) -> Option<bool> {
        self.value(key)?.boolean()
    }

    /// A power, eighths restored, its text kept.
    pub(crate) fn power(&self, key: &'static str) -> Option<WrittenPower> {
        self.value(key)?.power()
    }

    /// A table `{ right = …, left = … }`, each read alike.
    pub(crate) fn per_eye<T>(
        &self,
        key: &'static str,
        read: impl Fn(&Value<'a, 't>) -> Option<T>,
    ) -> PerEye<Option<T>> {
        let none = PerEye { right: None, left: None };
        let Some(value) = self.value(key) else { return none };
        if !value.is_table() {
            value.wrong::<()>("one value for each eye", "write { right = …, left = … }");
            return none;
        }
        let Some(table) = value.table() else { return none };
        let eyes = PerEye::from_fn(|eye: Eye| table.value(eye.word()).and_then(|v| read(&v)));
        if !(table.has("right") || table.has("left")) {
            table.missing(format!("`{}` has neither right nor left", table.name), "write { right = …, left = … }");
        }
        table.end();
        eyes
    }

    /// Lengths for each eye.
    pub(crate) fn mm_per_eye(&self, key: &'static str, limits: Limits) -> PerEye<Option<Mm>> {
        self.per_eye(key, |v| v.number(limits).map(Mm::new))
    }

    /// A list of values.
    pub(crate) fn list(&self, key: &'static str) -> Vec<Value<'a, 't>> {
        self.value(key).map_or_else(Vec::new, |v| v.list())
    }

    /// Every key that nobody asked for is unknown. To be called once, after the last question.
    pub(crate) fn end(&self) {
        let asked = self.asked.take();
        for (key, _) in self.entries.into_iter().flatten() {
            let name = key.get_ref().as_ref();
            if !self.any_key.get() && !asked.contains(&name) {
                let stranger = Stranger { table: Rc::clone(&self.name), name: name.to_owned(), span: key.span() };
                self.met.strangers.borrow_mut().push(stranger);
            }
        }
        self.met.keys.borrow_mut().push((Rc::clone(&self.name), asked));
    }
}
