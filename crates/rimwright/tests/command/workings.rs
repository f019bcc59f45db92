//! Printed workings hold: every step comes out again from the numbers that are printed with it.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::expression;
use crate::shop::Shop;

/// Relative or absolute, whichever is larger: numbers are printed with nine decimals.
const WITHIN: f64 = 1e-6;

/// Evaluates every formula of a plan's working again; how many there were.
fn again(plan: &Value) -> usize {
    let mut steps = 0;
    for (figure, working) in plan["working"].as_object().expect("a working") {
        for step in working.as_array().unwrap() {
            let Some(formula) = step["formula"].as_str() else { continue };
            let put_in = step["put_in"].as_array().unwrap().iter();
            let names: BTreeMap<String, f64> =
                put_in.map(|i| (i["name"].as_str().unwrap().to_owned(), i["value"].as_f64().unwrap())).collect();
            let got = expression::value(formula, &names).unwrap_or_else(|e| panic!("{figure}: `{formula}`: {e}"));
            let printed = step["value"].as_f64().unwrap();
            let off = (got - printed).abs();
            assert!(
                off <= WITHIN * printed.abs().max(1.0),
                "{figure}: `{formula}` gives {got}, printed is {printed}: {step}"
            );
            assert!(!step["source"].as_str().unwrap().is_empty(), "{figure}: `{formula}` has no source");
            steps += 1;
        }
    }
    steps
}

#[test]
fn every_step_of_every_figure_comes_out_again() {
    let shop = Shop::new();
    let steps = again(&shop.plan(&["order.toml", "--working", "all"]));
    assert!(steps > 100, "only {steps} steps");
    // Plus powers, an oblique cylinder, the other rules of the cutting axis, tilt, an unknown curve.
    shop.write(
        "shelf.csv",
        "\
sku,material,type,form,sphere_d,cylinder_d,nominal_mm,centre_mm,front_curve_d,front_curve_index,quantity
P,adc-1.498,single-vision,spheric,+3.00,+1.50,70,6.0,,,3
Q,adc-1.498,single-vision,spheric,+4.50,,70,,8.00,1.530,3
",
    );
    shop.write(
        "order.toml",
        crate::shop::ORDER
            .replace("polycarbonate-1.586", "adc-1.498")
            .replace("[\"anti-reflective\"]", "[]")
            .replace(
                "sphere_d = \"-4.25\", cylinder_d = \"-1.00\", axis_deg = 170",
                "sphere_d = \"+4.50\", cylinder_d = \"-1.50\", axis_deg = 35",
            )
            .replace("sphere_d = \"-3.75\"", "sphere_d = \"+4.50\"")
            .replace("material = \"acetate\"", "material = \"acetate\"\nface_form_deg = 6.0\npantoscopic_deg = 9.0"),
    );
    for rules in ["", "[block]\naxis = \"lens-axis\"\n", "[block]\nat = \"optical-centre\"\n"] {
        shop.write("rules.toml", rules);
        let steps = again(&shop.plan(&["order.toml", "--working", "all"]));
        assert!(steps > 60, "only {steps} steps with {rules:?}");
    }
}

/// Prism ground, conics on both sides, a toric front, a corrected back; both settings of the cutting axis.
#[test]
fn every_step_comes_out_again_on_every_surface() {
    let shop = Shop::new();
    let right = "sphere_d = \"-4.25\", cylinder_d = \"-1.00\", axis_deg = 170, prism = [{ cm_per_m = \"1.00\", base = \"in\" }]";
    for (row_r, row_l) in [
        // A biconic back behind a conic front, tilted for the prism; a conic alone.
        ("R,aspheric,-4.25,-1.00,1.0,,,,-0.7,0.4", "L,aspheric,-3.75,,,,,,-0.7,"),
        // A toric front that is a biconic; a sphere whose form only its check thickness tells.
        ("R,spheric,-4.25,-1.00,1.0,,,front,-0.5,", "L,spheric,-3.75,,,,,,,"),
        ("R,aspheric,-4.25,-1.00,1.0,4.90,28,,,", "L,aspheric,-3.75,,,4.30,28,,,"),
    ] {
        let tail = "polycarbonate-1.586,S1,single-vision,70,68,2.5,3.25,1.530,anti-reflective,3";
        let shelf = format!(
            "sku,form,sphere_d,cylinder_d,base_in_cm_per_m,check_mm,check_radius_mm,torus,front_conic,back_conic,material,series,\
             type,nominal_mm,usable_mm,centre_mm,front_curve_d,front_curve_index,treatments,quantity\n{row_r},{tail}\n{row_l},{tail}\n"
        );
        shop.write("shelf.csv", shelf);
        assert!(crate::shop::ORDER.contains(right));
        // The base lies in on the packet, and the packet stays level: the axis is written for it.
        shop.write("order.toml", crate::shop::ORDER.replace("axis_deg = 170", "axis_deg = 180"));
        for rules in ["", "[block]\naxis = \"lens-axis\"\n"] {
            shop.write("rules.toml", rules);
            let plan = shop.plan(&["order.toml", "--working", "all"]);
            assert!(
                plan["right"]["blank"].is_object() && plan["left"]["blank"].is_object(),
                "{row_r}: {}",
                plan["findings"]
            );
            let steps = again(&plan);
            assert!(steps > 100, "only {steps} steps with {row_r}");
        }
    }
}

