//! `rimwright plan --measured`: readings in place of labels.

use serde_json::Value;

use crate::shop::Shop;

const LABELS: &str = r#"
[right]
sphere_d = "-4.25"
cylinder_d = "-1.00"
axis_deg = 170
prism = []
centre_mm = 1.5
front_curve_d = 3.25
diameter_mm = 70
[left]
sphere_d = "-3.75"
cylinder_d = "none"
centre_mm = 1.5
front_curve_d = 3.25
diameter_mm = 70
"#;

fn figure<'a>(plan: &'a Value, eye: &str, group: &str, key: &str) -> &'a Value {
    &plan[eye][group][key]
}

#[test]
fn readings_that_are_the_labels_move_nothing() {
    let shop = Shop::new();
    shop.write("uncut.toml", LABELS);
    let (label, read) = (shop.plan(&["order.toml"]), shop.plan(&["order.toml", "--measured", "uncut.toml"]));
    for eye in ["right", "left"] {
        for (key, value) in label[eye].as_object().unwrap() {
            // What was read leaves less open than what a label says.
            assert!(key == "spread" || *value == read[eye][key], "{eye} {key}");
        }
        assert_eq!(read["measured"][eye]["moved"], Value::Array(vec![]), "{eye}");
    }
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert_eq!(ran.out.matches("nothing moved").count(), 2, "{}", ran.out);
}

/// The same plan as if the shelf's rows had these figures on their labels.
#[test]
fn a_reading_is_worth_what_a_label_is() {
    let shop = Shop::new();
    shop.write("uncut.toml", LABELS.replace("centre_mm = 1.5", "centre_mm = 1.9").replace("= 3.25", "= 2.50"));
    let read = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
    let relabelled = crate::shop::SHELF.replace(",1.5,3.25,", ",1.9,2.50,");
    assert_ne!(relabelled, crate::shop::SHELF);
    shop.write("other.csv", relabelled);
    let label = shop.plan(&["order.toml", "--shelf", "other.csv"]);
    for eye in ["right", "left"] {
        for group in ["edge", "thickness", "coverage", "block", "volume_mm3", "mass_g", "blank", "prism", "marking"] {
            assert_eq!(read[eye][group], label[eye][group], "{eye} {group}");
        }
    }
    let moved = read["measured"]["right"]["moved"].as_array().unwrap();
    let thickest = moved.iter().find(|m| m["figure"] == "edge.thickest_mm").unwrap();
    assert_eq!(thickest["read"], *figure(&read, "right", "edge", "thickest_mm"));
    let before = shop.plan(&["order.toml"]);
    assert_eq!(thickest["label"], *figure(&before, "right", "edge", "thickest_mm"));
}

#[test]
fn either_form_of_a_reading_is_the_same_lens() {
    let shop = Shop::new();
    shop.write("minus.toml", LABELS);
    let plus = LABELS.replace(
        "\"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 170",
        "\"-5.25\"\ncylinder_d = \"+1.00\"\naxis_deg = 80",
    );
    assert_ne!(plus, LABELS);
    shop.write("plus.toml", plus);
    let plan = |file: &str| shop.plan(&["order.toml", "--measured", file]);
    let (minus, plus): (Value, Value) = (plan("minus.toml"), plan("plus.toml"));
    assert_eq!(minus["right"]["edge"], plus["right"]["edge"]);
    assert_eq!(minus["right"]["optical_centre"], plus["right"]["optical_centre"]);
}

/// By hand: a centre 0.30 mm thicker is that much thicker everywhere, but for the back curve that is solved anew.
#[test]
fn a_thicker_centre_is_thicker_all_over() {
    let shop = Shop::new();
    shop.write("uncut.toml", "[left]\ncentre_mm = 1.8\n");
    let (label, read) = (shop.plan(&["order.toml"]), shop.plan(&["order.toml", "--measured", "uncut.toml"]));
    let edge = |plan: &Value| figure(plan, "left", "edge", "thickest_mm").as_f64().unwrap();
    assert!((edge(&read) - edge(&label) - 0.3).abs() < 0.01, "{} {}", edge(&label), edge(&read));
    assert_eq!(label["right"]["edge"], read["right"]["edge"]);
}

