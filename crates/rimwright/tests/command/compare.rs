//! `rimwright compare`: side by side.

use serde_json::Value;

use crate::shop::{SHELF, Shop, frame};

/// The shop's shelf with the same powers in another material, and a second series of its own.
fn shelf() -> String {
    let mut text = SHELF.to_owned();
    for (sku, sphere, cylinder) in [("R-CR", "-4.25", "-1.00"), ("L-CR", "-3.75", "")] {
        text.push_str(&format!("{sku}-70,adc-1.498,S2,B,single-vision,spheric,{sphere},{cylinder},,70,68,2.0,3.25,1.530,anti-reflective,3,drawer 7\n"));
    }
    for (sku, sphere, cylinder) in [("R-S9", "-4.25", "-1.00"), ("L-S9", "-3.75", "")] {
        text.push_str(&format!("{sku},polycarbonate-1.586,S9,B,single-vision,spheric,{sphere},{cylinder},,70,68,2.0,3.25,1.530,anti-reflective,3,drawer 7\n"));
    }
    text
}

/// The order with its size given: a comparison does not seat lenses to find it.
const SIZED: &str = "outline_allowance_mm = 0.05\n[lens]\n";

fn sized_shop() -> Shop {
    let shop = Shop::new();
    shop.order("order.toml", "[lens]\n", SIZED);
    shop
}

/// Where the size is figured, rows are those of the plan but for what the seat makes of the size: some micrometres.
#[test]
fn a_figured_size_moves_a_row_by_micrometres() {
    let shop = Shop::new();
    let (all, plan) = (compared(&shop, &[]), shop.plan(&["order.toml"]));
    for eye in ["right", "left"] {
        let of = |v: &Value| v.as_f64().unwrap();
        let apart = of(&all["ordered"][eye]["thickest_mm"]) - of(&plan[eye]["edge"]["thickest_mm"]);
        assert!(apart.abs() < 2e-3, "{eye} {apart}");
    }
}

fn compared(shop: &Shop, more: &[&str]) -> Value {
    let ran = shop.run(&[&["compare", "order.toml"], more, &["--json"]].concat());
    assert_eq!(ran.exit, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).unwrap()
}

#[test]
fn every_row_is_the_plan_of_its_own_order() {
    let shop = sized_shop();
    shop.write("shelf.csv", shelf());
    let all = compared(&shop, &[]);
    let plan = shop.plan(&["order.toml"]);
    assert_eq!(all["ordered"]["right"]["thickest_mm"], plan["right"]["edge"]["thickest_mm"]);
    // Another material: the same figures as an order for it.
    let other = crate::shop::ORDER.replace("[lens]\n", SIZED).replace("polycarbonate-1.586", "adc-1.498");
    shop.write("other.toml", other);
    let other = shop.plan(&["other.toml"]);
    let rows = all["others"].as_array().unwrap();
    let row = rows.iter().find(|r| r["material"] == "adc-1.498").unwrap();
    assert_eq!((&row["made"], &row["to_order"]), (&Value::Bool(true), &Value::Bool(false)));
    for eye in ["right", "left"] {
        assert_eq!(row[eye]["sku"], other[eye]["blank"]["sku"]);
        for (ours, group, key) in [
            ("thickest_mm", "edge", "thickest_mm"),
            ("thinnest_mm", "edge", "thinnest_mm"),
            ("margin_mm", "coverage", "margin_mm"),
        ] {
            assert_eq!(row[eye][ours], other[eye][group][key], "{eye} {ours}");
        }
        assert_eq!(row[eye]["mass_g"], other[eye]["mass_g"]);
    }
    // Another series of the order's own.
    let series = rows.iter().find(|r| r["right"]["sku"] == "R-S9").unwrap();
    assert_eq!(series["material"], "polycarbonate-1.586");
    assert_eq!(series["left"]["sku"], "L-S9");
    // What the shelf has not is figured as ordered, and has no cost.
    let ordered: Vec<&Value> = rows.iter().filter(|r| r["to_order"] == true).collect();
    assert!(ordered.iter().any(|r| r["material"] == "thiourethane-1.67"), "{rows:?}");
    assert!(ordered.iter().all(|r| r.get("cost_minor").is_none()));
}

/// Blur by hand: sphere of −3.75 D, the rim's farthest place from the optical centre, Abbe number 30 (reference materials
/// S11).
#[test]
fn blur_is_prism_over_the_abbe_number() {
    let shop = sized_shop();
    let all = compared(&shop, &[]);
    let left = &all["ordered"]["left"];
    let (prism, blur) = (left["edge_prism_cm_per_m"].as_f64().unwrap(), left["blur_cm_per_m"].as_f64().unwrap());
    assert!((blur - prism / 30.0).abs() < 1e-4, "{blur} {prism}");
    // Ellipse 50 x 36; the left optical centre stands 2.0 mm in (viewer's left) and 3.0 mm up of the boxed centre.
    let plan = shop.plan(&["order.toml"]);
    let (inwards, up) = (
        plan["left"]["optical_centre"]["in_mm"].as_f64().unwrap(),
        plan["left"]["optical_centre"]["up_mm"].as_f64().unwrap(),
    );
    // The lens is cut larger all round, so that it fills its rim.
    let larger = plan["left"]["size"]["offset_radius_mm"].as_f64().unwrap();
    let farthest = (0..3600)
        .map(|i| {
            let t = f64::from(i) * std::f64::consts::TAU / 3600.0;
            let (out_x, out_y) = (t.cos() / 25.0, t.sin() / 18.0);
            let by = larger / out_x.hypot(out_y);
            (25.0 * t.cos() + by * out_x + inwards).hypot(18.0 * t.sin() + by * out_y - up)
        })
        .fold(0.0, f64::max);
    assert!((prism - farthest / 10.0 * 3.75).abs() < 2e-3, "{prism} {farthest}");
}

