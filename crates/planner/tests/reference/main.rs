//! The one runner of the reference cases under `reference/`: what is taken, what is left out and why, what is disputed.
//!
//! A file of cases registers in [`FILES`]: its text, the table its cases stand in, how a case's topic is told, the
//! topics that are taken, each with the function that figures the case by our crates, and the topics that are left out,
//! each with the reason. The run fails when a case misses its own tolerance, when a taken topic has no case, when a
//! topic is neither taken nor left out, when nothing ran, and when a disputed case passes.

#![allow(clippy::expect_used, reason = "a test; only functions marked as tests are spared otherwise")]

mod bench;
mod case;
mod chromatisms;
mod curves;
mod facts;
mod lenses;
mod magnifications;
mod optics_examples;
mod outlines;
mod plans;
mod powers;
mod prisms;
mod quick_figures;
mod thickness;
mod thresholds;
mod tilts;
mod vertices;

use case::{Case, Found, Want};

/// A file of cases.
struct File {
    /// Its name under `reference/`.
    name: &'static str,
    /// Its text.
    text: &'static str,
    /// The array of tables that holds the cases.
    table: &'static str,
    /// The topic of a case.
    topic_of: fn(&Case) -> String,
    /// What a case wants.
    wants: fn(&Case) -> Vec<Want>,
    /// What is taken.
    taken: &'static [Topic],
    /// What is left out: a topic, or its beginning with a `*` after it, and the reason.
    left_out: &'static [(&'static str, &'static str)],
}

/// A topic that is taken.
struct Topic {
    /// Its name in the file.
    name: &'static str,
    /// Figures one case by our crates: every figure that the case may expect, by the case's own key.
    run: fn(&Case) -> Found,
    /// Keys that a case expects and no figure of ours answers, with the reason.
    not_ours: &'static [(&'static str, &'static str)],
}

/// A topic whose every key is ours.
const fn topic(name: &'static str, run: fn(&Case) -> Found) -> Topic {
    Topic { name, run, not_ours: &[] }
}

const FILES: &[File] = &[optics_examples::FILE, facts::FILE, thickness::FILE];

