//! Every cell of the reference tables against the tables that judge; a table of the reference is held or left out by name.

use std::collections::BTreeSet;

use exchange::standards;
use inspection::{
    Amount, Band, Bands, Combine, Edge, Limit, Meridians, PowerRule, PrismBand, ReferencePointRule, Rule, SphereBasis,
    Standard, Sure,
};
use toml::{Table, Value};

const REFERENCE: &str = include_str!("../../../../reference/tolerances.toml");

/// What is not a tolerance of an uncut lens's items, with the reason.
const LEFT_OUT: &[(&str, &str)] = &[
    ("ansi.imbalance", "of a mounted pair: comes with the inspection of one"),
    ("ansi.position.segment_height", "of a mounted pair"),
    ("ansi.position.fitting_cross_height", "of a mounted pair"),
    ("ansi.position.segment_horizontal", "of a mounted pair"),
    ("ansi.position.fitting_cross_horizontal", "of a mounted pair"),
    ("ansi.position.tilt", "of a mounted pair"),
    ("ansi.dimension.segment_size", "multifocals are not figured yet"),
    ("ansi.dimension.warpage", "comes from mounting"),
    ("ansi.dimension.localized_error", "not a figure that is read"),
    ("ansi.impact", "a duty, not a tolerance"),
    ("state.virginia", "history, no default"),
    ("state.new_jersey", "history, no default"),
    ("historical.bs2738_1985", "history, no default"),
    ("iso.prism_mounted", "of a mounted pair"),
    ("iso.position", "of a mounted pair"),
    ("iso.material_quality", "not a figure that is read"),
];

fn standard(id: &str) -> &'static Standard {
    standards().edition(id).unwrap_or_else(|| panic!("{id} is an edition"))
}

/// A number of the reference as an exact amount.
fn exact(value: &Value) -> Amount {
    let number = value.as_float().or_else(|| value.as_integer().map(|n| n as f64));
    Amount::nearest(number.unwrap_or_else(|| panic!("{value:?} is a number")))
}

fn reference() -> Table {
    REFERENCE.parse().expect("the reference reads")
}

fn at<'a>(reference: &'a Table, path: &str) -> &'a Table {
    path.split('.').fold(reference, |table, key| table[key].as_table().expect("a table"))
}

/// A band of the reference: its edges belong to it where it says so; an open end says nothing.
fn band(row: &Table) -> Band {
    let lo = exact(&row["lo"]);
    let begins = if row["lo_incl"].as_bool().expect("yes or no") { Edge::From(lo) } else { Edge::Above(lo) };
    let to = row.get("hi").map(exact);
    assert_eq!(to.is_some(), row["hi_incl"].as_bool().expect("yes or no"), "an upper edge belongs to its band");
    let limit = match (row.get("tol"), row.get("tol_pct")) {
        (Some(tol), None) => Limit::Amount(exact(tol)),
        (None, Some(percent)) => Limit::Permille(exact(percent).in_millionths() / 100_000),
        _ => panic!("one of tol and tol_pct"),
    };
    Band { begins, to, limit }
}

fn bands(table: &Table, rows: &str) -> Bands {
    Bands(table[rows].as_array().expect("rows").iter().map(|row| band(row.as_table().expect("a row"))).collect())
}

/// How sure the reference is of a table.
fn sure(table: &Table) -> Sure {
    match table["confidence"].as_str().expect("a word") {
        "multi" => Sure::Agreed,
        "single" => Sure::OneSource,
        "partial" => Sure::PartlyMemory,
        "memory" => Sure::Memory,
        other => panic!("{other}"),
    }
}

/// The title of the first source, or that it is from memory.
fn first_source<'a>(reference: &'a Table, table: &'a Table) -> &'a str {
    match table.get("sources").and_then(Value::as_array) {
        Some(ids) => at(reference, "source")[ids[0].as_str().expect("an id")]["title"].as_str().expect("a title"),
        None => "from memory",
    }
}

/// The editions whose sphere and cylinder go by bands, with the reference's table for each kind of lens.
const BY_BANDS: [(&str, &str, &str, SphereBasis); 4] = [
    ("ansi-z80.1-1999", "ansi.sv_mf", "ansi.sv_mf", SphereBasis::StrongestMeridian),
    ("ansi-z80.1-2005", "ansi.sv_mf", "ansi.pal", SphereBasis::StrongestMeridian),
    ("ansi-z80.1-2010", "ansi.sv_mf", "ansi.pal", SphereBasis::StrongestMeridian),
    ("ansi-z80.1-2015", "ansi.sv_mf", "ansi.pal", SphereBasis::MinusForm),
];

