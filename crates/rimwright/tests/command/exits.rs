//! Exit codes: 0 done and good, 1 the answer is no, 2 wrong input or usage; and readers that go away.

use std::fs::OpenOptions;
use std::process::{Command, Stdio};

use crate::shop::{Ran, Shop, rimwright};

#[test]
fn a_good_order_exits_0() {
    let ran = Shop::new().run(&["plan", "order.toml"]);
    assert_eq!((ran.exit, ran.err.as_str()), (0, ""), "{}", ran.out);
    assert!(ran.out.contains("MAKE IT"), "{}", ran.out);
}

#[test]
fn a_question_exits_1_until_its_printed_block_is_answered() {
    let shop = Shop::new();
    // A slipped point: 6.3 for 63, or 31.5.
    shop.order("order.toml", "right = 31.5, left = 32.0", "right = 6.3, left = 32.0");
    shop.write("shelf.csv", crate::shop::SHELF.replace("R-70,", "R-120,").replace(",,70,68,1.5", ",,120,118,1.5"));
    let asked = shop.run(&["plan", "order.toml"]);
    assert_eq!(asked.exit, 1, "{}", asked.out);
    assert!(asked.out.contains("[?] ask"), "{}", asked.out);
    let block = asked.out.split_once("fill it in:").unwrap().1.split("DO NOT CUT").next().unwrap();
    let answered = block.replace("reason = \"\"", "reason = \"measured again\"").replace("who = \"\"", "who = \"M.\"");
    let order = std::fs::read_to_string(shop.path("order.toml")).unwrap();
    shop.write("order.toml", format!("{order}{answered}"));
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 0, "{answered}\n{}{}", ran.out, ran.err);
    assert!(ran.out.contains("M.: measured again"), "{}", ran.out);
    // The answer holds only while its figure is the finding's.
    let order = std::fs::read_to_string(shop.path("order.toml")).unwrap();
    shop.write("order.toml", order.replace("right = 6.3,", "right = 7.3,"));
    assert_eq!(shop.run(&["plan", "order.toml"]).exit, 1);
}

#[test]
fn an_answer_never_lifts_a_stop() {
    let shop = Shop::new();
    shop.order("order.toml", "sphere_d = \"-3.75\"", "sphere_d = \"-9.75\"");
    let ran = shop.run(&["plan", "order.toml"]);
    assert_eq!(ran.exit, 1, "{}", ran.out);
    assert!(ran.out.contains("[X] stop     L"), "{}", ran.out);
    assert!(ran.out.contains("To order, left lens:"), "{}", ran.out);
    assert!(!ran.out.contains("Hands"), "nothing is marked for a pair that cannot be made: {}", ran.out);
    let figure = shop.plan(&["order.toml"])["findings"][0]["value"].as_str().unwrap().to_owned();
    let order = std::fs::read_to_string(shop.path("order.toml")).unwrap();
    shop.write(
        "order.toml",
        format!("{order}[answers.no-blank]\nfigure = \"{figure}\"\nreason = \"x\"\nwho = \"y\"\n"),
    );
    assert_eq!(shop.run(&["plan", "order.toml"]).exit, 1);
}

#[test]
fn without_a_shelf_the_plan_stops_at_the_reference_point() {
    let shop = Shop::new();
    std::fs::remove_file(shop.path("shelf.csv")).unwrap();
    let plan = shop.plan(&["order.toml"]);
    assert!(plan["right"]["reference_point"].is_object() && plan["right"]["optical_centre"].is_object());
    assert!(plan["right"].get("blank").is_none() && plan["inputs"].get("shelf").is_none());
    assert!(plan["findings"].as_array().unwrap().iter().any(|f| f["code"] == "no-shelf" && f["severity"] == "note"));
    assert_eq!(shop.run(&["plan", "order.toml"]).exit, 0);
}

#[test]
fn blanks_by_name_win_over_the_choice_and_over_the_order() {
    let shop = Shop::new();
    let ran = shop.run(&["plan", "order.toml", "--left", "L-50"]);
    assert_eq!(ran.exit, 1, "{}", ran.out);
    let plan = shop.plan(&["order.toml", "--left", "L-50"]);
    assert_eq!(plan["left"]["blank"]["sku"], "L-50");
    assert!(plan["left"]["coverage"]["margin_mm"].as_f64().unwrap() < 0.0);
    shop.order("order.toml", "bevel = \"v\"", "bevel = \"v\"\nblank = { left = \"L-50\" }");
    assert_eq!(shop.plan(&["order.toml", "--left", "L-70"])["left"]["blank"]["sku"], "L-70");
    let nobody = shop.run(&["plan", "order.toml", "--right", "NOBODY"]);
    assert_eq!(nobody.exit, 1);
    assert!(nobody.out.contains("NOBODY"), "{}", nobody.out);
}

