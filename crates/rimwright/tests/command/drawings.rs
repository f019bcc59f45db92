//! Drawings on the disk: whole ones, under the order's number, or none.

use std::fs;

use crate::shop::Shop;

#[test]
fn every_view_is_an_svg_under_the_orders_number() {
    let shop = Shop::new();
    let ran = shop.run(&["plan", "order.toml", "--draw", "out/views"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    let names = shop.names("out/views");
    assert!(names.len() >= 3, "pair, blanks, edge: {names:?}");
    for name in &names {
        assert!(name.starts_with("0142-") && name.ends_with(".svg"), "{name}");
        let text = fs::read_to_string(shop.path("out/views").join(name)).unwrap();
        assert!(text.contains("<svg") && text.trim_end().ends_with("</svg>"), "{name}");
    }
    // Drawn again, they are replaced.
    assert_eq!(shop.run(&["plan", "order.toml", "--draw", "out/views"]).exit, 0);
    assert_eq!(shop.names("out/views"), names);
}

/// A chosen direction takes the place of those where the edge tells most; a wrong one, or one without a drawing, is told.
#[test]
fn the_edge_is_cut_through_where_it_is_wished() {
    let shop = Shop::new();
    let ran = shop.run(&["plan", "order.toml", "--draw", "out", "--section", "225", "--section", "360"]);
    assert_eq!(ran.exit, 0, "{}", ran.err);
    let svg = fs::read_to_string(shop.path("out/0142-section-right.svg")).unwrap();
    for words in ["A at 225, bottom, towards the temple", "B at 000, nose"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(!svg.contains("C at "));
    for (wrong, told) in [
        (&["--draw", "no", "--section", "361"][..], "whole degrees from 0 to 359"),
        (&["--draw", "no", "--section", "-5"], "whole degrees from 0 to 359"),
        (&["--draw", "no", "--section", "22.5"], "whole degrees from 0 to 359"),
        (&["--draw", "no", "--section", "top"], "whole degrees from 0 to 359"),
        (&["--section", "225"], "--draw"),
    ] {
        let ran = shop.run(&[&["plan", "order.toml"], wrong].concat());
        assert_eq!((ran.exit, ran.out.as_str()), (2, ""), "{wrong:?}");
        assert!(ran.err.contains(told), "{wrong:?}: {}", ran.err);
    }
    // No blank, no edge: told, and nothing is drawn.
    shop.order("far.toml", "sphere_d = \"-4.25\"", "sphere_d = \"-14.25\"");
    let only_right = fs::read_to_string(shop.path("far.toml")).unwrap().replace("eyes = \"both\"", "eyes = \"right\"");
    shop.write("far.toml", only_right.lines().filter(|l| !l.starts_with("left =")).collect::<Vec<_>>().join("\n"));
    let ran = shop.run(&["plan", "far.toml", "--draw", "no", "--section", "225"]);
    assert_eq!((ran.exit, ran.out.as_str()), (2, ""), "{}", ran.err);
    assert!(ran.err.contains("far.toml") && ran.err.contains("--section cuts through an edge"), "{}", ran.err);
    assert!(ran.err.contains("hint:"), "{}", ran.err);
    assert!(!shop.path("no").exists());
}

#[test]
fn an_outline_is_drawn_under_its_files_name() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["outline", "frame.txt", "--draw", "out"]).exit, 0);
    assert_eq!(shop.names("out"), ["frame-outline.svg"]);
}

#[test]
fn a_place_that_is_no_folder_is_told() {
    let shop = Shop::new();
    for place in ["order.toml", "order.toml/deeper"] {
        let ran = shop.run(&["plan", "order.toml", "--draw", place]);
        assert_eq!((ran.exit, ran.out.as_str()), (2, ""), "{place}");
        assert!(ran.err.contains("cannot write") && ran.err.contains("hint:"), "{}", ran.err);
    }
    assert_eq!(shop.names(""), ["frame.txt", "order.toml", "shelf.csv"]);
}

/// A limit on the size of files stands for a full disk: the write fails part of the way.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_nothing_half_written() {
    let shop = Shop::new();
    let program = assert_cmd::cargo::cargo_bin!("rimwright");
    let script = format!("trap '' XFSZ; ulimit -f 1; exec '{}' plan order.toml --draw out", program.display());
    let output = std::process::Command::new("bash").current_dir(shop.path("")).args(["-c", &script]).output().unwrap();
    let ran = crate::shop::Ran::from(output);
    assert_eq!(ran.exit, 2, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("cannot write") && ran.err.contains("hint: the disk is full"), "{}", ran.err);
    assert_eq!(shop.names(""), ["frame.txt", "order.toml", "shelf.csv"], "the folder that was made is gone again");
}
