//! Rules: a TOML file that holds what differs from the built-in rules, which are such a file themselves.

mod bench;
mod doubt;
mod intake;
mod material;
mod print;
mod process;
mod section;

use job::TreatmentNames;
use job::rules::{EyeModel, Rules};
use toml::de::DeTable;

use crate::fault::Fault;
use crate::limits::Limits;
use crate::source;
use crate::toml_walk::{self, Table};
use section::Section;

const BUILT_IN: &str = include_str!("../data/rules.toml");
const MATERIALS: &str = include_str!("../data/materials.toml");

const SMALL: Limits = Limits::from_to(0.0, 20.0, "mm");
const LENGTH: Limits = Limits::from_to(0.0, 200.0, "mm");
const DEGREES: Limits = Limits::from_to(0.0, 180.0, "degrees");
const DIOPTRES: Limits = Limits::from_to(0.0, 40.0, "D");
const PERCENT: Limits = Limits::from_to(0.0, 100.0, "%");
const PRISM: Limits = Limits::from_to(0.0, 40.0, "cm/m");

/// The editions that rules may name: those of `data/tolerances.toml`, which a test holds against one another.
const EDITIONS: &[(&str, &str)] = &[
    ("ansi-z80.1-1999", "ansi-z80.1-1999"),
    ("ansi-z80.1-2005", "ansi-z80.1-2005"),
    ("ansi-z80.1-2010", "ansi-z80.1-2010"),
    ("ansi-z80.1-2015", "ansi-z80.1-2015"),
    ("ansi-z80.1-2020", "ansi-z80.1-2020"),
    ("iso-21987-2009", "iso-21987-2009"),
    ("iso-21987-2017", "iso-21987-2017"),
    ("iso-8980-1", "iso-8980-1"),
    ("iso-8980-2", "iso-8980-2"),
];

/// The built-in rules as a file: complete, every value with its source; it reads back to the same rules.
#[must_use]
pub fn built_in_rules_text() -> String {
    format!("{BUILT_IN}\n{MATERIALS}")
}

/// The built-in rules.
#[must_use]
pub fn built_in_rules() -> Rules {
    let text = built_in_rules_text();
    match toml_walk::read(text.as_bytes(), |file| read(file, None)) {
        Ok(rules) => rules,
        // A test reads the built-in file: this cannot be reached by any input.
        Err(faults) => unreachable!("the built-in rules do not read: {faults:?}"),
    }
}

/// Reads a shop's rules over the built-in ones.
///
/// # Errors
/// Every fault of the file.
pub fn read_rules(bytes: &[u8]) -> Result<Rules, Vec<Fault>> {
    let base = built_in_rules();
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Ok(base);
    }
    toml_walk::read(bytes, |file| read(file, Some(&base)))
}

fn read(file: &Table<'_, '_>, base: Option<&Rules>) -> Option<Rules> {
    let section = |key: &'static str| Section { table: file.section(key), complete: base.is_none() };
    let standard = section("standard");
    let edition = standard.word("edition", EDITIONS, base.map(|b| b.edition.as_str())).map(str::to_owned);
    standard.end();
    let allowance = section("allowance");
    let blank_allowance = allowance.mm("blank_mm", SMALL, base.map(|b| b.blank_allowance));
    allowance.end();
    let least = bench::least(&section("least"), base.map(|b| b.least));
    let size = bench::size(&section("size"), base.map(|b| &b.size));
    let bevel = bench::bevel(&section("bevel"), base.map(|b| b.bevel));
    let groove = bench::groove(&section("groove"), base.map(|b| b.groove));
    let wheel = bench::wheel(&section("wheel"), base.map(|b| b.wheel));
    let process = process::read(&section("process"), base);
    let block = bench::block(&section("block"), base.map(|b| &b.block));
    let placement = bench::placement(&section("placement"), base.map(|b| b.placement));
    let eye_section = section("eye");
    let eye = base.map(|b| b.eye);
    let rotation = eye_section.mm("rotation_mm", LENGTH, eye.map(|e| e.rotation));
    let near_down = eye_section.mm("near_down_mm", LENGTH, eye.map(|e| e.near_down));
    let vertex = eye_section.mm("vertex_mm", SMALL, eye.map(|e| e.vertex));
    let lashes = eye_section.mm("lashes_mm", SMALL, eye.map(|e| e.lashes));
    eye_section.end();
    let outline = section("outline");
    let noise = outline.table.as_ref().and_then(|t| t.mm("noise_mm", Limits::between(0.0, 1.0, "mm")));
    outline.end();
    let readings = doubt::readings(&section("readings"), base.map(|b| b.readings));
    let pd_doubt = doubt::pd_doubt(&section("pd_doubt"), base.map(|b| b.pd_doubt));
    let doubt = doubt::doubt(&section("doubt"), base.map(|b| b.doubt));
    let intake = intake::read(&section("intake"), base.map(|b| b.intake));
    let treatments = treatments(file, base);
    let materials = material::over(base.map_or(&[][..], |b| &b.materials), &file.list("material"));
    Some(Rules {
        edition: edition?,
        blank_allowance: blank_allowance?,
        least: least?,
        size: size?,
        bevel: bevel?,
        groove: groove?,
        wheel: wheel?,
        process: process?,
        block: block?,
        placement: placement?,
        eye: EyeModel { rotation: rotation?, near_down: near_down?, vertex: vertex?, lashes: lashes? },
        outline_noise: noise.or_else(|| base.and_then(|b| b.outline_noise)),
        readings: readings?,
        pd_doubt: pd_doubt?,
        doubt: doubt?,
        intake: intake?,
        materials,
        treatments: treatments?,
    })
}

fn treatments(file: &Table<'_, '_>, base: Option<&Rules>) -> Option<TreatmentNames> {
    let mut own: Vec<String> =
        base.map_or_else(Vec::new, |b| b.treatments.all()[TreatmentNames::TRADE.len()..].to_vec());
    if let Some(table) = file.table("treatments") {
        for value in table.list("add") {
            let Some(name) = value.text("a treatment's name in double quotes") else { continue };
            let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
            if name.bytes().all(plain) {
                own.push(name.to_owned());
            } else {
                value.wrong::<()>("small letters, digits and hyphens", "write it as the shelf is to write it: uv-plus");
            }
        }
        table.end();
    }
    let names = TreatmentNames::with(&own);
    if names.is_none() {
        file.fault("there are more than 64 treatments", "keep those that are on the shelf");
    }
    names
}

/// The rules in force as a file: the built-in one with a shop's own values in their places, marked as such.
///
/// # Errors
/// Every fault of the shop's file.
pub fn rules_in_force(bytes: &[u8]) -> Result<String, Vec<Fault>> {
    read_rules(bytes)?;
    let text = source::text(bytes);
    let (shop, _) = DeTable::parse_recoverable(&text);
    Ok(print::overlay(&built_in_rules_text(), shop.get_ref()))
}

#[cfg(test)]
mod tests {
    use super::EDITIONS;

    #[test]
    fn every_edition_that_rules_may_name_has_its_tables() {
        let named: Vec<&str> = EDITIONS.iter().map(|(id, _)| *id).collect();
        let known: Vec<&str> = crate::standards().0.iter().map(|standard| standard.id.as_str()).collect();
        assert_eq!(named, known);
    }
}
