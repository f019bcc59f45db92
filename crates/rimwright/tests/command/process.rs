//! How a job is made: what a plan says of cutting, holding, mounting and care, held against the facts of the trade
//! (`reference/check-facts.toml`, `reference/materials.toml`), and that nothing is said that does not belong to the job.

use std::collections::BTreeSet;
use std::fmt::Write;

use serde_json::Value;

use crate::shop::Shop;

/// A mild job: allyl, uncoated, low minus spheres, acetate full rim; one piece changed for each case.
#[derive(Clone, Copy)]
struct Made {
    lens: &'static str,
    treatments: &'static [&'static str],
    frame: &'static str,
    mounting: &'static str,
    edge: &'static str,
    sphere: &'static str,
    cylinder: &'static str,
    centre_mm: f64,
    diameter_mm: f64,
    pd_mm: f64,
    box_mm: (f64, f64),
    /// Lines of the order's frame.
    frame_lines: &'static str,
    rules: &'static str,
}

const MILD: Made = Made {
    lens: "adc-1.498",
    treatments: &[],
    frame: "acetate",
    mounting: "full-rim",
    edge: "bevel",
    sphere: "-1.00",
    cylinder: "none",
    centre_mm: 2.2,
    diameter_mm: 70.0,
    pd_mm: 33.0,
    box_mm: (50.0, 36.0),
    frame_lines: "",
    rules: "",
};

const DRILLED: Made = Made { frame: "metal", mounting: "drilled", edge: "flat", frame_lines: HOLES, ..MILD };
const CORD: Made = Made { frame: "metal", mounting: "nylon-cord", edge: "groove", ..MILD };

const HOLES: &str = "holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 4.0, diameter_mm = 1.4 }, { eye = \"right\", \
in_mm = -20.0, up_mm = 4.0, diameter_mm = 1.4 }, { eye = \"left\", in_mm = 20.0, up_mm = 4.0, diameter_mm = 1.4 }, \
{ eye = \"left\", in_mm = -20.0, up_mm = 4.0, diameter_mm = 1.4 }]\n";

impl Made {
    fn order(&self) -> String {
        let power = if self.cylinder == "none" {
            format!("{{ sphere_d = \"{}\", cylinder_d = \"none\" }}", self.sphere)
        } else {
            format!("{{ sphere_d = \"{}\", cylinder_d = \"{}\", axis_deg = 90 }}", self.sphere, self.cylinder)
        };
        let treatments: Vec<String> = self.treatments.iter().map(|t| format!("\"{t}\"")).collect();
        format!(
            "number = \"0142\"\ntaken = 2026-03-02\neyes = \"both\"\n[wearer]\nborn = 1980\n\
             monocular_pd_mm = {{ right = {pd:?}, left = {pd:?} }}\npupil_height_mm = {{ right = {h:?}, left = {h:?} }}\n\
             measured_by = \"pupillometer\"\n[prescription]\nwritten = 2026-02-11\nright = {power}\nleft = {power}\n\
             [frame]\noutline = \"frame.txt\"\nmounting = \"{}\"\nmaterial = \"{}\"\n{}\
             [lens]\ntype = \"single-vision\"\nmaterial = \"{}\"\ntreatments = [{}]\nedge = \"{}\"\n",
            self.mounting,
            self.frame,
            self.frame_lines,
            self.lens,
            treatments.join(", "),
            self.edge,
            pd = self.pd_mm,
            h = self.box_mm.1 / 2.0 + 1.0,
        )
    }

    fn shelf(&self) -> String {
        let cylinder = if self.cylinder == "none" { "" } else { self.cylinder };
        format!(
            "sku,material,series,lot,form,sphere_d,cylinder_d,nominal_mm,usable_mm,centre_mm,front_curve_d,\
             front_curve_index,treatments,polarised_deg,quantity\nb,{},one,A,spheric,{},{cylinder},{d},{d},{},4.0,1.530,{},{},9\n",
            self.lens,
            self.sphere,
            self.centre_mm,
            self.treatments.join("+"),
            if self.treatments.contains(&"polarised") { "180" } else { "" },
            d = self.diameter_mm,
        )
    }

