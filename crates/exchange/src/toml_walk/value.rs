//! A value of a TOML document, read as what it must be: number, word, power, date.

use core::cell::{Cell, RefCell};
use core::ops::Range;
use std::borrow::Cow;
use std::rc::Rc;

use jiff::civil::Date;
use toml::de::DeValue;
use units::{Axis, NotAPower, Power, PrismAmount, WrittenPower};

use super::{Met, Table};
use crate::fault::shown;
use crate::limits::Limits;
use crate::nearest::{choices, suggestion};

/// A value with its place.
pub(crate) struct Value<'a, 't> {
    pub(super) table: Rc<str>,
    pub(super) key: Cow<'static, str>,
    pub(super) span: Range<usize>,
    pub(super) value: &'a DeValue<'t>,
    pub(super) met: &'a Met,
}

impl<'a, 't> Value<'a, 't> {
    /// Where it stands, as `lens.centre_mm.right`.
    pub(crate) fn path(&self) -> String {
        if self.table.is_empty() { self.key.as_ref().to_owned() } else { format!("{}.{}", self.table, self.key) }
    }

    /// A fault at this value: what was found, what was expected.
    pub(crate) fn wrong<T>(&self, expected: &str, hint: &str) -> Option<T> {
        self.fault(format!("`{}` is {}; expected {expected}", self.path(), self.shown()), hint)
    }

    /// A fault at this value in words of one's own.
    pub(crate) fn fault<T>(&self, what: impl Into<String>, hint: impl Into<String>) -> Option<T> {
        self.met.add(self.span.clone(), what, hint);
        None
    }

    fn shown(&self) -> String {
        match self.value {
            DeValue::String(text) if text.trim().is_empty() => "an empty text".to_owned(),
            DeValue::String(text) => format!("the text `{}`", shown(text)),
            DeValue::Integer(number) => format!("the number {}", shown(&number.to_string())),
            DeValue::Float(number) => format!("the number {}", shown(number.as_str())),
            DeValue::Boolean(b) => b.to_string(),
            DeValue::Datetime(date) => format!("the date {date}"),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(_) => "a table".to_owned(),
        }
    }

    /// Whether it is a table.
    pub(crate) const fn is_table(&self) -> bool {
        matches!(self.value, DeValue::Table(_))
    }

    /// Whether it is a table with such a key.
    pub(crate) fn has(&self, key: &str) -> bool {
        matches!(self.value, DeValue::Table(entries) if entries.contains_key(key))
    }

    /// Whether it is a list.
    pub(crate) const fn is_list(&self) -> bool {
        matches!(self.value, DeValue::Array(_))
    }

    /// As a table.
    pub(crate) fn table(&self) -> Option<Table<'a, 't>> {
        match self.value {
            DeValue::Table(entries) => Some(Table {
                name: self.path().into(),
                head: self.span.clone(),
                entries: Some(entries),
                asked: RefCell::default(),
                any_key: Cell::new(false),
                met: self.met,
            }),
            _ => self.wrong("a table", "write it as a table: [name] or { key = value }"),
        }
    }

    /// As a list.
    pub(crate) fn list(&self) -> Vec<Value<'a, 't>> {
        let DeValue::Array(items) = self.value else {
            self.wrong::<()>("a list", "write it in square brackets: [a, b]");
            return Vec::new();
        };
        let item = |(i, item): (usize, &'a toml::Spanned<DeValue<'t>>)| Value {
            table: Rc::clone(&self.table),
            key: Cow::Owned(format!("{}[{}]", self.key, i + 1)),
            span: item.span(),
            value: item.get_ref(),
            met: self.met,
        };
        items.iter().enumerate().map(item).collect()
    }

