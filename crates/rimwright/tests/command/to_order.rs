//! What to order where the shelf has nothing: held against plans made from a blank as it was asked for.

use std::fs;

use exchange::records;
use job::Eye;
use serde_json::Value;

use crate::json::conforms;
use crate::shop::{SHELF, Shop};

const LEFT: &str = "left = { sphere_d = \"-3.75\", cylinder_d = \"none\" }";
const HEAD: &str = "sku,material,series,type,form,sphere_d,cylinder_d,axis_deg,base_in_cm_per_m,base_up_cm_per_m,nominal_mm,centre_mm,front_curve_d,front_curve_index,treatments,state,place";

/// The small shop's blanks under the header of this file.
fn shelf(rows: &[String]) -> String {
    let right = "R-70,polycarbonate-1.586,S1,single-vision,spheric,-4.25,-1.00,,,,70,1.5,3.25,1.530,anti-reflective,,";
    format!("{HEAD}\n{right}\n{}\n", rows.join("\n"))
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or("")
}

/// A finished row as the order asks for it, so many millimetres smaller.
fn row(sku: &str, ask: &Value, smaller: f64) -> String {
    let ground = ask["prism_at_reference_point"].is_object();
    let axis = if ground { ask["axis_deg"].as_f64().map_or(String::new(), |a| a.to_string()) } else { String::new() };
    let treatments: Vec<&str> = ask["treatments"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    format!(
        "{sku},{},{},single-vision,{},{},{},{axis},{},{},{},{},{},1.530,{},,",
        text(ask, "material"),
        text(ask, "series"),
        text(ask, "form"),
        text(ask, "sphere_d"),
        text(ask, "cylinder_d"),
        number(&ask["prism"], "base_in_cm_per_m"),
        number(&ask["prism"], "base_up_cm_per_m"),
        number(ask, "least_diameter_mm").ceil() - smaller,
        (number(ask, "centre_mm") * 100.0 - 1e-3).ceil() / 100.0,
        number(ask, "front_curve_1530_d"),
        treatments.join("+"),
    )
}

/// Orders whose left lens the shelf does not have, with what the order changes elsewhere.
const CASES: &[(&str, &[(&str, &str)])] = &[
    ("sphere_d = \"-9.75\", cylinder_d = \"none\"", &[]),
    ("sphere_d = \"-7.25\", cylinder_d = \"+1.50\", axis_deg = 20", &[]),
    ("sphere_d = \"+6.00\", cylinder_d = \"-0.75\", axis_deg = 5", &[]),
    ("sphere_d = \"+0.50\", cylinder_d = \"none\"", &[]),
    // Prism that decentration gives, and prism that it does not or not in a blank that is made.
    (
        "sphere_d = \"-6.00\", cylinder_d = \"-1.50\", axis_deg = 20, prism = [{ cm_per_m = \"2.00\", base = \"up\" }]",
        &[],
    ),
    (
        "sphere_d = \"-6.00\", cylinder_d = \"-1.50\", axis_deg = 20, prism = [{ cm_per_m = \"18.00\", base = \"up\" }]",
        &[],
    ),
    ("sphere_d = \"plano\", cylinder_d = \"none\", prism = [{ cm_per_m = \"3.00\", base = \"in\" }]", &[]),
    (
        "sphere_d = \"+1.00\", cylinder_d = \"-1.00\", axis_deg = 60, prism = [{ cm_per_m = \"4.00\", base = \"down\" }]",
        &[],
    ),
    // A groove wants more edge, and so does an order that says so.
    (
        "sphere_d = \"+3.00\", cylinder_d = \"none\"",
        &[("\"full-rim\"", "\"nylon-cord\""), ("\"bevel\"\nbevel = \"v\"", "\"groove\"")],
    ),
    (
        "sphere_d = \"+3.00\", cylinder_d = \"none\"",
        &[("edge = \"bevel\"", "edge = \"bevel\"\nleast_edge_mm = { left = 1.7 }")],
    ),
    (
        "sphere_d = \"-5.00\", cylinder_d = \"none\"",
        &[("edge = \"bevel\"", "edge = \"bevel\"\ncentre_mm = { left = 2.4 }")],
    ),
    (
        "sphere_d = \"-5.00\", cylinder_d = \"none\"",
        &[("edge = \"bevel\"", "edge = \"bevel\"\nfront_curve_d = { left = 5.0 }")],
    ),
];

fn asked(shop: &Shop, left: &str, changes: &[(&str, &str)]) -> Value {
    let mut order = crate::shop::ORDER.replace(LEFT, &format!("left = {{ {left} }}"));
    for (from, to) in changes {
        assert!(order.contains(from), "{from}");
        order = order.replace(from, to);
    }
    shop.write("order.toml", order);
    shop.write("shelf.csv", shelf(&[]));
    let plan = shop.plan(&["order.toml"]);
    conforms(shop, "plan", &plan);
    assert!(plan["right"]["blank"].is_object(), "the right lens is made: {left}");
    plan["left"]["to_order"].clone()
}

/// The blank that was asked for, laid on the shelf, makes the lens that was promised; one millimetre less does not.
#[test]
fn what_is_asked_for_makes_the_lens() {
    let shop = Shop::new();
    for (left, changes) in CASES {
        let ask = asked(&shop, left, changes);
        assert!(ask.is_object(), "{left}");
        shop.write("shelf.csv", shelf(&[row("ASKED", &ask, 0.0)]));
        let plan = shop.plan(&["order.toml"]);
        let lens = &plan["left"];
        assert_eq!(lens["blank"]["sku"], "ASKED", "{left}: {}", lens["near_misses"]);
        let margin = number(&lens["coverage"], "margin_mm");
        // The diameter was rounded up to whole millimetres, and so was the centre, to hundredths.
        assert!((0.0..=0.5).contains(&margin), "{left}: margin {margin}");
        let thinnest = number(&lens["edge"], "thinnest_mm");
        let promised = number(&ask, "thinnest_edge_mm");
        assert!((0.0..=0.0105).contains(&(thinnest - promised + 2e-4)), "{left}: {thinnest} for {promised}");
        for part in ["base_in_cm_per_m", "base_up_cm_per_m"] {
            assert!(number(&lens["prism"]["residual"], part).abs() < 5e-3, "{left}: {}", lens["prism"]);
        }
        let curve = number(&lens["blank"], "front_curve_1530_d");
        assert!((curve - number(&ask, "front_curve_1530_d")).abs() < 1e-4, "{left}");
        for finding in plan["findings"].as_array().unwrap().iter().filter(|f| f["eye"] == "left") {
            let code = finding["code"].as_str().unwrap();
            let spoils = ["-thin", "too-thin", "runs-out", "not-as-ordered", "blank-", "residual", "refused"];
            assert!(!spoils.iter().any(|s| code.contains(s)), "{left}: {finding}");
        }
        shop.write("shelf.csv", shelf(&[row("SMALL", &ask, 1.0)]));
        let small = shop.plan(&["order.toml"]);
        assert!(small["left"]["blank"].is_null(), "{left}: a smaller blank would have done");
        assert_eq!(small["left"]["near_misses"][0]["reason"], "too-small", "{left}");
    }
}

#[test]
fn thickness_is_the_orders_the_mountings_or_the_materials() {
    let shop = Shop::new();
    let of = |case: usize| asked(&shop, CASES[case].0, CASES[case].1);
    // reference/materials.toml: polycarbonate 1.5 mm; rules: bevel 1.0 mm, groove 2.2 mm.
    let minus = of(0);
    assert_eq!(number(&minus, "centre_mm"), 1.5);
    assert!(number(&minus, "thinnest_edge_mm") > 1.5);
    assert_eq!(number(&of(2), "thinnest_edge_mm"), 1.0);
    assert_eq!(number(&of(3), "centre_mm"), 1.5, "a weak plus is not thinner than the material bears");
    assert_eq!(number(&of(8), "thinnest_edge_mm"), 2.2);
    assert_eq!(number(&of(9), "thinnest_edge_mm"), 1.7);
    assert_eq!(number(&of(10), "centre_mm"), 2.4);
}

#[test]
fn the_curve_is_the_fellows_as_far_as_the_powers_let_it_be() {
    let shop = Shop::new();
    let of = |left: &str, changes: &[(&str, &str)]| {
        let ask = asked(&shop, left, changes);
        (number(&ask, "front_curve_1530_d"), text(&ask, "front_curve_from").to_owned())
    };
    // The right blank has 3.25 D and an equivalent of -4.75 D, for which Vogel's rule gives 3.625 D.
    let fellow = |d: f64| (d, "fellow-blank".to_owned());
    assert_eq!(of("sphere_d = \"-4.75\", cylinder_d = \"none\"", &[]), fellow(3.25));
    // -9.75: 1.125 D, which is 2.5 D flatter: the powers justify as much, from 3.25 down to 0.75.
    assert_eq!(of("sphere_d = \"-9.75\", cylinder_d = \"none\"", &[]), fellow(1.125));
    // -5.25: 3.375 D is 0.25 flatter than the rule's own for the right; 3.0 to 3.5 hold it.
    assert_eq!(of("sphere_d = \"-5.25\", cylinder_d = \"none\"", &[]), fellow(3.375));
    let named = [("edge = \"bevel\"", "edge = \"bevel\"\nfront_curve_d = { left = 5.0 }")];
    assert_eq!(of("sphere_d = \"-5.25\", cylinder_d = \"none\"", &named), (5.0, "order".to_owned()));
    // A lens made alone: what the order says of its fellow, on the lens's own index; else Vogel's rule, -5.25/2 + 6.
    let alone = |mate: &str| {
        let mut order = crate::shop::ORDER.replace(LEFT, "left = { sphere_d = \"-5.25\", cylinder_d = \"none\" }");
        order = order.replace("eyes = \"both\"", "eyes = \"left\"") + mate;
        shop.write("order.toml", order);
        let ask = shop.plan(&["order.toml"])["left"]["to_order"].clone();
        (number(&ask, "front_curve_1530_d"), text(&ask, "front_curve_from").to_owned())
    };
    assert_eq!(alone(""), (3.375, "usual".to_owned()));
    let mate = alone("mate = { front_curve_d = 4.0, front_curve_index = 1.586 }\n");
    assert_eq!(mate, ((4.0 * 0.53 / 0.586 * 1e4f64).round() / 1e4, "fellow-lens".to_owned()));
}

#[test]
fn an_aspheric_fellow_asks_for_an_aspheric_lens() {
    let shop = Shop::new();
    let aspheric = |text: String| text.replace("spheric,-4.25", "aspheric,-4.25");
    // Decentration for prism is not for an aspheric lens: it is ground.
    let left = "sphere_d = \"-6.00\", cylinder_d = \"none\", prism = [{ cm_per_m = \"2.00\", base = \"in\" }]";
    let order = crate::shop::ORDER
        .replace(LEFT, &format!("left = {{ {left} }}"))
        .replace(", prism = [{ cm_per_m = \"1.00\", base = \"in\" }] }\nleft", " }\nleft");
    shop.write("order.toml", order);
    shop.write("shelf.csv", aspheric(shelf(&[])));
    let plan = shop.plan(&["order.toml"]);
    let ask = &plan["left"]["to_order"];
    assert_eq!((&ask["form"], &ask["series"]), (&"aspheric".into(), &"S1".into()), "{}", plan["left"]);
    let ground = &ask["prism_at_reference_point"];
    // Base in of the left eye points to the viewer's left.
    assert_eq!((number(ground, "amount_cm_per_m"), number(ground, "base_deg")), (2.0, 180.0));
    for part in ["in_mm", "up_mm"] {
        assert_eq!(ask["decentration"][part], plan["left"]["reference_point"][part], "{ask}");
    }
    shop.write("shelf.csv", aspheric(shelf(&[row("ASKED", ask, 0.0)])));
    assert_eq!(shop.plan(&["order.toml"])["left"]["blank"]["sku"], "ASKED");
}

#[test]
fn semi_finished_blanks_are_offered_where_they_can_be_surfaced() {
    let shop = Shop::new();
    let left = "sphere_d = \"-5.00\", cylinder_d = \"-1.00\", axis_deg = 90";
    let ask = asked(&shop, left, &[]);
    assert_eq!(ask["semi_finished"], Value::Array(vec![]));
    let (least, curve, greatest) =
        (number(&ask, "least_diameter_mm"), number(&ask, "front_curve_1530_d"), number(&ask, "greatest_mm"));
    let semi = |sku: &str, material: &str, form: &str, nominal: f64, centre: &str, curve: f64, treatments: &str| {
        format!(
            "{sku},{material},S9,single-vision,{form},,,,,,{nominal},{centre},{curve},1.530,{treatments},semi-finished,rack 1"
        )
    };
    let pc = "polycarbonate-1.586";
    let thick = (greatest + 2.0).to_string();
    let good = |sku: &str, off: f64| semi(sku, pc, "spheric", least.ceil() + 4.0, &thick, curve + off, "");
    let rows = [
        good("NEAR", 0.5),
        good("OWN", 0.0),
        good("STEEP", 1.2),
        semi("SMALL", pc, "spheric", least.floor(), &thick, curve, ""),
        semi("THIN", pc, "spheric", 75.0, &(greatest - 0.1).to_string(), curve, ""),
        semi("NO-CENTRE", pc, "spheric", 75.0, "", curve, ""),
        semi("RESIN", "adc-1.498", "spheric", 75.0, &thick, curve, ""),
        semi("ASPHERIC", pc, "aspheric", 75.0, &thick, curve, ""),
        semi("DARKENS", pc, "spheric", 75.0, &thick, curve, "photochromic"),
        semi("HARD", pc, "spheric", 75.0, &thick, curve, "scratch"),
    ];
    shop.write("shelf.csv", shelf(&rows));
    let plan = shop.plan(&["order.toml"]);
    let offered = plan["left"]["to_order"]["semi_finished"].as_array().unwrap();
    let skus: Vec<&str> = offered.iter().map(|s| text(s, "sku")).collect();
    // The nearest curve first, then the smallest.
    assert_eq!(skus, ["OWN", "HARD", "NEAR"]);
    let own = &offered[0];
    assert!((number(own, "margin_mm") - (least.ceil() + 4.0 - least) / 2.0).abs() < 1e-4, "{own}");
    assert!((number(own, "centre_to_spare_mm") - 2.0).abs() < 2e-4, "{own}");
    assert_eq!(number(&offered[2], "front_curve_off_d"), 0.5);
    let ran = shop.run(&["plan", "order.toml"]);
    assert!(ran.out.contains("or surface  OWN (rack 1):"), "{}", ran.out);
    // With a film ordered only the blank that has it will do.
    shop.write(
        "order.toml",
        fs::read_to_string(shop.path("order.toml")).unwrap().replace("[\"anti-reflective\"]", "[\"photochromic\"]"),
    );
    let plan = shop.plan(&["order.toml"]);
    let offered = plan["left"]["to_order"]["semi_finished"].as_array().unwrap();
    assert_eq!(offered.iter().map(|s| text(s, "sku")).collect::<Vec<_>>(), ["DARKENS"]);
}

#[test]
fn prism_of_thirty_is_asked_for_and_the_rest_stands() {
    let shop = Shop::new();
    let left = "sphere_d = \"-3.75\", cylinder_d = \"none\", prism = [{ cm_per_m = \"30.00\", base = \"out\" }]";
    let ask = asked(&shop, left, &[]);
    let ground = &ask["prism_at_reference_point"];
    // Base out of the left eye points to the viewer's right.
    assert_eq!((number(ground, "amount_cm_per_m"), number(ground, "base_deg")), (30.0, 0.0));
    let cautions = ask["cautions"].to_string();
    assert!(cautions.contains("30.00 prism dioptres can be ground"), "{cautions}");
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 1);
    assert!(ran.out.contains("prescriber's to decide"), "{}", ran.out);
}

