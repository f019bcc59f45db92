//! Our walk through a TOML document: every wrong key and value in one run, each with its place and its mend.
//!
//! A [`Table`] hands out values by key and remembers which keys were asked for; what nobody asked for is unknown. Numbers
//! keep their text until they are read, and a value that will not do leaves a fault and `None`, never a guess.

use core::cell::RefCell;
use core::ops::Range;

use jiff::civil::Date;
use job::{Eye, PerEye};
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::{Axis, Mm, PrismAmount, WrittenPower};

use crate::fault::{Fault, locate, shown};
use crate::limits::Limits;
use crate::nearest::{choices, suggestion};
use crate::source;

/// The faults met so far.
#[derive(Debug, Default)]
pub(crate) struct Faults(RefCell<Vec<Fault>>);

impl Faults {
    pub(crate) fn add(&self, span: Range<usize>, what: impl Into<String>, hint: impl Into<String>) {
        self.0.borrow_mut().push(Fault::at(span, what, hint));
    }
}

/// Parses a document and walks it; the result only where nothing was wrong.
pub(crate) fn read<T>(bytes: &[u8], walk: impl FnOnce(&Table<'_, '_>) -> Option<T>) -> Result<T, Vec<Fault>> {
    let text = source::text(bytes);
    let faults = Faults::default();
    let mut result = None;
    if let Some(fault) = source::utf16_fault(bytes) {
        faults.0.borrow_mut().push(fault);
    } else {
        faults.0.borrow_mut().extend(source::encoding_fault(bytes));
        let start = source::start(&text);
        let (document, errors) = DeTable::parse_recoverable(&text[start..]);
        for error in errors {
            let span = error.span().map_or(start..start, |s| s.start + start..s.end + start);
            faults.add(span, error.message().to_owned(), "write it as TOML: key = value, texts in double quotes");
        }
        let broken = !faults.0.borrow().is_empty();
        let table = Table {
            name: String::new(),
            head: start..start,
            entries: document.get_ref(),
            asked: RefCell::new(Vec::new()),
            faults: &faults,
            start,
        };
        // After a syntax fault half the keys may be missing: to call them missing would bury the fault itself.
        if !broken || !document.get_ref().is_empty() {
            result = walk(&table);
            table.end();
        }
        if broken {
            faults.0.borrow_mut().retain(|f| !f.what.ends_with(MISSING));
        }
    }
    let mut faults = faults.0.into_inner();
    match result {
        Some(result) if faults.is_empty() => Ok(result),
        _ => {
            if faults.is_empty() {
                faults.push(Fault::at(0..0, "the file is empty", "write the file after the README's example"));
            }
            locate(&text, &mut faults);
            faults.dedup();
            Err(faults)
        }
    }
}

const MISSING: &str = " is missing";

/// A table of the document.
pub(crate) struct Table<'a, 't> {
    /// Its path, empty for the document itself.
    name: String,
    head: Range<usize>,
    entries: &'a DeTable<'t>,
    asked: RefCell<Vec<String>>,
    faults: &'a Faults,
    start: usize,
}

/// A value with its place.
pub(crate) struct Value<'a, 't> {
    pub(crate) path: String,
    pub(crate) span: Range<usize>,
    value: &'a DeValue<'t>,
    faults: &'a Faults,
    start: usize,
}

impl<'a, 't> Table<'a, 't> {
    fn path(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }

    /// The value of a key.
    pub(crate) fn value(&self, key: &str) -> Option<Value<'a, 't>> {
        self.asked.borrow_mut().push(key.to_owned());
        let (_, value) = self.entries.iter().find(|(k, _)| k.get_ref().as_ref() == key)?;
        Some(self.wrap(self.path(key), value))
    }

    fn wrap(&self, path: String, value: &'a Spanned<DeValue<'t>>) -> Value<'a, 't> {
        let span = value.span();
        Value {
            path,
            span: span.start + self.start..span.end + self.start,
            value: value.get_ref(),
            faults: self.faults,
            start: self.start,
        }
    }

    /// Every key with its value; all count as asked for.
    pub(crate) fn each(&self) -> Vec<(String, Range<usize>, Value<'a, 't>)> {
        self.entries
            .iter()
            .map(|(key, value)| {
                let name = key.get_ref().as_ref().to_owned();
                self.asked.borrow_mut().push(name.clone());
                let span = key.span();
                (name.clone(), span.start + self.start..span.end + self.start, self.wrap(self.path(&name), value))
            })
            .collect()
    }