#[test]
fn a_blank_for_an_eye_that_is_not_made_is_wrong_usage() {
    let shop = Shop::new();
    shop.order("order.toml", "eyes = \"both\"", "eyes = \"right\"");
    let ran = shop.run(&["plan", "order.toml", "--left", "L-70"]);
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("does not make the left lens") && ran.err.contains("hint:"), "{}", ran.err);
}

#[test]
fn usage_exits_2_and_help_0() {
    let shop = Shop::new();
    for arguments in [&["plan"][..], &["cut"], &["plan", "order.toml", "--sphere"], &["schema", "receipt"], &[]] {
        let ran = shop.run(arguments);
        assert_eq!(ran.exit, 2, "{arguments:?}");
        assert!(ran.out.is_empty() && !ran.err.is_empty(), "{arguments:?}");
    }
    for arguments in [&["--help"][..], &["plan", "--help"], &["--version"], &["findings"], &["schema", "plan"]] {
        let ran = shop.run(arguments);
        assert_eq!((ran.exit, ran.err.as_str()), (0, ""), "{arguments:?}");
    }
}

#[test]
fn the_same_definition_gives_completions_and_a_man_page() {
    let shop = Shop::new();
    let man = shop.run(&["man"]);
    assert!(man.out.contains(".TH rimwright") && man.out.contains("outline"), "{}", man.out);
    let plan = shop.run(&["man", "plan"]);
    assert!(plan.out.contains("working") && plan.out.contains("shelf"), "{}", plan.out);
    let none = shop.run(&["man", "cut"]);
    assert!(none.exit == 2 && none.err.contains("outline"), "{}", none.err);
    for shell in ["bash", "zsh", "fish"] {
        let ran = shop.run(&["completions", shell]);
        assert_eq!(ran.exit, 0);
        assert!(ran.out.contains("working"), "{shell}: {}", ran.out);
    }
}

#[test]
fn printed_rules_read_back_and_are_what_a_plan_says_it_used() {
    let shop = Shop::new();
    let rules = shop.run(&["rules"]);
    assert_eq!(rules.exit, 0);
    let built_in = shop.plan(&["order.toml"]);
    shop.write("rules.toml", &rules.out);
    let from_file = shop.plan(&["order.toml"]);
    assert_eq!(built_in["inputs"]["rules"], from_file["inputs"]["rules"]);
    assert_eq!(built_in, from_file);
    shop.write("rules.toml", "[allowance]\nblank_mm = 2.0\n");
    let own = shop.plan(&["order.toml"]);
    let margin = |plan: &serde_json::Value| plan["right"]["coverage"]["margin_mm"].as_f64().unwrap();
    assert!((margin(&built_in) - margin(&own) - 1.0).abs() < 1e-3, "one millimetre more of allowance");
    assert_ne!(built_in["inputs"]["rules"], own["inputs"]["rules"]);
    // What is printed of a shop's rules is complete again.
    let merged = shop.run(&["rules", "--rules", "rules.toml"]);
    shop.write("rules.toml", &merged.out);
    assert_eq!(margin(&shop.plan(&["order.toml"])), margin(&own));
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let shop = Shop::new();
    for arguments in [&["plan", "order.toml"][..], &["findings"], &["demo"]] {
        let mut child = Command::new(assert_cmd::cargo::cargo_bin!("rimwright"))
            .current_dir(shop.path(""))
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let ran = Ran::from(child.wait_with_output().unwrap());
        assert_eq!((ran.exit, ran.err.as_str()), (0, ""), "{arguments:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_the_output_is_told() {
    let shop = Shop::new();
    let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
    let child = Command::new(assert_cmd::cargo::cargo_bin!("rimwright"))
        .current_dir(shop.path(""))
        .args(["plan", "order.toml"])
        .stdout(full)
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let ran = Ran::from(child.wait_with_output().unwrap());
    assert_eq!(ran.exit, 2);
    assert!(ran.err.contains("cannot write the result") && ran.err.contains("hint:"), "{}", ran.err);
}

#[test]
fn off_a_terminal_there_is_no_colour() {
    let shop = Shop::new();
    shop.order("order.toml", "axis_deg = 170", "axis_deg = 270");
    for arguments in [["plan", "order.toml"], ["outline", "frame.txt"]] {
        let output = rimwright().current_dir(shop.path("")).args(arguments).output().unwrap();
        assert!(!output.stdout.contains(&0x1b) && !output.stderr.contains(&0x1b));
    }
}
