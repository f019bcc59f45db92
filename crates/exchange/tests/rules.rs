//! Rules: the built-in file is complete and says what the reference says; a shop's file changes what it names, and every
//! fault is told.

#![allow(clippy::unwrap_used, reason = "a test; only functions marked as tests are spared otherwise")]

use std::collections::BTreeMap;

use exchange::{Fault, built_in_rules, built_in_rules_text, read_rules, report, rules_in_force};
use job::process::{Coolant, LensFamily};
use job::rules::{BlockAt, CuttingAxis, Lies, RightLeft, Rules, SizeUnit};
use job::{FrameMaterial, MaterialId, Mounting};
use units::Mm;

fn faults(text: &str) -> Vec<Fault> {
    read_rules(text.as_bytes()).err().unwrap_or_default()
}

#[test]
fn the_built_in_text_reads_back_to_the_built_in_rules() {
    assert_eq!(read_rules(built_in_rules_text().as_bytes()), Ok(built_in_rules()));
    assert_eq!(rules_in_force(b""), Ok(built_in_rules_text()));
    assert_eq!(rules_in_force(built_in_rules_text().as_bytes()), Ok(built_in_rules_text()), "nothing differs");
    for nothing in ["", " \r\n", "# nothing differs here\n", "[least]\n", "\u{feff}"] {
        assert_eq!(read_rules(nothing.as_bytes()), Ok(built_in_rules()), "{nothing:?}");
    }
}

#[test]
fn every_built_in_line_says_where_it_comes_from() {
    let text = built_in_rules_text();
    let (rules, materials) = text.split_once("[[material]]").unwrap();
    let values: Vec<&str> = rules.lines().filter(|l| l.contains(" = ") && !l.starts_with('#')).collect();
    assert!(values.len() > 60, "{}", values.len());
    for line in values {
        assert!(line.split_once("  #").is_some_and(|(_, source)| source.trim().len() > 5), "{line}");
    }
    let ids = materials.matches("id = ").count();
    assert_eq!((ids, materials.matches("sources = ").count()), (14, 14));
}