    /// An ellipse on a sphere of 5 D; one rim, mirrored.
    fn trace(&self) -> String {
        let (a, b) = (self.box_mm.0 / 2.0, self.box_mm.1 / 2.0);
        let mut text = String::from("REQ=FIL\r\nDBL=18.00\r\nFCRV=5.00;5.00\r\nTRCFMT=1;400;E;R;F\r\n");
        let radii: Vec<String> = (0..400)
            .map(|i| {
                let t = f64::from(i) * std::f64::consts::TAU / 400.0;
                let (c, s) = (t.cos() / a, t.sin() / b);
                format!("{:.0}", 100.0 / (c * c + s * s).sqrt())
            })
            .collect();
        for row in radii.chunks(10) {
            write!(text, "R={}\r\n", row.join(";")).unwrap();
        }
        text
    }

    fn shop(&self) -> Shop {
        let shop = Shop::new();
        shop.write("order.toml", self.order());
        shop.write("shelf.csv", self.shelf());
        shop.write("frame.txt", self.trace());
        shop.write("rules.toml", self.rules);
        shop
    }

    fn process(&self) -> Process {
        let plan = self.shop().plan(&["order.toml"]);
        assert!(plan["process"].is_object(), "{:#?}", plan["findings"]);
        Process(plan["process"].clone())
    }
}

struct Process(Value);

impl Process {
    fn step(&self, step: &str) -> &str {
        self.find(step).unwrap_or_else(|| panic!("no step {step} in {:#}", self.0))
    }

    fn find(&self, step: &str) -> Option<&str> {
        let steps = self.0["steps"].as_array().unwrap();
        steps.iter().find(|line| line["step"] == step).map(|line| line["says"].as_str().unwrap())
    }

    fn cautions(&self) -> String {
        let says = |caution: &Value| caution["says"].as_str().unwrap().to_lowercase();
        self.0["cautions"].as_array().unwrap().iter().map(says).collect::<Vec<_>>().join("\n")
    }

    fn all_steps(&self) -> String {
        let says = |line: &Value| line["says"].as_str().unwrap().to_lowercase();
        self.0["steps"].as_array().unwrap().iter().map(says).collect::<Vec<_>>().join("\n")
    }

    fn reasons(&self, eye: &str) -> BTreeSet<String> {
        let reasons = self.0[eye]["gentle"].as_array().unwrap();
        reasons.iter().map(|reason| reason["reason"].as_str().unwrap().to_owned()).collect()
    }

    fn wet(&self) -> (&str, &str) {
        (self.0["right"]["rough"].as_str().unwrap(), self.0["right"]["finish"].as_str().unwrap())
    }
}

fn fact(id: &str, key: &str) -> f64 {
    let facts: toml::Table = include_str!("../../../../reference/check-facts.toml").parse().unwrap();
    let facts = facts["fact"].as_array().unwrap();
    let fact = facts.iter().find(|fact| fact["id"].as_str() == Some(id)).unwrap();
    let value = if key == "value" { &fact["value"] } else { &fact["values"][key] };
    value.as_float().or(value.as_integer().map(|n| n as f64)).unwrap()
}

fn has_words(text: &str, words: &[&str]) -> bool {
    words.iter().any(|word| text.contains(word))
}

const HEAT: &[&str] = &["warm", "heat", "hot air", "chill"];

#[test]
fn wet_or_dry_is_the_materials_own() {
    // reference/materials.toml, key `edging`; trade press on polycarbonate.
    for (lens, rough, finish) in [
        ("adc-1.498", "wet", "wet"),
        ("polycarbonate-1.586", "dry", "wet"),
        ("urethane-urea-1.53", "dry", "wet"),
        ("thiourethane-1.60", "wet", "wet"),
        ("episulfide-1.74", "wet", "wet"),
        ("crown-1.523", "wet", "wet"),
    ] {
        let process = Made { lens, ..MILD }.process();
        assert_eq!(process.wet(), (rough, finish), "{lens}");
        assert!(process.step("rough").starts_with(rough) && process.step("finish").starts_with(finish), "{lens}");
    }
}

