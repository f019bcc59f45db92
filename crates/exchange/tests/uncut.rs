//! Readings of uncut lenses: the file reads to the values that stand in it, and every fault is told at its place.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use exchange::{Fault, read_uncut, report};
use job::{PerEye, Uncut};
use optics::OrderedPower;
use units::{Axis, Mm, Power};

/// Both lenses, every key.
const EXAMPLE: &str = include_str!("data/uncut.toml");

fn read(text: &str) -> PerEye<Option<Uncut>> {
    read_uncut(text.as_bytes()).unwrap_or_else(|f| panic!("{}", report("uncut.toml", text.as_bytes(), &f)))
}

fn faults(text: &str) -> Vec<Fault> {
    read_uncut(text.as_bytes()).err().unwrap_or_default()
}

fn power(sphere: i32, cylinder: Option<(i32, u16)>) -> OrderedPower {
    let d = Power::from_thousandths;
    OrderedPower::new(d(sphere), cylinder.map(|(c, half)| (d(c), Axis::from_half_degrees(half).unwrap())))
}

#[test]
fn the_example_reads_to_its_values() {
    let both = read(EXAMPLE);
    let right = both.right.expect("written");
    // A reading counts as written: no eighth is restored. Axis 0 is 180.
    assert_eq!((right.power, right.cylinder_read), (Some(power(-4230, Some((-1020, 360)))), true));
    let prism = right.prism.expect("written");
    assert_eq!((prism.base_in.cm_per_m(), prism.base_up.cm_per_m()), (0.25, -0.1));
    assert_eq!((right.centre, right.diameter), (Some(Mm::new(1.62)), Some(Mm::new(70.0))));
    let check = right.check.expect("written");
    assert_eq!((check.thickness, check.radius, check.deg), (Mm::new(4.31), Mm::new(25.0), Some(90.0)));
    assert_eq!(right.front_curve_1530_d, Some(3.25));
    let left = both.left.expect("written");
    // Plus form is kept as it was read, and 1.12 is not 1.125.
    assert_eq!((left.power, left.cylinder_read), (Some(power(-4870, Some((1120, 185)))), true));
    assert_eq!(left.prism.map(|p| (p.base_in.cm_per_m(), p.base_up.cm_per_m())), Some((0.0, 0.0)), "read as none");
    assert_eq!((left.centre, left.check, left.front_curve_1530_d, left.diameter), (None, None, None, None));
}

#[test]
fn what_was_not_read_is_not_zero() {
    for (text, want, cylinder_read) in [
        ("sphere_d = \"-4.25\"", Some(power(-4250, None)), false),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"none\"", Some(power(-4250, None)), true),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"0.00\"", Some(power(-4250, None)), true),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"0.00\"\naxis_deg = 90", Some(power(-4250, None)), true),
        ("sphere_d = \"plano\"\ncylinder_d = \"-0.03\"\naxis_deg = 7", Some(power(0, Some((-30, 14)))), true),
        ("centre_mm = 2", None, false),
        ("", None, false),
    ] {
        let both = read(&format!("[left]\n{text}\n"));
        assert!(both.right.is_none(), "{text}");
        let left = both.left.expect("written");
        assert_eq!((left.power, left.cylinder_read, left.prism), (want, cylinder_read, None), "{text}");
    }
}

/// Base in and out belong to the eye; degrees are the viewer's for both.
#[test]
fn a_base_is_in_or_out_for_its_eye() {
    for (base, right, left) in [
        ("\"in\"", (1.0, 0.0), (1.0, 0.0)),
        ("\"out\"", (-1.0, 0.0), (-1.0, 0.0)),
        ("\"up\"", (0.0, 1.0), (0.0, 1.0)),
        ("0", (1.0, 0.0), (-1.0, 0.0)),
        ("180.0", (-1.0, 0.0), (1.0, 0.0)),
        ("270", (0.0, -1.0), (0.0, -1.0)),
    ] {
        let line = format!("prism = [{{ cm_per_m = \"1.00\", base = {base} }}]\n");
        let both = read(&format!("[right]\n{line}[left]\n{line}"));
        for (eye, want) in [(both.right, right), (both.left, left)] {
            let prism = eye.and_then(|u| u.prism).expect("written");
            assert!((prism.base_in.cm_per_m() - want.0).abs() < 1e-12, "{base}");
            assert!((prism.base_up.cm_per_m() - want.1).abs() < 1e-12, "{base}");
        }
    }
}