#[test]
fn every_cell_is_the_references() {
    let reference = reference();
    let mut held = BTreeSet::new();
    let rule = |path: &str, rows: &str, rule: &Rule<Bands>| {
        let table = at(&reference, path);
        assert_eq!(rule.is, bands(table, rows), "{path}");
        assert_eq!(rule.sure, sure(table), "{path}");
        assert!(rule.source.starts_with(first_source(&reference, table)), "{path}: {}", rule.source);
    };
    for (id, single, progressive, want_basis) in BY_BANDS {
        for (power, path) in [(&standard(id).single, single), (&standard(id).progressive, progressive)] {
            let Some(PowerRule::SphereAndCylinder { basis, sphere, cylinder, .. }) = power else { panic!("{id}") };
            assert_eq!(*basis, want_basis, "{id}");
            rule(path, "sphere", sphere);
            rule(path, "cylinder", cylinder);
            held.insert(path);
        }
    }
    for (id, path) in
        [("ansi-z80.1-1999", "ansi.axis_1999"), ("ansi-z80.1-2005", "ansi.axis"), ("ansi-z80.1-2015", "ansi.axis")]
    {
        rule(path, "band", standard(id).axis.as_ref().expect("axis"));
        held.insert(path);
    }
    for (id, path) in [("iso-21987-2009", "iso.axis_mounted"), ("iso-21987-2017", "iso.axis_mounted")] {
        rule(path, "band", standard(id).axis.as_ref().expect("axis"));
        held.insert(path);
    }
    for id in ["iso-8980-1", "iso-8980-2"] {
        rule("iso.axis_uncut", "band", standard(id).axis.as_ref().expect("axis"));
        held.insert("iso.axis_uncut");
    }
    for id in ["ansi-z80.1-1999", "ansi-z80.1-2005", "ansi-z80.1-2010", "ansi-z80.1-2015"] {
        let standard = standard(id);
        rule("ansi.add", "band", standard.add.as_ref().expect("add"));
        for (path, key, rule) in [
            ("ansi.dimension.centre_thickness", "tol_mm", &standard.centre_thickness),
            ("ansi.dimension.base_curve", "tol_d", &standard.base_curve),
        ] {
            let rule = rule.as_ref().expect("a rule");
            assert_eq!((rule.is, rule.sure), (exact(&at(&reference, path)[key]), sure(at(&reference, path))), "{path}");
            held.insert(path);
        }
        let Some(ReferencePointRule::PrismOrPlace(rule)) = &standard.reference_point else { panic!("{id}") };
        let table = at(&reference, "ansi.prp_unmounted");
        assert_eq!(rule.is.prism, exact(&table["max_prism_error_pd"]));
        assert_eq!(rule.is.place, exact(&table["max_location_error_mm"]));
        assert_eq!((table["combine"].as_str(), rule.is.combine), (Some("or"), Combine::Either));
        assert_eq!(rule.sure, sure(table));
        held.extend(["ansi.add", "ansi.prp_unmounted"]);
    }
    for id in ["iso-21987-2009", "iso-21987-2017", "iso-8980-1", "iso-8980-2"] {
        let standard = standard(id);
        rule("iso.add", "band", standard.add.as_ref().expect("add"));
        let thickness = standard.centre_thickness.as_ref().expect("a rule");
        let table = at(&reference, "iso.dimension");
        assert_eq!((thickness.is, thickness.sure), (exact(&table["centre_thickness_mm"]), sure(table)), "{id}");
        assert!(standard.base_curve.is_none(), "the reference knows none");
        held.extend(["iso.add", "iso.dimension"]);
        for (power, path) in [(&standard.single, "iso.power_sv_mf"), (&standard.progressive, "iso.power_pal")] {
            match power {
                Some(PowerRule::Meridians(rule)) => meridians(&reference, path, rule),
                Some(_) => panic!("{id}: by meridians"),
                // Uncut lenses of one kind only: part 1 and part 2.
                None => assert_eq!(id == "iso-8980-1", path == "iso.power_pal", "{id}"),
            }
            held.insert(path);
        }
    }
    for id in ["iso-8980-1", "iso-8980-2"] {
        let Some(ReferencePointRule::ByPower(rule)) = &standard(id).reference_point else { panic!("{id}") };
        let table = at(&reference, "iso.prism_uncut");
        let rows: Vec<PrismBand> = table["band"].as_array().expect("rows").iter().map(prism_band).collect();
        assert_eq!((&rule.is.0, rule.sure), (&rows, sure(table)));
        held.insert("iso.prism_uncut");
    }
    every_table_is_held_or_left_out(&reference, &held);
}

fn prism_band(row: &Value) -> PrismBand {
    let slope = |key: &str| exact(&row[key]).in_millionths() / 1000;
    PrismBand {
        to: row.get("hi").map(exact),
        horizontal: (exact(&row["h0"]), slope("h1")),
        vertical: (exact(&row["v0"]), slope("v1")),
    }
}

