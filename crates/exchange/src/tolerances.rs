//! Tolerance standards: the built-in file, read into the tables of each edition.

use std::sync::LazyLock;

use inspection::{
    Amount, Band, Bands, Combine, Edge, Limit, MeridianRow, Meridians, PowerRule, PrismBand, PrismByPower,
    PrismOrPlace, ReferencePointRule, Rule, SphereBasis, Standard, Standards, Sure, UncutBy,
};

use crate::fault::Fault;
use crate::limits::Limits;
use crate::nearest::suggestion;
use crate::toml_walk::{self, Table, Value};

const BUILT_IN: &str = include_str!("../data/tolerances.toml");

/// An edge or a limit in any of the units.
const FIGURE: Limits = Limits::from_to(0.0, 180.0, "");
const PERCENT: Limits = Limits::between(0.0, 100.0, "percent");

/// Every edition that is built in, read once.
///
/// The edition that judges an uncut lens under some rules is
/// `standards().for_uncut(&rules.edition, order.lens.kind)`; for every edition that rules may name there is one.
#[must_use]
pub fn standards() -> &'static Standards {
    static STANDARDS: LazyLock<Standards> = LazyLock::new(|| match read(BUILT_IN.as_bytes()) {
        Ok(standards) => standards,
        // A test reads the built-in file: this cannot be reached by any input.
        Err(faults) => unreachable!("the built-in tolerances do not read: {faults:?}"),
    });
    &STANDARDS
}

fn read(bytes: &[u8]) -> Result<Standards, Vec<Fault>> {
    toml_walk::read(bytes, |file| {
        let sources = each(file, "source", source);
        let sources = Sources(&sources);
        let tables = Tables {
            bands: each(file, "bands", |t| sources.rule(t, bands)),
            meridians: each(file, "meridians", |t| {
                // Each cell knows how sure it is; the rest of its row is as sure as the table.
                let sure = t.peek("sure").and_then(|v| v.word(Sure::WORDS)).unwrap_or(Sure::Memory);
                sources.rule(t, |t| meridians(t, sure))
            }),
            prism_or_place: each(file, "prism_or_place", |t| sources.rule(t, prism_or_place)),
            prism_by_power: each(file, "prism_by_power", |t| sources.rule(t, prism_by_power)),
            amounts: each(file, "amount", |t| sources.rule(t, |t| amount(t, "limit"))),
        };
        let editions = file.table("edition").map_or_else(Vec::new, |t| {
            let editions = t.each().into_iter().filter_map(|(id, value)| edition(&id, &value.table()?, &tables));
            let editions = editions.collect();
            t.end();
            editions
        });
        Some(Standards(editions))
    })
}

/// The tables of the file by their names.
struct Tables {
    bands: Named<Rule<Bands>>,
    meridians: Named<Rule<Meridians>>,
    prism_or_place: Named<Rule<PrismOrPlace>>,
    prism_by_power: Named<Rule<PrismByPower>>,
    amounts: Named<Rule<Amount>>,
}

type Named<T> = Vec<(String, T)>;

/// Every table under a key, by name.
fn each<T>(file: &Table<'_, '_>, key: &'static str, read: impl Fn(&Table<'_, '_>) -> Option<T>) -> Named<T> {
    let Some(group) = file.table(key) else { return Vec::new() };
    let named = group.each().into_iter().filter_map(|(name, value)| {
        let table = value.table()?;
        let read = read(&table);
        table.end();
        Some((name, read?))
    });
    let named = named.collect();
    group.end();
    named
}

/// The table that a value names.
fn named<'n, T>(value: &Value<'_, '_>, tables: &'n Named<T>) -> Option<&'n T> {
    let name = value.text("the name of a table of this file")?;
    match tables.iter().find(|(known, _)| known == name) {
        Some((_, table)) => Some(table),
        None => value.wrong("the name of such a table", &suggestion(name, tables.iter().map(|(n, _)| n.as_str()))),
    }
}