#[test]
fn a_shop_that_cuts_otherwise_is_its_own_source() {
    let rules = "[[material]]\nid = \"thiourethane-1.60\"\nrough = \"dry\"\n";
    let made = Made { lens: "thiourethane-1.60", rules, ..MILD };
    let process = made.process();
    assert_eq!(process.wet(), ("dry", "wet"));
    let line = process.0["steps"].as_array().unwrap().iter().find(|line| line["step"] == "rough").unwrap();
    assert_eq!(line["source"], "the rules of this bench");
    let own = "[[material]]\nid = \"own\"\nname = \"our own\"\nn_d = 1.6\nabbe = 40.0\ndensity_g_cm3 = 1.3\n";
    let process = Made { lens: "own", rules: own, ..MILD }.process();
    assert!(process.0["right"].get("rough").is_none());
    assert!(process.step("rough").contains("maker") && process.cautions().contains("ask its maker"));
}

/// Facts: 5 mm of diameter a cut. By hand: a 70 mm blank about its own middle, 1 mm in and up of the boxed centre, against an
/// ellipse 36 mm high: at most 34 mm of diameter and twice the shift come off, which is eight cuts or seven, none over 5 mm.
#[test]
fn polycarbonate_comes_down_in_stages_and_allyl_does_not() {
    let process = Made { lens: "polycarbonate-1.586", ..MILD }.process();
    let (cuts, each) = (process.0["right"]["cuts"].as_f64().unwrap(), process.0["right"]["cut_mm"].as_f64().unwrap());
    assert!(each <= fact("edge.poly-removal", "step_mm") + 1e-9, "{each}");
    assert!((34.0..37.0).contains(&(cuts * each)), "{cuts} cuts of {each}");
    assert!((cuts - 1.0) * 5.0 < cuts * each, "as few as may be");
    assert!(process.step("rough").contains(&format!("{cuts} cuts of {each:.1} mm")), "{}", process.step("rough"));
    assert!(MILD.process().0["right"].get("cuts").is_none());
}

/// What is tried in a rim is cut a step larger first (rules: 0.05 mm of radius); what is not, to its size.
#[test]
fn the_edger_is_set_to_the_first_cut() {
    let plan = MILD.shop().plan(&["order.toml"]);
    let planned = plan["right"]["size"]["offset_radius_mm"].as_f64().unwrap();
    let first = format!("first cut {:+.2} mm of radius", (planned * 100.0).round() / 100.0 + 0.05);
    assert!(Process(plan["process"].clone()).step("set").contains(&first), "{first}: {}", plan["process"]["steps"]);
    let width = Made { rules: "[size]\nunit = \"width\"\nstep_mm = 0.1\n", ..MILD }.process();
    assert!(width.step("set").contains("of box width"), "{}", width.step("set"));
    assert!(CORD.process().step("set").contains("size as traced"));
}

/// Each trigger alone brings exactly its own reason, in both directions of its limit.
#[test]
fn less_pressure_only_for_the_reasons_that_hold() {
    let low = (50.0, 23.0);
    for (made, reason) in [
        (MILD, None),
        (Made { treatments: &["hydrophobic"], ..MILD }, Some("slippery-coat")),
        (Made { treatments: &["anti-reflective"], ..MILD }, None),
        (Made { treatments: &["scratch", "tint", "gradient", "photochromic", "uv"], ..MILD }, None),
        (Made { treatments: &["polarised"], ..MILD }, Some("film")),
        (Made { treatments: &["mirror"], ..MILD }, Some("film")),
        (Made { centre_mm: 1.4, ..MILD }, Some("thin-centre")),
        (Made { centre_mm: 1.5, ..MILD }, None),
        (Made { box_mm: low, ..MILD }, Some("narrow-shape")),
        (Made { box_mm: (50.0, 25.0), ..MILD }, None),
        // 25 + 9 - 28.5 = 5.5 in and 1 up; 25 + 9 - 29.5 = 4.5.
        (Made { pd_mm: 28.5, ..MILD }, Some("decentration")),
        (Made { pd_mm: 29.5, ..MILD }, None),
        (Made { sphere: "-11.00", ..MILD }, Some("thick-edge")),
        (Made { sphere: "-6.00", ..MILD }, None),
    ] {
        let process = made.process();
        for eye in ["right", "left"] {
            let wanted: BTreeSet<String> = reason.iter().map(|&reason| reason.to_owned()).collect();
            assert_eq!(process.reasons(eye), wanted, "{:?} {:?} {}", made.treatments, made.box_mm, made.sphere);
        }
        assert_eq!(process.step("set").contains("less pressure"), reason.is_some());
        for gentle in process.0["right"]["gentle"].as_array().unwrap() {
            let (value, limit) = (gentle["value_mm"].as_f64(), gentle["limit_mm"].as_f64());
            assert_eq!(value.is_some(), !matches!(reason, Some("slippery-coat" | "film")));
            assert_eq!(value.is_some(), limit.is_some());
            if let (Some(value), Some(limit)) = (value, limit) {
                let below = matches!(reason, Some("thin-centre" | "narrow-shape"));
                assert!(if below { value < limit } else { value > limit }, "{gentle}");
            }
            assert!(gentle["source"].as_str().unwrap().len() > 10);
        }
    }
}

