//! Prescribed prism of the pair.

use crate::shop::Shop;

/// By hand: bases in add, 1.50 + 1.00; bases up cancel, 0.50 − 0; the resultant is their hypotenuse, its base atan(0.5/2.5);
/// an equal share halves both parts, up for one eye and down for the other.
#[test]
fn the_pairs_prism_is_one_resultant_and_may_be_shared() {
    let shop = Shop::new();
    let one = "prism = [{ cm_per_m = \"1.00\", base = \"in\" }]";
    let two = "prism = [{ cm_per_m = \"1.50\", base = \"in\" }, { cm_per_m = \"0.50\", base = \"up\" }]";
    let order = crate::shop::ORDER
        .replace(one, two)
        .replace("cylinder_d = \"none\" }", &format!("cylinder_d = \"none\", {one} }}"));
    shop.write("order.toml", order);
    let plan = shop.plan(&["order.toml"]);
    let prism = &plan["pair"]["prism"];
    let number = |key: &str| prism[key].as_f64().unwrap_or_else(|| panic!("{key}: {prism}"));
    for (key, wanted) in [
        ("horizontal_in_cm_per_m", 2.5),
        ("vertical_up_cm_per_m", 0.5),
        ("resultant_cm_per_m", 2.5495),
        ("resultant_deg", 11.31),
        // Decentration gives all of it.
        ("made_in_cm_per_m", 2.5),
        ("made_up_cm_per_m", 0.5),
    ] {
        assert!((number(key) - wanted).abs() < 1e-9, "{key}: {prism}");
    }
    for (key, up) in [("shared_right", 0.25), ("shared_left", -0.25)] {
        assert_eq!(prism[key]["base_in_cm_per_m"], 1.25);
        assert_eq!(prism[key]["base_up_cm_per_m"], up);
    }
    let none = shop.run(&["plan", "order.toml"]).out;
    assert!(none.contains("shared equally it is R 1.25"), "{none}");
}
