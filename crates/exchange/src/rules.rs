//! Rules: a TOML file that holds what differs from the built-in rules, which are such a file themselves.

mod material;
mod print;

use job::rules::{
    Bevel, Block, BlockAt, CuttingAxis, Doubt, EyeModel, Groove, Intake, Least, Lies, PdDoubt, Placement, Readings,
    RightLeft, Rules, Size, SizeUnit,
};
use job::{FrameMaterial, TreatmentNames};
use toml::de::DeTable;
use units::Mm;

use crate::fault::Fault;
use crate::limits::Limits;
use crate::source;
use crate::toml_walk::{self, Table};

const BUILT_IN: &str = include_str!("../data/rules.toml");
const MATERIALS: &str = include_str!("../data/materials.toml");

const SMALL: Limits = Limits::from_to(0.0, 20.0, "mm");
const LENGTH: Limits = Limits::from_to(0.0, 200.0, "mm");
const DEGREES: Limits = Limits::from_to(0.0, 180.0, "degrees");
const DIOPTRES: Limits = Limits::from_to(0.0, 40.0, "D");
const PRISM: Limits = Limits::from_to(0.0, 40.0, "cm/m");
const YEARS: Limits = Limits::from_to(0.0, 120.0, "years");

/// The editions that rules may name, as the reference tolerances name them.
const EDITIONS: &[(&str, &str)] = &[
    ("ansi-z80.1-1999", "ansi-z80.1-1999"),
    ("ansi-z80.1-2005", "ansi-z80.1-2005"),
    ("ansi-z80.1-2010", "ansi-z80.1-2010"),
    ("ansi-z80.1-2015", "ansi-z80.1-2015"),
    ("ansi-z80.1-2020", "ansi-z80.1-2020"),
    ("iso-21987-2009", "iso-21987-2009"),
    ("iso-21987-2017", "iso-21987-2017"),
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

/// A section of the file, over the rules that hold where it says nothing.
struct Section<'a, 't> {
    table: Option<Table<'a, 't>>,
    complete: bool,
}

impl Section<'_, '_> {
    /// A value of this section, else the one that held before. In the built-in file nothing may be left out.
    fn number(&self, key: &'static str, limits: Limits, base: Option<f64>) -> Option<f64> {
        let Some(table) = &self.table else { return base };
        let read = table.number(key, limits);
        if self.complete { table.need(key, read, "the built-in rules are complete") } else { read.or(base) }
    }

    fn mm(&self, key: &'static str, limits: Limits, base: Option<Mm>) -> Option<Mm> {
        self.number(key, limits, base.map(Mm::mm)).map(Mm::new)
    }

    fn word<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)], base: Option<T>) -> Option<T> {
        self.table.as_ref().and_then(|t| t.word(key, words)).or(base)
    }

    fn yes(&self, key: &'static str, base: Option<bool>) -> Option<bool> {
        self.table.as_ref().and_then(|t| t.boolean(key)).or(base)
    }

    /// Least and most: `[20.0, 40.0]`.
    fn range(&self, key: &'static str, limits: Limits, base: Option<(f64, f64)>) -> Option<(f64, f64)> {
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

    fn range_mm(&self, key: &'static str, base: Option<(Mm, Mm)>) -> Option<(Mm, Mm)> {
        let range = self.range(key, LENGTH, base.map(|(a, b)| (a.mm(), b.mm())))?;
        Some((Mm::new(range.0), Mm::new(range.1)))
    }

    fn end(&self) {
        if let Some(table) = &self.table {
            table.end();
        }
    }
}

