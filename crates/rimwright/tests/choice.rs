//! Which blanks, as a pair: each rule of choosing on a shelf of two or three rows, and each reason why a row will not do.
//!
//! The shape is a circle of 50 mm cut along the lens axis, so that every margin can be had with a pencil: usable radius less
//! 1.0 mm of allowance less (25 mm + decentration). Rules of choosing are the issue's own; what they rest on is common
//! practice, no source.

use job::{Eye, PerEye, kinds};
use outline::Outline;
use planner::plan::{OrderThickness, Reason};
use planner::{Bench, FrameShapes, Plan, Shape, Shelf, plan};
use std::sync::Arc;
use units::{Mm, Working};

const COLUMNS: [&str; 18] = [
    "sku",
    "material",
    "series",
    "lot",
    "form",
    "sphere_d",
    "cylinder_d",
    "axis_deg",
    "eye",
    "nominal_mm",
    "usable_mm",
    "middle_in_mm",
    "centre_mm",
    "front_curve_d",
    "front_curve_index",
    "treatments",
    "quantity",
    "unit_cost_minor",
];

/// A row: the sound one, with some cells changed.
fn row(sku: &str, sphere: &str, changes: &[(&str, &str)]) -> String {
    let cells = COLUMNS.map(|column| {
        let changed = changes.iter().find(|(name, _)| *name == column).map(|(_, value)| *value);
        changed.unwrap_or(match column {
            "sku" => sku,
            "material" => "adc-1.498",
            "series" => "one",
            "form" => "spheric",
            "sphere_d" => sphere,
            "nominal_mm" => "70",
            "usable_mm" => "69",
            "centre_mm" => {
                if sphere.starts_with('+') {
                    "5.0"
                } else {
                    "2.0"
                }
            }
            "front_curve_d" => "5.0",
            "front_curve_index" => "1.530",
            "quantity" => "5",
            _ => "",
        })
    });
    let known: Vec<&str> = changes.iter().map(|(name, _)| *name).filter(|name| !COLUMNS.contains(name)).collect();
    let extra: String =
        known.iter().map(|name| format!(",{}", changes.iter().find(|(n, _)| n == name).map_or("", |c| c.1))).collect();
    format!("{}{extra}\n", cells.join(","))
}

/// A shelf; columns that only one row has are named once more behind the rest.
fn shelf(rows: &[String], more: &[&str]) -> String {
    let head: String = COLUMNS.iter().copied().chain(more.iter().copied()).collect::<Vec<_>>().join(",");
    let width = COLUMNS.len() + more.len();
    let rows: String = rows
        .iter()
        .map(|r| format!("{}{}\n", r.trim_end(), ",".repeat(width - r.trim_end().split(',').count())))
        .collect();
    format!("{head}\n{rows}")
}

#[derive(Clone, Copy)]
struct Want<'a> {
    eyes: &'a str,
    right: &'a str,
    left: &'a str,
    lens: &'a str,
    pd: f64,
}

const MINUS: Want<'static> = Want {
    eyes: "both",
    right: "sphere_d = \"-2.00\", cylinder_d = \"none\"",
    left: "sphere_d = \"-2.25\", cylinder_d = \"none\"",
    lens: "",
    pd: 34.0,
};

fn made(want: &Want<'_>, shelf_text: &str) -> Plan {
    made_by("", want, shelf_text)
}