    /// As a text that is not empty.
    pub(crate) fn text(&self, expected: &str) -> Option<&'a str> {
        match self.value {
            DeValue::String(text) if text.trim().is_empty() => self.wrong(expected, "write what belongs here"),
            DeValue::String(text) => Some(text.as_ref()),
            _ => self.wrong(expected, "write it in double quotes"),
        }
    }

    /// As one of a list of words.
    pub(crate) fn word<T: Copy>(&self, words: &[(&'static str, T)]) -> Option<T> {
        let known = words.iter().map(|(word, _)| *word);
        let DeValue::String(text) = self.value else {
            return self.wrong(&choices(known), "write the word in double quotes");
        };
        match words.iter().find(|(word, _)| *word == text.as_ref()) {
            Some((_, meaning)) => Some(*meaning),
            None => self.wrong(&choices(known.clone()), &suggestion(text, known)),
        }
    }

    /// As a decimal number within limits; hexadecimal, infinite and not-a-number are none.
    pub(crate) fn number(&self, limits: Limits) -> Option<f64> {
        const PLAIN: &str = "write a plain decimal number";
        let text = match self.value {
            DeValue::Float(number) => number.as_str(),
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::String(_) => return self.wrong(&limits.to_string(), "write the number without quotes"),
            _ => return self.wrong(&limits.to_string(), PLAIN),
        };
        match text.parse::<f64>() {
            Ok(number) if !number.is_finite() => self.wrong(&limits.to_string(), PLAIN),
            // Adding zero takes the sign from -0.0.
            Ok(number) if limits.hold(number) => Some(number + 0.0),
            Ok(number) => self.wrong(&limits.to_string(), limits.hint(number)),
            Err(_) => self.wrong(&limits.to_string(), PLAIN),
        }
    }

    /// As a whole number.
    pub(crate) fn whole(&self, limits: Limits) -> Option<i64> {
        let number = self.number(limits)?;
        if number % 1.0 == 0.0 { Some(number as i64) } else { self.wrong("a whole number", "leave out the decimals") }
    }

    /// As yes or no.
    pub(crate) fn boolean(&self) -> Option<bool> {
        match self.value {
            DeValue::Boolean(b) => Some(*b),
            _ => self.wrong("true or false", "write true or false, without quotes"),
        }
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

    /// As a quoted power of an order: eighths restored, its text kept.
    pub(crate) fn power(&self) -> Option<WrittenPower> {
        self.power_as(WrittenPower::parse)
    }

    /// As a quoted power that an instrument showed: it counts as written.
    pub(crate) fn reading(&self) -> Option<WrittenPower> {
        self.power_as(|text| Ok(WrittenPower { power: Power::parse(text)?, written: text.trim().to_owned() }))
    }

    fn power_as(&self, parse: fn(&str) -> Result<WrittenPower, NotAPower>) -> Option<WrittenPower> {
        match self.value {
            DeValue::String(text) if text.trim().is_empty() => {
                self.wrong("a power such as \"-4.25\"", "write the power with its sign")
            }
            DeValue::String(text) if text.len() > 40 => {
                self.wrong("a power such as \"-4.25\"", "write the power alone")
            }
            DeValue::String(text) => match parse(text) {
                Ok(power) => Some(power),
                Err(_) if text.contains(',') => {
                    self.wrong("a power such as \"-4.25\"", "write decimals with a point, not a comma")
                }
                Err(fault) => self.fault(format!("`{}`: {fault}", self.path()), fault.hint()),
            },
            DeValue::Float(number) => self.unquoted(number.as_str()),
            DeValue::Integer(number) => self.unquoted(number.as_str()),
            _ => self.wrong("a power in quotes", "write it with its sign in quotes: \"-4.25\""),
        }
    }

    fn unquoted<T>(&self, number: &str) -> Option<T> {
        let signed = number.starts_with(['+', '-']);
        let hint = match signed {
            true => format!("write it in quotes, so that it stays as written: \"{}\"", shown(number)),
            false => "write it in quotes with its sign, as the prescription has it: \"-4.25\"".to_owned(),
        };
        self.wrong("a power in quotes", &hint)
    }

    /// As an amount of prism, in quotes.
    pub(crate) fn prism_amount(&self) -> Option<PrismAmount> {
        const HINT: &str = "write the amount in quotes and without sign, the base says where it points: \"1.00\"";
        match self.value {
            DeValue::String(text) if text.len() <= 40 => match PrismAmount::parse(text) {
                Ok(amount) => Some(amount),
                Err(fault) => self.fault(format!("`{}`: {fault}", self.path()), HINT),
            },
            _ => self.wrong("an amount in quotes", HINT),
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
