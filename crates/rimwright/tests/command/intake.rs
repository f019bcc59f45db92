//! `rimwright intake`: an order read back in plain words and checked alone.

use std::fs;

use serde_json::Value;

use crate::json::conforms;
use crate::shop::{ORDER, Shop};

/// The shop with neither shelf nor outline: intake asks for none of them.
fn bare() -> Shop {
    let shop = Shop::new();
    fs::remove_file(shop.path("shelf.csv")).unwrap();
    fs::remove_file(shop.path("frame.txt")).unwrap();
    shop
}

fn intake(shop: &Shop) -> Value {
    let ran = shop.run(&["intake", "order.toml", "--json"]);
    serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}{}", ran.out, ran.err))
}

#[test]
fn a_sound_order_is_read_back_without_frame_and_shelf() {
    let shop = bare();
    let ran = shop.run(&["intake", "order.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (0, ""), "{}", ran.out);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Your order 0142, taken on 2026-03-02.",
        "what your prescriber says comes before anything we say",
        "Right eye, the one on your own right side:",
        "Sphere (sph) \u{2212}4.25 (minus 4.25): a minus lens",
        "Cylinder (cyl) \u{2212}1.00 (minus 1.00) at axis 170:",
        "170 degrees is level, or nearly so",
        "Prism 1.00, base in: its thick edge points to your nose",
        "Cylinder: none. No correction of astigmatism is written.",
        "right 31.5 mm, left 32.0 mm; measured with an instrument for it (pupillometer)",
        "a frame with a rim all round the lenses, of acetate",
        "2 lenses of polycarbonate (polycarbonate-1.586), with one power all over (single vision), for seeing far away",
        "anti-reflective (takes reflections off both faces)",
        "NOTHING TO ASK",
    ] {
        assert!(words.contains(said), "{said}\n{}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let document = intake(&shop);
    conforms(&shop, "intake", &document);
    assert_eq!(document["questions"], Value::Array(vec![]));
    assert_eq!(document["number"], "0142");
    assert!(document["read_back"].as_array().unwrap().len() > 10);
}

/// What an order asks, in the words of the one who can answer; `None` where that is the bench alone.
const ASKED: &[(&str, &str, &str, Option<&str>)] = &[
    ("cylinder_d = \"none\"", "prism = []", "cylinder-not-given", Some("the box for the cylinder (cyl) is empty")),
    ("\"-3.75\", cyl", "\"+3.75\", cyl", "opposite-signs", Some("one eye is written plus and the other minus")),
    ("\"-3.75\", cyl", "\"-8.75\", cyl", "powers-far-apart", Some("written very differently")),
    (
        "cylinder_d = \"none\"",
        "cylinder_d = \"+1.00\", axis_deg = 10",
        "mixed-cylinder-signs",
        Some("one cylinder is written plus"),
    ),
    (
        "cylinder_d = \"none\"",
        "cylinder_d = \"-1.00\", axis_deg = 90",
        "axis-not-mirrored",
        Some("the axis is written 170/090 for both eyes"),
    ),
    ("axis_deg = 170", "axis_deg = 170.5", "axis-half-degree", Some("the axis is written 170.5 for the right eye")),
    ("-4.25", "-4.12", "power-step", Some("the sphere (sph) is written \u{2212}4.12 for the right eye")),
    ("\"-4.25\"", "\"-24.25\"", "power-unusual", Some("the sphere (sph) is written")),
    (
        "cylinder_d = \"none\"",
        "cylinder_d = \"none\", add_d = \"+2.00\"",
        "add-on-single-vision",
        Some("far away, for reading"),
    ),
    ("\"single-vision\"", "\"progressive-power\"", "add-missing", Some("no addition (add) is written")),
    ("\"single-vision\"", "\"progressive-power\"", "layout-not-figured", None),
    ("31.5, left", "6.3, left", "pd-monocular", Some("written 6.3 mm")),
    (
        "monocular_pd_mm = { right = 31.5, left = 32.0 }",
        "binocular_pd_mm = 31.5",
        "pd-binocular",
        Some("written 31.5 mm"),
    ),
    ("31.5, left = 32.0", "27.5, left = 35.0", "pd-uneven", Some("written 27.5/35.0 mm")),
    (
        "measured_by",
        "near_pd_mm = { right = 32.0, left = 32.0 }\nmeasured_by",
        "near-pd-not-less",
        Some("measured again"),
    ),
    ("monocular_pd_mm", "near_pd_mm", "no-far-pd", Some("looking far away (PD)")),
    ("use = \"distance\"", "use = \"near\"", "no-near-pd", Some("how far away you hold")),
    ("\"pupillometer\"", "\"app\"", "pd-not-good-enough", Some("a more exact distance of the pupils")),
    ("left = 21.0", "left = 29.0", "heights-uneven", Some("level on your face")),
    ("pupil_height_mm = { right = 21.0, left = 21.0 }\n", "", "height-not-given", None),
    ("\"1.00\", base", "\"19.00\", base", "prism-large", Some("for each eye, or for both together")),
    ("refraction_vertex_mm = 12.0\n", "", "vertex-not-given", Some("vertex distance, BVD")),
    ("written = 2026-02-11", "written = 2020-02-11", "prescription-old", Some("is there a newer one")),
    ("written = 2026-02-11", "written = 2026-04-11", "prescription-after", Some("which day does it bear")),
    ("born = 1988", "born = 2020", "child", Some("who looks after the order")),
    (
        "monocular_pd_mm = { right = 31.5, left = 32.0 }",
        "pd = \"boxed-centres\"",
        "boxed-centres-with-power",
        Some("your lenses have power"),
    ),
    ("\"rim-groove\"", "\"demo-lens\"", "outline-allowance", None),
    ("\"full-rim\"", "\"nylon-cord\"", "edge-not-of-mounting", None),
];

#[test]
fn what_the_wearer_can_answer_is_asked_in_plain_words() {
    let shop = bare();
    for (from, to, code, fragment) in ASKED {
        shop.order("order.toml", from, to);
        let document = intake(&shop);
        let finding = document["findings"].as_array().unwrap().iter().find(|f| f["code"] == *code);
        let finding = finding.unwrap_or_else(|| panic!("{code} is not found: {}", document["findings"]));
        let question = document["questions"].as_array().unwrap().iter().find(|q| q["code"] == *code);
        let question = question.map(|q| q["question"].as_str().unwrap());
        match (fragment, question) {
            (Some(fragment), Some(question)) => {
                assert!(question.to_lowercase().contains(&fragment.to_lowercase()), "{code}: {question}");
                assert!(question.contains('?') && question.ends_with(['?', '.']), "{code}: {question}");
                // The bench's own words mean nothing to a wearer.
                let keys = ["_d", "_mm", "prescription.s", "prescription.p", "wearer.", "sphere_", "toml"];
                assert!(!keys.iter().any(|k| question.contains(k)), "{code}: {question}");
            }
            (None, None) => {}
            (fragment, question) => panic!("{code}: wanted {fragment:?}, asked {question:?}"),
        }
        let open = document["findings"]
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["severity"] == "stop" || (f["severity"] == "ask" && f.get("answered").is_none()));
        let ran = shop.run(&["intake", "order.toml"]);
        assert_eq!(ran.exit, i32::from(open), "{code}: {}", ran.out);
        assert_eq!(ran.out.contains("DO NOT ORDER YET"), open, "{code}");
        assert!(open || finding["severity"] == "note", "{code}");
    }
}

/// Intake finds nothing that the plan would not find.
#[test]
fn the_plan_finds_all_that_intake_found() {
    let (bench, front) = (Shop::new(), bare());
    for (from, to, code, _) in ASKED {
        // With a stop before placing, the plan has less to say of the eyes.
        bench.order("order.toml", from, to);
        front.order("order.toml", from, to);
        let plan = bench.plan(&["order.toml"]);
        let told = plan["findings"].as_array().unwrap();
        for finding in intake(&front)["findings"].as_array().unwrap() {
            let same = |f: &&Value| ["code", "eye", "value"].iter().all(|k| f.get(k) == finding.get(k));
            assert!(told.iter().any(|f| same(&f)), "{code}: {finding}");
        }
    }
}

#[test]
fn an_answer_closes_its_question() {
    let shop = bare();
    let asked = ORDER.replace("born = 1988", "born = 2020");
    shop.write("order.toml", &asked);
    assert_eq!(shop.run(&["intake", "order.toml"]).exit, 1);
    shop.write(
        "order.toml",
        asked + "[answers.child]\nfigure = \"2020\"\nreason = \"the parents were here\"\nwho = \"M.\"\n",
    );
    let ran = shop.run(&["intake", "order.toml"]);
    assert_eq!(ran.exit, 0, "{}", ran.out);
    assert!(ran.out.contains("M.: the parents were here") && !ran.out.contains("Please tell us"), "{}", ran.out);
}

#[test]
fn faults_and_folders_exit_2() {
    let shop = bare();
    let folder = shop.run(&["intake", "."]);
    assert_eq!((folder.exit, folder.out.as_str()), (2, ""));
    assert!(folder.err.contains("is a folder") && folder.err.contains("hint: name one order"), "{}", folder.err);
    shop.order("order.toml", "\"-4.25\"", "\"4.25\"");
    let ran = shop.run(&["intake", "order.toml"]);
    assert_eq!((ran.exit, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("has no sign"), "{}", ran.err);
    assert_eq!(shop.run(&["intake", "none.toml"]).exit, 2);
}
