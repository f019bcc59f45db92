//! Files for blocker, edger and drill: whole or not at all, never over another, and none of a plan that stands open.

use std::fs;

use exchange::records::{self, Reading};
use job::Eye;

use crate::shop::{ORDER, SHELF, Shop, frame};

fn read(shop: &Shop, name: &str) -> Reading {
    let reading = records::read(&fs::read(shop.path(name)).unwrap_or_else(|e| panic!("{name}: {e}")));
    assert!(reading.errors.is_empty() && reading.warnings.is_empty(), "{name}: {reading:?}");
    reading
}

/// The shop's order for a mounting that is screwed on; with its holes where they are asked for.
fn drilled(holes: &str) -> String {
    let order = ORDER
        .replace("\"full-rim\"", "\"drilled\"")
        .replace("edge = \"bevel\"\nbevel = \"v\"", "edge = \"flat\"")
        .replace("\"rim-groove\"", "\"pattern\"")
        .replace("[lens]", &format!("{holes}[lens]"));
    assert!(order.contains("drilled") && order.contains("flat"));
    order
}

const HOLES: &str = "holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 2.5, diameter_mm = 1.4 }, \
                     { eye = \"left\", in_mm = 20.0, up_mm = 2.5, diameter_mm = 1.4 }]\n";

