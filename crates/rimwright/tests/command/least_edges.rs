//! Least edges: holes, the parts behind the lens, the lashes; and a lens that is finished flat.

use serde_json::Value;

use crate::seat::mm;
use crate::shop::{ORDER, Shop};

const HOLES: &str = "holes = [{ eye = \"right\", in_mm = -20.5, up_mm = 2.0, diameter_mm = 1.4 }, { eye = \"right\", in_mm = 19.0, up_mm = 3.0, diameter_mm = 1.4 }]\n[lens]\n";

fn drilled(holes: &str) -> Shop {
    let shop = Shop::new();
    shop.write(
        "order.toml",
        ORDER
            .replace("mounting = \"full-rim\"", "mounting = \"drilled\"")
            .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"flat\"")
            .replace("[lens]\n", holes),
    );
    shop
}

fn finding<'a>(plan: &'a Value, code: &str) -> Option<&'a Value> {
    plan["findings"].as_array()?.iter().find(|finding| finding["code"] == code)
}

/// By hand: a hole takes off pi r2 times the thickness at its middle, to a thousandth for surfaces so little bent over 1.4 mm;
/// what is left of a flat lens is all else. The sum of both walls and the hole is what the edge stands off its middle.
#[test]
fn holes_take_off_what_they_are() {
    let shop = drilled(HOLES);
    let plan = shop.plan(&["order.toml"]);
    let right = &plan["right"];
    let holes = right["holes"].as_array().unwrap();
    assert_eq!(holes.len(), 2);
    crate::json::conforms(&shop, "plan", &plan);
    assert!(plan["left"].get("holes").is_none(), "the left lens has none");
    let off: f64 = holes.iter().map(|hole| std::f64::consts::PI * 0.49 * mm(hole, "/thickness_mm")).sum();
    let finished = mm(right, "/volume_mm3") - mm(right, "/finished_volume_mm3");
    assert!((finished - off).abs() < 0.015, "{finished} {off}");
    // A flat edge is seen as it is cut.
    assert_eq!(right["edge"]["visible_thinnest_mm"], right["edge"]["thinnest_mm"]);
    assert_eq!(right["edge"]["around"][7]["visible_mm"], right["edge"]["around"][7]["square_mm"]);
    // Between thinnest and thickest of a minus lens, and thicker than its middle.
    for hole in holes {
        let thickness = mm(hole, "/thickness_mm");
        assert!(thickness > mm(right, "/thickness/least_mm") && thickness < mm(right, "/edge/thickest_mm"), "{hole}");
    }
}

/// The shape is an ellipse-like one that is figured exactly elsewhere; a hole on the boxed centreline stands half the box width,
/// less how far out it is and its radius, from the edge at most.
#[test]
fn a_hole_near_the_edge_is_asked_about_and_one_outside_stops() {
    let width = mm(&drilled(HOLES).plan(&["order.toml"]), "/right/box/width_mm");
    let at = |inwards: f64| {
        let hole =
            format!("holes = [{{ eye = \"right\", in_mm = {inwards}, up_mm = 0.0, diameter_mm = 1.4 }}]\n[lens]\n");
        drilled(&hole).plan(&["order.toml"])
    };
    let near = at(-(width / 2.0 - 2.0));
    let wall = mm(&near, "/right/holes/0/wall_mm");
    assert!(wall < 1.31 && wall > 1.0, "2.0 less the radius: {wall}");
    assert_eq!(finding(&near, "hole-near-edge").unwrap()["severity"], "ask");
    let outside = at(-(width / 2.0 + 1.0));
    assert!(mm(&outside, "/right/holes/0/wall_mm") < -1.6);
    assert!(outside["right"]["holes"][0].get("thickness_mm").is_none());
    let stop = finding(&outside, "hole-outside-lens").unwrap();
    assert_eq!(stop["severity"], "stop");
    assert!(stop["mend"].as_str().unwrap().contains("measure it again"), "{stop}");
}

/// The back shoulder of the row in the part's direction is what the part's room is held against.
#[test]
fn a_part_behind_the_lens_has_room_or_is_asked_about() {
    let shop = Shop::new();
    let with = |back: f64| {
        shop.order(
            "order.toml",
            "[lens]\n",
            &format!("clearance = [{{ deg = 180, back_mm = {back}, what = \"closing block\" }}]\n[lens]\n"),
        );
        shop.plan(&["order.toml"])
    };
    let roomy = with(9.0);
    assert!(finding(&roomy, "back-edge-touches").is_none());
    let row = &roomy["right"]["edge"]["around"][36];
    assert_eq!(row["deg"], 180.0);
    let shoulder = mm(row, "/back_shoulder_mm");
    crate::json::conforms(&shop, "plan", &roomy);
    assert_eq!(roomy["right"]["clearance"][0]["what"], "closing block");
    assert!((mm(&roomy, "/right/clearance/0/takes_mm") - shoulder).abs() < 1e-9);
    let tight = with(1.0);
    let found = finding(&tight, "back-edge-touches").unwrap();
    assert_eq!(found["eye"], "right");
    let value: f64 = found["value"].as_str().unwrap().parse().unwrap();
    assert!((value - shoulder).abs() < 0.006, "{value} {shoulder}");
}