    /// Whether a key is there at all.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|(k, _)| k.get_ref().as_ref() == key)
    }

    /// A fault at the table's head.
    pub(crate) fn fault(&self, what: impl Into<String>, hint: impl Into<String>) {
        self.faults.add(self.head.clone(), what, hint);
    }

    /// What a key must have; where it has nothing at all, that is a fault. Where its value was wrong, the fault is told
    /// already.
    pub(crate) fn need<T>(&self, key: &str, value: Option<T>, hint: &str) -> Option<T> {
        if value.is_none() && !self.has(key) {
            self.fault(format!("`{}`{MISSING}", self.path(key)), hint);
        }
        value
    }

    /// A table under a key.
    pub(crate) fn table(&self, key: &str) -> Option<Table<'a, 't>> {
        self.value(key)?.table()
    }

    /// A text.
    pub(crate) fn text(&self, key: &str) -> Option<&'a str> {
        self.value(key)?.text("a text in double quotes")
    }

    /// One of a list of words.
    pub(crate) fn word<T: Copy>(&self, key: &str, words: &[(&'static str, T)]) -> Option<T> {
        self.value(key)?.word(words)
    }

    /// A number within limits.
    pub(crate) fn number(&self, key: &str, limits: Limits) -> Option<f64> {
        self.value(key)?.number(limits)
    }

    /// A length within limits.
    pub(crate) fn mm(&self, key: &str, limits: Limits) -> Option<Mm> {
        self.number(key, limits).map(Mm::new)
    }

    /// A date.
    pub(crate) fn date(&self, key: &str) -> Option<Date> {
        self.value(key)?.date()
    }

    /// Yes or no.
    pub(crate) fn boolean(&self, key: &str) -> Option<bool> {
        let value = self.value(key)?;
        match value.value {
            DeValue::Boolean(b) => Some(*b),
            _ => value.wrong("true or false", "write true or false, without quotes"),
        }
    }

    /// A power, eighths restored, its text kept.
    pub(crate) fn power(&self, key: &str) -> Option<WrittenPower> {
        self.value(key)?.power()
    }

    /// A table `{ right = …, left = … }`, each read alike.
    pub(crate) fn per_eye<T>(&self, key: &str, read: impl Fn(&Value<'a, 't>) -> Option<T>) -> PerEye<Option<T>> {
        let none = PerEye { right: None, left: None };
        let Some(value) = self.value(key) else { return none };
        let DeValue::Table(_) = value.value else {
            value.wrong::<()>("one value for each eye", "write { right = …, left = … }");
            return none;
        };
        let Some(table) = value.table() else { return none };
        let eyes = PerEye::from_fn(|eye: Eye| table.value(eye.word()).and_then(|v| read(&v)));
        table.end();
        eyes
    }

    /// Lengths for each eye.
    pub(crate) fn mm_per_eye(&self, key: &str, limits: Limits) -> PerEye<Option<Mm>> {
        self.per_eye(key, |v| v.number(limits).map(Mm::new))
    }

    /// A list of values.
    pub(crate) fn list(&self, key: &str) -> Vec<Value<'a, 't>> {
        self.value(key).map_or_else(Vec::new, |v| v.list())
    }

    /// Every key that nobody asked for is unknown.
    pub(crate) fn end(&self) {
        let asked = self.asked.borrow();
        for (key, _) in self.entries {
            let name = key.get_ref().as_ref();
            if !asked.iter().any(|a| a == name) {
                let span = key.span();
                let known = asked.iter().map(String::as_str);
                let place = if self.name.is_empty() { "this file".to_owned() } else { format!("[{}]", self.name) };
                self.faults.add(
                    span.start + self.start..span.end + self.start,
                    format!("`{}` is not a key of {place}", shown(name)),
                    suggestion(name, known),
                );
            }
        }
    }
}

impl<'a, 't> Value<'a, 't> {
    /// A fault at this value: what was found, what was expected.
    pub(crate) fn wrong<T>(&self, expected: &str, hint: &str) -> Option<T> {
        let found = self.shown();
        self.faults.add(self.span.clone(), format!("`{}` is {found}; expected {expected}", self.path), hint);
        None
    }

    /// A fault at this value in words of one's own.
    pub(crate) fn fault<T>(&self, what: impl Into<String>, hint: impl Into<String>) -> Option<T> {
        self.faults.add(self.span.clone(), what, hint);
        None
    }

    fn shown(&self) -> String {
        match self.value {
            DeValue::String(text) if text.is_empty() => "an empty text".to_owned(),
            DeValue::String(text) => format!("the text `{}`", shown(text)),
            DeValue::Integer(number) => format!("the number {number}"),
            DeValue::Float(number) => format!("the number {number}"),
            DeValue::Boolean(b) => b.to_string(),
            DeValue::Datetime(date) => format!("the date {date}"),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(_) => "a table".to_owned(),
        }
    }

    /// As a table.
    pub(crate) fn table(&self) -> Option<Table<'a, 't>> {
        match self.value {
            DeValue::Table(entries) => Some(Table {
                name: self.path.clone(),
                head: self.span.clone(),
                entries,
                asked: RefCell::new(Vec::new()),
                faults: self.faults,
                start: self.start,
            }),
            _ => self.wrong("a table", "write it as a table: [name] or { key = value }"),
        }
    }

    /// Whether it is a list.
    pub(crate) const fn is_list(&self) -> bool {
        matches!(self.value, DeValue::Array(_))
    }

    /// As a list.
    pub(crate) fn list(&self) -> Vec<Value<'a, 't>> {
        match self.value {
            DeValue::Array(items) => items
                .iter()
                .enumerate()
                .map(|(i, item)| Value {
                    path: format!("{}[{}]", self.path, i + 1),
                    span: item.span().start + self.start..item.span().end + self.start,
                    value: item.get_ref(),
                    faults: self.faults,
                    start: self.start,
                })
                .collect(),
            _ => {
                self.wrong::<()>("a list", "write it in square brackets: [a, b]");
                Vec::new()
            }
        }
    }

    /// As a text that is not empty.
    pub(crate) fn text(&self, expected: &str) -> Option<&'a str> {
        match self.value {
            DeValue::String(text) if !text.trim().is_empty() => Some(text.as_ref()),
            _ => self.wrong(expected, "write it in double quotes"),
        }
    }

    /// As one of a list of words.
    pub(crate) fn word<T: Copy>(&self, words: &[(&'static str, T)]) -> Option<T> {
        let known = words.iter().map(|(word, _)| *word);
        let DeValue::String(text) = self.value else {
            return self.wrong(&format!("one of {}", choices(known)), "write the word in double quotes");
        };
        match words.iter().find(|(word, _)| *word == text.as_ref()) {
            Some((_, meaning)) => Some(*meaning),
            None => self.wrong(&choices(known.clone()), &suggestion(text, known)),
        }
    }

    /// As a decimal number within limits; hexadecimal, infinite and not-a-number are none.
    pub(crate) fn number(&self, limits: Limits) -> Option<f64> {
        let text = match self.value {
            DeValue::Float(number) => number.as_str(),
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::String(_) => return self.wrong(&limits.to_string(), "write the number without quotes"),
            _ => return self.wrong(&limits.to_string(), "write a plain decimal number"),
        };
        match text.parse::<f64>() {
            Ok(number) if !number.is_finite() => self.wrong(&limits.to_string(), "write a plain decimal number"),
            Ok(number) if limits.hold(number) => Some(number + 0.0),
            Ok(number) => self.wrong(&limits.to_string(), limits.hint(number)),
            Err(_) => self.wrong(&limits.to_string(), "write a plain decimal number"),
        }
    }

    /// As a whole number.
    pub(crate) fn whole(&self, limits: Limits) -> Option<i64> {
        let number = self.number(limits)?;
        if number % 1.0 == 0.0 { Some(number as i64) } else { self.wrong("a whole number", "leave out the decimals") }
    }

    /// As a date.
    pub(crate) fn date(&self) -> Option<Date> {
        let expected = "a date";
        let hint = "write year-month-day without quotes: 2026-03-02";
        let DeValue::Datetime(moment) = self.value else { return self.wrong(expected, hint) };
        let (Some(date), None) = (moment.date, moment.time) else { return self.wrong(expected, hint) };
        let parts = (i16::try_from(date.year), i8::try_from(date.month), i8::try_from(date.day));
        let (Ok(year), Ok(month), Ok(day)) = parts else { return self.wrong(expected, hint) };
        match Date::new(year, month, day) {
            Ok(date) => Some(date),
            Err(_) => self.wrong("a day that exists", hint),
        }
    }

    /// As a quoted power.
    pub(crate) fn power(&self) -> Option<WrittenPower> {
        match self.value {
            DeValue::String(text) => match WrittenPower::parse(text) {
                Ok(power) => Some(power),
                Err(fault) => self.fault(format!("`{}`: {fault}", self.path), fault.hint()),
            },
            DeValue::Float(_) | DeValue::Integer(_) => self
                .wrong("a power in quotes", "write it with its sign in quotes, as the prescription has it: \"-4.25\""),
            _ => self.wrong("a power in quotes", "write it with its sign in quotes: \"-4.25\""),
        }
    }

    /// As an amount of prism, in quotes.
    pub(crate) fn prism_amount(&self) -> Option<PrismAmount> {
        match self.value {
            DeValue::String(text) => match PrismAmount::parse(text) {
                Ok(amount) => Some(amount),
                Err(fault) => {
                    self.fault(format!("`{}`: {fault}", self.path), "write the amount without sign: \"1.00\"")
                }
            },
            _ => self.wrong("an amount in quotes", "write it in quotes: \"1.00\""),
        }
    }

    /// As an axis: a number of degrees, whole or half.
    pub(crate) fn axis(&self) -> Option<Axis> {
        let text = match self.value {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            _ => return self.wrong("an axis from 0 to 180 degrees", "write the degrees without quotes: 170"),
        };
        match text.parse::<Axis>() {
            Ok(axis) => Some(axis),
            Err(_) => self.wrong("an axis from 0 to 180 degrees, whole or half", "read the axis again"),
        }
    }

    /// The text as written, where it is a text.
    pub(crate) fn as_text(&self) -> Option<&'a str> {
        match self.value {
            DeValue::String(text) => Some(text.as_ref()),
            _ => None,
        }
    }
}
