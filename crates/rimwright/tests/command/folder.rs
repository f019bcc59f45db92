//! A folder of orders: by number, the worst of all as exit, one shelf and one set of rules for them.

use crate::shop::{ORDER, SHELF, Shop, frame};
use serde_json::Value;

/// Three orders in a folder, whose names do not follow their numbers.
fn day() -> Shop {
    let shop = Shop::new();
    shop.write("day/frame.txt", frame());
    shop.write("day/shelf.csv", SHELF);
    for (name, number) in [("a", "0200"), ("b", "0099"), ("c", "0150")] {
        shop.write(&format!("day/{name}.toml"), ORDER.replace("0142", number));
    }
    shop
}

fn plans(out: &str) -> Vec<Value> {
    out.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn numbers(out: &str) -> Vec<String> {
    plans(out).iter().map(|plan| plan["number"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn json_is_one_plan_a_line_by_number() {
    let shop = day();
    let ran = shop.run(&["plan", "day", "--json"]);
    assert_eq!((ran.exit, ran.err.as_str()), (0, ""));
    assert_eq!(numbers(&ran.out), ["0099", "0150", "0200"]);
    // Alone or among others, an order has one plan.
    let alone = shop.plan(&["day/c.toml"]);
    assert_eq!(plans(&ran.out)[1], alone);
}

#[test]
fn words_end_in_a_summary() {
    let ran = day().run(&["plan", "day"]);
    assert_eq!(ran.exit, 0);
    let last = ran.out.rsplit_once("the day").unwrap().1;
    assert!(last.contains("3 orders planned: 3 ready to make, 0 to settle first."), "{last}");
    let at: Vec<_> = ["0099", "0150", "0200"].map(|n| last.find(n).unwrap()).into();
    assert!(at.is_sorted());
}

#[test]
fn rules_and_whatever_is_no_order_are_left_alone() {
    let shop = day();
    shop.write("day/rules.toml", "[allowance]\nblank_mm = 2.0\n");
    shop.write("day/notes.md", "not an order");
    shop.write("day/deeper/d.toml", "not looked at");
    let ran = shop.run(&["plan", "day", "--json"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    let plans = plans(&ran.out);
    assert_eq!(plans.len(), 3);
    assert_eq!(plans[0]["right"]["coverage"]["allowance_mm"], 2.0);
}

#[test]
fn good_files_are_planned_and_the_exit_is_the_worst() {
    let shop = day();
    shop.write("day/d.toml", ORDER.replace("0142", "0100").replace("\"-3.75\"", "\"-9.75\""));
    let no = shop.run(&["plan", "day", "--json"]);
    assert_eq!((no.exit, numbers(&no.out).len()), (1, 4));
    shop.write("day/e.toml", ORDER.replace("0142", "0101").replace("eyes = \"both\"", "eyes = \"all\""));
    shop.write("day/f.toml", ORDER.replace("0142", "0102").replace("frame.txt", "gone.txt"));
    let wrong = shop.run(&["plan", "day", "--json"]);
    assert_eq!((wrong.exit, numbers(&wrong.out)), (2, numbers(&no.out)));
    assert!(wrong.err.contains("e.toml:3") && wrong.err.contains("gone.txt"), "{}", wrong.err);
    assert!(wrong.err.contains("note: it is the outline of day/f.toml"), "{}", wrong.err);
    let words = shop.run(&["plan", "day"]);
    assert!(words.out.contains("2 orders could not be read"), "{}", words.out);
}

#[test]
fn a_fault_in_what_is_shared_stops_everything() {
    let shop = day();
    shop.write("day/shelf.csv", SHELF.replace("-4.25", "4.25"));
    let shelf = shop.run(&["plan", "day"]);
    assert_eq!((shelf.exit, shelf.out.as_str()), (2, ""));
    shop.write("day/shelf.csv", SHELF);
    shop.write("day/rules.toml", "[allowance]\nblank_mm = \"wide\"\n");
    let rules = shop.run(&["plan", "day"]);
    assert_eq!((rules.exit, rules.out.as_str()), (2, ""));
}

#[test]
fn the_last_blank_goes_to_the_lower_number() {
    let shop = day();
    shop.write("day/shelf.csv", SHELF.replacen(",3,drawer 1", ",1,drawer 1", 1));
    let ran = shop.run(&["plan", "day", "--json"]);
    assert_eq!(ran.exit, 1);
    let plans = plans(&ran.out);
    assert_eq!(plans[0]["right"]["blank"]["sku"], "R-70");
    for late in &plans[1..] {
        assert!(late["right"].get("blank").is_none());
        assert!(late["findings"].as_array().unwrap().iter().any(|f| f["code"] == "stock-given"), "{late}");
        let near = late["right"]["near_misses"].as_array().unwrap();
        assert!(near.iter().any(|n| n["sku"] == "R-70" && n["reason"] == "none-left"), "{near:?}");
    }
}

#[test]
fn one_number_twice_is_told_and_only_the_first_is_planned() {
    let shop = day();
    shop.write("day/z.toml", ORDER.replace("0142", "0150"));
    let ran = shop.run(&["plan", "day", "--json"]);
    assert_eq!((ran.exit, numbers(&ran.out).len()), (2, 3));
    assert!(
        ran.err.contains("z.toml has the number 0150, which is that of") && ran.err.contains("c.toml"),
        "{}",
        ran.err
    );
}

#[test]
fn two_runs_give_the_same_bytes() {
    let shop = day();
    let first = shop.run(&["plan", "day", "--json"]);
    for threads in ["1", "3"] {
        let again = crate::shop::rimwright()
            .current_dir(shop.path(""))
            .env("RAYON_NUM_THREADS", threads)
            .args(["plan", "day", "--json"])
            .output()
            .unwrap();
        assert_eq!(String::from_utf8(again.stdout).unwrap(), first.out);
    }
}

#[test]
fn blanks_are_named_for_one_order_only() {
    let ran = day().run(&["plan", "day", "--right", "R-70"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("hint:"), "{}", ran.err);
}
