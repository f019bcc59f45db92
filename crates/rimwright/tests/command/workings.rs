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