#[test]
fn a_lens_read_too_thin_is_stopped_and_the_rest_stands() {
    // Plus blanks as labelled, the right one read so thin that it has no edge.
    let shop = Shop::new();
    shop.order(
        "plus.toml",
        "right = { sphere_d = \"-4.25\", cylinder_d = \"-1.00\", axis_deg = 170, prism = [{ cm_per_m = \"1.00\", base = \"in\" }] }\nleft = { sphere_d = \"-3.75\", cylinder_d = \"none\" }",
        "right = { sphere_d = \"+3.00\", cylinder_d = \"none\" }\nleft = { sphere_d = \"+3.00\", cylinder_d = \"none\" }",
    );
    let shelf = crate::shop::SHELF.lines().next().unwrap().to_owned()
        + "\nP-70,polycarbonate-1.586,S1,A,single-vision,spheric,+3.00,,,70,68,6.0,6.25,1.530,anti-reflective,3,drawer 1\n";
    shop.write("shelf.csv", shelf);
    shop.write("uncut.toml", "[right]\ncentre_mm = 1.2\n");
    let ran = shop.run(&["plan", "plus.toml", "--measured", "uncut.toml", "--json"]);
    let read: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(ran.exit, 1);
    let codes: Vec<&str> = read["findings"].as_array().unwrap().iter().filter_map(|f| f["code"].as_str()).collect();
    assert!(codes.contains(&"runs-out"), "{codes:?}");
    assert!(figure(&read, "left", "edge", "thinnest_mm").as_f64().unwrap() > 0.0);
}

#[test]
fn a_prism_at_the_dot_is_part_of_what_the_wearer_meets() {
    // 0.5 cm/m in at the dot of −3.75 D: the dot goes 10 x 0.5/3.75 = 1.33 mm the other way, and nothing is left over.
    let shop = Shop::new();
    shop.write("uncut.toml", "[left]\nprism = [{ cm_per_m = \"0.50\", base = \"in\" }]\n");
    let (label, read) = (shop.plan(&["order.toml"]), shop.plan(&["order.toml", "--measured", "uncut.toml"]));
    let dot = |plan: &Value| plan["left"]["marking"]["dot_from_block"]["in_mm"].as_f64().unwrap();
    assert!((dot(&read) - dot(&label) - 10.0 * 0.5 / 3.75).abs() < 1e-3, "{} {}", dot(&label), dot(&read));
    assert_eq!(read["left"]["prism"]["residual"]["base_in_cm_per_m"], 0.0);
    assert_eq!(read["left"]["marking"]["dot_prism"]["base_in_cm_per_m"], 0.5);
}