/// Our figures against the facts of the trade under `reference/`.
#[test]
fn the_built_in_rules_say_what_the_reference_says() {
    let facts: toml::Table = include_str!("../../../reference/check-facts.toml").parse().unwrap();
    let number = |value: &toml::Value| value.as_float().or(value.as_integer().map(|n| n as f64));
    let facts: BTreeMap<&str, &toml::Table> = facts["fact"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|fact| Some((fact.get("id")?.as_str()?, fact.as_table()?)))
        .collect();
    let value = |id: &str| number(facts[id].get("value").or(facts[id].get("expect")).unwrap()).unwrap();
    let of = |id: &str, key: &str| number(&facts[id]["values"][key]).unwrap();
    let half = |low: &str, high: &str| (of("order.pd-self-measure", high) - of("order.pd-self-measure", low)) / 2.0;
    let rules = built_in_rules();
    let intake = rules.intake;
    for (what, ours, theirs) in [
        ("monocular apart", intake.monocular_apart.mm(), value("order.monocular-asymmetry-ask")),
        ("vertex", intake.vertex_d, value("order.vertex-ask")),
        ("prescription", f64::from(intake.prescription_years), value("order.uk-prescription-age")),
        ("least pd", intake.binocular_least.mm(), of("order.pd-adult-range", "nearly_all_min")),
        ("most pd", intake.binocular_most.mm(), of("order.pd-adult-range", "nearly_all_max")),
        ("most half pd", intake.monocular_most.mm(), of("order.pd-adult-range", "nearly_all_max") / 2.0),
        ("least half pd", intake.monocular_least.mm(), of("order.pd-adult-range", "child_min") / 2.0),
        ("least add", intake.add_d.0, of("order.add-usual", "min")),
        ("most add", intake.add_d.1, of("order.add-usual", "seen_max")),
        ("self", rules.pd_doubt.own.mm(), half("self_low", "self_high")),
        ("examiner", rules.pd_doubt.rule_examiner.mm(), half("examiner_rule_low", "examiner_rule_high")),
        ("groove stop", rules.least.groove_stop.mm(), of("thick.edge-groove", "absolute")),
        ("groove ask", rules.least.groove_ask.mm(), value("edge.groove-budget")),
        ("drilled most", rules.least.drilled_most_ask.mm(), of("thick.edge-drill", "max")),
        ("groove width", rules.groove.width.mm(), of("edge.groove", "width")),
        ("groove depth", rules.groove.depth.mm(), of("edge.groove", "depth")),
        ("groove wall", rules.groove.wall.mm(), of("edge.groove-wall", "min")),
        ("hole wall", rules.least.hole_wall_ask.mm(), of("edge.hole-wall", "min")),
        ("clear least", rules.block.clear_least.mm(), of("blank.block-clearance", "min")),
        ("clear wanted", rules.block.clear_wanted.mm(), of("blank.block-clearance", "good")),
        ("clamp", rules.block.clamp_least.mm(), of("blank.clamp-min-B", "patternless")),
        ("stage", rules.process.stage.mm(), of("edge.poly-removal", "step_mm")),
        ("drill step", rules.process.drill_step.mm(), value("edge.drill-peck")),
        ("drilled least", rules.least.hole_edge_ask.mm(), of("thick.edge-drill", "min")),
        ("cut, easy", rules.process.minutes.cut(LensFamily::Allyl), of("edge.cycle-time", "easy")),
        ("cut, high index", rules.process.minutes.cut(LensFamily::Thiourethane), of("edge.cycle-time", "high_index")),
        ("cut, high index", rules.process.minutes.cut(LensFamily::Episulfide), of("edge.cycle-time", "high_index")),
        ("centre doubt", rules.doubt.centre.mm(), value("thick.iso-centre-tolerance")),
    ] {
        assert!((ours - theirs).abs() < 1e-9, "{what}: {ours} here, {theirs} in the reference");
    }
}

#[test]
fn the_built_in_materials_are_the_reference_materials() {
    let reference: toml::Table = include_str!("../../../reference/materials.toml").parse().unwrap();
    let reference = reference["material"].as_array().unwrap();
    let rules = built_in_rules();
    assert_eq!(rules.materials.len(), reference.len());
    assert!(reference.len() >= 14);
    for (ours, theirs) in rules.materials.iter().zip(reference) {
        let number = |key: &str| theirs.get(key).and_then(toml::Value::as_float);
        let text = |key: &str| theirs.get(key).and_then(toml::Value::as_str);
        assert_eq!(Some(ours.id.as_str()), text("id"));
        assert_eq!((Some(ours.name.as_str()), ours.edging.as_deref()), (text("name"), text("edging")), "{}", ours.id);
        assert_eq!((Some(ours.n_d), ours.n_e), (number("n_d"), number("n_e")), "{}", ours.id);
        assert_eq!(
            (Some(ours.abbe), Some(ours.density_g_cm3)),
            (number("abbe"), number("density_g_cm3")),
            "{}",
            ours.id
        );
        let least = [ours.least_centre, ours.least_edge_bevelled, ours.least_edge_grooved, ours.least_edge_drilled];
        let keys =
            ["min_center_minus_mm", "min_edge_plus_beveled_mm", "min_edge_plus_grooved_mm", "min_edge_plus_drilled_mm"];
        assert_eq!(least.map(|l| l.map(Mm::mm)), keys.map(number), "{}", ours.id);
        let sources = theirs["sources"].as_table().unwrap();
        assert!(
            sources.iter().all(|(k, v)| ours.sources.contains(&format!("{k}: {}", v.as_str().unwrap()))),
            "{}",
            ours.id
        );
    }
}

