//! Lens materials of the rules: `[[material]]` entries, each over the built-in one of the same id where there is one.

use job::MaterialId;
use job::material::Material;
use job::process::{Coolant, LensFamily};

use super::SMALL;
use crate::limits::{self, Limits};
use crate::toml_walk::{Table, Value};

const DENSITY: Limits = Limits::between(0.5, 10.0, "g/cm3");
const ABBE: Limits = Limits::between(10.0, 100.0, "");

/// What a data sheet says beside the figures that are used; read by people.
const KEPT: [&str; 10] = [
    "n_d_range",
    "n_e_range",
    "abbe_range",
    "density_range",
    "uv_cut_nm",
    "uv_cut_range_nm",
    "min_center_minus_range_mm",
    "min_center_safety_mm",
    "drillable",
    "notes",
];

/// The known materials with the file's own in their places or behind them.
pub(super) fn over(known: &[Material], entries: &[Value<'_, '_>]) -> Vec<Material> {
    let mut materials = known.to_vec();
    for material in entries.iter().filter_map(|entry| read(&entry.table()?, known)) {
        match materials.iter_mut().find(|m| m.id == material.id) {
            Some(place) => *place = material,
            None => materials.push(material),
        }
    }
    materials
}

/// A material that is known need hold only what differs.
fn read(table: &Table<'_, '_>, known: &[Material]) -> Option<Material> {
    let id = table.need("id", table.text("id"), "give it an id such as \"polycarbonate-1.586\"").map(MaterialId::new);
    let base = known.iter().find(|m| id.as_ref() == Some(&m.id));
    let number = |key: &'static str, limits, base: Option<f64>, hint: &str| {
        let read = table.number(key, limits);
        if base.is_some() { read.or(base) } else { table.need(key, read, hint) }
    };
    let name = table.text("name").or(base.map(|b| b.name.as_str()));
    let name = if base.is_some() { name } else { table.need("name", name, "give its name in plain words") };
    let n_d = number("n_d", limits::INDEX, base.map(|b| b.n_d), "write its index on the d line");
    let n_e = table.number("n_e", limits::INDEX).or(base.and_then(|b| b.n_e));
    let abbe = number("abbe", ABBE, base.map(|b| b.abbe), "write its Abbe number");
    let density = number("density_g_cm3", DENSITY, base.map(|b| b.density_g_cm3), "write its density");
    let least_centre = table.mm("min_center_minus_mm", SMALL).or(base.and_then(|b| b.least_centre));
    let bevelled = table.mm("min_edge_plus_beveled_mm", SMALL).or(base.and_then(|b| b.least_edge_bevelled));
    let grooved = table.mm("min_edge_plus_grooved_mm", SMALL).or(base.and_then(|b| b.least_edge_grooved));
    let drilled = table.mm("min_edge_plus_drilled_mm", SMALL).or(base.and_then(|b| b.least_edge_drilled));
    let edging = table.text("edging").or(base.and_then(|b| b.edging.as_deref()));
    let family = table.word("family", LensFamily::WORDS).or(base.map(|b| b.family));
    let rough = table.word("rough", Coolant::WORDS).or(base.and_then(|b| b.rough));
    let finish = table.word("finish", Coolant::WORDS).or(base.and_then(|b| b.finish));
    let sources = table.table("sources").map(|t| sources(&t)).or(base.map(|b| b.sources.clone()));
    for kept in KEPT {
        table.value(kept);
    }
    table.end();
    Some(Material {
        id: id?,
        name: name?.to_owned(),
        n_d: n_d?,
        n_e,
        abbe: abbe?,
        density_g_cm3: density?,
        least_centre,
        least_edge_bevelled: bevelled,
        least_edge_grooved: grooved,
        least_edge_drilled: drilled,
        edging: edging.map(str::to_owned),
        family: family.unwrap_or(LensFamily::Unknown),
        rough,
        finish,
        sources: sources.unwrap_or_default(),
    })
}

/// `{ n_d = "S1", … }` as one text.
fn sources(table: &Table<'_, '_>) -> String {
    let each = table.each();
    let texts =
        each.iter().filter_map(|(key, value)| Some(format!("{key}: {}", value.text("a text in double quotes")?)));
    let joined = texts.collect::<Vec<_>>().join("; ");
    table.end();
    joined
}