fn made_by(block: &str, want: &Want<'_>, shelf_text: &str) -> Plan {
    let rules = exchange::read_rules(format!("[block]\naxis = \"lens-axis\"\n{block}").as_bytes())
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    let order = format!(
        "number = \"7\"\ntaken = 2026-03-02\neyes = \"{}\"\n[wearer]\nmonocular_pd_mm = {{ right = {pd}, left = {pd} }}\n\
         pupil_height_mm = {{ right = 25, left = 25 }}\n[prescription]\nrefraction_vertex_mm = 12\nright = {{ {} }}\n\
         left = {{ {} }}\n[frame]\noutline = \"x.txt\"\nmounting = \"full-rim\"\ndistance_between_lenses_mm = 18\n[lens]\n\
         type = \"single-vision\"\nmaterial = \"adc-1.498\"\nedge = \"bevel\"\n{}\n",
        want.eyes,
        want.right,
        want.left,
        want.lens,
        pd = want.pd
    );
    let order = exchange::read_order(order.as_bytes(), &rules).unwrap_or_else(|f| panic!("{f:?}"));
    let rows = exchange::read_shelf(shelf_text.as_bytes(), &rules).unwrap_or_else(|f| panic!("{f:?}\n{shelf_text}"));
    let shape = Arc::new(Shape::exact(Outline::circle(Mm::new(25.0)).unwrap_or_else(|e| panic!("{e}"))));
    let frame = FrameShapes {
        eyes: PerEye { right: Arc::clone(&shape), left: shape },
        between_lenses: Some(Mm::new(18.0)),
        doubts: Vec::new(),
        difference: None,
    };
    let shelf = Shelf::new(rows);
    plan(
        &order,
        &frame,
        &Bench { shelf: Some(&shelf), left: None, rules: &rules, uncut: job::PerEye::default() },
        Working::off(),
    )
}

fn chosen(plan: &Plan) -> String {
    let sku = |eye: Eye| {
        plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).map_or_else(|| "-".to_owned(), |l| l.blank.sku.clone())
    };
    format!("{} {}", sku(Eye::Right), sku(Eye::Left))
}

/// Why a row will not do for an eye, and by how much.
fn why(plan: &Plan, eye: Eye, sku: &str) -> Option<(Reason, f64)> {
    let misses = &plan.eyes[eye].as_ref()?.near_misses;
    misses.iter().find(|m| m.blank.sku == sku).map(|m| (m.reason, m.by))
}

#[test]
fn pairs_are_chosen_by_their_rules() {
    let r = |sku: &str, changes: &[(&str, &str)]| row(sku, "-2.00", changes);
    let l = |sku: &str, changes: &[(&str, &str)]| row(sku, "-2.25", changes);
    let plus = Want {
        right: "sphere_d = \"+2.00\", cylinder_d = \"none\"",
        left: "sphere_d = \"+2.00\", cylinder_d = \"none\"",
        ..MINUS
    };
    let p = |sku: &str, changes: &[(&str, &str)]| row(sku, "+2.00", changes);
    let cases: Vec<(&str, Want<'_>, Vec<String>, &str)> = vec![
        (
            "one series, though another is cheaper",
            MINUS,
            vec![
                r("a1", &[("unit_cost_minor", "900"), ("currency", "EUR")]),
                r("b1", &[("series", "two")]),
                l("a2", &[]),
            ],
            "a1 a2",
        ),
        ("no common series: neither", MINUS, vec![r("a1", &[]), l("b2", &[("series", "two")])], "- -"),
        (
            "coated alike",
            MINUS,
            vec![r("a1", &[("treatments", "uv")]), r("a3", &[]), l("a2", &[("treatments", "uv")])],
            "a1 a2",
        ),
        (
            "one lot before a lower row",
            MINUS,
            vec![r("a1", &[("lot", "A")]), r("b1", &[("lot", "B")]), l("b2", &[("lot", "B")])],
            "b1 b2",
        ),
        (
            "front curves within the rules before one lot",
            MINUS,
            vec![
                r("a1", &[("lot", "A"), ("front_curve_d", "7.5")]),
                r("b1", &[("lot", "B")]),
                l("a2", &[("lot", "A")]),
            ],
            "b1 a2",
        ),
        (
            "plus: the smallest that covers, 62 needed",
            plus,
            vec![
                p("p70", &[]),
                p("p65", &[("nominal_mm", "65"), ("usable_mm", "64")]),
                p("p60", &[("nominal_mm", "50"), ("usable_mm", "49")]),
            ],
            "p65 p65",
        ),
        (
            "an edge that asks is worse than a large plus",
            plus,
            vec![p("thin", &[("nominal_mm", "65"), ("usable_mm", "64"), ("centre_mm", "2.0")]), p("p70", &[])],
            "p70 p70",
        ),
        (
            "minus: the cheaper of two like ones",
            MINUS,
            vec![
                r("dear", &[("unit_cost_minor", "900"), ("currency", "EUR")]),
                r("cheap", &[("unit_cost_minor", "500"), ("currency", "EUR")]),
                l("a2", &[]),
            ],
            "cheap a2",
        ),
        (
            "ordered coats before coats that were not",
            MINUS,
            vec![r("uv", &[("treatments", "uv")]), r("a1", &[]), l("uv2", &[("treatments", "uv")]), l("a2", &[])],
            "a1 a2",
        ),
        (
            "one piece does not make a pair",
            plus,
            vec![p("last", &[("quantity", "1"), ("nominal_mm", "65"), ("usable_mm", "64")]), p("p70", &[])],
            "last p70",
        ),
        ("one piece and nothing else: neither", plus, vec![p("last", &[("quantity", "1")])], "- -"),
        (
            "a label in the other form is the same power",
            Want { right: "sphere_d = \"-2.00\", cylinder_d = \"-1.00\", axis_deg = 30", ..MINUS },
            vec![row("plus-form", "-3.00", &[("cylinder_d", "+1.00")]), l("a2", &[])],
            "plus-form a2",
        ),
        (
            "a single lens follows its mate's curve",
            Want { eyes: "left", lens: "mate = { front_curve_d = 6.0, front_curve_index = 1.530 }", ..MINUS },
            vec![l("five", &[]), l("six", &[("front_curve_d", "6.0")])],
            "- six",
        ),
        (
            "the curve that was ordered, for the eye that has blanks",
            Want { lens: "front_curve_d = { left = 6.0 }", ..MINUS },
            vec![l("five", &[]), l("six", &[("front_curve_d", "6.0")])],
            "- six",
        ),
    ];
    for (what, want, rows, expected) in &cases {
        let plan = made(want, &shelf(rows, &["currency"]));
        assert_eq!(chosen(&plan), *expected, "{what}");
    }
}

