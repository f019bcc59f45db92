//! Files that cannot be read or typed: told with place and remedy, several in one run, exit 2, nothing on standard output.

use crate::shop::{ORDER, SHELF, Shop, frame};

/// A run that must fail, and what it must say.
fn fails(shop: &Shop, arguments: &[&str], says: &[&str]) {
    let ran = shop.run(arguments);
    assert_eq!(ran.exit, 2, "{arguments:?}: {}{}", ran.out, ran.err);
    assert!(ran.out.is_empty(), "nothing may be printed: {}", ran.out);
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    for words in says {
        assert!(ran.err.contains(words), "`{words}` is not in:\n{}", ran.err);
    }
}

#[test]
fn what_is_not_there_is_named_with_a_hint() {
    let shop = Shop::new();
    fails(&shop, &["plan", "nowhere.toml"], &["nowhere.toml", "no such file", "hint:"]);
    fails(&shop, &["plan", "nowhere/"], &["nowhere/", "no such file", "hint:"]);
    fails(&shop, &["plan", "order.toml", "--shelf", "gone.csv"], &["gone.csv", "hint:"]);
    fails(&shop, &["plan", "order.toml", "--rules", "gone.toml"], &["gone.toml", "hint:"]);
    fails(&shop, &["outline", "gone.txt"], &["gone.txt", "hint:"]);
    fails(&shop, &["outline", "."], &["is a folder"]);
    shop.order("order.toml", "frame.txt", "other.txt");
    fails(&shop, &["plan", "order.toml"], &["other.txt", "hint:"]);
    shop.write("empty/readme.md", "no orders here");
    fails(&shop, &["plan", "empty"], &["no order in empty", "hint:"]);
}