/// Under `[right]`: line (from 1 under the head) and column of the fault, a piece of what it says, a piece of its hint.
#[test]
fn each_fault_is_told_at_its_place() {
    for (text, line, column, what, hint) in [
        ("sphere_d = \"4.25\"", 1, 12, "`4.25` has no sign", "write +4.25 or -4.25"),
        ("sphere_d = -4.25", 1, 12, "expected a power in quotes", "\"-4.25\""),
        ("sphere_d = \"-4,25\"", 1, 12, "expected a power", "with a point, not a comma"),
        ("sphere_d = \"-425\"", 1, 12, "beyond 40", "decimal point missing"),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"", 2, 14, "given without an axis", "write axis_deg"),
        ("sphere_d = \"-4.25\"\naxis_deg = 90", 2, 12, "given without a cylinder", "cylinder_d = \"none\""),
        (
            "sphere_d = \"-4.25\"\ncylinder_d = \"none\"\naxis_deg = 90",
            3,
            12,
            "there is no cylinder",
            "take out the axis",
        ),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"DS\"", 2, 14, "expected a power", "write \"none\""),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 181", 3, 12, "from 0 to 180", "read the axis again"),
        ("cylinder_d = \"-1.00\"\naxis_deg = 90", 1, 14, "given without a sphere", "write sphere_d beside it"),
        ("prism = { cm_per_m = \"1.00\", base = \"up\" }", 1, 9, "expected a list of prisms", "prism = [{"),
        ("prism = [{ cm_per_m = \"1.00\" }]", 1, 10, "base` is missing", "a prism needs its base"),
        (
            "prism = [{ cm_per_m = \"1.00\", base = \"upp\" }]",
            1,
            38,
            "expected in, out, up or down",
            "did you mean `up`?",
        ),
        ("prism = [{ cm_per_m = \"-1.00\", base = \"up\" }]", 1, 23, "cm_per_m", "without sign"),
        ("prism = [{ cm_per_m = \"300\", base = \"up\" }]", 1, 23, "beyond 40", "in quotes and without sign"),
        ("centre_mm = 0", 1, 13, "above 0 and below 40 mm", "write what was measured"),
        ("centre_mm = -1.2", 1, 13, "above 0 and below 40 mm", "without a minus"),
        ("centre_mm = nan", 1, 13, "above 0 and below 40 mm", "plain decimal"),
        ("centre_mm = \"2.1\"", 1, 13, "the text `2.1`", "without quotes"),
        ("check_mm = 4.3", 1, 1, "check_radius_mm` is missing", "how far from the middle"),
        ("check_radius_mm = 25.0", 1, 1, "check_mm` is missing", "take the radius out"),
        ("check_deg = 90", 1, 1, "check_mm` is missing", "take the direction out"),
        (
            "diameter_mm = 70.0\ncheck_mm = 4.3\ncheck_radius_mm = 35.5",
            3,
            19,
            "`right.check_radius_mm` is 35.5, outside the blank: its diameter_mm is 70",
            "at most 35 here: is it a diameter",
        ),
        ("check_mm = 4.3\ncheck_radius_mm = 80.0", 2, 19, "below 75 mm", "decimal point missing"),
        ("check_mm = 4.3\ncheck_radius_mm = 25\ncheck_deg = 361", 3, 13, "0 to 360 degrees", "decimal point"),
        ("front_curve_d = 60", 1, 17, "-30 to 30 D", "the unit another one"),
        ("diameter_mm = 700", 1, 15, "below 150 mm", "decimal point missing"),
        ("sphere = \"-4.25\"", 1, 1, "`sphere` is not a key of [right]", "did you mean `sphere_d`?"),
        ("diameter = 70", 1, 1, "not a key of [right]", "did you mean `diameter_mm`?"),
    ] {
        let text = format!("[right]\n{text}\n");
        let found = faults(&text);
        let shown = report("uncut.toml", text.as_bytes(), &found);
        // What is missing is told at the table's head, which is one line above.
        let at = if what.ends_with("is missing") && column == 1 { 1 } else { line + 1 };
        assert!(
            found.iter().any(|f| (f.line, f.column) == (at, column) && f.what.contains(what) && f.hint.contains(hint)),
            "{text}{shown}{found:?}"
        );
        assert_eq!(found.len(), 1, "{shown}");
    }
}

#[test]
fn a_file_without_a_lens_is_a_fault() {
    for (text, what, hint) in [
        ("", "empty", "[right]"),
        (" \n\t\n", "empty", "[right]"),
        ("# nothing yet\n", "neither [right] nor [left]", "a table for each lens"),
        ("[rigth]\ncentre_mm = 2.0\n", "`rigth` is not a key of the top", "did you mean `right`?"),
        ("centre_mm = 2.0\n[left]\n", "`centre_mm` is not a key of the top", "it belongs in [right]"),
        ("right = 3\n", "expected a table", "[name]"),
        ("[right]\nsphere_d = \"-1.00\"\nsphere_d = \"-1.00\"\n", "given twice", "keep one"),
    ] {
        let found = faults(text);
        assert!(found.iter().any(|f| f.what.contains(what) && f.hint.contains(hint)), "{text}: {found:?}");
    }
}

#[test]
fn every_fault_of_a_file_is_told_in_one_run() {
    let text = "[right]\nsphere_d = \"4.25\"\ncenter_mm = 2\ncheck_mm = 3\n[left]\naxis_deg = 90\nprism = [{ base = \"in\" }]\n";
    let places: Vec<(usize, String)> = faults(text).into_iter().map(|f| (f.line, f.what)).collect();
    let lines: Vec<usize> = places.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [1, 2, 3, 6, 7], "{places:?}");
}

/// Cut anywhere, or with any one character taken out, the file reads or is told of, and nothing breaks.
#[test]
fn no_mutilation_brings_it_down() {
    let told = |text: &str| {
        let lines = text.lines().count().max(1);
        match read_uncut(text.as_bytes()) {
            Ok(both) => assert!(both.right.is_some() || both.left.is_some(), "{text}"),
            Err(faults) => {
                assert!(!faults.is_empty(), "{text}");
                assert!(faults.iter().all(|f| (1..=lines + 1).contains(&f.line) && f.column >= 1), "{faults:?}");
            }
        }
    };
    for (at, c) in EXAMPLE.char_indices() {
        told(&EXAMPLE[..at]);
        told(&format!("{}{}", &EXAMPLE[..at], &EXAMPLE[at + c.len_utf8()..]));
    }
}
