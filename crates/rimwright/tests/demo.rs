//! Holds the demo against its own README: the files come out of their generator, the sound orders are sound, and every
//! other order shows what it is there to show.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use serde_json::Value;

#[path = "../examples/make_demo/made/mod.rs"]
mod made;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo")
}

fn read(name: &str) -> Vec<u8> {
    fs::read(demo().join(name)).unwrap_or_else(|e| panic!("demo/{name}: {e}"))
}

/// The plans of the whole day, by order number.
fn day() -> BTreeMap<String, Value> {
    let out = Command::cargo_bin("rimwright").unwrap().args(["demo", "--json"]).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let text = String::from_utf8(out.stdout).unwrap();
    let plans = text.lines().map(|line| serde_json::from_str::<Value>(line).expect("one plan a line"));
    let by_number: BTreeMap<String, Value> =
        plans.map(|plan| (plan["number"].as_str().expect("a number").to_owned(), plan)).collect();
    let orders =
        fs::read_dir(demo()).unwrap().filter(|e| e.as_ref().unwrap().path().extension().is_some_and(|x| x == "toml"));
    assert_eq!(by_number.len(), orders.count());
    by_number
}

/// Codes of a plan's findings of this severity that carry no answer.
fn open(plan: &Value, severity: &str) -> Vec<String> {
    let findings = plan["findings"].as_array().expect("findings");
    let answered = |f: &Value| f["answered"].is_object();
    let hits = findings.iter().filter(|f| f["severity"] == severity && !answered(f));
    hits.map(|f| f["code"].as_str().unwrap().to_owned()).collect()
}

/// Orders that the README calls sound.
fn sound() -> Vec<String> {
    let readme = String::from_utf8(read("README.md")).unwrap();
    let rows = readme.lines().filter_map(|line| line.strip_prefix("| 0")?.strip_suffix("| sound |"));
    rows.map(|row| format!("0{}", &row[..3])).collect()
}

#[test]
fn outlines_and_shelf_come_out_of_their_generator() {
    for (name, bytes) in made::files() {
        assert!(bytes.unwrap() == read(&name), "demo/{name} is not what the generator makes: run make_demo");
    }
}

/// Every file of a folder and of its folders, by its way from there.
fn names(of: &Path) -> Vec<String> {
    let mut names = Vec::new();
    for entry in fs::read_dir(of).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            names.extend(self::names(&path).into_iter().map(|inner| format!("{name}/{inner}")));
        } else {
            names.push(name);
        }
    }
    names.sort();
    names
}

#[test]
fn the_program_carries_the_files_of_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("day");
    Command::cargo_bin("rimwright").unwrap().arg("demo").arg("--unpack").arg(&into).assert().success();
    assert_eq!(names(&into), names(&demo()));
    for name in names(&into) {
        assert!(fs::read(into.join(&name)).unwrap() == read(&name), "{name} in the program is not the one in demo/");
    }
}

#[test]
fn sound_orders_are_sound_and_seldom_warn() {
    let (plans, sound) = (day(), sound());
    assert!(sound.len() >= 10, "only {} sound orders", sound.len());
    let mut warned = 0;
    for number in &sound {
        let plan = &plans[number];
        assert_eq!(open(plan, "stop"), Vec::<String>::new(), "{number}");
        assert_eq!(open(plan, "ask"), Vec::<String>::new(), "{number}");
        warned += usize::from(!open(plan, "warn").is_empty());
    }
    assert!(warned * 5 <= sound.len(), "{warned} of {} sound orders warn: what always warns is not read", sound.len());
}

#[test]
fn every_other_order_shows_what_it_is_there_for() {
    let plans = day();
    let (stop, ask, warn) =
        (|n: &str| open(&plans[n], "stop"), |n: &str| open(&plans[n], "ask"), |n: &str| open(&plans[n], "warn"));
    assert!(stop("0147").is_empty() && ask("0147").is_empty(), "0147 is answered");
    assert_eq!(warn("0147"), ["near-imbalance"]);
    assert!(stop("0149").is_empty() && ask("0149").is_empty(), "0149 is answered");
    assert_eq!(stop("0151"), ["no-blank", "no-blank"]);
    assert_eq!(ask("0152"), ["axis-not-mirrored"]);
    assert_eq!(ask("0153"), ["pd-monocular", "pd-monocular"]);
    assert_eq!(ask("0154"), ["pd-not-good-enough"]);
}

#[test]
fn the_rule_of_thumb_is_wrong_for_0156() {
    let plan = &day()["0156"];
    for eye in ["right", "left"] {
        // Rule: effective diameter + twice the inset + 2 mm; truth: 65.65 mm, of which see the README.
        let ed = plan[eye]["box"]["effective_diameter_mm"].as_f64().unwrap();
        let inset = plan[eye]["reference_point"]["in_mm"].as_f64().unwrap();
        let rule = ed + 2.0 * inset + 2.0;
        assert!(rule < 65.0, "{eye}: the rule of thumb says {rule}");
        let misses = plan[eye]["near_misses"].as_array().unwrap();
        let small = misses.iter().find(|m| m["sku"].as_str().unwrap().ends_with("-65")).expect("a 65 mm blank missed");
        assert!(small["by"].as_f64().unwrap() > 0.0, "{small}");
        assert!(plan[eye]["blank"]["sku"].as_str().unwrap().ends_with("-70"));
        // A margin over half a millimetre, so that the 70 mm blank is no close call.
        assert!(plan[eye]["coverage"]["margin_mm"].as_f64().unwrap() > 0.5);
    }
}

#[test]
fn the_last_blank_goes_to_the_lower_number() {
    let plans = day();
    let sku = |n: &str| plans[n]["right"]["blank"]["sku"].as_str().unwrap().to_owned();
    assert_eq!(sku("0157"), "P59-m325-c050-65");
    assert_eq!(sku("0158"), "P59-m325-c050-70");
    assert!(open(&plans["0158"], "note").contains(&"stock-given".to_owned()));
    assert!(!open(&plans["0157"], "note").contains(&"stock-given".to_owned()));
}

#[test]
fn traces_state_what_their_points_say() {
    for (name, _) in made::files().iter().filter(|(name, _)| name.ends_with(".txt")) {
        let reading = exchange::records::read(&read(name));
        assert!(reading.errors.is_empty() && reading.warnings.is_empty(), "{name}: {reading:?}");
        let out = Command::cargo_bin("rimwright").unwrap().arg("outline").arg(demo().join(name)).arg("--json").output();
        let outline: Value = serde_json::from_slice(&out.unwrap().stdout).unwrap();
        let doubts = outline["doubts"].as_array().unwrap();
        let doubts: Vec<&str> = doubts.iter().map(|d| d["code"].as_str().unwrap()).collect();
        let expected: &[&str] = match name.as_str() {
            "wren-42.txt" => &["outline-mirrored"],
            "curlew-48.txt" => &["depth-turned", "depth-turned"],
            _ => &[],
        };
        assert_eq!(doubts, expected, "{name}");
    }
}