/// The rule of the index alone: 1 − (1.586 − 1)/(1.66 − 1) = 11.21 %; curve variation factor, reference materials S2.
#[test]
fn the_trades_word_stands_beside_the_figure() {
    let shop = Shop::new();
    let all = compared(&shop, &[]);
    let row = all["others"].as_array().unwrap().iter().find(|r| r["material"] == "thiourethane-1.67").unwrap();
    let (rule, here) = (row["thinner_rule_percent"].as_f64().unwrap(), row["thinner_here_percent"].as_f64().unwrap());
    assert!((rule - 11.21).abs() < 0.01, "{rule}");
    let thickest = |row: &Value| {
        ["right", "left"].map(|eye| row[eye]["thickest_mm"].as_f64().unwrap()).into_iter().fold(0.0, f64::max)
    };
    // Minus lenses: the thickest place is the edge.
    let wanted = 100.0 * (1.0 - thickest(row) / thickest(&all["ordered"]));
    assert!((here - wanted).abs() < 0.01, "{here} {wanted}");
}

#[test]
fn other_frames_are_planned_from_their_own_files() {
    let shop = Shop::new();
    shop.write(
        "frames/small.toml",
        "[frame]\noutline = \"../small.txt\"\nmounting = \"nylon-cord\"\nmaterial = \"metal\"\n",
    );
    shop.write("small.txt", frame().replace("DBL=18.00", "DBL=20.00"));
    let all = compared(&shop, &["--frames", "frames"]);
    let row = &all["frames"][0];
    assert_eq!(row["frame"], "small");
    shop.order("moved.toml", "outline = \"frame.txt\"", "outline = \"small.txt\"");
    let text = std::fs::read_to_string(shop.path("moved.toml")).unwrap();
    shop.write(
        "moved.toml",
        text.replace(
            "mounting = \"full-rim\"\nmaterial = \"acetate\"",
            "mounting = \"nylon-cord\"\nmaterial = \"metal\"",
        )
        .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"groove\""),
    );
    let plan = shop.plan(&["moved.toml"]);
    assert_eq!(row["right"]["thickest_mm"], plan["right"]["edge"]["thickest_mm"]);
    assert_eq!(row["right"]["margin_mm"], plan["right"]["coverage"]["margin_mm"]);
}

#[test]
fn a_little_changed_is_the_plan_of_that_blank() {
    let shop = sized_shop();
    let all = compared(&shop, &[]);
    let change = |what: &str, by: f64| {
        all["little_changes"]
            .as_array()
            .unwrap()
            .iter()
            .find(|c| c["what"] == what && c["by_mm"] == by)
            .unwrap()
            .clone()
    };
    shop.write("thick.csv", SHELF.replace(",1.5,3.25,", ",2.0,3.25,"));
    let thick = shop.plan(&["order.toml", "--shelf", "thick.csv"]);
    assert_eq!(change("centre", 0.5)["right"]["thickest_mm"], thick["right"]["edge"]["thickest_mm"]);
    // A blank 5 mm larger has 2.5 mm more to spare.
    let margin = |value: &Value| value["margin_mm"].as_f64().unwrap();
    assert!((margin(&change("diameter", 5.0)["right"]) - margin(&all["ordered"]["right"]) - 2.5).abs() < 1e-4);
    // A smaller box has a thinner edge in minus, and more to spare.
    let small = change("box", -2.0);
    assert!(small["right"]["thickest_mm"].as_f64() < all["ordered"]["right"]["thickest_mm"].as_f64());
    assert!(margin(&small["right"]) > margin(&all["ordered"]["right"]));
}

#[test]
fn what_cannot_be_compared_says_why() {
    let shop = Shop::new();
    std::fs::remove_file(shop.path("shelf.csv")).unwrap();
    let ran = shop.run(&["compare", "order.toml"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("--shelf"), "{}", ran.err);
    let ran = shop.run(&["compare", "."]);
    assert_eq!(ran.exit, 2);
    shop.write("shelf.csv", SHELF);
    let ran = shop.run(&["compare", "order.toml", "--frames", "none"]);
    assert_eq!(ran.exit, 2);
    shop.write("frames/bad.toml", "[frame]\noutline = \"x.txt\"\n");
    let ran = shop.run(&["compare", "order.toml", "--frames", "frames"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("mounting"), "{}", ran.err);
    assert_eq!(ran.out, "");
}

#[test]
fn its_document_keeps_to_its_schema() {
    let shop = Shop::new();
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "comparison"]).out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let all = compared(&shop, &[]);
    let faults: Vec<String> = validator.iter_errors(&all).map(|e| e.to_string()).collect();
    assert!(faults.is_empty(), "{faults:?}");
}

#[test]
fn in_words_it_fits_eighty_columns() {
    let shop = Shop::new();
    let ran = shop.run(&["compare", "order.toml"]);
    assert_eq!(ran.exit, 0);
    assert!(ran.out.contains("(ordered)") && ran.out.contains("A little changed"), "{}", ran.out);
    for line in ran.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}
