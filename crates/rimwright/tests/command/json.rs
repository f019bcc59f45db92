//! `plan/1` and `outline/1`: the keys that other programs rely on, their decimals, their schema, and figures that can be
//! checked with a pencil.

use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::shop::Shop;

/// Keys that the published form promises for a single-vision pair with a blank; `*` is either eye.
const PROMISED: &str = "
schema engine inputs.order inputs.outline inputs.shelf inputs.rules standard findings
*.box.width_mm *.box.height_mm *.box.effective_diameter_mm *.box.effective_diameter_deg *.box.circumference_mm
*.box.circumference_raw_mm *.box.circumference_3d_mm *.box.area_mm2
*.reference_point.in_mm *.reference_point.up_mm *.optical_centre.in_mm *.optical_centre.up_mm
*.block.in_mm *.block.up_mm *.block.tilt_in_deg *.block.tilt_up_deg
*.blank.sku *.blank.middle_in_mm *.blank.middle_up_mm *.blank.turn_deg *.blank.front_curve_true_d
*.blank.front_curve_1530_d
*.coverage.margin_mm *.coverage.tightest_deg *.coverage.smallest_blank_mm
*.thickness.optical_centre_mm *.thickness.reference_point_mm *.thickness.least_mm *.thickness.greatest_mm
*.edge.thinnest_mm *.edge.thinnest_deg *.edge.thickest_mm *.edge.thickest_deg
*.edge.around.0.deg *.edge.around.0.square_mm *.edge.around.0.front_depth_mm *.edge.around.0.back_depth_mm
*.volume_mm3 *.mass_g
*.prism.ordered.base_in_cm_per_m *.prism.ordered.base_up_cm_per_m *.prism.from_centration.base_in_cm_per_m
*.prism.from_centration.base_up_cm_per_m *.prism.ground.base_in_cm_per_m *.prism.ground.base_up_cm_per_m
*.prism.residual.base_in_cm_per_m *.prism.residual.base_up_cm_per_m
*.spread *.assumed *.near_misses *.marking
pair.horizontal_imbalance_cm_per_m pair.vertical_imbalance_cm_per_m pair.near_vertical_imbalance_cm_per_m
pair.pd_error_allowed_mm pair.edge_difference_mm pair.front_curve_difference_d pair.mass_g
";

fn at<'a>(document: &'a Value, path: &str) -> Option<&'a Value> {
    path.split('.').try_fold(document, |at, key| match key.parse::<usize>() {
        Ok(index) => at.get(index),
        Err(_) => at.get(key),
    })
}

fn number(document: &Value, path: &str) -> f64 {
    at(document, path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} is no number"))
}

/// Calls for every number of a document, with its path and key.
fn numbers(document: &Value, path: &str, key: &str, see: &mut impl FnMut(&str, &str, f64)) {
    match document {
        Value::Null => panic!("{path} is null"),
        Value::Number(number) => see(path, key, number.as_f64().unwrap()),
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                numbers(item, &format!("{path}.{i}"), key, see);
            }
        }
        Value::Object(object) => {
            for (key, value) in object {
                numbers(value, &format!("{path}.{key}"), key, see);
            }
        }
        Value::Bool(_) | Value::String(_) => {}
    }
}

/// The document against the schema that the command prints for it.
pub(crate) fn conforms(shop: &Shop, name: &str, document: &Value) {
    let ran = shop.run(&["schema", name]);
    let schema: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    jsonschema::draft202012::meta::validate(&schema).unwrap_or_else(|e| panic!("{e}"));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(document).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn every_promised_key_is_there() {
    let plan = Shop::new().plan(&["order.toml"]);
    assert_eq!(plan["schema"], "plan/1");
    let mut missing = Vec::new();
    for path in PROMISED.split_whitespace() {
        let paths = if path.starts_with('*') {
            vec![path.replacen('*', "right", 1), path.replacen('*', "left", 1)]
        } else {
            vec![path.to_owned()]
        };
        missing.extend(paths.into_iter().filter(|path| at(&plan, path).is_none()));
    }
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn the_printed_schema_takes_what_is_printed_and_nothing_bent() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml"]);
    conforms(&shop, "plan", &plan);
    conforms(&shop, "plan", &shop.plan(&["order.toml", "--working", "all"]));
    shop.order("ask.toml", "right = 31.5", "right = 6.3");
    conforms(&shop, "plan", &shop.plan(&["ask.toml"]));
    let outline: Value = serde_json::from_str(&shop.run(&["outline", "frame.txt", "--json"]).out).unwrap();
    conforms(&shop, "outline", &outline);
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "plan"]).out).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    type Bend = fn(&mut Value);
    let bends: [Bend; 5] = [
        |p| p["right"]["mass_g"] = Value::Null,
        |p| p["right"]["mass_g"] = "5 g".into(),
        |p| p["right"]["edge"]["thickest_deg"] = 360.into(),
        |p| p["schema"] = "plan/2".into(),
        |p| drop(p["left"]["box"].as_object_mut().unwrap().remove("width_mm")),
    ];
    for (i, bend) in bends.iter().enumerate() {
        let mut bent = plan.clone();
        bend(&mut bent);
        assert!(!validator.is_valid(&bent), "bend {i} went through");
    }
}