#[test]
fn every_case_is_met_left_out_or_disputed() {
    let disputed = Disputed::read(include_str!("../../../../reference/disputed.toml"));
    let mut faults = Vec::new();
    for file in FILES {
        faults.extend(run(file, &disputed));
    }
    for (file, id) in &disputed.0 {
        if !FILES.iter().any(|f| f.name == file) {
            faults.push(format!("disputed {file} {id}: no such file is run"));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// Runs one file, prints its counts, gives its faults.
fn run(file: &File, disputed: &Disputed) -> Vec<String> {
    let document: toml::Table = file.text.parse().unwrap_or_else(|e| panic!("{}: {e}", file.name));
    let cases: Vec<Case> = case::cases(&document, file.table);
    let mut faults = Vec::new();
    let (mut met, mut left_out, mut doubted) = (0, 0, 0);
    let mut seen = vec![0; file.taken.len()];
    for case in &cases {
        let name = (file.topic_of)(case);
        let Some(n) = file.taken.iter().position(|t| t.name == name) else {
            match file.left_out.iter().any(|(pattern, _)| covers(pattern, &name)) {
                true => left_out += 1,
                false => {
                    faults.push(format!("{} {}: topic `{name}` is neither taken nor left out", file.name, case.id))
                }
            }
            continue;
        };
        seen[n] += 1;
        let missed = (file.taken[n].run)(case).missed(&(file.wants)(case), file.taken[n].not_ours);
        match (missed.is_empty(), disputed.has(file.name, case.id)) {
            (true, false) => met += 1,
            (false, true) => doubted += 1,
            (true, true) => faults.push(format!("{} {}: disputed, but it passes", file.name, case.id)),
            (false, false) => {
                faults.extend(missed.iter().map(|m| format!("{} {} ({name}): {m}", file.name, case.id)));
            }
        }
    }
    for (topic, _) in file.taken.iter().zip(&seen).filter(|(_, n)| **n == 0) {
        faults.push(format!("{}: topic `{}` has no case", file.name, topic.name));
    }
    for (pattern, _) in file.left_out {
        if !cases.iter().any(|case| covers(pattern, &(file.topic_of)(case))) {
            faults.push(format!("{}: nothing is left out by `{pattern}`", file.name));
        }
        if file.taken.iter().any(|t| covers(pattern, t.name)) {
            faults.push(format!("{}: `{pattern}` leaves out what is taken", file.name));
        }
    }
    if met == 0 {
        faults.push(format!("{}: no case ran", file.name));
    }
    for (_, id) in disputed.0.iter().filter(|(f, _)| f == file.name) {
        if !cases.iter().any(|c| c.id == id && file.taken.iter().any(|t| t.name == (file.topic_of)(c))) {
            faults.push(format!("disputed {} {id}: no such case is run", file.name));
        }
    }
    println!(
        "{}: {} cases: {met} met in {} topics, {left_out} left out, {doubted} disputed",
        file.name,
        cases.len(),
        file.taken.len()
    );
    faults
}

/// Whether a pattern of the left-out list covers a topic.
fn covers(pattern: &str, topic: &str) -> bool {
    pattern.strip_suffix('*').map_or(pattern == topic, |beginning| topic.starts_with(beginning))
}

/// The cases that are disputed: file and id.
struct Disputed(Vec<(String, String)>);

impl Disputed {
    fn read(text: &str) -> Self {
        let document: toml::Table = text.parse().expect("disputed.toml reads");
        let entries = document["disputed"].as_array().expect("an array");
        Self(
            entries
                .iter()
                .map(|entry| {
                    let text = |key: &str| entry[key].as_str().expect("a text").to_owned();
                    assert!(!text("reason").trim().is_empty(), "{}: a reason is missing", text("id"));
                    (text("file"), text("id"))
                })
                .collect(),
        )
    }

    fn has(&self, file: &str, id: &str) -> bool {
        self.0.iter().any(|(f, i)| f == file && i == id)
    }
}

/// The runner itself: everything that must fail a run does.
#[test]
fn the_runner_faults_what_it_should() {
    const TEXT: &str = r#"
        [[case]]
        id = "met"
        topic = "halves"
        inputs = { of = 3.0 }
        expected = { half = 1.5 }
        tolerance = 1e-9

        [[case]]
        id = "missed"
        topic = "halves"
        inputs = { of = 3.0 }
        expected = { half = 1.6 }
        tolerance = 0.05

        [[case]]
        id = "strange"
        topic = "quarters"
    "#;
    fn half(case: &Case) -> Found {
        Found::none().number("half", case.number("of") / 2.0)
    }
    fn file(taken: &'static [Topic], left_out: &'static [(&'static str, &'static str)]) -> File {
        let topic_of = |case: &Case| case.field("topic").to_owned();
        File { name: "own", text: TEXT, table: "case", topic_of, wants: case::wants, taken, left_out }
    }
    const HALVES: Topic = topic("halves", half);
    let disputed = |id: &str| Disputed(vec![("own".to_owned(), id.to_owned())]);
    let none = Disputed(Vec::new());

    let faults = run(&file(&[HALVES], &[]), &none);
    assert!(faults.iter().any(|f| f.contains("missed (halves): half")), "{faults:?}");
    assert!(faults.iter().any(|f| f.contains("`quarters` is neither taken nor left out")), "{faults:?}");
    assert_eq!(faults.len(), 2, "{faults:?}");

    let left_out = &[("quarters", "not ours")];
    assert_eq!(run(&file(&[HALVES], left_out), &disputed("missed")), Vec::<String>::new());
    let faults = run(&file(&[HALVES], left_out), &disputed("met"));
    assert!(faults.iter().any(|f| f.contains("met: disputed, but it passes")), "{faults:?}");
    let faults = run(&file(&[HALVES], left_out), &disputed("nowhere"));
    assert!(faults.iter().any(|f| f.contains("nowhere: no such case")), "{faults:?}");

    const THIRDS: Topic = topic("thirds", half);
    let faults = run(&file(&[THIRDS], &[("halves", ""), ("quarters", "")]), &none);
    assert!(faults.iter().any(|f| f.contains("`thirds` has no case")), "{faults:?}");
    assert!(faults.iter().any(|f| f.contains("no case ran")), "{faults:?}");
    let faults = run(&file(&[HALVES], &[("quarters", ""), ("fifths", "")]), &disputed("missed"));
    assert!(faults.iter().any(|f| f.contains("nothing is left out by `fifths`")), "{faults:?}");
    const NOTHING: Topic = Topic { name: "halves", run: half, not_ours: &[("half", "not ours")] };
    let faults = run(&file(&[NOTHING], left_out), &none);
    assert_eq!(faults.iter().filter(|f| f.contains("none of its keys is ours")).count(), 2, "{faults:?}");
}
