//! Facts of the trade that the built-in rules start from; `rules.rs` has those that a limit simply equals.

use exchange::{built_in_rules, read_shelf};
use job::{FrameMaterial, Material, MaterialId};
use toml::{Table, Value};
use units::Mm;

/// One fact of `reference/check-facts.toml`.
struct Fact(Table);

fn fact(id: &str) -> Fact {
    let facts: Table = include_str!("../../../reference/check-facts.toml").parse().unwrap_or_else(|e| panic!("{e}"));
    let facts = facts["fact"].as_array().unwrap_or_else(|| panic!("an array of facts"));
    let found = facts.iter().filter_map(Value::as_table).find(|fact| fact["id"].as_str() == Some(id));
    Fact(found.unwrap_or_else(|| panic!("no fact {id}")).clone())
}

fn number(value: &Value) -> f64 {
    value.as_float().or(value.as_integer().map(|n| n as f64)).unwrap_or_else(|| panic!("a number, not {value:?}"))
}

impl Fact {
    fn value(&self) -> f64 {
        number(&self.0["value"])
    }

    fn of(&self, key: &str) -> f64 {
        number(&self.0["values"][key])
    }

    fn list(&self, key: &str) -> Vec<f64> {
        self.0["values"][key].as_array().unwrap_or_else(|| panic!("{key} is a list")).iter().map(number).collect()
    }
}

fn material(id: &str) -> Material {
    built_in_rules().material(&MaterialId::new(id)).unwrap_or_else(|| panic!("no {id}")).clone()
}

fn same(what: &str, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 1e-9, "{what}: {ours} here, {theirs} in the reference");
}

fn within(what: &str, ours: f64, least: f64, most: f64) {
    assert!(least - 1e-9 <= ours && ours <= most + 1e-9, "{what}: {ours} here, {least} to {most} in the reference");
}

#[test]
fn limits_are_those_of_the_facts() {
    let rules = built_in_rules();
    same("centre of rotation", rules.eye.rotation.mm(), fact("layout.centre-of-rotation").value());
    same("curves of a pair", rules.placement.curve_match_d, fact("curve.match-pair").value());
    same("recut step", rules.size.step.mm(), fact("frame.size-fine-step").of("recut_step"));
    let metal = rules.size.longer_3d.iter().find(|(material, _)| *material == FrameMaterial::Metal);
    same("metal", metal.map_or(f64::NAN, |(_, mm)| mm.mm()), fact("frame.allowance-metal").value());
    // Of the box's width, which pi turns into length round.
    let acetate = rules.size.longer_3d.iter().find(|(material, _)| *material == FrameMaterial::Acetate);
    let boxed = acetate.map_or(f64::NAN, |(_, mm)| mm.mm()) / std::f64::consts::PI;
    let allowance = fact("frame.allowance-acetate");
    within("acetate", boxed, allowance.of("min"), allowance.of("max"));
    let sanity = fact("frame.sanity");
    for ((least, most), of) in
        [(rules.intake.box_width, "A"), (rules.intake.box_height, "B"), (rules.intake.between_lenses, "DBL")]
    {
        same(of, least.mm(), sanity.of(&format!("{of}_min")));
        same(of, most.mm(), sanity.of(&format!("{of}_max")));
    }
}

#[test]
fn the_bevel_lies_within_what_is_usual() {
    let bevel = built_in_rules().bevel;
    let angle = fact("edge.bevel-angle");
    within("bevel angle", bevel.angle_deg, angle.of("min"), angle.of("max"));
    let height = fact("edge.bevel-height");
    within("bevel height", bevel.height.mm(), height.of("min"), height.of("max"));
    let safety = fact("edge.safety-bevel");
    within("safety bevel", bevel.safety.mm(), safety.of("width_min_mm"), safety.of("width_max_mm"));
}