#[test]
fn the_demos_plans_conform() {
    let shop = Shop::new();
    let ran = shop.run(&["demo", "--json"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    let plans: Vec<Value> = ran.out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert!(plans.len() >= 12, "{} plans", plans.len());
    let schema: Value = serde_json::from_str(&shop.run(&["schema", "plan"]).out).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    for plan in &plans {
        let errors: Vec<String> = validator.iter_errors(plan).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", plan["number"]);
        numbers(plan, "", "", &mut |_, _, _| {});
    }
}

#[test]
fn numbers_have_the_decimals_of_their_unit() {
    let plan = Shop::new().plan(&["order.toml"]);
    let mut seen = 0;
    numbers(&plan, "", "", &mut |path, key, value| {
        let places = match key {
            _ if key.ends_with("_mm2") || key.ends_with("_mm3") || key.ends_with("_deg") || key == "deg" => 2,
            "mass_g" => 3,
            // Ratios near 1: a ten-thousandth of an image is what their difference is about.
            "magnification" | "shape_factor" | "power_factor" => 6,
            _ => 4,
        };
        let text = value.to_string();
        let decimals = text.split_once('.').map_or(0, |(_, d)| d.len());
        assert!(decimals <= places, "{path} = {text}");
        assert!(key != "deg" && !key.ends_with("est_deg") || (0.0..360.0).contains(&value), "{path} = {text}");
        seen += 1;
    });
    assert!(seen > 300, "only {seen} numbers");
}

#[test]
fn ordered_powers_are_text_and_stand_in_both_forms() {
    let plan = Shop::new().plan(&["order.toml"]);
    let power = &plan["right"]["power"];
    assert_eq!((&power["sphere_d"], &power["cylinder_d"]), (&"-4.25".into(), &"-1.00".into()));
    assert_eq!(power["axis_deg"], 170.0);
    // Transposed by hand: -4.25 -1.00 x 170 is -5.25 +1.00 x 80.
    let other = &power["transposed"];
    assert_eq!((&other["sphere_d"], &other["cylinder_d"]), (&"-5.25".into(), &"+1.00".into()));
    assert_eq!(other["axis_deg"], 80.0);
    assert!(plan["left"]["power"].get("cylinder_d").is_none());
}

/// Placing, prism and mass, each by the formula that a person would write on the back of the order.
#[test]
fn figures_that_a_pencil_can_check() {
    let plan = Shop::new().plan(&["order.toml"]);
    let close = |path: &str, want: f64, within: f64| {
        let got = number(&plan, path);
        assert!((got - want).abs() <= within, "{path} is {got}, not {want}");
    };
    for (eye, pd) in [("right", 31.5), ("left", 32.0)] {
        let of = |path: &str| number(&plan, &format!("{eye}.{path}"));
        // In: half the box, half the bridge, less the PD. Up: the pupil's height less half the box height.
        close(&format!("{eye}.reference_point.in_mm"), of("box.width_mm") / 2.0 + 9.0 - pd, 2e-4);
        close(&format!("{eye}.reference_point.up_mm"), 21.0 - of("box.height_mm") / 2.0, 2e-4);
        // Polycarbonate: 1.20 g/cm3.
        close(&format!("{eye}.mass_g"), of("volume_mm3") * of("blank.density_g_cm3") / 1000.0, 1e-3);
        for part in ["base_in_cm_per_m", "base_up_cm_per_m"] {
            let sum = of(&format!("prism.from_centration.{part}")) + of(&format!("prism.ground.{part}"));
            close(&format!("{eye}.prism.residual.{part}"), of(&format!("prism.ordered.{part}")) - sum, 2e-4);
        }
        let around = plan[eye]["edge"]["around"].as_array().unwrap();
        assert_eq!(around.len(), 72);
        for (i, row) in around.iter().enumerate() {
            assert_eq!(row["deg"].as_f64(), Some(5.0 * i as f64));
            let thick = number(row, "back_depth_mm") - number(row, "front_depth_mm");
            assert!((number(row, "square_mm") - thick).abs() < 2e-4, "{row}");
            assert!(
                (of("edge.thinnest_mm") - 1e-4..=of("edge.thickest_mm") + 1e-4).contains(&number(row, "square_mm"))
            );
        }
    }
    // 1.00 base in on -4.25 -1.00 x 170: by the inverse of the power matrix, 10 F^-1 p away from the pupil's point.
    let (s, c, axis) = (-4.25f64, -1.0f64, 170f64.to_radians());
    let (sxx, sxy, syy) =
        (s + c * axis.sin() * axis.sin(), -c * axis.sin() * axis.cos(), s + c * axis.cos() * axis.cos());
    let determinant = sxx * syy - sxy * sxy;
    // Prentice: the prism at a point is -F times its place from the optical centre, in cm; so the centre stands at
    // the point plus F^-1 p, and + in is + x for the right eye.
    let (dx, dy) = (10.0 * syy / determinant, -10.0 * sxy / determinant);
    close("right.optical_centre.in_mm", number(&plan, "right.reference_point.in_mm") + dx, 2e-3);
    close("right.optical_centre.up_mm", number(&plan, "right.reference_point.up_mm") + dy, 2e-3);
    close("pair.mass_g", number(&plan, "right.mass_g") + number(&plan, "left.mass_g"), 2e-3);
    close(
        "pair.edge_difference_mm",
        number(&plan, "right.edge.thickest_mm") - number(&plan, "left.edge.thickest_mm"),
        2e-4,
    );
    // 10 x 0.67 / mean |power in the horizontal meridian|.
    close("pair.pd_error_allowed_mm", 6.7 / ((sxx.abs() + 3.75) / 2.0), 2e-3);
}

#[test]
fn digests_are_those_of_the_files() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml"]);
    for (key, file) in [("order", "order.toml"), ("outline", "frame.txt"), ("shelf", "shelf.csv")] {
        let output = std::process::Command::new("sha256sum").arg(shop.path(file)).output();
        let digest = plan["inputs"][key].as_str().unwrap();
        assert!(digest.len() == 64 && digest.bytes().all(|b| b.is_ascii_hexdigit()), "{digest}");
        // Where the machine has the general tool, it is the judge.
        if let Ok(output) = output {
            assert!(String::from_utf8(output.stdout).unwrap().starts_with(digest), "{file}");
        }
    }
    let rules = shop.run(&["rules"]).out;
    shop.write("printed.toml", &rules);
    let named = shop.plan(&["order.toml", "--rules", "printed.toml"]);
    assert_eq!(named["inputs"]["rules"], plan["inputs"]["rules"]);
}

#[test]
fn an_eye_that_is_not_made_is_absent() {
    let shop = Shop::new();
    shop.order("order.toml", "eyes = \"both\"", "eyes = \"right\"");
    let plan = shop.plan(&["order.toml"]);
    assert!(plan["right"].is_object() && plan.get("left").is_none());
    assert!(plan["pair"].get("edge_difference_mm").is_none());
    conforms(&shop, "plan", &plan);
}

#[test]
fn findings_tell_code_severity_figure_value_and_source() {
    let shop = Shop::new();
    shop.order("order.toml", "right = 31.5", "right = 6.3");
    let plan = shop.plan(&["order.toml"]);
    let findings = plan["findings"].as_array().unwrap();
    let slipped = findings.iter().find(|f| f["code"] == "pd-monocular").unwrap();
    assert_eq!(
        (&slipped["severity"], &slipped["eye"], &slipped["value"]),
        (&"ask".into(), &"right".into(), &"6.3".into())
    );
    assert!(slipped["limit"].is_string() && slipped["source"].is_string() && slipped["mend"].is_string());
    assert!(slipped.get("answered").is_none());
    let known = shop.run(&["findings"]).out;
    for finding in findings {
        assert!(known.contains(finding["code"].as_str().unwrap()), "{finding}");
    }
}

/// The demo's plans have the bytes that were committed, whatever machine this runs on. A change that moves a figure
/// changes them: look at what moved, then write `rimwright demo --json | sha256sum` anew.
#[test]
fn the_demos_plans_have_the_committed_bytes() {
    let committed = include_str!("../demo-plans.sha256").split_whitespace().next().unwrap();
    let plans = Shop::new().run(&["demo", "--json"]).out;
    let digest: String = Sha256::digest(plans.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(digest, committed, "the demo's plans are not the ones that were committed");
}
