//! The reference's worked judgements: every case is met, or left out by what it expects, with the reason.
//!
//! A contested case is shown to a person: its verdict is marginal, or the case's own with the other reading beside it.

use exchange::standards;
use inspection::{Amount, Code, Item, Standard, Verdict, Wanted, add, overall, powers, uncut};
use job::{LensType, Uncut};
use optics::OrderedPower;
use toml::{Table, Value};
use units::{Axis, Mm, Power};

use super::{prism, wanted};

const CASES: &str = include_str!("../../../../reference/inspection-cases.toml");

/// What a case may expect and is not judged here, with the reason.
const LEFT_OUT: &[(&str, &str)] = &[
    ("horizontal", "of a mounted pair: comes with the inspection of one"),
    ("vertical", "of a mounted pair"),
    ("fitting_horizontal", "of a mounted pair"),
    ("height_each", "of a mounted pair"),
    ("height_pair", "of a mounted pair"),
    ("segment_horizontal", "of a mounted pair"),
    ("segment_size", "multifocals are not figured yet"),
    ("segment_size_pair", "multifocals are not figured yet"),
    ("tilt", "of a mounted pair"),
    ("warpage", "comes from mounting"),
];

/// Contested cases on which the program does not doubt: the reference itself rejects the other page's arithmetic.
const NOT_DOUBTED: [&str; 1] = ["PUB-10"];

fn number(table: &Table, key: &str) -> Option<f64> {
    let value = table.get(key)?;
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64))
}

/// A power written in the file: exact thousandths.
fn thousandths(value: f64) -> Power {
    Power::from_thousandths((value * 1000.0).round() as i32)
}

/// "Missing cyl means 0.00": a power that was read has a cylinder that was read.
fn power_of(table: &Table) -> Option<OrderedPower> {
    let cylinder = number(table, "cyl").map(|cylinder| {
        let axis = table["axis"].as_integer().expect("whole degrees");
        (thousandths(cylinder), Axis::from_half_degrees(2 * u16::try_from(axis).unwrap()).unwrap())
    });
    Some(OrderedPower::new(thousandths(number(table, "sph")?), cylinder))
}

/// The items of a case, by our crates.
fn judged(case: &Table) -> (&'static Standard, Wanted, Vec<Item>) {
    let (rx, measured) = (case["rx"].as_table().unwrap(), case["measured"].as_table().unwrap());
    let id = case["edition"].as_str().unwrap();
    let standard = standards().edition(id).unwrap_or_else(|| panic!("{id}"));
    let kind = match case["lens"].as_str().unwrap() {
        "sv" => LensType::SingleVision,
        "mf" => LensType::Multifocal,
        "pal" => LensType::ProgressivePower,
        other => panic!("{other}"),
    };
    let wanted = Wanted {
        kind,
        prism: prism(0.0, number(rx, "prism").unwrap_or(0.0)),
        add: number(rx, "add").map(thousandths),
        centre: number(rx, "ct_mm").map(Mm::new),
        front_curve_1530_d: number(rx, "base_d"),
        ..wanted(power_of(rx).unwrap_or_else(|| OrderedPower::new(Power::ZERO, None)))
    };
    // Of a prism only the error is given, and for ISO its two parts; the direction of the former does not count.
    let error =
        (number(measured, "prism_error_h"), number(measured, "prism_error_v"), number(measured, "prism_error_pd"));
    let ordered_up = wanted.prism.base_up.cm_per_m();
    let read = Uncut {
        power: power_of(measured),
        cylinder_read: measured.contains_key("sph"),
        prism: match error {
            (Some(h), Some(v), None) => Some(prism(h, ordered_up + v)),
            (None, None, Some(any)) => Some(prism(any, ordered_up)),
            _ => None,
        },
        centre: number(measured, "ct_mm").map(Mm::new),
        front_curve_1530_d: number(measured, "base_d"),
        ..Uncut::default()
    };
    let mut items = uncut(&wanted, &read, standard);
    items.retain(|item| item.code != Code::Add);
    items.extend(add(&wanted, number(measured, "add").map(thousandths), standard));
    (standard, wanted, items)
}