fn read(file: &Table<'_, '_>, base: Option<&Rules>) -> Option<Rules> {
    let section = |key: &'static str| Section { table: file.section(key), complete: base.is_none() };
    let standard = section("standard");
    let edition = standard.word("edition", EDITIONS, base.map(|b| b.edition.as_str())).map(str::to_owned);
    standard.end();
    let allowance = section("allowance");
    let blank_allowance = allowance.mm("blank_mm", SMALL, base.map(|b| b.blank_allowance));
    allowance.end();
    let least = least(&section("least"), base.map(|b| b.least));
    let size = size(&section("size"), base.map(|b| &b.size));
    let bevel = bevel(&section("bevel"), base.map(|b| b.bevel));
    let groove_section = section("groove");
    let groove = base.map(|b| b.groove);
    let groove_width = groove_section.mm("width_mm", SMALL, groove.map(|g| g.width));
    let groove_depth = groove_section.mm("depth_mm", SMALL, groove.map(|g| g.depth));
    groove_section.end();
    let block = block(&section("block"), base.map(|b| &b.block));
    let placement = placement(&section("placement"), base.map(|b| b.placement));
    let eye_section = section("eye");
    let eye = base.map(|b| b.eye);
    let rotation = eye_section.mm("rotation_mm", LENGTH, eye.map(|e| e.rotation));
    let near_down = eye_section.mm("near_down_mm", LENGTH, eye.map(|e| e.near_down));
    eye_section.end();
    let outline = section("outline");
    let noise = outline.table.as_ref().and_then(|t| t.mm("noise_mm", Limits::between(0.0, 1.0, "mm")));
    outline.end();
    let readings = readings(&section("readings"), base.map(|b| b.readings));
    let pd_doubt = pd_doubt(&section("pd_doubt"), base.map(|b| b.pd_doubt));
    let doubt = doubt(&section("doubt"), base.map(|b| b.doubt));
    let intake = intake(&section("intake"), base.map(|b| b.intake));
    let treatments = treatments(file, base);
    let materials = material::over(base.map_or(&[][..], |b| &b.materials), &file.list("material"));
    Some(Rules {
        edition: edition?,
        blank_allowance: blank_allowance?,
        least: least?,
        size: size?,
        bevel: bevel?,
        groove: Groove { width: groove_width?, depth: groove_depth? },
        block: block?,
        placement: placement?,
        eye: EyeModel { rotation: rotation?, near_down: near_down? },
        outline_noise: noise.or_else(|| base.and_then(|b| b.outline_noise)),
        readings: readings?,
        pd_doubt: pd_doubt?,
        doubt: doubt?,
        intake: intake?,
        materials,
        treatments: treatments?,
    })
}

fn least(s: &Section<'_, '_>, base: Option<Least>) -> Option<Least> {
    let mm = |key, pick: fn(Least) -> Mm| s.mm(key, SMALL, base.map(pick));
    let least = (
        mm("groove_stop_mm", |l| l.groove_stop),
        mm("groove_ask_mm", |l| l.groove_ask),
        mm("bevel_ask_mm", |l| l.bevel_ask),
        mm("drilled_stop_mm", |l| l.drilled_stop),
        mm("drilled_most_ask_mm", |l| l.drilled_most_ask),
        mm("front_shoulder_mm", |l| l.front_shoulder),
        mm("back_shoulder_mm", |l| l.back_shoulder),
    );
    s.end();
    Some(Least {
        groove_stop: least.0?,
        groove_ask: least.1?,
        bevel_ask: least.2?,
        drilled_stop: least.3?,
        drilled_most_ask: least.4?,
        front_shoulder: least.5?,
        back_shoulder: least.6?,
    })
}

fn size(s: &Section<'_, '_>, base: Option<&Size>) -> Option<Size> {
    let unit = s.word("unit", SizeUnit::WORDS, base.map(|b| b.unit));
    let step = s.mm("step_mm", SMALL, base.map(|b| b.step));
    let right_left = s.word("right_left", RightLeft::WORDS, base.map(|b| b.right_left));
    let mut longer_3d = base.map_or_else(Vec::new, |b| b.longer_3d.clone());
    if let Some(table) = s.table.as_ref().and_then(|t| t.table("longer_3d_mm")) {
        for &(word, material) in FrameMaterial::WORDS {
            if let Some(longer) = table.mm(word, Limits::from_to(-3.0, 3.0, "mm")) {
                longer_3d.retain(|(m, _)| *m != material);
                longer_3d.push((material, longer));
            }
        }
        table.end();
    }
    s.end();
    Some(Size { unit: unit?, step: step?, right_left: right_left?, longer_3d })
}

fn bevel(s: &Section<'_, '_>, base: Option<Bevel>) -> Option<Bevel> {
    let angle_deg = s.number("angle_deg", Limits::between(30.0, 180.0, "degrees"), base.map(|b| b.angle_deg));
    let height = s.mm("height_mm", SMALL, base.map(|b| b.height));
    let safety = s.mm("safety_mm", SMALL, base.map(|b| b.safety));
    let gap_given = s.mm("gap_given_mm", SMALL, base.map(|b| b.gap_given));
    s.end();
    Some(Bevel { angle_deg: angle_deg?, height: height?, safety: safety?, gap_given: gap_given? })
}

