//! A section of a rules file, read over what held before.

use job::EdgeRun;
use units::Mm;

use super::LENGTH;
use crate::edge_run;
use crate::limits::Limits;
use crate::toml_walk::Table;

/// A section of the file, over the rules that hold where it says nothing.
pub(super) struct Section<'a, 't> {
    pub(super) table: Option<Table<'a, 't>>,
    pub(super) complete: bool,
}

impl Section<'_, '_> {
    /// A value of this section, else the one that held before. In the built-in file nothing may be left out.
    pub(super) fn number(&self, key: &'static str, limits: Limits, base: Option<f64>) -> Option<f64> {
        let Some(table) = &self.table else { return base };
        let read = table.number(key, limits);
        if self.complete { table.need(key, read, "the built-in rules are complete") } else { read.or(base) }
    }

    pub(super) fn mm(&self, key: &'static str, limits: Limits, base: Option<Mm>) -> Option<Mm> {
        self.number(key, limits, base.map(Mm::mm)).map(Mm::new)
    }

    pub(super) fn word<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)], base: Option<T>) -> Option<T> {
        self.table.as_ref().and_then(|t| t.word(key, words)).or(base)
    }

    pub(super) fn yes(&self, key: &'static str, base: Option<bool>) -> Option<bool> {
        self.table.as_ref().and_then(|t| t.boolean(key)).or(base)
    }

    /// Least and most: `[20.0, 40.0]`.
    pub(super) fn range(&self, key: &'static str, limits: Limits, base: Option<(f64, f64)>) -> Option<(f64, f64)> {
        let Some(table) = &self.table else { return base };
        let Some(value) = table.value(key) else { return base };
        if !value.is_list() {
            return value.wrong("two numbers, the least first", "write [least, most]");
        }
        let numbers: Vec<Option<f64>> = value.list().iter().map(|v| v.number(limits)).collect();
        match numbers[..] {
            [Some(least), Some(most)] if least <= most => Some((least, most)),
            [None, _] | [_, None] => None,
            _ => value.wrong("two numbers, the least first", "write [least, most]"),
        }
    }

    pub(super) fn range_mm(&self, key: &'static str, base: Option<(Mm, Mm)>) -> Option<(Mm, Mm)> {
        let range = self.range(key, LENGTH, base.map(|(a, b)| (a.mm(), b.mm())))?;
        Some((Mm::new(range.0), Mm::new(range.1)))
    }

    /// How a line on an edge runs: `line = { along = "front" }`.
    pub(super) fn edge_run(&self, base: Option<EdgeRun>) -> Option<EdgeRun> {
        match self.table.as_ref().and_then(|t| t.table("line")) {
            Some(line) => edge_run::read(&line),
            None => base,
        }
    }

    pub(super) fn end(&self) {
        if let Some(table) = &self.table {
            table.end();
        }
    }
}
