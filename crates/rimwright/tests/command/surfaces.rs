//! Rows of the shelf that are more than spheres: conics, ground prism, check thicknesses; and those that cannot be.

use serde_json::Value;

use crate::shop::Shop;

/// A shelf of one right and one left row: `changes` are cells of both.
fn shelf(changes: &[(&str, &str, &str)]) -> String {
    let mut columns: Vec<(&str, [&str; 2])> = vec![
        ("sku", ["R", "L"]),
        ("material", ["polycarbonate-1.586"; 2]),
        ("series", ["S1"; 2]),
        ("form", ["aspheric"; 2]),
        ("sphere_d", ["-4.25", "-3.75"]),
        ("cylinder_d", ["-1.00", ""]),
        ("nominal_mm", ["70"; 2]),
        ("usable_mm", ["68"; 2]),
        ("centre_mm", ["1.5"; 2]),
        ("front_curve_d", ["3.25"; 2]),
        ("front_curve_index", ["1.530"; 2]),
        ("treatments", ["anti-reflective"; 2]),
        ("quantity", ["3"; 2]),
    ];
    for &(name, right, left) in changes {
        match columns.iter_mut().find(|(known, _)| *known == name) {
            Some(column) => column.1 = [right, left],
            None => columns.push((name, [right, left])),
        }
    }
    let mut text = columns.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(",") + "\n";
    for eye in 0..2 {
        text.push_str(&(columns.iter().map(|(_, cells)| cells[eye]).collect::<Vec<_>>().join(",") + "\n"));
    }
    text
}

/// The shop's order without its prism, so that an aspheric blank need not be shifted.
fn shop(changes: &[(&str, &str, &str)]) -> Shop {
    let shop = Shop::new();
    shop.order("order.toml", ", prism = [{ cm_per_m = \"1.00\", base = \"in\" }]", "");
    shop.write("shelf.csv", shelf(changes));
    shop
}

fn thickest(plan: &Value, eye: &str) -> f64 {
    plan[eye]["edge"]["thickest_mm"].as_f64().unwrap_or_else(|| panic!("{eye}: {}", plan["findings"]))
}

/// By hand for the left sphere, cut along the lens axis: at r from the vertex a conic's sagitta is c r²/(1 + sqrt(1 − (1 + k)
/// c² r²)), and the thickness the centre plus back less front.
#[test]
fn a_stated_conic_is_figured_as_it_is() {
    let shop = shop(&[("front_conic", "-1.2", "-1.2"), ("back_conic", "", "0.5")]);
    shop.write("rules.toml", "[block]\naxis = \"lens-axis\"\n");
    let plan = shop.plan(&["order.toml"]);
    let (n, t) = (1.586, 1.5);
    let front = 3.25 * (n - 1.0) / 0.530;
    let back = -3.75 - front / (1.0 - t / 1000.0 / n * front);
    let sag = |power: f64, sign: f64, k: f64, r: f64| {
        let c = sign * power / 1000.0 / (n - 1.0);
        c * r * r / (1.0 + (1.0 - (1.0 + k) * c * c * r * r).sqrt())
    };
    let (inwards, up) = (
        plan["left"]["optical_centre"]["in_mm"].as_f64().unwrap(),
        plan["left"]["optical_centre"]["up_mm"].as_f64().unwrap(),
    );
    // The ellipse 50 x 36 of the shop's frame, cut larger all round; the left eye's nose is on the viewer's left.
    let larger = plan["left"]["size"]["offset_radius_mm"].as_f64().unwrap();
    let edge = |deg: f64| {
        let (cos, sin) = (deg.to_radians().cos(), deg.to_radians().sin());
        let by = larger / (cos / 25.0).hypot(sin / 18.0);
        let (x, y) = ((25.0 + by / 25.0) * cos + inwards, (18.0 + by / 18.0) * sin - up);
        let r = x.hypot(y);
        t + sag(back, -1.0, 0.5, r) - sag(front, 1.0, -1.2, r)
    };
    let wanted = (0..3600).map(|i| edge(f64::from(i) / 10.0)).fold(0.0, f64::max);
    // Reading and smoothing the trace leave some micrometres of radius.
    assert!((thickest(&plan, "left") - wanted).abs() < 0.003, "{} {wanted}", thickest(&plan, "left"));
}

#[test]
fn a_check_thickness_is_met_where_it_was_measured() {
    // A circle of 50 mm about the vertex would pass through the check; here the thickest edge lies near it, so that 0.4 mm
    // less at 25 mm moves it by about as much.
    let plain = shop(&[]).plan(&["order.toml"]);
    let codes = |plan: &Value| -> Vec<String> {
        plan["findings"].as_array().unwrap().iter().map(|f| f["code"].as_str().unwrap().to_owned()).collect()
    };
    assert!(codes(&plain).contains(&"aspheric-as-spheric".to_owned()));
    let checked = shop(&[("check_mm", "4.10", "3.60"), ("check_radius_mm", "28", "28")]).plan(&["order.toml"]);
    assert!(codes(&checked).contains(&"aspheric-interpolated".to_owned()), "{:?}", codes(&checked));
    assert!(!codes(&checked).contains(&"aspheric-as-spheric".to_owned()));
    assert!(thickest(&checked, "left") < thickest(&plain, "left"));
    let spread = checked["left"]["spread"].as_array().unwrap();
    let edge = spread.iter().find(|s| s["cause"] == "check-thickness" && s["figure"] == "edge.thickest_mm").unwrap();
    let (low, high) = (edge["low"].as_f64().unwrap(), edge["high"].as_f64().unwrap());
    assert!(low <= thickest(&checked, "left") && thickest(&checked, "left") <= high && high > low, "{edge}");
}

#[test]
fn a_conic_that_ends_before_the_rim_says_so() {
    let shop = shop(&[("front_conic", "20", "20"), ("front_curve_d", "8.0", "8.0")]);
    let ran = shop.run(&["plan", "order.toml", "--right", "R", "--left", "L"]);
    assert_eq!(ran.exit, 1);
    assert!(ran.out.contains("conic constant"), "{}", ran.out);
    assert!(ran.out.contains("figures in mm"), "the rest of the plan stands: {}", ran.out);
}

#[test]
fn a_conic_constant_of_no_lens_is_a_fault() {
    let shop = shop(&[("front_conic", "50", "")]);
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!((ran.exit, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("front_conic") && ran.err.contains("shelf.csv:2"), "{}", ran.err);
}

#[test]
fn a_check_radius_beyond_the_blank_is_a_fault() {
    let shop = shop(&[("check_mm", "4.1", ""), ("check_radius_mm", "40", "")]);
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("check_radius_mm"), "{}", ran.err);
}