#[test]
fn each_reason_is_told_with_its_amount() {
    let with = |right: &'static str| Want { eyes: "right", right, ..MINUS };
    let sphere = with(MINUS.right);
    let cylinder = with("sphere_d = \"-2.00\", cylinder_d = \"-1.00\", axis_deg = 45");
    let level = with("sphere_d = \"-2.00\", cylinder_d = \"-1.00\", axis_deg = 180");
    let prism = with("sphere_d = \"-2.00\", cylinder_d = \"none\", prism = [{ cm_per_m = \"1.00\", base = \"in\" }]");
    let plane = with("sphere_d = \"plano\", cylinder_d = \"none\", prism = [{ cm_per_m = \"1.00\", base = \"in\" }]");
    let c = &[("cylinder_d", "-1.00")][..];
    let and = |extra: &[(&'static str, &'static str)]| [c, extra].concat();
    type Row<'a> = (&'a str, Want<'a>, Vec<(&'static str, &'static str)>, Option<(Reason, f64)>);
    let rows: Vec<Row<'_>> = vec![
        ("it serves", sphere, vec![], None),
        // Usable radius 24 less 1.0 less 25, the optical centre in the middle of the box.
        ("too small", sphere, vec![("nominal_mm", "50"), ("usable_mm", "48")], Some((Reason::TooSmall, 2.0))),
        ("none left", sphere, vec![("quantity", "0")], Some((Reason::NoneLeft, 0.0))),
        ("kept", sphere, vec![("for_order", "8")], Some((Reason::Reserved, 0.0))),
        ("kept for this one", sphere, vec![("for_order", "7")], None),
        ("other eye", sphere, vec![("eye", "left")], Some((Reason::OtherEye, 0.0))),
        ("tinted", sphere, vec![("treatments", "tint+uv")], Some((Reason::Treatments, 1.0))),
        ("one surface", sphere, vec![("state", "semi-finished")], Some((Reason::SemiFinished, 0.0))),
        ("a quarter off", sphere, vec![("sphere_d", "-2.25")], Some((Reason::Power, 0.25))),
        ("other material", sphere, vec![("material", "crown-1.523")], Some((Reason::Material, 0.0))),
        ("other kind", sphere, vec![("type", "multifocal")], Some((Reason::Kind, 0.0))),
        ("prism ground in", sphere, vec![("base_in_cm_per_m", "1.0")], Some((Reason::Prism, 1.0))),
        // 1 cm/m ground base in, 1 ordered: nothing is left for decentration, so that even an aspheric blank serves.
        ("the blank's own prism", prism, vec![("form", "aspheric"), ("base_in_cm_per_m", "1.0")], None),
        // A sphere may be turned until its base lies in.
        ("its prism turned", prism, vec![("form", "aspheric"), ("base_up_cm_per_m", "-1.0")], None),
        // What is left, 0.5 cm/m of 2 D, is 2.5 mm.
        ("half its prism, spheric", prism, vec![("base_in_cm_per_m", "0.5")], None),
        (
            "half its prism, aspheric",
            prism,
            vec![("form", "aspheric"), ("base_in_cm_per_m", "0.5")],
            Some((Reason::CannotShift, 2.5)),
        ),
        ("a plane lens has no prism to give", plane, vec![("sphere_d", "plano")], Some((Reason::Prism, 1.0))),
        ("but its blank may", plane, vec![("sphere_d", "plano"), ("base_in_cm_per_m", "1.0")], None),
        ("a cylinder may be turned", cylinder, and(&[]), None),
        ("its axis is fixed 25 degrees off", cylinder, and(&[("axis_deg", "20")]), Some((Reason::CannotTurn, 25.0))),
        ("its axis is fixed right", cylinder, and(&[("axis_deg", "45")]), None),
        // A film level on the packet would stand at 45 degrees.
        (
            "polarised",
            Want { lens: "treatments = [\"polarised\"]", ..with(cylinder.right) },
            and(&[("treatments", "polarised"), ("polarised_deg", "180")]),
            Some((Reason::CannotTurn, 45.0)),
        ),
        (
            "polarised, axis along the film",
            Want { lens: "treatments = [\"polarised\"]", ..with(level.right) },
            and(&[("treatments", "polarised"), ("polarised_deg", "180")]),
            None,
        ),
        (
            "gradient may not be turned",
            Want { lens: "treatments = [\"gradient\"]", ..with(cylinder.right) },
            and(&[("treatments", "gradient")]),
            Some((Reason::CannotTurn, 45.0)),
        ),
        // 1 prism dioptre from 2 D is 5 mm.
        (
            "gradient may not be shifted",
            Want { lens: "treatments = [\"gradient\"]", ..with(prism.right) },
            vec![("treatments", "gradient")],
            Some((Reason::CannotShift, 5.0)),
        ),
        ("aspheric may not be shifted", prism, vec![("form", "aspheric")], Some((Reason::CannotShift, 5.0))),
        ("spheric may", prism, vec![], None),
    ];
    for (what, want, changes, expected) in &rows {
        let more = ["type", "state", "for_order", "polarised_deg", "base_in_cm_per_m", "base_up_cm_per_m"];
        let sku = "the-row";
        let base: Vec<(&str, &str)> = changes.iter().copied().filter(|(name, _)| COLUMNS.contains(name)).collect();
        let text = row(sku, "-2.00", &base);
        let tail: String = more.map(|name| changes.iter().find(|(n, _)| *n == name).map_or("", |c| c.1)).join(",");
        let plan = made(want, &shelf(&[format!("{},{tail}", text.trim_end())], &more));
        let found = why(&plan, Eye::Right, sku);
        match expected {
            None => assert_eq!(chosen(&plan), "the-row -", "{what}: {found:?}"),
            Some((reason, by)) => {
                let (is, amount) = found.unwrap_or_else(|| panic!("{what}: no reason"));
                assert_eq!(is, *reason, "{what}");
                assert!((amount - by).abs() < 1e-6, "{what}: {amount} instead of {by}");
                assert_eq!(chosen(&plan), "- -", "{what}");
            }
        }
    }
}