#[test]
fn files_are_written_once_and_say_what_the_plan_says() {
    let shop = Shop::new();
    let plan = shop.plan(&["order.toml"]);
    let ran = shop.run(&["plan", "order.toml", "--records", "out", "--json"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    assert_eq!(serde_json::from_str::<serde_json::Value>(&ran.out).unwrap(), plan, "records change no plan");
    assert_eq!(shop.names("out"), ["0142-blocker.txt", "0142-edger.txt"]);
    assert!(ran.err.contains("wrote out/0142-blocker.txt, out/0142-edger.txt"), "{}", ran.err);
    let edger = read(&shop, "out/0142-edger.txt");
    let offset = plan["right"]["size"]["offset_radius_mm"].as_f64().unwrap();
    let width = plan["right"]["box"]["width_mm"].as_f64().unwrap() + 2.0 * offset;
    assert!((edger.pair("HBOX")[Eye::Right].value().unwrap() - width).abs() < 0.0052);
    let round = plan["right"]["box"]["circumference_mm"].as_f64().unwrap()
        + plan["right"]["size"]["circumference_offset_mm"].as_f64().unwrap();
    assert!((edger.pair("CIRC")[Eye::Right].value().unwrap() - round).abs() < 0.0053);
    // What may have been cut from stays, and the other file is not written beside it.
    let bytes = fs::read(shop.path("out/0142-edger.txt")).unwrap();
    fs::remove_file(shop.path("out/0142-blocker.txt")).unwrap();
    let again = shop.run(&["plan", "order.toml", "--records", "out", "--records-from-memory"]);
    assert_eq!((again.exit, again.out.as_str()), (2, ""), "{}", again.err);
    assert!(again.err.contains("0142-edger.txt is there already"), "{}", again.err);
    assert_eq!(shop.names("out"), ["0142-edger.txt"]);
    assert_eq!(fs::read(shop.path("out/0142-edger.txt")).unwrap(), bytes);
}

#[test]
fn what_is_from_memory_is_written_when_asked_for_and_named_either_way() {
    let shop = Shop::new();
    let few = shop.run(&["plan", "order.toml", "--records", "few"]);
    let all = shop.run(&["plan", "order.toml", "--records", "all", "--records-from-memory"]);
    assert_eq!((few.exit, all.exit), (0, 0), "{}{}", few.err, all.err);
    let named = |err: &str, opening: &str| -> Vec<String> {
        let line =
            err.lines().find_map(|line| line.strip_prefix(opening)).unwrap_or_else(|| panic!("{opening}: {err}"));
        line.split(';').next().unwrap().split_whitespace().map(str::to_owned).collect()
    };
    let left_out = named(&few.err, "note: left out, since known from memory alone: ");
    let written = named(&all.err, "note: known from memory alone: ");
    assert_eq!(left_out, written);
    assert!(written.contains(&"FBFCIN".to_owned()) && written.contains(&"BEVC".to_owned()), "{written:?}");
    for device in ["blocker", "edger"] {
        let (few, all) =
            (read(&shop, &format!("few/0142-{device}.txt")), read(&shop, &format!("all/0142-{device}.txt")));
        for label in &written {
            assert!(few.record(label).is_none(), "{device} {label}");
        }
        for record in all.records.iter().filter(|record| few.record(record.label()).is_none()) {
            let label = if record.label() == "ZFMT" { "Z" } else { record.label() };
            assert!(written.contains(&label.to_owned()), "{device} {label} is not named");
        }
    }
    // The second flag says how, not whether.
    let alone = shop.run(&["plan", "order.toml", "--records-from-memory"]);
    assert_eq!((alone.exit, alone.out.as_str()), (2, ""), "{}", alone.err);
}

#[test]
fn a_plan_that_stands_open_writes_none_and_says_why() {
    let shop = Shop::new();
    shop.order("ask.toml", "axis_deg = 170", "axis_deg = 172.5");
    shop.order("stop.toml", "-3.75", "-9.75");
    for (order, code) in [("ask.toml", "ask axis-half-degree"), ("stop.toml", "stop no-blank (left)")] {
        let ran = shop.run(&["plan", order, "--records", "out"]);
        assert_eq!(ran.exit, 1, "{}", ran.err);
        assert!(ran.err.contains(&format!("no records of 0142 were written: {code}")), "{}", ran.err);
        assert!(ran.err.contains("\nhint: ") && !ran.out.is_empty());
        assert!(!shop.path("out").exists());
    }
    // Without a shelf nothing is wrong with the order, and there is no lens either.
    fs::remove_file(shop.path("shelf.csv")).unwrap();
    let ran = shop.run(&["plan", "order.toml", "--records", "out"]);
    assert_eq!(ran.exit, 1, "{}", ran.err);
    assert!(ran.err.contains("no blank is chosen for the right eye") && !shop.path("out").exists(), "{}", ran.err);
    // A fault elsewhere writes none.
    shop.write("shelf.csv", SHELF);
    let ran = shop.run(&["plan", "order.toml", "--records", "out", "--working", "no.such_figure"]);
    assert!(ran.exit == 2 && !shop.path("out").exists(), "{}", ran.err);
    let ran = shop.run(&["plan", "order.toml", "--records", "shelf.csv"]);
    assert!(ran.exit == 2 && ran.err.contains("name a folder"), "{}", ran.err);
    assert_eq!(fs::read(shop.path("shelf.csv")).unwrap(), SHELF.as_bytes());
}

#[test]
fn a_drill_has_a_file_where_its_holes_are_known_and_asked_for() {
    let shop = Shop::new();
    // The shop's blanks are thin: whether they may be drilled is another matter.
    let rules = "[least]\ndrilled_stop_mm = 0.5\ndrilled_most_ask_mm = 20.0\n[[material]]\n\
                 id = \"polycarbonate-1.586\"\nmin_edge_plus_drilled_mm = 0.5\n";
    shop.write("rules.toml", rules);
    shop.write("order.toml", drilled(HOLES));
    let ran = shop.run(&["plan", "order.toml", "--records", "few"]);
    assert_eq!(ran.exit, 0, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("0142-drill.txt was not written") && ran.err.contains("memory alone"), "{}", ran.err);
    assert_eq!(shop.names("few"), ["0142-blocker.txt", "0142-edger.txt"]);
    let ran = shop.run(&["plan", "order.toml", "--records", "all", "--records-from-memory"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    assert_eq!(shop.names("all"), ["0142-blocker.txt", "0142-drill.txt", "0142-edger.txt"]);
    assert!(ran.err.contains("drill a test piece before any lens"), "{}", ran.err);
    let drill = read(&shop, "all/0142-drill.txt");
    assert_eq!(drill.records.iter().filter(|record| record.label() == "DRILLE").count(), 2);
    // Without holes the drill cannot be told; the rest can.
    shop.write("order.toml", drilled(""));
    let ran = shop.run(&["plan", "order.toml", "--records", "none", "--records-from-memory"]);
    assert_eq!(ran.exit, 1, "{}", ran.err);
    assert!(ran.err.contains("the order has no holes for it\nhint: measure them"), "{}", ran.err);
    assert_eq!(shop.names("none"), ["0142-blocker.txt", "0142-edger.txt"]);
}

#[test]
fn a_folder_of_orders_has_its_files_in_one_folder_and_the_worst_exit() {
    let shop = Shop::new();
    shop.write("day/frame.txt", frame());
    shop.write("day/shelf.csv", SHELF);
    for (name, number) in [("a", "0200"), ("b", "0099")] {
        shop.write(&format!("day/{name}.toml"), ORDER.replace("0142", number));
    }
    let ran = shop.run(&["plan", "day", "--records", "out"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    assert_eq!(shop.names("out"), ["0099-blocker.txt", "0099-edger.txt", "0200-blocker.txt", "0200-edger.txt"]);
    assert_eq!(ran.err.matches("note: left out").count(), 1, "{}", ran.err);
    // One that stands open, one whose file is there: the third is written all the same.
    shop.write("day/c.toml", ORDER.replace("0142", "0300").replace("axis_deg = 170", "axis_deg = 172.5"));
    for name in ["0099-blocker.txt", "0099-edger.txt", "0200-edger.txt"] {
        fs::remove_file(shop.path(&format!("out/{name}"))).unwrap();
    }
    let ran = shop.run(&["plan", "day", "--records", "out"]);
    assert_eq!(ran.exit, 2, "{}", ran.err);
    assert_eq!(shop.names("out"), ["0099-blocker.txt", "0099-edger.txt", "0200-blocker.txt"]);
    assert!(ran.err.contains("no records of 0300") && ran.err.contains("0200-blocker.txt is there already"));
    assert!(ran.out.contains("3 orders planned"), "{}", ran.out);
}
