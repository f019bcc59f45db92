//! The plan in words: nothing wider than a terminal, findings before figures, the right eye on the left.

use crate::shop::Shop;

#[test]
fn nothing_is_wider_than_eighty_columns() {
    let shop = Shop::new();
    shop.order("ask.toml", "right = 31.5, left = 32.0", "right = 6.3, left = 32.0");
    // A shelf that knows neither curve nor thickness: what is assumed is said.
    let unknown = crate::shop::SHELF.replace(",70,68,1.5,3.25,1.530,", ",70,68,,,,");
    for shelf in [crate::shop::SHELF, &unknown] {
        shop.write("shelf.csv", shelf);
        for order in ["order.toml", "ask.toml"] {
            let ran = shop.run(&["plan", order]);
            for line in ran.out.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
        }
    }
    assert!(shop.run(&["plan", "order.toml"]).out.contains("was taken"));
    for figure in ["all", "edge.thickest_mm"] {
        let ran = shop.run(&["plan", "order.toml", "--working", figure]);
        for line in ran.out.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn findings_come_first_then_the_verdict_then_blanks_hands_figures() {
    let shop = Shop::new();
    shop.order(
        "order.toml",
        "measured_by = \"pupillometer\"",
        "measured_by = \"pupillometer\"\nnear_pd_mm = { right = 31.0, left = 31.0 }",
    );
    let out = shop.run(&["plan", "order.toml"]).out;
    let places: Vec<Option<usize>> =
        ["(i) note", "MAKE IT", "R-70", "1 focimeter", "9 set", "thickest edge", "First  "]
            .iter()
            .map(|w| out.find(w))
            .collect();
    assert!(places.iter().all(Option::is_some), "{places:?}\n{out}");
    assert!(places.is_sorted(), "{places:?}\n{out}");
}

#[test]
fn the_right_eye_stands_on_the_left_of_its_label() {
    let out = Shop::new().run(&["plan", "order.toml"]).out;
    let row = out.lines().find(|line| line.contains(" sku ")).unwrap();
    let (right, label, left) = (row.find("R-70").unwrap(), row.find("sku").unwrap(), row.find("L-70").unwrap());
    assert!(right < label && label < left, "{row}");
    let axis = out.lines().find(|line| line.contains("1 focimeter")).unwrap();
    // An axis is of one form only: the whole power stands beside it.
    let power = axis.find("\u{2212}4.25 \u{2212}1.00 \u{d7} 170").unwrap();
    assert!(power < axis.find("focimeter").unwrap() && axis.contains("any turn"), "{axis}");
}

#[test]
fn the_why_not_names_the_blank_that_is_too_small() {
    let out = Shop::new().run(&["plan", "order.toml"]).out;
    let why = out.split_once("Why not, left eye:").unwrap().1;
    let row = why.lines().find(|line| line.contains("L-50")).unwrap();
    assert!(row.contains("too small"), "{row}");
}

#[test]
fn a_single_lens_has_one_column() {
    let shop = Shop::new();
    shop.order("order.toml", "eyes = \"both\"", "eyes = \"left\"");
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 0, "{}", ran.out);
    assert!(ran.out.contains("L-70") && !ran.out.contains("R-70"), "{}", ran.out);
    assert!(!ran.out.contains("R, arrow"), "{}", ran.out);
}

/// A sphere may lie as it likes, but not its film: order 0140 of the demo is plano and polarised.
#[test]
fn a_film_keeps_its_direction_though_the_power_has_none() {
    let out = Shop::new().run(&["demo"]).out;
    let lines: Vec<&str> = out.lines().filter(|line| line.contains("1 focimeter") && line.contains("plano")).collect();
    assert!(!lines.is_empty());
    assert!(lines.iter().all(|line| line.contains("packet's line at 000") && !line.contains("any turn")), "{lines:?}");
}