#[test]
fn of_two_turns_the_one_with_more_margin() {
    // The blank's middle lies 2 mm towards the nose on the packet; the optical centre stands 4 mm in, so that only half a turn
    // brings the blank back over the temple side: 34.5 - 1 - (25 + 4 - 2) = 6.5 against 2.5 mm.
    let want = Want { eyes: "right", pd: 30.0, ..MINUS };
    let plan = made(&want, &shelf(&[row("turned", "-2.00", &[("middle_in_mm", "2")])], &[]));
    let lens = plan.eyes.right.as_ref().and_then(|e| e.lens.as_ref()).unwrap();
    assert_eq!(lens.turn_deg, 180.0);
    assert!((lens.coverage.margin.mm() - 6.5).abs() < 1e-9, "{:?}", lens.coverage);
    assert!((lens.middle.inwards.mm() - 2.0).abs() < 1e-9);
}

#[test]
fn what_to_order_where_nothing_serves() {
    // 4 mm in: 2 (25 + 4 + 1.0 allowance + 1.0 rim) = 62 mm, whatever the power.
    let want = Want { eyes: "right", pd: 30.0, ..MINUS };
    let far = row("far", "-9.00", &[]);
    let minus = made(&want, &shelf(std::slice::from_ref(&far), &[]));
    let order = minus.eyes.right.as_ref().and_then(|e| e.to_order.clone()).unwrap();
    assert!((order.least_diameter.mm() - 62.0).abs() < 1e-9);
    assert_eq!(order.sphere.to_string(), "-2.00");
    // reference/materials.toml: 2.0 mm for this resin.
    assert_eq!(order.thickness, OrderThickness::Centre(Mm::new(2.0)));
    assert!(minus.findings.iter().any(|f| f.kind == &kinds::NO_BLANK));
    let plus = Want { right: "sphere_d = \"+4.00\", cylinder_d = \"none\"", ..want };
    let plan = made(&plus, &shelf(&[far], &[]));
    let order = plan.eyes.right.as_ref().and_then(|e| e.to_order.clone()).unwrap();
    let OrderThickness::CentreForEdge { centre, edge } = order.thickness else { panic!("{order:?}") };
    // [least] bevel_ask_mm; the centre by exact sagittas of the curve assumed, 6 + 4 = 10 D on 1.530 (Vogel), at 29 mm.
    assert_eq!(edge, Mm::new(1.0));
    let (n, y) = (1.498, 29.0f64);
    let r1 = 530.0 / 10.0;
    let f1 = 1000.0 * (n - 1.0) / r1;
    let sag = |r: f64| y * y / (r + (r * r - y * y).sqrt());
    let mut t = 5.0;
    for _ in 0..60 {
        let f2 = 4.0 - f1 / (1.0 - t / 1000.0 / n * f1);
        t = 1.0 + sag(r1) - sag(1000.0 * (1.0 - n) / f2);
    }
    assert!((centre.mm() - t).abs() < 1e-6, "{} {t}", centre.mm());
}

#[test]
fn the_block_leaves_two_millimetres_where_one_can_and_one_where_not() {
    // 25 mm of radius: blocks of 45, 47 and 48.5 mm leave 2.5, 1.5 and 0.75; check-facts blank.block-clearance: 1, good 2.
    let want = Want { eyes: "right", ..MINUS };
    for (diameters, taken) in [("[45.0, 47.0, 48.5]", Some(45.0)), ("[47.0, 48.5]", Some(47.0)), ("[48.5]", None)] {
        let plan = made_by(&format!("diameters_mm = {diameters}\n"), &want, &shelf(&[row("a", "-2.00", &[])], &[]));
        let block = plan.eyes.right.as_ref().and_then(|e| e.lens.as_ref()).map(|l| l.block).unwrap();
        assert_eq!(block.diameter.map(Mm::mm), taken, "{diameters}");
        assert_eq!(plan.findings.iter().any(|f| f.kind == &kinds::BLOCK_TOO_LARGE), taken.is_none());
    }
}