fn block(s: &Section<'_, '_>, base: Option<&Block>) -> Option<Block> {
    let axis = s.word("axis", CuttingAxis::WORDS, base.map(|b| b.axis));
    let at = s.word("at", BlockAt::WORDS, base.map(|b| b.at));
    let lies = s.word("lies", Lies::WORDS, base.map(|b| b.lies));
    let diameters = s.table.as_ref().and_then(|t| t.value("diameters_mm")).map(|value| {
        let mut diameters: Vec<Mm> =
            value.list().iter().filter_map(|v| v.number(Limits::between(0.0, 60.0, "mm"))).map(Mm::new).collect();
        diameters.sort_by(|a, b| a.mm().total_cmp(&b.mm()));
        if diameters.is_empty() {
            value.wrong::<()>("the diameters of the blocks on this bench", "write [16.0, 20.0, 24.0]");
        }
        diameters
    });
    let diameters = diameters.or_else(|| base.map(|b| b.diameters.clone()));
    let clear_least = s.mm("clear_least_mm", SMALL, base.map(|b| b.clear_least));
    let clear_wanted = s.mm("clear_wanted_mm", SMALL, base.map(|b| b.clear_wanted));
    let clamp_least = s.mm("clamp_least_mm", LENGTH, base.map(|b| b.clamp_least));
    s.end();
    Some(Block {
        axis: axis?,
        at: at?,
        lies: lies?,
        diameters: diameters?,
        clear_least: clear_least?,
        clear_wanted: clear_wanted?,
        clamp_least: clamp_least?,
    })
}

fn placement(s: &Section<'_, '_>, base: Option<Placement>) -> Option<Placement> {
    let lower_aspheric = s.yes("lower_aspheric", base.map(|b| b.lower_aspheric));
    let lower_spheric = s.yes("lower_spheric", base.map(|b| b.lower_spheric));
    let curve_match_d = s.number("curve_match_d", DIOPTRES, base.map(|b| b.curve_match_d));
    let pd_prism = s.number("pd_prism_cm_per_m", PRISM, base.map(|b| b.pd_prism_cm_per_m));
    s.end();
    Some(Placement {
        lower_aspheric: lower_aspheric?,
        lower_spheric: lower_spheric?,
        curve_match_d: curve_match_d?,
        pd_prism_cm_per_m: pd_prism?,
    })
}

fn readings(s: &Section<'_, '_>, base: Option<Readings>) -> Option<Readings> {
    let power_d = s.number("power_d", DIOPTRES, base.map(|b| b.power_d));
    let axis_deg = s.number("axis_deg", DEGREES, base.map(|b| b.axis_deg));
    let place = s.mm("place_mm", SMALL, base.map(|b| b.place));
    let prism = s.number("prism_cm_per_m", PRISM, base.map(|b| b.prism_cm_per_m));
    s.end();
    Some(Readings { power_d: power_d?, axis_deg: axis_deg?, place: place?, prism_cm_per_m: prism? })
}

fn pd_doubt(s: &Section<'_, '_>, base: Option<PdDoubt>) -> Option<PdDoubt> {
    let mm = |key, pick: fn(PdDoubt) -> Mm| s.mm(key, SMALL, base.map(pick));
    let doubt = (
        mm("self_mm", |d| d.own),
        mm("pupillometer_mm", |d| d.pupillometer),
        mm("rule_examiner_mm", |d| d.rule_examiner),
        mm("rule_self_mm", |d| d.rule_self),
        mm("app_mm", |d| d.app),
        mm("unknown_mm", |d| d.unknown),
    );
    s.end();
    Some(PdDoubt {
        own: doubt.0?,
        pupillometer: doubt.1?,
        rule_examiner: doubt.2?,
        rule_self: doubt.3?,
        app: doubt.4?,
        unknown: doubt.5?,
    })
}

fn doubt(s: &Section<'_, '_>, base: Option<Doubt>) -> Option<Doubt> {
    let front_curve_d = s.number("front_curve_d", DIOPTRES, base.map(|b| b.front_curve_d));
    let centre = s.mm("centre_mm", SMALL, base.map(|b| b.centre));
    let plus_blank_edge = s.mm("plus_blank_edge_mm", SMALL, base.map(|b| b.plus_blank_edge));
    s.end();
    Some(Doubt { front_curve_d: front_curve_d?, centre: centre?, plus_blank_edge: plus_blank_edge? })
}