/// Rows in order without a gap, every limit, and the cells that the reference's comment calls seen.
fn meridians(reference: &Table, path: &str, rule: &Rule<Meridians>) {
    let table = at(reference, path);
    let edges: Vec<Amount> = table["cyl_edges"].as_array().expect("edges").iter().map(exact).collect();
    assert_eq!(rule.is.cylinder_edges, edges, "{path}");
    let rows = table["row"].as_array().expect("rows");
    assert_eq!(rule.is.rows.len(), rows.len(), "{path}");
    let mut begins = Amount::ZERO;
    for (row, want) in rule.is.rows.iter().zip(rows) {
        assert_eq!(exact(&want["lo"]), begins, "{path}: a row begins where the last one ends");
        assert_eq!(row.to, want.get("hi").map(exact), "{path}");
        begins = row.to.unwrap_or_default();
        assert_eq!(row.meridian.0, exact(&want["a"]), "{path}");
        let limits: Vec<Amount> = row.cylinder.iter().map(|(limit, _)| *limit).collect();
        let want: Vec<Amount> = want["b"].as_array().expect("limits").iter().map(exact).collect();
        assert_eq!(limits, want, "{path}");
        // "Cells actually seen in public pages: row 0-3 a and b(<=0.75); row 9-12 a and b(<=0.75)."
        let seen = path == "iso.power_sv_mf" && [3, 12].map(|d| Some(Amount::thousandths(d * 1000))).contains(&row.to);
        let sure = |seen: bool| if seen { Sure::OneSource } else { Sure::Memory };
        assert_eq!(row.meridian.1, sure(seen), "{path}");
        for (n, (_, cell)) in row.cylinder.iter().enumerate() {
            assert_eq!(*cell, sure(seen && n == 0), "{path}");
        }
    }
    assert_eq!(rule.sure, Sure::Memory, "{path}: what is not seen is from memory");
}

/// Every table that has figures: those with rows count as one.
fn every_table_is_held_or_left_out(reference: &Table, held: &BTreeSet<&str>) {
    fn walk(table: &Table, path: &str, found: &mut BTreeSet<String>) {
        let inner: Vec<(&String, &Table)> = table.iter().filter_map(|(k, v)| Some((k, v.as_table()?))).collect();
        if inner.is_empty() {
            found.insert(path.to_owned());
        }
        for (key, table) in inner {
            walk(table, &format!("{path}.{key}"), found);
        }
    }
    let mut found = BTreeSet::new();
    for group in ["ansi", "iso", "state", "historical"] {
        walk(at(reference, group), group, &mut found);
    }
    for path in &found {
        let left_out = LEFT_OUT.iter().any(|(name, why)| name == path && !why.is_empty());
        assert!(held.contains(path.as_str()) != left_out, "{path} is neither held nor left out, or both");
    }
    for (path, _) in LEFT_OUT {
        assert!(found.contains(*path), "nothing is left out by {path}");
    }
    println!("tolerances.toml: {} tables held, {} left out", held.len(), LEFT_OUT.len());
}

/// The two variants that the reference tells in words: the 2010 summary's first band, and "and" in clause 5.1.4.
#[test]
fn the_variants_told_in_words() {
    let reference = reference();
    let mut want = bands(at(&reference, "ansi.axis"), "band");
    assert!(
        at(&reference, "ansi.axis")["below_lowest"]
            .as_str()
            .unwrap()
            .contains("14-degree band at anything above 0.00 D")
    );
    want.0[0].begins = Edge::Above(Amount::ZERO);
    let axis_2010 = standard("ansi-z80.1-2010").axis.as_ref().unwrap();
    let other_2015 = &standard("ansi-z80.1-2015").other_axis.as_ref().unwrap().1;
    assert_eq!((&axis_2010.is, &other_2015.is), (&want, &want));
    let prp = at(&reference, "ansi.prp_unmounted");
    assert_eq!(prp["combine_2010_clause_5_1_4"].as_str(), Some("and"));
    assert_eq!(prp["combine_2010_method_8_4"].as_str(), Some("or"));
    for (id, same_edition) in [("ansi-z80.1-2010", true), ("ansi-z80.1-2015", false)] {
        let Some(ReferencePointRule::PrismOrPlace(rule)) = &standard(id).reference_point else { panic!("{id}") };
        let (other, _, same) = rule.is.other.as_ref().expect("another wording");
        assert_eq!((*other, *same), (Combine::Both, same_edition), "{id}");
    }
}

/// Ids and names are the reference's, and an edition whose numbers were not verified says so of every figure.
#[test]
fn the_editions_are_the_references() {
    let reference = reference();
    let editions = at(&reference, "edition");
    let want: BTreeSet<&str> = editions.iter().map(|(_, e)| e["id"].as_str().unwrap()).collect();
    let ours: BTreeSet<&str> = standards().0.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ours, want);
    for (_, edition) in editions {
        let standard = standard(edition["id"].as_str().unwrap());
        assert!(edition["name"].as_str().unwrap().starts_with(&standard.name), "{}", standard.name);
        let verified = edition.get("numbers_verified").is_none();
        assert_eq!(standard.axis.as_ref().unwrap().sure != Sure::Unverified, verified, "{}", standard.id);
    }
    let (new, old) = (standard("ansi-z80.1-2020").clone(), standard("ansi-z80.1-2015").clone());
    let renamed = Standard { id: new.id.clone(), name: new.name.clone(), ..old };
    assert_eq!(new, renamed.unverified(), "the 2015 figures, each called unverified");
}