#[test]
fn a_plus_that_no_centre_serves_is_told_and_the_rest_stands() {
    let shop = Shop::new();
    let ask = asked(&shop, "sphere_d = \"+18.00\", cylinder_d = \"none\"", &[]);
    assert!(ask.is_null(), "Vogel's rule asks for 24 D, a sphere of 22 mm: it ends inside a shape of 25 mm: {ask}");
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 1);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("The curve that this power takes ends inside this shape"), "{}", ran.out);
    assert!(ran.out.contains("R-70"), "the right lens is planned: {}", ran.out);
}

#[test]
fn a_shape_that_no_blank_covers_is_told() {
    let shop = Shop::new();
    let ask = asked(
        &shop,
        "sphere_d = \"-3.75\", cylinder_d = \"none\"",
        &[("left = 32.0 }\npupil", "left = 16.0 }\npupil")],
    );
    assert!(number(&ask, "least_diameter_mm") > 80.0);
    assert!(ask["cautions"][0].as_str().unwrap().contains("no blank is that large"), "{ask}");
}

#[test]
fn the_block_can_be_read_over_the_telephone() {
    let shop = Shop::new();
    asked(&shop, CASES[5].0, CASES[5].1);
    let ran = shop.run(&["plan", "order.toml"]);
    let block = ran.out.split_once("To order, left lens:").unwrap().1.split("\n\n").next().unwrap();
    for said in [
        "power       \u{2212}6.00 \u{2212}1.50 \u{d7} 020",
        "prism       18.00 \u{394} up, ground, at the reference point: 18.00 \u{394} with its base",
        "at 090",
        "material    polycarbonate-1.586, index 1.586, spheric, series S1",
        "treatments  anti-reflective",
        "to match the blank of the fellow eye",
        "across      ",
        "centre      ",
    ] {
        assert!(block.contains(said), "{said}\n{block}");
    }
    assert!(block.lines().all(|line| line.chars().count() <= 80), "{block}");
}