/// Words and figures of an apex that runs as ordered: at a share of the edge both shoulders share it so, in every row.
#[test]
fn the_apex_runs_as_the_order_has_it() {
    let shop = Shop::new();
    shop.order("order.toml", "edge = \"bevel\"\n", "edge = \"bevel\"\nedge_line = { share = 0.4 }\n");
    let plan = shop.plan(&["order.toml"]);
    assert_eq!(plan["right"]["edge"]["line"]["share"], 0.4);
    for row in plan["right"]["edge"]["around"].as_array().unwrap() {
        let share = mm(row, "/front_shoulder_mm") / mm(row, "/square_mm");
        assert!((share - 0.4).abs() < 2e-3, "{row}");
    }
    // The rules say the same of every order that does not.
    let ruled = Shop::new();
    ruled.write("rules.toml", "[bevel]\nline = { share = 0.4 }\n");
    assert_eq!(ruled.plan(&["order.toml"])["right"]["edge"], plan["right"]["edge"]);
    // Two ways at once are none.
    let twice = "edge = \"bevel\"\nedge_line = { share = 0.4, along = \"rim\" }\n";
    shop.order("order.toml", "edge = \"bevel\"\n", twice);
    let ran = shop.run(&["plan", "order.toml"]);
    assert!(ran.exit == 2 && ran.err.contains("one way for the line to run"), "{}", ran.err);
}

/// A small bevel is as high as its rule says, so that more of the edge is seen; a stepped one leaves less of the lens.
#[test]
fn small_and_stepped_bevels() {
    let plan = |bevel: &str, rules: &str| {
        let shop = Shop::new();
        shop.write("rules.toml", rules);
        shop.order("order.toml", "bevel = \"v\"", &format!("bevel = \"{bevel}\""));
        shop.plan(&["order.toml"])
    };
    let v = plan("v", "");
    let small = plan("small", "[bevel]\nsmall_height_mm = 0.4\n");
    let stepped = plan("stepped", "");
    let visible = |plan: &Value| mm(plan, "/right/edge/visible_thickest_mm");
    assert!(visible(&small) > visible(&v), "nearer to the outline a minus lens is thicker");
    assert!(mm(&small, "/right/finished_mass_g") > mm(&v, "/right/finished_mass_g"));
    assert!(mm(&stepped, "/right/finished_mass_g") < mm(&v, "/right/finished_mass_g"));
    assert_eq!(visible(&plan("small", "")), visible(&v), "without a height of its own it is as high as any");
}

/// Bad input: a rim without depth and without a curve seats nothing and says so; a line along the front needs no rim.
#[test]
fn a_rim_without_depth_and_without_a_curve() {
    let shop = Shop::new();
    shop.write("frame.txt", crate::shop::frame().replace("FCRV=5.00;5.00\r\n", ""));
    let plan = shop.plan(&["order.toml"]);
    assert!(finding(&plan, "no-depth").is_some());
    let right = &plan["right"];
    for key in ["seat", "size", "finished_mass_g"] {
        assert!(right.get(key).is_none(), "{key}");
    }
    assert!(right["edge"]["around"][0].get("apex_depth_mm").is_none());
    shop.order("order.toml", "edge = \"bevel\"\n", "edge = \"bevel\"\nedge_line = { along = \"front\" }\n");
    let right = &shop.plan(&["order.toml"])["right"];
    assert!(right.get("seat").is_none() && right["finished_mass_g"].is_number());
    assert!(right["edge"]["around"][0]["apex_depth_mm"].is_number());
}

/// A hole of the left lens towards the nose lies to the viewer's left, where the lens mirrors the right one's: order and frame in
/// a mirror have the same hole. By hand: a sphere of no power in a plate-like lens is as thick everywhere nearly as at its centre.
#[test]
fn in_is_towards_the_nose_in_either_lens() {
    let shop = Shop::new();
    let same = "right = { sphere_d = \"-3.75\", cylinder_d = \"none\" }";
    let right = ORDER.lines().find(|line| line.starts_with("right = { sphere")).unwrap();
    let holes: String = ["right", "left"]
        .map(|eye| format!("{{ eye = \"{eye}\", in_mm = 20.5, up_mm = 2.0, diameter_mm = 1.4 }}"))
        .join(", ");
    shop.write(
        "order.toml",
        ORDER
            .replace(right, same)
            .replace("right = 31.5, left = 32.0", "right = 31.5, left = 31.5")
            .replace("mounting = \"full-rim\"", "mounting = \"drilled\"")
            .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"flat\"")
            .replace("[lens]\n", &format!("holes = [{holes}]\n[lens]\n")),
    );
    let plan = shop.plan(&["order.toml"]);
    let thick = |eye: &str| mm(&plan, &format!("/{eye}/holes/0/thickness_mm"));
    assert!((thick("right") - thick("left")).abs() < 2e-4, "{} {}", thick("right"), thick("left"));
    // Decentred inwards, a minus lens is thinner at the nose than at the temple, square edge and hole alike.
    let square = |row: usize| mm(&plan, &format!("/right/edge/around/{row}/square_mm"));
    assert!(square(0) < square(36) && thick("right") < square(0), "{} {}", square(0), square(36));
}

