//! How the lens lies in the rim: size, apex, shoulders and gap as the plan prints them.

use serde_json::Value;

use crate::shop::Shop;

pub(crate) fn mm(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

/// Design: the apex's length in space is the rim's and what the rules want beyond, to a micrometre; the offset is read off the
/// outline that is cut, and 2 pi of it is the circumference (reference facts, frame.circumference-per-mm).
#[test]
fn the_size_is_what_makes_the_apex_as_long_as_wanted() {
    let shop = Shop::new();
    for (longer, rules) in [(0.4, ""), (0.5, "[size]\nlonger_3d_mm = { acetate = 0.5 }\n")] {
        shop.write("rules.toml", rules);
        let plan = shop.plan(&["order.toml"]);
        for eye in ["right", "left"] {
            let size = &plan[eye]["size"];
            let (rim, wanted, apex) = (mm(size, "/rim_3d_mm"), mm(size, "/wanted_3d_mm"), mm(size, "/apex_3d_mm"));
            assert!((wanted - rim - longer).abs() < 1.5e-4, "{size}");
            assert!((apex - wanted).abs() < 1e-3, "{size}");
            let (offset, round) = (mm(size, "/offset_radius_mm"), mm(size, "/circumference_offset_mm"));
            assert!((round - offset * std::f64::consts::TAU).abs() < 5e-4, "{size}");
        }
    }
}

/// Design: shoulders are counted from the apex to the surfaces at the cut outline and are at least the rules' least; the gap
/// is no more than may be given above the least; a finished lens is lighter.
#[test]
fn the_rows_add_up() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml"]);
    for eye in ["right", "left"] {
        let plan = &plan[eye];
        let seat = &plan["seat"];
        assert!(mm(seat, "/gap_rms_mm") <= mm(seat, "/gap_least_rms_mm") + 0.03 + 1e-4, "{seat}");
        assert!(mm(plan, "/finished_mass_g") < mm(plan, "/mass_g"));
        for row in plan["edge"]["around"].as_array().unwrap() {
            let (front, back) = (mm(row, "/front_shoulder_mm"), mm(row, "/back_shoulder_mm"));
            assert!(front > 0.2999 && back > 0.2999, "{row}");
            assert!((mm(row, "/apex_depth_mm") - mm(row, "/front_depth_mm") - front).abs() < 3e-3, "{row}");
            assert!((mm(row, "/square_mm") - front - back).abs() < 3e-3, "{row}");
            assert!(mm(row, "/gap_mm").abs() <= mm(seat, "/gap_greatest_mm").abs() + 1e-4, "{row}");
            assert!(mm(row, "/visible_mm") < mm(row, "/square_mm"), "a minus lens is thinner inside: {row}");
        }
    }
}

/// A size that the order gives stays; a drilled lens has no rim to sit in; nor has a rim without depth and without a curve.
#[test]
fn without_a_rim_in_space_there_is_no_seat() {
    let shop = Shop::new();
    shop.order("order.toml", "[lens]\n", "outline_allowance_mm = 0.2\n[lens]\n");
    let plan = shop.plan(&["order.toml"]);
    assert_eq!(mm(&plan, "/right/size/offset_radius_mm"), 0.2);
    assert!(plan["right"]["size"].get("wanted_3d_mm").is_none() && plan["right"]["seat"].is_object());
    shop.write(
        "order.toml",
        crate::shop::ORDER
            .replace("mounting = \"full-rim\"", "mounting = \"drilled\"")
            .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"flat\""),
    );
    let plan = shop.plan(&["order.toml"]);
    assert!(plan["right"].get("seat").is_none() && plan["right"]["edge"].get("line").is_none());
}

/// Rules: 0.6 mm of groove with walls of 0.5 mm, so that its middle keeps 0.8 mm from either surface; common practice: through
/// the middle of a thin edge, along the front. What it takes off: 0.36 mm2 all round, its middle 0.3 mm inwards (Pappus).
#[test]
fn a_groove_runs_along_the_front() {
    let shop = Shop::new();
    shop.write(
        "order.toml",
        crate::shop::ORDER
            .replace("mounting = \"full-rim\"", "mounting = \"nylon-cord\"")
            .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"groove\""),
    );
    let plan = shop.plan(&["order.toml"]);
    for eye in ["right", "left"] {
        let plan = &plan[eye];
        assert!(plan.get("seat").is_none() && plan.get("size").is_none(), "{}", plan["size"]);
        let thinnest = mm(plan, "/edge/thinnest_mm");
        for row in plan["edge"]["around"].as_array().unwrap() {
            let (front, back) = (mm(row, "/groove_from_front_mm"), mm(row, "/groove_from_back_mm"));
            assert!((front - (thinnest / 2.0).clamp(0.8, 1.5)).abs() < 2e-3, "{row} {thinnest}");
            assert!(back > 0.7999 && (front + back - mm(row, "/square_mm")).abs() < 1e-3, "{row}");
            assert!(row.get("apex_depth_mm").is_none());
        }
        let off = mm(plan, "/volume_mm3") - mm(plan, "/finished_volume_mm3");
        let by_hand = 0.36 * (mm(plan, "/box/circumference_mm") - 0.3 * std::f64::consts::TAU);
        assert!((off - by_hand).abs() < 0.05, "{off} {by_hand}");
    }
}