#[test]
fn less_pressure_takes_longer_by_the_rules() {
    let minutes = |made: Made| {
        let process = made.process();
        let steps = process.0["steps"].as_array().unwrap();
        steps
            .iter()
            .filter(|l| l["step"] == "rough" || l["step"] == "finish")
            .map(|l| l["minutes"].as_f64().unwrap())
            .sum()
    };
    let (plain, gentle): (f64, f64) = (minutes(MILD), minutes(Made { treatments: &["hydrophobic"], ..MILD }));
    // Facts: an easy resin 2 minutes a lens; the rules' own choice: half as long again.
    assert!((plain - 2.0 * fact("edge.cycle-time", "easy")).abs() < 1e-9, "{plain}");
    assert!((gentle - 1.5 * plain).abs() < 1e-9, "{gentle}");
    let own = Made { rules: "[process]\ncut_minutes = { allyl = 7.0 }\n", ..MILD };
    assert!((minutes(own) - 14.0).abs() < 1e-9);
}

/// 2 C sin of the turn: 2.00 D turned by one degree leaves 0.0698 D (facts: 10 degrees are 35 % of the cylinder).
#[test]
fn a_turn_on_the_block_costs_cylinder() {
    let process = Made { cylinder: "-2.00", treatments: &["hydrophobic"], ..MILD }.process();
    let slip = &process.0["right"]["slip"];
    let by_hand = 4.0 * 1f64.to_radians().sin();
    assert!((slip["adds_d"].as_f64().unwrap() - by_hand).abs() < 6e-5, "{slip}");
    assert_eq!(slip["because"], serde_json::json!(["slippery-coat"]));
    assert!(process.step("pen-lines").contains("1 degree adds 0.07 D"), "{}", process.step("pen-lines"));
    assert!(process.step("block").contains("gripping film"));
    let ten = Made { cylinder: "-2.00", rules: "[process]\nslip_deg = 10.0\n", ..MILD }.process();
    let share = ten.0["right"]["slip"]["adds_d"].as_f64().unwrap() / 2.0;
    assert!((share - 0.347).abs() < 0.001, "{share}");
    assert_eq!(ten.0["right"]["slip"]["because"], serde_json::json!([]));
    assert!(MILD.process().0["right"].get("slip").is_none(), "a sphere has no axis to lose");
    assert!(!MILD.process().step("block").contains("gripping"));
}