/// Roughing and finishing are a reading of the reference's `edging`: its first word, and water wherever it names it for
/// finishing. Every material has a family, and every family and mounting has its minutes.
#[test]
fn every_material_says_how_it_is_cut() {
    let rules = built_in_rules();
    for material in &rules.materials {
        let edging = material.edging.as_deref().unwrap();
        assert_ne!(material.family, LensFamily::Unknown, "{}", material.id);
        let rough = if edging.starts_with("dry") { Coolant::Dry } else { Coolant::Wet };
        assert!(edging.starts_with("dry") || edging.starts_with("wet"), "{edging}");
        assert_eq!(material.rough, Some(rough), "{}", material.id);
        assert!(edging.contains("wet") || edging.contains("water"), "{edging}");
        assert_eq!(material.finish, Some(Coolant::Wet), "{}", material.id);
    }
    let minutes = &rules.process.minutes;
    assert!(LensFamily::WORDS.iter().all(|&(_, family)| minutes.cut(family) > 0.0));
    assert!(Mounting::WORDS.iter().all(|&(_, mounting)| minutes.mount(mounting) > 0.0));
}

/// A shop's own material need not say how it is cut; a known one may be cut otherwise here.
#[test]
fn a_shop_says_how_it_cuts() {
    let own = "[[material]]\nid = \"own\"\nname = \"own\"\nn_d = 1.6\nabbe = 40.0\ndensity_g_cm3 = 1.3\n";
    let rules = read_rules(own.as_bytes()).unwrap();
    let material = rules.material(&MaterialId::new("own")).unwrap();
    assert_eq!((material.family, material.rough, material.finish), (LensFamily::Unknown, None, None));
    let dry = "[[material]]\nid = \"thiourethane-1.60\"\nrough = \"dry\"\n[process]\ncut_minutes = { glass = 12.0 }\n";
    let rules = read_rules(dry.as_bytes()).unwrap();
    let material = rules.material(&MaterialId::new("thiourethane-1.60")).unwrap();
    assert_eq!((material.family, material.rough), (LensFamily::Thiourethane, Some(Coolant::Dry)));
    assert_eq!(
        (rules.process.minutes.cut(LensFamily::Glass), rules.process.minutes.cut(LensFamily::Allyl)),
        (12.0, 2.0)
    );
    let told: Vec<String> = faults("[process]\nmark_minutes = -1.0\nthick_mm = 2.0\ncut_minutes = { glas = 1.0 }\n")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(told.len(), 3, "{told:?}");
}

/// Rules of a shop that differ in every kind of value.
const SHOP: &str = r#"
[standard]
edition = "ansi-z80.1-2015"
[allowance]
blank_mm = 1.25
[size]
unit = "circumference"
right_left = "mirror"
longer_3d_mm = { acetate = 0.5 }
[wheel]
bevel_mm = 75
[block]
axis = "lens-axis"
at = "optical-centre"
lies = "back-up"
diameters_mm = [
    24,   # the large one
    18.5,
]
[placement]
lower_spheric = true
[outline]
noise_mm = 0.012
[intake]
child_years = 18
monocular_mm = [18, 42]
add_d = [0.5, 4.0]
[treatments]
add = ["lab-blue"]
[[material]]
id = "adc-1.498"
abbe = 57.5
sources = { abbe = "the maker's data sheet, \"2026\"" }
[[material]]
id = "own-1.61"
name = "own resin"
n_d = 1.607
abbe = 40
density_g_cm3 = 1.3
"#;