/// What is not counted of a blank whose row does not say its usable diameter.
#[test]
fn the_rim_of_a_blank_is_the_more_careful_one() {
    let shelf = "sku,material,type,sphere_d,nominal_mm\nA,adc-1.498,single-vision,-2.00,70\n";
    let shelf = read_shelf(shelf.as_bytes(), &built_in_rules()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let loss = fact("blank.edge-loss");
    within("rim", shelf[0].unusable_rim().mm(), loss.of("min"), loss.of("max"));
    same("rim", shelf[0].unusable_rim().mm(), loss.of("max"));
    // Another quantity, the allowance beyond the shape, is no less than the least of it.
    assert!(built_in_rules().blank_allowance.mm() >= loss.of("min"));
}

/// Our materials under the names that the facts have for them.
const MATERIALS: [(&str, &str); 7] = [
    ("adc-1.498", "allyl_1_50"),
    ("polycarbonate-1.586", "polycarbonate"),
    ("thiourethane-1.60", "thio_1_60"),
    ("thiourethane-1.67", "thio_1_67_d_line"),
    ("crown-1.523", "crown_glass"),
    ("urethane-urea-1.53", "urethane_1_53_memory"),
    ("episulfide-1.74", "episulfide_1_74_memory"),
];

/// Index and density to the last digit; of Abbe numbers the sources differ by one.
#[test]
fn materials_have_the_properties_of_the_facts() {
    let properties = fact("material.properties");
    for (ours, theirs) in MATERIALS {
        let [index, abbe, density] = properties.list(theirs)[..] else { panic!("{theirs} has three numbers") };
        let ours = material(ours);
        same("index", ours.n_d, index);
        same("density", ours.density_g_cm3, density);
        within("Abbe number", ours.abbe, abbe - 1.0, abbe + 1.0);
    }
    let lines = fact("material.index-e-line");
    let resin = material("adc-1.498");
    same("d line", resin.n_d, lines.of("d"));
    same("e line", resin.n_e.unwrap_or(f64::NAN), lines.of("e"));
}

/// Least centres: the fact says of itself that its sources disagree by 0.3 mm; polycarbonate is here as kept in stock,
/// the urethane as coated.
#[test]
fn least_centres_are_those_of_the_facts_as_far_as_these_agree() {
    let least = fact("thick.min-centre");
    for (ours, theirs) in [
        ("adc-1.498", "allyl_1_50"),
        ("urethane-urea-1.53", "urethane_1_53_coated"),
        ("polycarbonate-1.586", "polycarbonate_stock"),
        ("thiourethane-1.60", "thio_1_60"),
        ("thiourethane-1.67", "thio_1_67"),
        ("episulfide-1.74", "episulfide_1_74"),
    ] {
        let (centre, fact) = (material(ours).least_centre.map_or(f64::NAN, Mm::mm), least.of(theirs));
        within(ours, centre, fact - 0.3, fact + 0.3);
    }
}

/// Least edges: never under what a fact calls the absolute least, nor the least of a drilled one over its most.
#[test]
fn least_edges_keep_to_the_facts() {
    let (rules, groove, drilled) = (built_in_rules(), fact("thick.edge-groove"), fact("thick.edge-drill"));
    same("groove stop", rules.least.groove_stop.mm(), groove.of("absolute"));
    assert!(rules.least.groove_ask.mm() >= groove.of("preferred"), "asked before what is preferred is passed");
    let resin = material("adc-1.498");
    same("drilled resin", resin.least_edge_drilled.map_or(f64::NAN, Mm::mm), drilled.of("min"));
    same("drilled at most", rules.least.drilled_most_ask.mm(), drilled.of("max"));
    // The fact's own note: many laboratories work to 1.0, which is where we ask; what it calls good is not asked about.
    let full_rim = fact("thick.edge-full-rim-plus");
    assert!(full_rim.0["note"].as_str().is_some_and(|note| note.contains("1.0")));
    same("bevelled", rules.least.bevel_ask.mm(), 1.0);
    assert!(rules.least.bevel_ask.mm() < full_rim.of("min"));
}