/// Nitrate is never heated (CET article 18, 2002), whatever else the job has; the same order in acetate is warmed.
#[test]
fn a_nitrate_frame_is_never_heated() {
    let coated: &[&str] = &["anti-reflective", "hydrophobic", "mirror"];
    for lens in ["adc-1.498", "polycarbonate-1.586", "episulfide-1.74"] {
        let nitrate = Made { lens, treatments: coated, frame: "nitrate", ..MILD }.process();
        assert!(!has_words(&nitrate.all_steps(), HEAT), "{}", nitrate.all_steps());
        let cautions = nitrate.cautions();
        assert!(cautions.contains("never heat cellulose nitrate"), "{cautions}");
        for line in cautions.lines().filter(|line| has_words(line, &["warm", "heat"])) {
            assert!(has_words(line, &["never heat", "heat and flexing crack"]), "{line}");
        }
        assert!(!cautions.contains("heater"));
        let acetate = Made { lens, treatments: coated, ..MILD }.process();
        assert!(acetate.step("mount").contains("warm the rim"));
        assert!(!acetate.cautions().contains("nitrate"));
    }
    let shop = Made { frame: "nitrate", ..MILD }.shop();
    let text = shop.run(&["plan", "order.toml"]).out.to_lowercase();
    assert!(text.contains("never heat") && !text.contains("warm the rim"), "{text}");
}

#[test]
fn each_frame_material_takes_its_lens_in_its_own_way() {
    let degrees = |id: &str, key: &str| format!("{:.0} degrees", fact(id, key));
    for (frame, says) in [
        ("acetate", vec!["warm the rim".to_owned(), degrees("frame.acetate-temp", "value"), "corner first".to_owned()]),
        ("propionate", vec!["warm the rim".to_owned(), "a little more".to_owned(), "cannot be shrunk".to_owned()]),
        ("epoxy", vec!["warm the rim".to_owned(), degrees("frame.epoxy-temp", "value"), "cold".to_owned()]),
        ("polyamide", vec!["cold".to_owned(), "corner first".to_owned()]),
        ("nitrate", vec!["cold".to_owned(), "corner first".to_owned()]),
        ("metal", vec!["cold".to_owned(), "open the screw".to_owned(), "without force".to_owned()]),
        ("unknown", vec!["cold".to_owned(), "made of".to_owned()]),
    ] {
        let process = Made { frame, ..MILD }.process();
        let mount = process.step("mount");
        assert!(says.iter().all(|says| mount.contains(says.as_str())), "{frame}: {mount}");
        let warmed = mount.contains("warm");
        assert_eq!(warmed, matches!(frame, "acetate" | "propionate" | "epoxy"), "{frame}");
        assert_eq!(has_words(process.step("take-out"), HEAT), warmed, "{frame}");
    }
    let polyamide = Made { frame: "polyamide", ..MILD }.process();
    assert!(!has_words(&polyamide.all_steps(), HEAT));
    assert!(polyamide.cautions().contains("never heat polyamide"));
    let nitrate = Made { frame: "nitrate", ..MILD }.process();
    assert!(nitrate.cautions().contains(&degrees("frame.nitrate-flash", "soften")));
}

/// The lens is thickest where it is furthest from the optical centre, which stands 1 mm in and 1 mm up: lower temple.
#[test]
fn the_thickest_corner_goes_in_first() {
    let process = Made { sphere: "-4.00", ..MILD }.process();
    assert!(process.step("mount").contains("thickest corner first (lower temple)"), "{}", process.step("mount"));
}

#[test]
fn drilled_lenses() {
    let process = DRILLED.process();
    let drill = process.step("drill");
    let (least, most) = (fact("thick.edge-drill", "min"), fact("thick.edge-drill", "max"));
    assert!(drill.contains(&format!("{least:.1} to {most:.1} mm")), "{drill}");
    let plan = DRILLED.shop().plan(&["order.toml"]);
    let thick = |hole: &Value| hole["thickness_mm"].as_f64().unwrap();
    let holes = plan["right"]["holes"].as_array().unwrap();
    let (low, high) = (holes.iter().map(thick).fold(99.0, f64::min), holes.iter().map(thick).fold(0.0, f64::max));
    assert!(drill.contains(&format!("(here {low:.1} to {high:.1})")), "{drill}");
    let chamfer = process.step("chamfer");
    let (angle, times) = (fact("edge.hole-chamfer", "angle_deg"), fact("edge.hole-chamfer", "magnifier"));
    assert!(chamfer.contains(&format!("{angle} degrees")) && chamfer.contains(&format!("{times} times")), "{chamfer}");
    assert!(!has_words(&process.all_steps(), HEAT), "{}", process.all_steps());
    assert!(process.step("mount").contains("washer") && process.step("mount").contains("bushing"));
    assert!(process.cautions().contains("thread-locking"));
    assert!(process.find("groove").is_none());
    // Four holes of two minutes.
    let minutes = process.0["steps"].as_array().unwrap().iter().find(|l| l["step"] == "drill").unwrap();
    assert_eq!(minutes["minutes"], 8.0);
    // Polycarbonate: half a millimetre at a time.
    let poly = Made { lens: "polycarbonate-1.586", ..DRILLED }.process();
    let peck = format!("{:.1} mm at a time", fact("edge.drill-peck", "value"));
    assert!(poly.step("drill").contains(&peck) && !drill.contains(&peck));
}