#[test]
fn faults_of_readings_say_where() {
    let shop = Shop::new();
    for (text, says) in [
        ("", "uncut.toml"),
        ("[right]\nsphere = \"-4.25\"\n", "sphere_d"),
        ("[right]\ncylinder_d = \"-1.00\"\naxis_deg = 170\n", "sphere"),
        ("[right]\ncheck_mm = 5.0\ncheck_radius_mm = 40\ndiameter_mm = 65\n", "check_radius_mm"),
    ] {
        shop.write("uncut.toml", text);
        let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
        assert_eq!(ran.exit, 2, "{text}");
        assert!(ran.err.contains(says) && ran.err.contains("uncut.toml"), "{text}: {}", ran.err);
        assert_eq!(ran.out, "", "{text}");
    }
    let ran = shop.run(&["plan", ".", "--measured", "uncut.toml"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("--measured"), "{}", ran.err);
}

fn codes(plan: &Value) -> Vec<&str> {
    plan["findings"].as_array().unwrap().iter().filter_map(|f| f["code"].as_str()).collect()
}

#[test]
fn a_swap_is_called_a_swap() {
    let shop = Shop::new();
    shop.write(
        "uncut.toml",
        "[right]\nsphere_d = \"-3.75\"\ncylinder_d = \"none\"\n[left]\nsphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 170\n",
    );
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert_eq!(ran.exit, 1);
    assert!(ran.out.contains("right and left are swapped"), "{}", ran.out);
    let read = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
    assert_eq!(read["measured"]["swapped"], true);
    let codes = codes(&read);
    // One error, told once: not as so many readings that are off.
    assert!(codes.contains(&"uncut-swapped") && !codes.contains(&"uncut-outside"), "{codes:?}");
}

/// ISO 8980-1, quoted from public summaries in `reference/tolerances.toml`: 0.12 D on the meridians up to 6 D; 3 degrees for
/// a cylinder of 1.00 D.
#[test]
fn a_lens_that_is_not_the_ordered_one_is_stopped_before_it_is_touched() {
    let shop = Shop::new();
    for (text, item, stopped) in [
        ("sphere_d = \"-4.12\"\ncylinder_d = \"-1.00\"\naxis_deg = 170", "meridian_high", true),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 174", "axis", true),
        ("sphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 173", "axis", false),
        ("sphere_d = \"-4.37\"\ncylinder_d = \"-1.00\"\naxis_deg = 170", "meridian_high", false),
    ] {
        shop.write("uncut.toml", format!("[right]\n{text}\n"));
        let read = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
        let items = read["measured"]["right"]["items"].as_array().unwrap();
        let judged = items.iter().find(|i| i["item"] == item).unwrap_or_else(|| panic!("{item}: {items:?}"));
        assert_eq!(judged["verdict"] == "outside", stopped, "{text}: {judged}");
        assert_eq!(codes(&read).contains(&"uncut-outside"), stopped, "{text}");
        // The rest of the plan stands.
        assert!(figure(&read, "right", "edge", "thickest_mm").is_number(), "{text}");
    }
    // A blank that may be turned is to be turned.
    shop.write("uncut.toml", "[right]\nsphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 174\n");
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert!(ran.out.contains("Turn the lens"), "{}", ran.out);
    // Axis 0 is 180.
    shop.write("uncut.toml", "[right]\nsphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 0\n");
    let read = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
    let items = read["measured"]["right"]["items"].as_array().unwrap();
    assert_eq!(items.iter().find(|i| i["item"] == "axis").unwrap()["error"], 10.0);
}

#[test]
fn measured_plans_keep_to_the_schema() {
    let shop = Shop::new();
    shop.write("uncut.toml", LABELS.replace("-4.25", "-4.60"));
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "plan"]).out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let plan = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
    let faults: Vec<String> = validator.iter_errors(&plan).map(|e| e.to_string()).collect();
    assert!(faults.is_empty(), "{faults:?}");
}

/// ANSI Z80.1: 2 % of 7.25 D is 0.145 D; no public source says how that is rounded, and 0.15 D would pass if it were.
/// Source: `reference/tolerances.toml`, rounding_note.
#[test]
fn what_two_readings_of_a_standard_judge_apart_is_marginal() {
    let shop = Shop::new();
    shop.write("rules.toml", "[standard]\nedition = \"ansi-z80.1-2015\"\n");
    shop.order("strong.toml", "sphere_d = \"-3.75\"", "sphere_d = \"-7.25\"");
    shop.write("shelf.csv", crate::shop::SHELF.replace("-3.75", "-7.25"));
    shop.write("uncut.toml", "[left]\nsphere_d = \"-7.40\"\ncylinder_d = \"none\"\n");
    let read = shop.plan(&["strong.toml", "--measured", "uncut.toml"]);
    let items = read["measured"]["left"]["items"].as_array().unwrap();
    assert_eq!(items[0]["verdict"], "marginal", "{items:?}");
    assert_eq!(items[0]["other"]["verdict"], "within");
    assert!(codes(&read).contains(&"uncut-marginal"));
}