/// Title and address of a source.
fn source(table: &Table<'_, '_>) -> Option<String> {
    let title = table.need("title", table.text("title"), "name the page");
    let url = table.need("url", table.text("url"), "say where it is found");
    Some(format!("{}, {}", title?, url?))
}

struct Sources<'s>(&'s Named<String>);

impl Sources<'_> {
    /// A table with its clause, sources and how sure it is.
    fn rule<T>(&self, table: &Table<'_, '_>, read: impl FnOnce(&Table<'_, '_>) -> Option<T>) -> Option<Rule<T>> {
        let clause = table.need("clause", table.text("clause"), "say what it limits").map(str::to_owned);
        let sure = table.need("sure", table.word("sure", Sure::WORDS), "say how sure it is");
        let listed = table.list("sources");
        table.need("sources", table.has("sources").then_some(()), "list its sources, or [] where it is from memory");
        let sources: Vec<Option<&String>> = listed.iter().map(|value| named(value, self.0)).collect();
        let is = read(table);
        let sources = sources.into_iter().collect::<Option<Vec<_>>>()?;
        let source = match &sources[..] {
            [] => "from memory".to_owned(),
            [only] => (*only).clone(),
            [first, rest @ ..] => format!("{first}, and {} more", rest.len()),
        };
        Some(Rule { is: is?, clause: clause?, source, sure: sure? })
    }
}

/// A figure of at most three decimals, exactly.
fn exact(value: &Value<'_, '_>) -> Option<Amount> {
    let number = value.number(FIGURE)?;
    let amount = Amount::nearest(number);
    if amount.in_millionths() % 1000 == 0 {
        Some(amount)
    } else {
        value.wrong("at most three decimals", "limits are whole thousandths")
    }
}

fn amount(table: &Table<'_, '_>, key: &'static str) -> Option<Amount> {
    let amount = table.value(key).and_then(|v| exact(&v));
    table.need(key, amount, "write the figure")
}

fn optional(table: &Table<'_, '_>, key: &'static str) -> Option<Amount> {
    table.value(key).and_then(|v| exact(&v))
}

fn rows<T>(table: &Table<'_, '_>, read: impl Fn(&Table<'_, '_>) -> Option<T>) -> Option<Vec<T>> {
    let listed = table.list("rows");
    table.need("rows", (!listed.is_empty()).then_some(()), "write its rows");
    let rows: Vec<Option<T>> = listed
        .iter()
        .map(|value| {
            let row = value.table()?;
            let read = read(&row);
            row.end();
            read
        })
        .collect();
    rows.into_iter().collect()
}

fn bands(table: &Table<'_, '_>) -> Option<Bands> {
    rows(table, band).map(Bands)
}

fn band(row: &Table<'_, '_>) -> Option<Band> {
    let (from, above) = (optional(row, "from"), optional(row, "above"));
    let (limit, percent) = (optional(row, "limit"), row.value("percent").and_then(|v| permille(&v)));
    let to = optional(row, "to");
    let begins = match (from, above) {
        (Some(from), None) => Some(Edge::From(from)),
        (None, Some(above)) => Some(Edge::Above(above)),
        _ => row.need("from", None, "a band begins `from` an amount or `above` it"),
    };
    let limit = match (limit, percent) {
        (Some(limit), None) => Some(Limit::Amount(limit)),
        (None, Some(permille)) => Some(Limit::Permille(permille)),
        _ => row.need("limit", None, "a band has a `limit` or a `percent`"),
    };
    Some(Band { begins: begins?, to, limit: limit? })
}

/// A percentage in tenths, exactly.
fn permille(value: &Value<'_, '_>) -> Option<i64> {
    let tenths = value.number(PERCENT)? * 10.0;
    if (tenths - tenths.round()).abs() < 1e-9 {
        Some(tenths.round() as i64)
    } else {
        value.wrong("at most one decimal", "percentages are whole tenths")
    }
}