/// By hand: 12 mm off the pupil the back of 1/r curvature is 144/(2 r) deeper, the pantoscopic angle lifts the top by 12 sin,
/// and the face form brings the temple side nearer by 12 sin.
#[test]
fn lashes_have_what_the_vertex_leaves() {
    let shop = Shop::new();
    let room = |face_form: f64| {
        shop.write(
            "order.toml",
            ORDER
                .replace("worn_vertex_mm = 12.0", "worn_vertex_mm = 9.5")
                .replace("[lens]\n", &format!("face_form_deg = {face_form}\n[lens]\n")),
        );
        let plan = shop.plan(&["order.toml"]);
        let found = plan["findings"].as_array().unwrap();
        let note = found.iter().find(|f| f["code"] == "lashes-near" && f["eye"] == "left").unwrap();
        note["value"].as_str().unwrap().parse::<f64>().unwrap()
    };
    // Front 3.25 on 1.530, so 3.59 on 1.586 and 163 mm; the back is some 7.35 D of its own: 586/7.35 = 79.7 mm, 0.90 mm
    // deeper. The lens is cut square to its front at the boxed centre, 2.0 mm out and 3.0 down: it leans by 3.6/163 there.
    let (lean_in, lean_up) = (12.0 * 2.0 / 163.0, 12.0 * 3.0 / 163.0);
    for face_form in [0.0, 10.0] {
        let temporal = 12.0 * f64::to_radians(face_form).sin() - lean_in;
        let nearer = (temporal * temporal + lean_up * lean_up).sqrt();
        let (found, by_hand) = (room(face_form), 9.5 - 0.9 - nearer);
        assert!((found - by_hand).abs() < 0.1, "{face_form}: {found} {by_hand}");
    }
}

/// Holes are of drilled lenses; a lens to be drilled nobody knows where has no finished mass.
#[test]
fn holes_belong_to_a_drilled_frame() {
    let shop = Shop::new();
    shop.write("order.toml", ORDER.replace("[lens]\n", HOLES));
    let plan = shop.plan(&["order.toml"]);
    assert_eq!(finding(&plan, "holes-not-of-mounting").unwrap()["severity"], "ask");
    assert!(plan["right"].get("holes").is_none());
    let plan = drilled("[lens]\n").plan(&["order.toml"]);
    assert!(finding(&plan, "holes-not-given").is_some() && plan["right"].get("finished_mass_g").is_none());
    assert!(plan["right"]["edge"]["visible_thinnest_mm"].is_number(), "what is seen of a flat edge is known");
}

/// A half-eye ends nearer to the pupil than lashes reach: there the lens's own edge is what they meet.
#[test]
fn the_edge_of_a_low_lens_is_what_lashes_meet() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml"]);
    // 12 mm worn, and what a by-hand back of 80 mm radius takes at 12 mm: 0.9, with the lean of the cutting axis.
    for eye in ["right", "left"] {
        let room = mm(&plan, &format!("/{eye}/lashes/room_mm"));
        assert!((10.4..11.2).contains(&room), "{eye}: {room}");
    }
    // With its top leaning in by 20 degrees a lens comes nearer by a third of what it reaches up: 12 mm would be 4.1 nearer.
    // Ordered 32 mm up in a box of 36 the pupil is 4 mm below the top, and the lens ends there.
    let leaning = |height: &str| {
        shop.write(
            "order.toml",
            ORDER
                .replace("right = 21.0, left = 21.0", &format!("right = {height}, left = {height}"))
                .replace("[lens]\n", "pantoscopic_deg = -20\n[lens]\n"),
        );
        mm(&shop.plan(&["order.toml"]), "/right/lashes/room_mm")
    };
    let (middle, high) = (leaning("18.0"), leaning("32.0"));
    assert!((6.5..7.5).contains(&middle), "12 - 0.9 - 4.1: {middle}");
    assert!((8.5..10.5).contains(&high), "4 mm straight up, some more aside: {high}");
    shop.order("order.toml", "worn_vertex_mm = 12.0\n", "");
    assert!(shop.plan(&["order.toml"])["right"].get("lashes").is_none());
}
