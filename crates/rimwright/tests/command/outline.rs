//! `rimwright outline`: what is in a trace, as words and as JSON.

use serde_json::Value;

use crate::shop::Shop;

#[test]
fn an_ellipse_is_measured_as_one() {
    let shop = Shop::new();
    let ran = shop.run(&["outline", "frame.txt", "--json"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    let outline: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(outline["schema"], "outline/1");
    let close = |figure: &Value, want: f64, within: f64| {
        let figure = figure.as_f64().unwrap();
        assert!((figure - want).abs() < within, "{figure} is not {want}");
    };
    for eye in ["right", "left"] {
        let sizes = &outline[eye]["box"];
        close(&sizes["width_mm"], 50.0, 0.02);
        close(&sizes["height_mm"], 36.0, 0.02);
        close(&sizes["effective_diameter_mm"], 50.0, 0.02);
        // 4 a E(e), a = 25, b = 18: the complete elliptic integral by scipy.special.ellipe, 100 E(1 - (18/25)^2).
        close(&sizes["circumference_mm"], 135.984_97, 0.02);
        close(&sizes["area_mm2"], std::f64::consts::PI * 25.0 * 18.0, 0.5);
        close(&outline[eye]["frame_curve_d"], 5.0, 1e-9);
        // What is said of both eyes, or of this one, stands with the eye too.
        let of_eye = outline["doubts"].as_array().unwrap().iter().filter(|d| d.get("eye").is_none_or(|e| e == eye));
        assert_eq!(outline[eye]["doubts"].as_array().unwrap().len(), of_eye.count());
    }
    assert!(outline["right"].get("mirrored").is_none());
    assert_eq!(outline["left"]["mirrored"], true);
}

#[test]
fn doubts_do_not_change_the_exit() {
    let shop = Shop::new();
    // A box that the points do not have.
    let frame = std::fs::read_to_string(shop.path("frame.txt")).unwrap();
    shop.write("frame.txt", frame.replace("DBL=18.00", "DBL=18.00\r\nHBOX=55.00;55.00"));
    let ran = shop.run(&["outline", "frame.txt"]);
    assert_eq!(ran.exit, 0);
    assert!(ran.out.contains("55.0"), "{}", ran.out);
}

#[test]
fn tilt_is_reported_and_not_added() {
    let shop = Shop::new();
    let frame = std::fs::read_to_string(shop.path("frame.txt")).unwrap();
    let read =
        |shop: &Shop| -> Value { serde_json::from_str(&shop.run(&["outline", "frame.txt", "--json"]).out).unwrap() };
    let plain = read(&shop);
    shop.write("frame.txt", frame.replace("DBL=18.00", "DBL=18.00\r\nZTILT=3.00;3.00"));
    let tilted = read(&shop);
    assert_eq!(tilted["right"]["tilt_deg"], 3.0);
    assert_eq!(tilted["right"]["box"], plain["right"]["box"]);
}