fn meridians(table: &Table<'_, '_>, sure: Sure) -> Option<Meridians> {
    let edges: Vec<Option<Amount>> = table.list("cylinder_edges").iter().map(exact).collect();
    let cylinder_edges = edges.into_iter().collect::<Option<Vec<_>>>()?;
    let rows = rows(table, |row| {
        let to = optional(row, "to");
        let seen: Vec<Option<&str>> = row.list("seen").iter().map(|v| v.text("a cell")).collect();
        let sure_of = |cell: &str| if seen.contains(&Some(cell)) { Sure::OneSource } else { sure };
        let meridian = amount(row, "meridian");
        let cells = row.list("cylinder");
        if cells.len() != cylinder_edges.len() + 1 {
            row.missing("a row has one cylinder limit more than there are edges", "write the missing one");
        }
        let cylinder =
            cells.iter().enumerate().map(|(n, v)| Some((exact(v)?, sure_of(&format!("cylinder {}", n + 1)))));
        let cylinder = cylinder.collect::<Option<Vec<_>>>();
        Some(MeridianRow { to, meridian: (meridian?, sure_of("meridian")), cylinder: cylinder? })
    });
    Some(Meridians { cylinder_edges, rows: rows? })
}

const COMBINE: &[(&str, Combine)] = &[("either", Combine::Either), ("both", Combine::Both)];

fn combine(table: &Table<'_, '_>) -> Option<Combine> {
    table.need("combine", table.word("combine", COMBINE), "write combine = \"either\" or \"both\"")
}

fn prism_or_place(table: &Table<'_, '_>) -> Option<PrismOrPlace> {
    let (prism, place, is) = (amount(table, "prism"), amount(table, "place"), combine(table));
    let other = table.table("other").and_then(|other| {
        let combine = combine(&other);
        let whose = other.need("whose", other.text("whose"), "say whose reading it is").map(str::to_owned);
        let same = other.need("same_edition", other.boolean("same_edition"), "say whether it is this edition's own");
        other.end();
        Some((combine?, whose?, same?))
    });
    Some(PrismOrPlace { prism: prism?, place: place?, combine: is?, other })
}

fn prism_by_power(table: &Table<'_, '_>) -> Option<PrismByPower> {
    let rows = rows(table, |row| {
        let line = |key: &'static str| {
            let cells = row.list(key);
            match &cells[..] {
                [constant, slope] => Some((exact(constant)?, exact(slope)?.in_millionths() / 1000)),
                _ => row.need(key, None, "write [constant, slope]"),
            }
        };
        let (to, horizontal, vertical) = (optional(row, "to"), line("horizontal"), line("vertical"));
        Some(PrismBand { to, horizontal: horizontal?, vertical: vertical? })
    });
    rows.map(PrismByPower)
}

const BASES: &[(&str, SphereBasis)] =
    &[("minus-form", SphereBasis::MinusForm), ("strongest-meridian", SphereBasis::StrongestMeridian)];

fn edition(id: &str, table: &Table<'_, '_>, tables: &Tables) -> Option<Standard> {
    let name = table.need("name", table.text("name"), "give its name").map(str::to_owned);
    let unverified = table.boolean("unverified").unwrap_or(false);
    let basis = table.word("basis", BASES);
    let basis_sure = table.word("basis_sure", Sure::WORDS);
    let uncut_by = table.value("uncut_by").and_then(|v| uncut_by(&v));
    let power = |key: &'static str| {
        let value = table.value(key)?;
        if value.as_text().is_some() {
            return named(&value, &tables.meridians).cloned().map(PowerRule::Meridians);
        }
        let names = value.list();
        let [sphere, cylinder] = &names[..] else {
            return value.wrong("a table by meridians, or one for the sphere and one for the cylinder", "name them");
        };
        let (sphere, cylinder) = (named(sphere, &tables.bands), named(cylinder, &tables.bands));
        let basis = table.need("basis", basis, "say what a sphere is judged on");
        let basis_sure = table.need("basis_sure", basis_sure, "say how sure that is");
        Some(PowerRule::SphereAndCylinder {
            basis: basis?,
            basis_sure: basis_sure?,
            sphere: sphere?.clone(),
            cylinder: cylinder?.clone(),
        })
    };
    let other_axis = table.table("other_axis").and_then(|other| {
        let rule = other.value("table").and_then(|v| named(&v, &tables.bands)).cloned();
        let whose = other.need("whose", other.text("whose"), "say whose reading it is").map(str::to_owned);
        other.end();
        Some((whose?, other.need("table", rule, "name its table")?))
    });
    let standard = Standard {
        id: id.to_owned(),
        name: name?,
        uncut_by,
        single: power("single"),
        progressive: power("progressive"),
        axis: table.value("axis").and_then(|v| named(&v, &tables.bands)).cloned(),
        other_axis,
        add: table.value("add").and_then(|v| named(&v, &tables.bands)).cloned(),
        reference_point: table.value("reference_point").and_then(|v| reference_point(&v, tables)),
        centre_thickness: table.value("centre_thickness").and_then(|v| named(&v, &tables.amounts)).cloned(),
        base_curve: table.value("base_curve").and_then(|v| named(&v, &tables.amounts)).cloned(),
    };
    table.end();
    Some(if unverified { standard.unverified() } else { standard })
}