#[test]
fn a_shops_file_changes_what_it_names_and_nothing_else() {
    let rules = read_rules(SHOP.as_bytes()).unwrap();
    let built_in = built_in_rules();
    assert_eq!((rules.edition.as_str(), rules.blank_allowance), ("ansi-z80.1-2015", Mm::new(1.25)));
    assert_eq!((rules.size.unit, rules.size.right_left), (SizeUnit::Circumference, RightLeft::Mirror));
    let longer = |rules: &Rules, material| rules.size.longer_3d.iter().find(|(m, _)| *m == material).map(|(_, mm)| *mm);
    assert_eq!(longer(&rules, FrameMaterial::Acetate), Some(Mm::new(0.5)));
    assert_eq!(longer(&rules, FrameMaterial::Metal), longer(&built_in, FrameMaterial::Metal));
    assert_eq!(
        (rules.block.axis, rules.block.at, rules.block.lies),
        (CuttingAxis::LensAxis, BlockAt::OpticalCentre, Lies::BackUp)
    );
    assert_eq!((rules.wheel.bevel, rules.wheel.rough), (Mm::new(75.0), built_in.wheel.rough));
    assert_eq!(rules.block.diameters, [Mm::new(18.5), Mm::new(24.0)], "ascending");
    assert_eq!((rules.placement.lower_spheric, rules.placement.lower_aspheric), (true, true));
    assert_eq!((rules.outline_noise, built_in.outline_noise), (Some(Mm::new(0.012)), None));
    assert_eq!((rules.intake.child_years, rules.intake.prescription_years), (18, built_in.intake.prescription_years));
    assert_eq!((rules.intake.monocular_least, rules.intake.monocular_most), (Mm::new(18.0), Mm::new(42.0)));
    assert_eq!(rules.intake.add_d, (0.5, 4.0));
    assert!(rules.treatments.find("lab-blue").is_some() && rules.treatments.find("uv").is_some());
    let material = |rules: &Rules, id: &str| rules.material(&MaterialId::new(id)).unwrap().clone();
    let (ours, theirs) = (material(&rules, "adc-1.498"), material(&built_in, "adc-1.498"));
    assert_eq!((ours.abbe, ours.n_d, ours.name), (57.5, theirs.n_d, theirs.name), "a known material keeps the rest");
    assert_eq!(material(&rules, "own-1.61").n_d, 1.607);
    assert_eq!(rules.materials.len(), built_in.materials.len() + 1);
    assert_eq!((rules.least, rules.bevel, rules.eye), (built_in.least, built_in.bevel, built_in.eye));
}

#[test]
fn the_rules_in_force_read_back_and_mark_what_is_the_shops() {
    let printed = rules_in_force(SHOP.as_bytes()).unwrap();
    assert_eq!(read_rules(printed.as_bytes()), read_rules(SHOP.as_bytes()), "{printed}");
    for line in [
        "blank_mm = 1.25   # this shop's; built in: 1.0; per side",
        "diameters_mm = [24, 18.5]   # this shop's; built in: [16.0, 18.0, 20.0, 22.0, 24.0]; common practice",
        "noise_mm = 0.012   # this shop's; built in: none; no default",
        "abbe = 57.5   # this shop's; built in: 58.0",
    ] {
        assert!(printed.contains(line), "{line}\n{printed}");
    }
    assert_eq!(printed.matches("id = \"adc-1.498\"").count(), 1);
    // Standing in a built-in place, or as a material of its own; every other line is the built-in one.
    assert_eq!(printed.matches("# this shop's").count(), 19, "{printed}");
    let twice = rules_in_force(printed.as_bytes()).unwrap();
    assert_eq!(read_rules(twice.as_bytes()), read_rules(SHOP.as_bytes()));
}