#[test]
fn nylon_cord_and_grooved_rims() {
    let process = CORD.process();
    let (width, depth) = (fact("edge.groove", "width"), fact("edge.groove", "depth"));
    assert!(process.step("groove").contains(&format!("{width} mm wide, {depth} deep")), "{}", process.step("groove"));
    assert!(process.step("mount").contains("cord") && process.step("mount").contains("bar first"));
    assert!(process.step("take-out").contains("cord"));
    assert!(!has_words(&process.all_steps(), HEAT));
    // Edge = wall, groove, wall; a safety bevel's face of 0.3 mm at 45 degrees takes 0.3/sqrt 2 off each wall.
    let plan = CORD.shop().plan(&["order.toml"]);
    let thin = plan["right"]["edge"]["thinnest_mm"].as_f64().unwrap();
    let left = (thin / 2.0).clamp(0.8, 1.5) - 0.3 - 0.3 * std::f64::consts::FRAC_1_SQRT_2;
    assert!(process.step("safety-bevel").contains(&format!("{left:.2} mm")), "{} {left}", process.step("safety-bevel"));
    let rim = Made { mounting: "grooved-rim", ..CORD }.process();
    assert!(rim.step("mount").contains("screw") && !rim.step("mount").contains("cord"));
    for made in [DRILLED, MILD] {
        assert!(!made.process().all_steps().contains("cord"));
    }
}

/// What an everyday job is not told.
#[test]
fn an_ordinary_job_is_told_nothing_that_is_not_its_own() {
    let process = MILD.process();
    let all = format!("{}\n{}", process.all_steps(), process.cautions());
    for word in [
        "polycarbonate",
        "nitrate",
        "slippery",
        "gripping",
        "film lies",
        "coat",
        "hydrogen",
        "drill",
        "hole",
        "cord",
        "glass",
        "thread",
        "propionate",
        "polyamide",
        "less pressure",
        "wrap",
        "maker about",
        "own frame",
        "tough",
    ] {
        assert!(!all.contains(word), "{word}: {all}");
    }
}

/// Each caution stands where it belongs, and only there.
#[test]
fn cautions_belong_to_the_job() {
    let poly = Made { lens: "polycarbonate-1.586", ..MILD };
    let coat = Made { treatments: &["anti-reflective"], ..MILD };
    let high = Made { lens: "thiourethane-1.67", ..MILD };
    let own = Made { frame_lines: "owner = \"wearer\"\n", ..MILD };
    let film = Made { treatments: &["polarised"], ..MILD };
    let glass = Made { lens: "crown-1.523", ..MILD };
    for (word, has, has_not) in [
        ("attack the bare edges of polycarbonate", poly, MILD),
        ("dust and hot fumes irritate", poly, high),
        ("hydrogen sulphide", high, poly),
        ("dull acetate", MILD, Made { frame: "metal", ..MILD }),
        ("dull propionate", Made { frame: "propionate", ..MILD }, MILD),
        ("flexing crack the coat", coat, MILD),
        ("lenses out before the frame is warmed", coat, Made { frame: "metal", ..coat }),
        ("film lies 0.4 to 0.8 mm behind the front", film, coat),
        ("within 3 degrees", film, coat),
        ("own frame", own, MILD),
        ("no thread-locking", DRILLED, MILD),
        ("glass dust", glass, MILD),
        ("camphor", Made { frame: "unknown", ..MILD }, MILD),
    ] {
        assert!(has.process().cautions().contains(word), "{word}: {}", has.process().cautions());
        assert!(!has_not.process().cautions().contains(word), "{word}");
    }
    assert_eq!((fact("edge.polarised-film-depth", "min"), fact("edge.polarised-film-depth", "max")), (0.4, 0.8));
    assert_eq!(fact("edge.polarised-axis", "value"), 3.0);
    assert!(glass.process().find("toughen").is_some() && MILD.process().find("toughen").is_none());
}