fn uncut_by(value: &Value<'_, '_>) -> Option<UncutBy> {
    let ids = value.list();
    let ids: Vec<String> = ids.iter().filter_map(|v| v.text("an edition").map(str::to_owned)).collect();
    match <[String; 2]>::try_from(ids) {
        Ok([single, progressive]) => Some(UncutBy { single, progressive }),
        Err(_) => value.wrong("two editions", "name the one for single vision and the one for progressive power"),
    }
}

fn reference_point(value: &Value<'_, '_>, tables: &Tables) -> Option<ReferencePointRule> {
    let name = value.as_text().unwrap_or_default();
    if tables.prism_by_power.iter().any(|(known, _)| known == name) {
        return named(value, &tables.prism_by_power).cloned().map(ReferencePointRule::ByPower);
    }
    named(value, &tables.prism_or_place).cloned().map(ReferencePointRule::PrismOrPlace)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report;

    #[test]
    fn the_built_in_file_reads() {
        let read = read(BUILT_IN.as_bytes());
        let read = read.unwrap_or_else(|f| panic!("{}", report("tolerances.toml", BUILT_IN.as_bytes(), &f)));
        assert_eq!(read, *standards());
    }

    /// One line changed: a piece of what the fault says, a piece of its hint.
    #[test]
    fn a_slip_in_the_file_is_told() {
        for (line, other, what, hint) in [
            (
                "axis = \"ansi-axis-1999\"",
                "axis = \"ansi-axes-1999\"",
                "such a table",
                "did you mean `ansi-axis-1999`?",
            ),
            ("percent = 5.0", "percent = 5.05", "at most one decimal", "whole tenths"),
            ("limit = 0.75\n", "limit = 0.7505\n", "at most three decimals", "whole thousandths"),
            (
                "{ above = 8.00, percent = 2.0 }",
                "{ percent = 2.0 }",
                "`bands.ansi-progressive-sphere.rows[2].from` is missing",
                "begins",
            ),
            ("{ above = 8.00, percent = 2.0 }", "{ above = 8.00 }", "limit` is missing", "`percent`"),
            ("[0.18, 0.18, 0.18, 0.25]", "[0.18, 0.18, 0.18]", "one cylinder limit more", "missing one"),
            ("sources = [\"opticampus2010\"]", "sources = [\"opticampus2011\"]", "such a table", "`opticampus2010`"),
            ("name = \"ISO 8980-2\"", "name = \"ISO 8980-2\"\nunkut = true", "`unkut` is not a key", ""),
        ] {
            assert_eq!(BUILT_IN.matches(line).count(), 1, "{line}");
            let faults = read(BUILT_IN.replace(line, other).as_bytes()).err().unwrap_or_default();
            assert!(faults.iter().any(|f| f.what.contains(what) && f.hint.contains(hint)), "{other}: {faults:?}");
        }
    }
}