#[test]
fn paths_in_an_order_are_from_its_own_folder() {
    let shop = Shop::new();
    shop.write("deep/order.toml", ORDER.replace("frame.txt", "../frame.txt"));
    let ran = shop.run(&["plan", "deep/order.toml", "--shelf", "shelf.csv"]);
    assert_eq!(ran.exit, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn several_faults_of_an_order_come_in_one_run_with_their_places() {
    let shop = Shop::new();
    let order = ORDER
        .replace("sphere_d = \"-4.25\"", "sphere_d = \"4.25\"")
        .replace("mounting = \"full-rim\"", "mounting = \"half-rim\"")
        .replace("bevel = \"v\"", "bevle = \"v\"");
    shop.write("order.toml", &order);
    let line = |what: &str| 1 + order.lines().position(|l| l.contains(what)).unwrap();
    let places: Vec<String> = ["\"4.25\"", "half-rim", "bevle"].map(|w| format!("order.toml:{}", line(w))).into();
    let ran = shop.run(&["plan", "order.toml"]);
    for place in &places {
        assert!(ran.err.contains(place), "{place} is not in:\n{}", ran.err);
    }
    fails(&shop, &["plan", "order.toml"], &["bevle", "bevel", "half-rim", "full-rim", "4.25"]);
}

#[test]
fn order_and_shelf_are_both_told() {
    let shop = Shop::new();
    shop.order("order.toml", "eyes = \"both\"", "eyes = \"all\"");
    shop.write("shelf.csv", SHELF.replace("L-70,polycarbonate-1.586", "L-70,glass-of-water"));
    fails(&shop, &["plan", "order.toml"], &["order.toml:3", "shelf.csv:3", "glass-of-water"]);
}

#[test]
fn an_axis_without_its_cylinder_and_the_other_way_round_are_faults() {
    let shop = Shop::new();
    shop.order("order.toml", ", axis_deg = 170", "");
    fails(&shop, &["plan", "order.toml"], &["axis"]);
    shop.order("order.toml", "cylinder_d = \"-1.00\", ", "");
    fails(&shop, &["plan", "order.toml"], &["axis"]);
    shop.order("order.toml", "cm_per_m = \"1.00\", base = \"in\"", "cm_per_m = \"1.00\"");
    fails(&shop, &["plan", "order.toml"], &["base"]);
}

#[test]
fn numbers_that_are_none_and_numbers_that_nobody_means() {
    let shop = Shop::new();
    for (from, to) in [
        ("right = 31.5", "right = nan"),
        ("right = 31.5", "right = -31.5"),
        ("right = 21.0", "right = inf"),
        ("taken = 2026-03-02", "taken = 2026-02-30"),
        ("number = \"0142\"", "number = \"job 142\""),
        ("number = \"0142\"", "number = 142"),
        ("polycarbonate-1.586", "unobtainium"),
        ("axis_deg = 170", "axis_deg = 270"),
    ] {
        shop.order("order.toml", from, to);
        fails(&shop, &["plan", "order.toml"], &["order.toml:"]);
    }
    shop.write("order.toml", ORDER);
    for (from, to) in [(",70,68,1.5", ",70,68,-1.5"), (",70,68,1.5", ",70,68,NaN"), (",3,drawer 1", ",-3,drawer 1")] {
        shop.write("shelf.csv", SHELF.replacen(from, to, 1));
        fails(&shop, &["plan", "order.toml"], &["shelf.csv:2"]);
    }
}

#[test]
fn a_shelf_with_thirty_faulty_rows_tells_of_thirty() {
    let shop = Shop::new();
    let rows: String = (0..30)
        .map(|i| format!("X{i},polycarbonate-1.586,S,L,single-vision,spheric,4.25,,,70,68,1.5,3,1.530,,1,x\n"))
        .collect();
    shop.write("shelf.csv", format!("{SHELF}{rows}"));
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 2);
    for line in 6..36 {
        assert!(ran.err.contains(&format!("shelf.csv:{line}:")), "row {line} is not in:\n{}", ran.err);
    }
}

#[test]
fn bytes_of_every_kind_are_refused_in_words() {
    let shop = Shop::new();
    let megabytes = "x".repeat(10_000_000);
    let whole = frame();
    for bytes in [
        &b""[..],
        b"\xff\xfe\x00n",
        b"number = \"0142",
        b"\x00\x00\x00\x00",
        b"number = \"01\xff42\"\n",
        megabytes.as_bytes(),
    ] {
        shop.write("order.toml", bytes);
        fails(&shop, &["plan", "order.toml"], &["order.toml", "hint"]);
    }
    shop.write("order.toml", ORDER);
    for bytes in
        [&b""[..], b"\xff\xfe\x00T", b"not a trace at all", &whole.as_bytes()[..whole.len() / 2], megabytes.as_bytes()]
    {
        shop.write("frame.txt", bytes);
        fails(&shop, &["plan", "order.toml"], &["frame.txt", "hint"]);
        fails(&shop, &["outline", "frame.txt"], &["frame.txt", "hint"]);
    }
    shop.write("frame.txt", &whole);
    for bytes in [&b""[..], b"\xff\xfe\x00s", b"sku;material\n", megabytes.as_bytes()] {
        shop.write("shelf.csv", bytes);
        fails(&shop, &["plan", "order.toml"], &["shelf.csv"]);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_without_an_end_is_given_up() {
    let shop = Shop::new();
    fails(&shop, &["plan", "order.toml", "--shelf", "/dev/zero"], &["/dev/zero has more than 64 MB"]);
}

#[test]
fn unknown_rules_are_faults() {
    let shop = Shop::new();
    shop.write("rules.toml", "[alowance]\nblank_mm = 1.0\n");
    fails(&shop, &["plan", "order.toml"], &["rules.toml:1", "alowance", "allowance"]);
    fails(&shop, &["rules", "--rules", "rules.toml"], &["rules.toml:1"]);
    fails(&shop, &["outline", "frame.txt"], &["rules.toml:1"]);
}

/// A rim that crosses itself has points that do not go round it in order: told with its line, and nothing is planned.
#[test]
fn a_rim_that_crosses_itself() {
    let shop = Shop::new();
    let mut angles: Vec<u32> = (0..60).map(|i| i * 600).collect();
    angles.swap(20, 25);
    let joined = |values: &[u32]| values.iter().map(u32::to_string).collect::<Vec<_>>().join(";");
    let mut text = String::from("REQ=FIL\r\nDBL=18.00\r\nFCRV=5.00;5.00\r\nTRCFMT=1;60;U;R;F\r\n");
    for row in angles.chunks(10) {
        text.push_str(&format!("A={}\r\n", joined(row)));
    }
    for _ in 0..6 {
        text.push_str(&format!("R={}\r\n", joined(&[2200; 10])));
    }
    shop.write("frame.txt", text);
    for arguments in [&["plan", "order.toml"][..], &["outline", "frame.txt"]] {
        fails(&shop, arguments, &["is less than the one before it", "trace the frame again"]);
    }
}