#[test]
fn a_wrap_and_an_inherited_outline_are_told() {
    let wrap = |deg: &'static str| Made { frame_lines: deg, ..MILD }.process().step("try").contains("cut twice");
    assert!(wrap("face_form_deg = 12.0\n") && !wrap("face_form_deg = 11.0\n"));
    let from =
        |line: &'static str| Made { frame_lines: line, ..MILD }.process().step("try").contains("not of this rim");
    assert!(from("outline_from = \"earlier-trace\"\n") && !from("outline_from = \"this-frame\"\n"));
}

/// Of every lens and every frame of the demo: a source to each line, minutes that add up, the take-out last.
#[test]
fn every_line_of_the_demo_has_a_source_and_the_minutes_add_up() {
    let plans = Shop::new().run(&["demo", "--json"]).out;
    let mut seen = 0;
    for line in plans.lines() {
        let plan: Value = serde_json::from_str(line).unwrap();
        let made = ["right", "left"].iter().any(|eye| plan[eye]["blank"].is_object());
        assert_eq!(plan["process"].is_object(), made, "{}", plan["number"]);
        if !made {
            continue;
        }
        let process = &plan["process"];
        let steps = process["steps"].as_array().unwrap();
        for line in steps.iter().chain(process["cautions"].as_array().unwrap()) {
            assert!(line["source"].as_str().unwrap().len() > 8, "{line}");
            assert!(line["says"].as_str().unwrap().len() > 2, "{line}");
        }
        let sum: f64 = steps.iter().filter_map(|line| line["minutes"].as_f64()).sum();
        assert!((sum - process["minutes"].as_f64().unwrap()).abs() < 1e-6, "{}: {sum}", plan["number"]);
        assert!((10.0..120.0).contains(&sum), "{sum}");
        assert_eq!(steps.last().unwrap()["step"], "take-out");
        for eye in ["right", "left"] {
            assert_eq!(process[eye].is_object(), plan[eye]["blank"].is_object(), "{}", plan["number"]);
        }
        seen += 1;
    }
    assert!(seen >= 16, "only {seen}");
}

/// The sheet numbers on from the eight steps of marking and blocking, says sources at its end, and keeps quiet while
/// something stands against the first cut.
#[test]
fn the_sheet_goes_on_where_the_block_ends() {
    let text = MILD.shop().run(&["plan", "order.toml"]).out;
    let at = |piece: &str| text.find(piece).unwrap_or_else(|| panic!("no {piece} in {text}"));
    assert!(
        at("8 two pen lines") < at(" 9 set") && at("10 rough") < at("11 finish") && at("out again") < at("Frame  ")
    );
    assert!(at("unmarked = common practice") > at("First  "));
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let asks = Made { frame_lines: "frame_curve_d = 9.0\n", ..MILD };
    let text = asks.shop().run(&["plan", "order.toml"]).out;
    assert!(!text.contains("10 rough") && !text.contains("Sources:"), "{text}");
}

#[test]
fn one_lens_alone_is_named() {
    let shop = MILD.shop();
    shop.write("order.toml", MILD.order().replace("eyes = \"both\"", "eyes = \"left\""));
    let plan = shop.plan(&["order.toml"]);
    let process = &plan["process"];
    assert!(process.get("right").is_none() && process["left"].is_object());
    assert!(process["steps"].as_array().unwrap().iter().all(|line| line["eye"] == "left"));
    // Half the work of a pair, but for what is done to the frame.
    let both = MILD.process().0["minutes"].as_f64().unwrap();
    let one = process["minutes"].as_f64().unwrap();
    assert!(one > both / 2.0 && one < both, "{one} of {both}");
}