#[test]
fn each_fault_is_told_at_its_place() {
    let mut amiss = String::new();
    for (text, line, column, what, hint) in [
        ("[alowance]\n", 1, 2, "`alowance` is not a key of the top of this file", "did you mean `allowance`?"),
        ("[least]\ngroove_stop = 1.5\n", 2, 1, "`groove_stop` is not a key of [least]", "`groove_stop_mm`"),
        ("[least]\nclamp_least_mm = 20\n", 2, 1, "`clamp_least_mm` is not a key of [least]", "belongs in [block]"),
        ("[least]\ngroove_stop_mm = -1\n", 2, 18, "is the number -1; expected a number from 0 to 20 mm", "minus"),
        ("[least]\nbevel_ask_mm = \"1.0\"\n", 2, 16, "is the text `1.0`", "without quotes"),
        ("[least]\nbevel_ask_mm = nan\n", 2, 16, "is the number nan", "plain decimal"),
        ("least = 3\n", 1, 9, "`least` is the number 3; expected a table", "[name]"),
        ("[standard]\nedition = \"ansi-z80.1-2051\"\n", 2, 11, "expected ansi-z80.1-1999", "did you mean `ansi-z80.1-"),
        ("[size]\nunit = \"diameter\"\n", 2, 8, "expected radius, width or circumference", ""),
        ("[size]\nlonger_3d_mm = { acetat = 1 }\n", 2, 18, "`acetat` is not a key of [size.longer_3d_mm]", "`acetate`"),
        ("[wheel]\nbevel_mm = 0\n", 2, 12, "expected a number above 0 and below 1000 mm", ""),
        ("[wheel]\nleft = 0.1\n", 2, 1, "`left` is not a key of [wheel]", "`left_mm`"),
        ("[block]\naxis = \"front\"\n", 2, 8, "expected front-normal or lens-axis", "`front-normal`"),
        ("[block]\ndiameters_mm = []\n", 2, 16, "expected the diameters", "[16.0"),
        ("[placement]\nlower_spheric = \"yes\"\n", 2, 17, "expected true or false", "without quotes"),
        ("[intake]\nmonocular_mm = [40, 20]\n", 2, 16, "expected two numbers, the least first", "[least, most]"),
        ("[intake]\nchild_years = 16.5\n", 2, 15, "expected a whole number", "decimals"),
        ("[outline]\nnoise_mm = 0\n", 2, 12, "expected a number above 0 and below 1 mm", ""),
        ("[treatments]\nadd = [\"Blau+\"]\n", 2, 8, "expected small letters, digits and hyphens", ""),
        (
            "[[material]]\nid = \"own\"\nname = \"own\"\nabbe = 40\ndensity_g_cm3 = 1.3\n",
            1,
            1,
            "n_d` is missing",
            "d line",
        ),
        ("[[material]]\nid = \"adc-1.498\"\nn_d = 14.98\n", 3, 7, "expected a number from 1.3 to 2.2", "decimal point"),
        ("[[material]]\nid = \"adc-1.498\"\nabe = 58\n", 3, 1, "`abe` is not a key of [material[1]]", "`abbe`"),
        ("[least]\ngroove_stop_mm = 1,5\n", 2, 19, "`,5` stands behind", "with a point"),
    ] {
        let faults = faults(text);
        let good = |f: &Fault| f.what.contains(what) && f.hint.contains(hint) && (f.line, f.column) == (line, column);
        if faults.len() != 1 || !good(&faults[0]) {
            let shown = report("rules.toml", text.as_bytes(), &faults);
            amiss.push_str(&format!("--- wanted {line}:{column}: {what}, hint: {hint}\n{text}{shown}"));
        }
    }
    assert!(amiss.is_empty(), "{amiss}");
}

#[test]
fn many_faults_are_told_in_one_run() {
    let text = "[alowance]\n[least]\ngroove_stop_mm = -1\nbevel_ask_mm = true\n[size]\nunit = 1\n[block]\nat = \"x\"\n[intake]\nadd_d = 3\n";
    let lines: Vec<_> = faults(text).iter().map(|f| f.line).collect();
    assert_eq!(lines, [1, 3, 4, 6, 8, 10], "{:?}", faults(text));
}

proptest::proptest! {
    #[test]
    fn no_bytes_bring_it_down(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..200)) {
        if let Err(faults) = read_rules(&bytes) {
            proptest::prop_assert!(!faults.is_empty() && !report("x", &bytes, &faults).is_empty());
        }
    }

    /// The shop's file mutilated: refused, or printed so that it reads back.
    #[test]
    fn what_is_in_force_reads_back(at in 0..SHOP.len(), len in 0usize..60, by in "[ -~\n]{0,8}") {
        let text = format!("{}{by}{}", &SHOP[..at], &SHOP[(at + len).min(SHOP.len())..]);
        if let Ok(rules) = read_rules(text.as_bytes()) {
            let printed = rules_in_force(text.as_bytes()).unwrap();
            proptest::prop_assert_eq!(read_rules(printed.as_bytes()), Ok(rules), "{}", printed);
        }
    }
}