fn of(items: &[Item], code: &str) -> Option<Item> {
    items.iter().find(|item| item.code.word() == code).cloned()
}

/// The item that a case's key means. The ISO prism is one item with two limits: each part is read alone.
fn item(case: &Table, items: &[Item], key: &str) -> Item {
    let part = |keep: &str, drop: &str| {
        let mut case = case.clone();
        let measured = case["measured"].as_table_mut().unwrap();
        assert!(measured.contains_key(keep));
        measured.insert(drop.to_owned(), Value::Float(0.0));
        of(&judged(&case).2, "prp").expect("prp")
    };
    match key {
        "prism_h" => part("prism_error_h", "prism_error_v"),
        "prism_v" => part("prism_error_v", "prism_error_h"),
        key => of(items, key).unwrap_or_else(|| panic!("{:?}: no item {key}", case["id"])),
    }
}

fn expected(word: &str) -> Verdict {
    match word {
        "pass" => Verdict::Within,
        "fail" => Verdict::Outside,
        "not_defined" => Verdict::NotDefined,
        other => panic!("{other}"),
    }
}

#[test]
fn every_case_is_met_or_left_out() {
    let document: Table = CASES.parse().expect("the cases read");
    let cases = document["case"].as_array().expect("cases");
    let (mut met, mut verdicts, mut left_out, mut contested) = (0, 0, 0, 0);
    let mut unused: Vec<&str> = LEFT_OUT.iter().map(|(key, _)| *key).collect();
    let mut faults = Vec::new();
    for case in cases {
        let case = case.as_table().unwrap();
        let id = case["id"].as_str().unwrap();
        let expect = case["expect"].as_table().unwrap();
        let skipped: Vec<&str> =
            expect.keys().filter_map(|key| Some(LEFT_OUT.iter().find(|(out, _)| out == key)?.0)).collect();
        unused.retain(|key| !skipped.contains(key));
        if !skipped.is_empty() {
            assert_eq!(skipped.len(), expect.len(), "{id}: partly left out");
            left_out += 1;
            continue;
        }
        let (_, _, items) = judged(case);
        let is_contested = case.get("contested").is_some();
        contested += usize::from(is_contested);
        let mut doubted = false;
        let before = faults.len();
        for (key, want) in expect {
            let (item, want) = (item(case, &items, key), expected(want.as_str().unwrap()));
            doubted |= item.verdict == Verdict::Marginal || item.other.is_some();
            let open = is_contested && item.verdict == Verdict::Marginal;
            if item.verdict != want && !open {
                faults.push(format!("{id} {key}: {:?}, wanted {want:?}: {item:?}", item.verdict));
            }
            verdicts += 1;
        }
        if doubted != (is_contested && !NOT_DOUBTED.contains(&id)) {
            faults.push(format!("{id}: contested {is_contested}, doubted {doubted}"));
        }
        let (all, want) = (overall(&items), expected(case["overall"].as_str().unwrap()));
        if all != want && !(is_contested && all == Verdict::Marginal) && only_what_is_expected(&items, expect) {
            faults.push(format!("{id}: overall {all:?}, wanted {want:?}"));
        }
        met += usize::from(faults.len() == before);
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(unused, Vec::<&str>::new(), "nothing is left out by these");
    assert!(met > 0, "no case ran");
    assert_eq!(met + left_out, cases.len());
    println!(
        "inspection-cases.toml: {} cases: {met} met with {verdicts} verdicts, {contested} of them contested, {left_out} left out",
        cases.len()
    );
}

/// Whether a case speaks of every item that is judged: some give readings of which they judge only one.
fn only_what_is_expected(items: &[Item], expect: &Table) -> bool {
    let judged = items.iter().filter(|i| matches!(i.verdict, Verdict::Within | Verdict::Outside | Verdict::Marginal));
    judged
        .into_iter()
        .all(|item| expect.contains_key(item.code.word()) || (item.code == Code::Prp && expect.contains_key("prism_h")))
}

/// What a case says of another reading or edition.
#[test]
fn what_the_cases_say_of_other_readings() {
    let document: Table = CASES.parse().expect("the cases read");
    let case = |id: &str| {
        let cases = document["case"].as_array().unwrap();
        cases.iter().find(|c| c["id"].as_str() == Some(id)).unwrap().as_table().unwrap().clone()
    };
    for (id, key, verdict, other, reading) in [
        ("A-SPH-10", "sphere", Verdict::Within, Verdict::Outside, "1999"),
        ("A-AXIS-21", "axis", Verdict::NotDefined, Verdict::Outside, "14 degrees applied below 0.12 D"),
        ("A-PRP-01", "prp", Verdict::Within, Verdict::Outside, "2010"),
        ("A-PRP-02", "prp", Verdict::Within, Verdict::Outside, "2010"),
        ("A-SPH-06", "sphere", Verdict::Marginal, Verdict::Within, "limit rounded to two decimals: 0.14 D"),
        ("A-PAL-04", "sphere", Verdict::Marginal, Verdict::Within, "limit rounded to two decimals: 0.17 D"),
        ("A-PAL-10", "cylinder", Verdict::Marginal, Verdict::Within, "limit rounded to two decimals: 0.19 D"),
    ] {
        let case = case(id);
        let item = item(&case, &judged(&case).2, key);
        let told = item.other.unwrap_or_else(|| panic!("{id}: another reading"));
        assert_eq!((item.verdict, told.verdict), (verdict, other), "{id}");
        assert!(told.reading.contains(reading), "{id}: {}", told.reading);
    }
    // The case's alternative is that edition's own verdict.
    let mut old = case("A-SPH-10");
    old.insert("edition".to_owned(), Value::String("ansi-z80.1-1999".to_owned()));
    assert_eq!(item(&old, &judged(&old).2, "sphere").verdict, Verdict::Outside);
    let mut summary = case("A-AXIS-21");
    summary.insert("edition".to_owned(), Value::String("ansi-z80.1-2010".to_owned()));
    assert_eq!(item(&summary, &judged(&summary).2, "axis").verdict, Verdict::Outside);
    let mut literal = case("A-PRP-01");
    literal.insert("edition".to_owned(), Value::String("ansi-z80.1-2010".to_owned()));
    assert_eq!(item(&literal, &judged(&literal).2, "prp").verdict, Verdict::Marginal, "its own two clauses differ");
}

/// The place of the reference point follows from prism and power as the cases have it.
#[test]
fn the_place_of_the_point_is_the_cases() {
    let document: Table = CASES.parse().expect("the cases read");
    let mut ran = 0;
    for case in document["case"].as_array().unwrap() {
        let measured = case["measured"].as_table().unwrap();
        let Some(place) = number(measured, "location_error_mm") else { continue };
        let (_, _, items) = judged(case.as_table().unwrap());
        let prp = of(&items, "prp").unwrap();
        let shown = format!("lies {} mm off", Amount::nearest(place));
        let told = prp.other.as_ref().is_some_and(|other| other.reading.contains(&shown));
        let decides = prp.unit == "mm" && prp.error == Some(Amount::nearest(place));
        assert!(told || decides, "{:?}: {prp:?}", case["id"]);
        ran += 1;
    }
    assert_eq!(ran, 3);
}

/// Whichever form a lens is read in and ordered in, the verdicts of every case stay.
#[test]
fn the_form_does_not_count() {
    let document: Table = CASES.parse().expect("the cases read");
    let mut ran = 0;
    for case in document["case"].as_array().unwrap() {
        let case = case.as_table().unwrap();
        let (Some(rx), Some(read)) =
            (power_of(case["rx"].as_table().unwrap()), power_of(case["measured"].as_table().unwrap()))
        else {
            continue;
        };
        let (standard, wanted, _) = judged(case);
        let judge = |ordered: OrderedPower, read: OrderedPower| {
            let read = Uncut { power: Some(read), cylinder_read: true, ..Uncut::default() };
            powers(&Wanted { power: ordered, ..wanted }, &read, standard)
        };
        let want = judge(rx, read);
        for (ordered, read) in [(rx.transposed(), read), (rx, read.transposed()), (rx.transposed(), read.transposed())]
        {
            assert_eq!(judge(ordered, read), want, "{:?}", case["id"]);
        }
        ran += 1;
    }
    assert!(ran > 50, "{ran}");
}
