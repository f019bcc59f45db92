//! Holds the workspace against ARCHITECTURE.md: which crates there are, which arrows, and what keeps the pure ones pure.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

type Arrows = BTreeMap<String, BTreeSet<String>>;

/// The crate that may touch the world; every other is pure.
const HANDS: &str = "rimwright";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().expect("the workspace has a root")
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The lines of the first block fenced as `arrows`: `crate: dep dep`.
fn drawn(architecture: &str) -> Result<Arrows, String> {
    let mut lines = architecture.lines().skip_while(|l| l.trim() != "```arrows").skip(1);
    let mut arrows = Arrows::new();
    for line in lines.by_ref() {
        if line.trim() == "```" {
            return Ok(arrows);
        }
        let (name, deps) = line.split_once(':').ok_or_else(|| format!("no colon in: {line}"))?;
        let deps = deps.split_whitespace().map(str::to_owned).collect();
        if arrows.insert(name.trim().to_owned(), deps).is_some() {
            return Err(format!("{name} is drawn twice"));
        }
    }
    Err("no closed block fenced as ```arrows".to_owned())
}

/// What each crate may use: its own arrows and, in turn, theirs. An arrow to a crate that is not drawn, and a round
/// trip, are faults.
fn reach(drawn: &Arrows) -> Result<Arrows, String> {
    fn walk(name: &str, drawn: &Arrows, seen: &mut BTreeSet<String>) -> Result<(), String> {
        for dep in drawn.get(name).ok_or_else(|| format!("an arrow leads to {name}, which is not drawn"))? {
            if seen.insert(dep.clone()) {
                walk(dep, drawn, seen)?;
            }
        }
        Ok(())
    }
    let mut all = Arrows::new();
    for name in drawn.keys() {
        let mut seen = BTreeSet::new();
        walk(name, drawn, &mut seen)?;
        if seen.contains(name) {
            return Err(format!("the arrows lead from {name} back to {name}"));
        }
        all.insert(name.clone(), seen);
    }
    Ok(all)
}

/// Members of the workspace and what their manifests use of it to build; tests may use more.
fn built() -> Arrows {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline", "--locked"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).expect("cargo prints JSON");
    let packages = json["packages"].as_array().expect("a list of packages");
    let text = |v: &serde_json::Value| v.as_str().expect("a text").to_owned();
    packages
        .iter()
        .map(|package| {
            let deps = package["dependencies"].as_array().expect("a list of dependencies");
            // A dependency inside the workspace has a path; kind is null for the ordinary ones.
            let inside = deps.iter().filter(|d| d["path"].is_string() && d["kind"] != "dev");
            (text(&package["name"]), inside.map(|d| text(&d["name"])).collect())
        })
        .collect()
}

/// Every difference between the house as drawn and as built, in words.
fn differences(drawn: &Arrows, built: &Arrows) -> Vec<String> {
    let allowed = match reach(drawn) {
        Ok(allowed) => allowed,
        Err(fault) => return vec![fault],
    };
    let mut found = Vec::new();
    found.extend(drawn.keys().filter(|n| !built.contains_key(*n)).map(|n| format!("{n} is drawn but not built")));
    for (name, deps) in built {
        let Some(may) = allowed.get(name) else {
            found.push(format!("{name} is built but not drawn"));
            continue;
        };
        found.extend(deps.difference(may).map(|d| format!("{name} uses {d}, and no arrow leads there")));
        // An arrow that nothing follows would let a later edge slip in unseen.
        found.extend(drawn[name].difference(deps).map(|d| format!("{name} is drawn to use {d}, and does not")));
    }
    found
}

#[test]
fn the_house_is_as_drawn() {
    let drawn = drawn(&read(&root().join("ARCHITECTURE.md"))).expect("ARCHITECTURE.md draws the arrows");
    assert_eq!(differences(&drawn, &built()), Vec::<String>::new());
}