/// Whichever form a lens was read in, text and drawings say one power: the one read, in the order's form.
#[test]
fn text_and_drawings_mark_the_axis_that_was_read() {
    let shop = Shop::new();
    for text in [
        "sphere_d = \"-4.25\"\ncylinder_d = \"-1.00\"\naxis_deg = 171",
        "sphere_d = \"-5.25\"\ncylinder_d = \"+1.00\"\naxis_deg = 81",
    ] {
        shop.write("uncut.toml", format!("[right]\n{text}\n"));
        let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml", "--draw", "out"]);
        let step = ran.out.lines().find(|line| line.contains("1 focimeter")).unwrap();
        assert!(step.contains("\u{2212}4.25 \u{2212}1.00 \u{d7} 171"), "{step}");
        for view in ["blocking-right", "blank-right", "pair"] {
            let svg = std::fs::read_to_string(shop.path(&format!("out/0142-{view}.svg"))).unwrap();
            assert!(svg.contains("171") && !svg.contains(">170<"), "{view} with {text}");
        }
    }
}

/// A label's centre may be 0.3 mm off and its curve 0.75 D (`[doubt]` of the rules): beyond thrice that a slip is likelier.
#[test]
fn a_slip_of_the_pen_is_asked_about_until_it_is_answered() {
    let shop = Shop::new();
    for (text, asked) in [
        ("centre_mm = 2.3", false),
        ("centre_mm = 17", true),
        ("front_curve_d = 5.4", false),
        ("front_curve_d = -3.25", true),
        ("diameter_mm = 72.5", false),
        ("diameter_mm = 57", true),
    ] {
        shop.write("uncut.toml", format!("[left]\n{text}\n"));
        let read = shop.plan(&["order.toml", "--measured", "uncut.toml"]);
        assert_eq!(codes(&read).contains(&"uncut-unlike-label"), asked, "{text}");
    }
    shop.write("uncut.toml", "[left]\ncentre_mm = 17\n");
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert_eq!(ran.exit, 1, "{}", ran.out);
    let block = ran.out.split_once("[answers.uncut-unlike-label]").unwrap().1.split_once("who = ").unwrap().0;
    let answer =
        format!("[answers.uncut-unlike-label]{block}who = \"M.\"\n").replace("reason = \"\"", "reason = \"it is so\"");
    shop.write("order.toml", format!("{}{answer}", crate::shop::ORDER));
    assert_eq!(shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]).exit, 0);
}

#[test]
fn readings_of_a_lens_that_is_not_made_are_refused() {
    let shop = Shop::new();
    shop.order("order.toml", "eyes = \"both\"", "eyes = \"right\"");
    shop.write("uncut.toml", "[left]\ncentre_mm = 1.8\n");
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert_eq!((ran.exit, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("left") && ran.err.contains("take [left] out"), "{}", ran.err);
}

#[test]
fn readings_and_named_blanks_need_a_shelf() {
    let shop = Shop::new();
    std::fs::remove_file(shop.path("shelf.csv")).unwrap();
    shop.write("uncut.toml", LABELS);
    for more in [["--measured", "uncut.toml"], ["--right", "R-70"]] {
        let ran = shop.run(&["plan", "order.toml", more[0], more[1]]);
        assert_eq!((ran.exit, ran.out.as_str()), (2, ""), "{more:?}");
        assert!(ran.err.contains("--shelf"), "{}", ran.err);
    }
}

/// Four limits off is no bad lens but another one: the hint asks whose readings these are.
#[test]
fn readings_of_another_order_are_asked_whose_they_are() {
    let shop = Shop::new();
    shop.write("uncut.toml", "[left]\nsphere_d = \"+1.25\"\ncylinder_d = \"none\"\n");
    let ran = shop.run(&["plan", "order.toml", "--measured", "uncut.toml"]);
    assert!(ran.out.contains("are of this order's"), "{}", ran.out);
}