/// Written records read back, through our own reader, to what was asked.
#[test]
fn records_read_back_to_what_was_asked() {
    let shop = Shop::new();
    for (left, changes) in CASES {
        let ask = asked(&shop, left, changes);
        let ran = shop.run(&["plan", "order.toml", "--to-order", "ask.txt"]);
        assert_eq!(ran.exit, 1, "{}", ran.err);
        assert!(ran.err.contains("wrote ask.txt") && ran.err.contains("have the supplier confirm"), "{}", ran.err);
        let bytes = fs::read(shop.path("ask.txt")).unwrap();
        // What is there stays: an order is soon typed where the new file's name belongs.
        let again = shop.run(&["plan", "order.toml", "--to-order", "ask.txt"]);
        assert_eq!(again.exit, 2, "{}", again.err);
        assert!(again.err.contains("there already") && fs::read(shop.path("ask.txt")).unwrap() == bytes);
        fs::remove_file(shop.path("ask.txt")).unwrap();
        let reading = records::read(&bytes);
        assert!(reading.errors.is_empty() && reading.warnings.is_empty(), "{left}: {reading:?}");
        assert_eq!(reading.record("REQ").map(|r| r.raw_value()), Some(&b"FIL"[..]));
        assert_eq!(reading.text("JOB").value().as_deref(), Some("0142"));
        assert_eq!(reading.text("DO").value().as_deref(), Some("L"));
        let sent = |label: &str| {
            let pair = reading.pair(label);
            assert_eq!(pair.right.value(), None, "{label}: the right lens is not ordered");
            pair[Eye::Left].value()
        };
        let written = |key: &str| ask["as_ordered"][key].as_str().map(|t| t.parse::<f64>().unwrap_or(0.0));
        assert_eq!(sent("SPH"), written("sphere_d"), "{left}");
        assert_eq!(sent("CYL"), written("cylinder_d"), "{left}");
        assert_eq!(sent("AX"), ask["as_ordered"]["axis_deg"].as_f64(), "{left}");
        let ground = &ask["prism_at_reference_point"];
        assert_eq!(sent("PRVM"), ground["amount_cm_per_m"].as_f64(), "{left}");
        assert_eq!(sent("PRVA"), ground["base_deg"].as_f64(), "{left}");
        assert_eq!(sent("LIND"), Some(1.586));
        assert_eq!(sent("DIA"), Some(number(&ask, "least_diameter_mm").ceil()), "{left}");
        let (thick, centre) = (sent("CTHICK").unwrap(), number(&ask, "centre_mm"));
        assert!((-1e-4..0.01).contains(&(thick - centre)), "{left}: {thick} for {centre}");
        assert!((sent("FRNT").unwrap() - number(&ask, "front_curve_1530_d")).abs() < 0.00501, "{left}");
        let at = if ground.is_object() { ["FCPRIN", "FCPRUP"] } else { ["FCOCIN", "FCOCUP"] };
        for (label, key) in at.into_iter().zip(["in_mm", "up_mm"]) {
            assert!((sent(label).unwrap() - number(&ask["decentration"], key)).abs() < 0.00501, "{left} {label}");
        }
        // reference: FCOCIN = (HBOX + DBL)/2 - IPD, where the optical centre stands before the pupil.
        if let (Some(pd), Some(inwards)) = (sent("IPD"), sent(at[0])) {
            let (width, between) = (sent("HBOX").unwrap(), reading.number("DBL").value().unwrap());
            assert!(((width + between) / 2.0 - pd - inwards).abs() < 0.02, "{left}");
        } else {
            assert!(left.contains("\"2.00\", base"), "{left}: no distance of the pupil");
        }
        let said = String::from_utf8(bytes).unwrap();
        assert!(said.contains("REM=left eye: polycarbonate-1.586"), "{said}");
    }
}

#[test]
fn nothing_to_order_is_said_and_nothing_written() {
    let shop = Shop::new();
    let ran = shop.run(&["plan", "order.toml", "--to-order", "ask.txt"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    assert!(ran.err.contains("nothing to order: the shelf makes every lens"), "{}", ran.err);
    assert!(!shop.path("ask.txt").exists());
    let day = shop.run(&["plan", ".", "--to-order", "ask.txt"]);
    assert_eq!((day.exit, day.out.as_str()), (2, ""), "{}", day.err);
    assert!(day.err.contains("plan that order alone"), "{}", day.err);
    shop.order("order.toml", "-3.75", "-9.75");
    let lost = shop.run(&["plan", "order.toml", "--to-order", "nowhere/ask.txt"]);
    assert_eq!((lost.exit, lost.out.as_str()), (2, ""), "{}", lost.err);
    let folder = shop.run(&["plan", "order.toml", "--to-order", "."]);
    assert!(folder.exit == 2 && folder.err.contains("is a folder"), "{}", folder.err);
    assert_eq!(shop.names("."), ["frame.txt", "order.toml", "shelf.csv"]);
    assert!(SHELF.contains("R-70"));
}