#[test]
fn the_check_of_the_house_notices() {
    let house = |text: &str| drawn(&format!("```arrows\n{text}\n```")).expect("drawn");
    let good = house("a:\nb: a\nc: b");
    let one = |built: &str| differences(&good, &house(built));
    assert_eq!(one("a:\nb: a\nc: b a"), Vec::<String>::new(), "what an allowed crate uses is allowed too");
    assert_eq!(one("a:\nb: a"), ["c is drawn but not built"]);
    assert_eq!(one("a:\nb: a\nc: b\nd:"), ["d is built but not drawn"]);
    assert_eq!(one("a: b\nb: a\nc: b"), ["a uses b, and no arrow leads there"]);
    assert_eq!(one("a:\nb: a\nc:"), ["c is drawn to use b, and does not"]);
    assert_eq!(differences(&house("a: b\nb: a"), &good), ["the arrows lead from a back to a"]);
    assert_eq!(differences(&house("a: z"), &good), ["an arrow leads to z, which is not drawn"]);
    assert!(drawn("no block").is_err());
    assert!(drawn("```arrows\na:").is_err(), "not closed");
    assert!(drawn("```arrows\na:\na:\n```").is_err(), "twice");
}

#[test]
fn every_pure_crate_refuses_the_world() {
    let pattern = read(&root().join("crates/units/clippy.toml"));
    for banned in
        ["std::fs::File::open", "std::time::SystemTime::now", "std::env::var", "std::thread::spawn", "f64::sin"]
    {
        assert!(pattern.contains(&format!("{{ path = \"{banned}\"")), "crates/units/clippy.toml lets {banned} through");
    }
    for name in built().keys() {
        let home = root().join("crates").join(name);
        assert!(read(&home.join("Cargo.toml")).contains("[lints]\nworkspace = true"), "{name} has lints of its own");
        if name != HANDS {
            assert_eq!(read(&home.join("clippy.toml")), pattern, "{name}/clippy.toml is not the pure crates' one");
        }
    }
}

/// Text files of the tree, without what a build or a run leaves behind.
fn texts(folder: &Path, into: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            if !["target", "out", ".git", "node_modules", ".venv", "__pycache__"].contains(&name.as_str()) {
                texts(&path, into);
            }
        } else {
            into.push(path);
        }
    }
}

/// Whether a line has the word; a path of the machine must begin there, not be the middle of a web address.
fn names(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let inside = line[..at].chars().next_back().is_some_and(|c| c.is_alphanumeric());
        !(inside && word.starts_with('/'))
    })
}

#[test]
fn no_file_names_the_machine_it_was_written_on() {
    // In halves, so that this file passes its own test.
    let words = [
        ["/wo", "rk/"],
        ["/ro", "ot/"],
        ["/ho", "me/"],
        ["/Us", "ers/"],
        ["static.crates", ".io"],
        ["index.crates", ".io"],
        ["files.python", "hosted"],
        ["registry.npm", "js"],
        ["deb.deb", "ian"],
        ["TODO", "("],
        ["todo", "!("],
        ["unimplem", "ented!("],
    ]
    .map(|halves| halves.concat());
    let mut files = Vec::new();
    texts(&root(), &mut files);
    assert!(files.len() > 20, "the walk found only {} files", files.len());
    let mut found = Vec::new();
    for path in &files {
        let Ok(text) = fs::read_to_string(path) else { continue };
        for (n, line) in text.lines().enumerate() {
            if let Some(word) = words.iter().find(|w| names(line, w)) {
                found.push(format!("{}:{}: {word}", path.strip_prefix(root()).unwrap_or(path).display(), n + 1));
            }
        }
    }
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn every_source_file_opens_with_a_sentence() {
    let mut files = Vec::new();
    texts(&root(), &mut files);
    for path in files.iter().filter(|p| p.extension().is_some_and(|e| e == "rs")) {
        assert!(read(path).starts_with("//! "), "{} does not open with a //! sentence", path.display());
    }
}