/// What the two settings of the cutting axis differ by is what two plans differ by.
#[test]
fn the_other_axis_is_the_plan_under_the_other_rules() {
    let shop = Shop::new();
    // A size that is ordered: one that is figured would be another under other rules.
    shop.order("order.toml", "[lens]\n", "outline_allowance_mm = 0.05\n[lens]\n");
    let here = shop.plan(&["order.toml", "--working", "right.block.other_axis"]);
    shop.write("rules.toml", "[block]\naxis = \"lens-axis\"\n");
    let there = shop.plan(&["order.toml"]);
    let differs = |name: &str| {
        let steps = here["working"]["right.block.other_axis"].as_array().unwrap();
        steps.iter().find(|s| s["symbol"] == name).unwrap_or_else(|| panic!("{name}: {steps:?}"))["value"]
            .as_f64()
            .unwrap()
    };
    for (name, group, key) in [
        ("thinnest_differs", "edge", "thinnest_mm"),
        ("thickest_differs", "edge", "thickest_mm"),
        ("margin_differs", "coverage", "margin_mm"),
    ] {
        let of = |plan: &Value| plan["right"][group][key].as_f64().unwrap();
        assert!((differs(name) - (of(&here) - of(&there))).abs() < 2e-4, "{name}");
    }
    let mass = |plan: &Value| plan["right"]["mass_g"].as_f64().unwrap();
    assert!((differs("mass_differs") - (mass(&here) - mass(&there))).abs() < 2e-3);
    // The two axes differ by the lean of the one: asin of the distance between block point and vertex over the radius.
    let (block, lean) = (&here["right"]["block"], differs("axes_differ"));
    let tilt = |key: &str| block[key].as_f64().unwrap().to_radians().tan();
    let wanted = tilt("tilt_in_deg").hypot(tilt("tilt_up_deg")).atan().to_degrees();
    assert!((lean - wanted).abs() < 0.02, "{lean} {wanted}");
}

#[test]
fn every_step_of_the_demo_comes_out_again() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["demo", "--unpack", "day"]).exit, 0);
    let ran = shop.run(&["plan", "day", "--json", "--working", "all"]);
    let steps: usize = ran.out.lines().map(|line| again(&serde_json::from_str(line).unwrap())).sum();
    assert!(steps > 1000, "only {steps} steps");
}

/// Figures that are integrals over the whole outline: their working says how they were taken, and no step of a few
/// numbers could hold them.
const INTEGRALS: [&str; 2] = ["box.circumference_3d_mm", "volume_mm3"];

/// The last step of a figure is the figure: its value, rounded, stands in the plan under the figure's own name.
#[test]
fn a_figure_is_the_value_of_its_last_step() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml", "--working", "all"]);
    let mut held = 0;
    for (figure, working) in plan["working"].as_object().unwrap() {
        let Some(in_plan) = figure.split('.').try_fold(&plan, |at, key| at.get(key)).and_then(Value::as_f64) else {
            continue;
        };
        if INTEGRALS.iter().any(|integral| figure.ends_with(integral)) {
            assert!(working.as_array().unwrap().iter().any(|step| step["said"].is_string()), "{figure}");
            continue;
        }
        // The second part of a prism is the second row of the first part's steps.
        let steps = working.as_array().unwrap();
        let steps = match steps.as_slice() {
            [only] if only["uses"].is_string() => continue,
            _ => steps,
        };
        let last = steps.iter().rev().find_map(|step| step["value"].as_f64());
        let last = last.unwrap_or_else(|| panic!("{figure} has no step"));
        let within = if figure.ends_with("_deg") { 0.006 } else { 0.0006 };
        assert!((in_plan - last).abs() <= within, "{figure}: {in_plan} in the plan, {last} in the working");
        held += 1;
    }
    assert!(held >= 40, "only {held} figures have their place in the plan");
}

#[test]
fn one_figure_brings_what_it_builds_on_and_no_more() {
    let shop = Shop::new();
    let all: BTreeSet<String> = names(&shop.plan(&["order.toml", "--working", "all"]));
    let both = names(&shop.plan(&["order.toml", "--working", "edge.thickest_mm"]));
    assert!(both.contains("right.edge.thickest_mm") && both.contains("left.edge.thickest_mm"));
    assert!(both.len() > 2 && both.len() < all.len(), "{both:?}");
    let right = names(&shop.plan(&["order.toml", "--working", "right.edge.thickest_mm"]));
    assert!(right.iter().all(|name| name.starts_with("right.")), "{right:?}");
    assert!(right.is_subset(&both));
}

fn names(plan: &Value) -> BTreeSet<String> {
    plan["working"].as_object().unwrap().keys().cloned().collect()
}

#[test]
fn words_show_what_is_built_on_first_and_once() {
    let out = Shop::new().run(&["plan", "order.toml", "--working", "right.edge.thickest_mm"]).out;
    let headings: Vec<&str> = out.lines().filter(|line| line.starts_with("right.")).collect();
    assert_eq!(headings.last(), Some(&"right.edge.thickest_mm"));
    let mut once = headings.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), headings.len(), "{headings:?}");
    for part in ["=", "with ", "gives ", "source: ", " mm"] {
        assert!(out.contains(part), "`{part}` is not in {out}");
    }
}

#[test]
fn an_unknown_figure_lists_the_known_ones() {
    let ran = Shop::new().run(&["plan", "order.toml", "--working", "edge.thickness"]);
    assert_eq!((ran.exit, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("edge.thickness") && ran.err.contains("edge.thickest_mm"), "{}", ran.err);
}