fn intake(s: &Section<'_, '_>, base: Option<Intake>) -> Option<Intake> {
    let d = |key, pick: fn(Intake) -> f64| s.number(key, DIOPTRES, base.map(pick));
    let mm = |key, pick: fn(Intake) -> Mm| s.mm(key, LENGTH, base.map(pick));
    let years = |key: &'static str, pick: fn(Intake) -> i16| {
        let read = s.table.as_ref().and_then(|t| t.value(key)).and_then(|v| v.whole(YEARS));
        read.and_then(|y| i16::try_from(y).ok()).or(base.map(pick))
    };
    let opposite_sign_d = d("opposite_sign_d", |i| i.opposite_sign_d);
    let anisometropia_d = d("anisometropia_d", |i| i.anisometropia_d);
    let mirror_cylinder_d = d("mirror_cylinder_d", |i| i.mirror_cylinder_d);
    let mirror_deg = s.number("mirror_deg", DEGREES, base.map(|i| i.mirror_deg));
    let vertex_d = d("vertex_d", |i| i.vertex_d);
    let monocular_apart = mm("monocular_apart_mm", |i| i.monocular_apart);
    let monocular = s.range_mm("monocular_mm", base.map(|i| (i.monocular_least, i.monocular_most)));
    let binocular = s.range_mm("binocular_mm", base.map(|i| (i.binocular_least, i.binocular_most)));
    let height_apart = mm("height_apart_mm", |i| i.height_apart);
    let prism_pair = s.number("prism_pair_cm_per_m", PRISM, base.map(|i| i.prism_pair_cm_per_m));
    let prescription_years = years("prescription_years", |i| i.prescription_years);
    let child_years = years("child_years", |i| i.child_years);
    let box_width = s.range_mm("box_width_mm", base.map(|i| i.box_width));
    let box_height = s.range_mm("box_height_mm", base.map(|i| i.box_height));
    let between_lenses = s.range_mm("between_lenses_mm", base.map(|i| i.between_lenses));
    let add_d = s.range("add_d", DIOPTRES, base.map(|i| i.add_d));
    s.end();
    let ((monocular_least, monocular_most), (binocular_least, binocular_most)) = (monocular?, binocular?);
    Some(Intake {
        opposite_sign_d: opposite_sign_d?,
        anisometropia_d: anisometropia_d?,
        mirror_cylinder_d: mirror_cylinder_d?,
        mirror_deg: mirror_deg?,
        vertex_d: vertex_d?,
        monocular_apart: monocular_apart?,
        monocular_least,
        monocular_most,
        binocular_least,
        binocular_most,
        height_apart: height_apart?,
        prism_pair_cm_per_m: prism_pair?,
        prescription_years: prescription_years?,
        child_years: child_years?,
        box_width: box_width?,
        box_height: box_height?,
        between_lenses: between_lenses?,
        add_d: add_d?,
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
    use super::*;

    #[test]
    fn what_is_printed_reads_back_to_the_same_rules() {
        assert_eq!(read_rules(built_in_rules_text().as_bytes()), Ok(built_in_rules()));
        let own = b"[allowance]\nblank_mm = 1.5\n[outline]\nnoise_mm = 0.012\n[block]\naxis = \"lens-axis\"\n[treatments]\nadd = [\"bench-blue\"]\n\
            [[material]]\nid = \"own-1.61\"\nname = \"own resin\"\nn_d = 1.61\nabbe = 40.0\ndensity_g_cm3 = 1.3\n";
        let rules = read_rules(own).unwrap();
        assert_eq!((rules.blank_allowance, rules.outline_noise), (Mm::new(1.5), Some(Mm::new(0.012))));
        let printed = rules_in_force(own).unwrap();
        assert_eq!(printed.matches("# this shop's").count(), 5, "{printed}");
        assert_eq!(read_rules(printed.as_bytes()), Ok(rules));
    }

    #[test]
    fn every_value_of_the_built_in_file_names_its_source() {
        for line in BUILT_IN.lines().filter(|l| l.contains(" = ") && !l.starts_with('#')) {
            let comment = line.split('#').nth(1).unwrap_or("").trim();
            assert!(comment.len() > 5, "{line}");
        }
    }

    #[test]
    fn an_empty_file_changes_nothing_and_faults_are_all_told() {
        assert_eq!(read_rules(b" \n"), Ok(built_in_rules()));
        let faults = read_rules(b"[alowance]\nblank_mm = 1\n[least]\ngroove_stop_mm = -1\nbevel_ask_mm = \"1.0\"\n")
            .unwrap_err();
        let places: Vec<_> = faults.iter().map(|f| (f.line, f.column)).collect();
        assert_eq!(places, [(1, 2), (4, 18), (5, 16)], "{faults:?}");
    }
}
