//! Exact outlines against tables made by general-purpose libraries: `reference/outline/tables.py` says how.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use core::f64::consts::{PI, TAU};

use libm::{cos, sin};
use outline::{NotAnOutline, Outline, Point};
use units::{Angle, Mm};

fn mm(v: f64) -> Mm {
    Mm::new(v)
}

/// Rows of a table under `reference/outline`, without its header.
fn table(name: &str) -> Vec<Vec<String>> {
    let path = format!("{}/../../reference/outline/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut rows = Vec::new();
    for line in include_table(&path).lines().skip(1) {
        rows.push(line.split(',').map(str::to_owned).collect());
    }
    assert!(!rows.is_empty(), "{path} has no rows");
    rows
}

#[allow(clippy::disallowed_methods)] // A test may read a file; the crate may not.
fn include_table(path: &str) -> String {
    std::fs::read_to_string(path).expect("the table is in the tree")
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

/// The shapes that `tables.py` names.
fn shape(name: &str) -> Outline {
    let parts: Vec<&str> = name.split('-').collect();
    match parts[0] {
        "ellipse" => Outline::ellipse(mm(number(parts[1])), mm(number(parts[2]))),
        "superellipse" => Outline::superellipse(mm(number(parts[1])), mm(number(parts[2])), number(parts[3])),
        "rectangle" => Outline::rounded_rectangle(mm(number(parts[1])), mm(number(parts[2])), mm(number(parts[3]))),
        "bean" => {
            let angles: Vec<f64> = (0..2000).map(|i| f64::from(i) * TAU / 2000.0).collect();
            let radius = |t: f64| 24.0 + 4.0 * cos(t) + 3.0 * cos(2.0 * t) - 2.0 * sin(3.0 * t);
            let radii: Vec<Mm> = angles.iter().map(|&t| mm(radius(t))).collect();
            let angles: Vec<Angle> = angles.into_iter().map(Angle::from_rad).collect();
            Outline::exact(&angles, &radii)
        }
        other => panic!("no shape {other}"),
    }
    .expect("an outline")
}

#[test]
fn formulas_meet_elliptic_integral_gamma_function_and_quadrature() {
    for row in table("formulas.csv") {
        let n: Vec<f64> = row.iter().take(7).map(|t| number(t)).collect();
        let outline = Outline::superellipse(mm(n[0]), mm(n[1]), n[2]).expect("a superellipse");
        let boxed = outline.boxed();
        // The table is printed to 1e-9.
        assert!((outline.circumference().mm() - n[3]).abs() < 5e-9, "{row:?} {}", outline.circumference().mm());
        assert!((outline.area() - n[4]).abs() < 1e-8, "{row:?} {}", outline.area());
        assert!((boxed.effective_diameter.mm() - n[5]).abs() < 1e-8, "{row:?} {boxed:?}");
        // Flat at the maximum, so the direction is known to the root of that; a circle has none.
        if n[0] != n[1] {
            assert!((boxed.effective_diameter_at.deg() - n[6]).abs() < 1e-3, "{row:?} {boxed:?}");
        }
        assert!((boxed.width.mm() - 2.0 * n[0]).abs() < 1e-12 && (boxed.height.mm() - 2.0 * n[1]).abs() < 1e-12);
    }
}

#[test]
fn parallel_curves_meet_a_polygon_library() {
    for row in table("parallels.csv") {
        let n: Vec<f64> = row.iter().skip(1).map(|t| number(t)).collect();
        let parallel = shape(&row[0]).offset(mm(n[0])).expect("a parallel curve");
        let (boxed, nearest) = (parallel.boxed(), parallel.nearest(Point::ORIGIN));
        // The polygon library's own accuracy, as the script states it.
        let good = if n[0] == -14.0 { 3e-3 } else { 1.5e-3 };
        assert!((parallel.circumference().mm() - n[1]).abs() < good, "{row:?} {}", parallel.circumference().mm());
        assert!((parallel.area() - n[2]).abs() < 0.05, "{row:?} {}", parallel.area());
        assert!((boxed.width.mm() - n[3]).abs() < good, "{row:?} {boxed:?}");
        assert!((boxed.height.mm() - n[4]).abs() < good, "{row:?} {boxed:?}");
        assert!((nearest.distance.mm() - n[5]).abs() < good, "{row:?} {nearest:?}");
    }
}

/// By hand: the inner parallel of an ellipse at d beyond its least radius of curvature b^2/a ends on the long axis where
/// cos^2 = (1 - d^2/b^2) / (1 - b^2/a^2), at x = cos (a - b^2/a).
#[test]
fn a_trimmed_parallel_of_an_ellipse_ends_where_its_branches_cross() {
    let (a, b, d) = (26.0f64, 18.0f64, 14.0f64);
    let cos = ((1.0 - d * d / (b * b)) / (1.0 - b * b / (a * a))).sqrt();
    let inner = shape("ellipse-26-18").offset(mm(-d)).expect("an inner parallel");
    assert_eq!(inner.corners().len(), 2);
    assert!((inner.boxed().width.mm() - 2.0 * cos * (a - b * b / a)).abs() < 1e-7, "{inner:?}");
    assert!((inner.boxed().height.mm() - 2.0 * (b - d)).abs() < 1e-9, "{inner:?}");
}

#[test]
fn smallest_circles_meet_a_polygon_library() {
    for row in table("circles.csv") {
        let circle = shape(&row[0]).smallest_circle();
        // 20 000 vertices stand at most 1e-6 mm inside the curve; printed to 1e-6.
        assert!((circle.radius.mm() - number(&row[1])).abs() < 5e-6, "{row:?} {circle:?}");
    }
}

/// frame.rounded-rectangle.54x34r10, frame.ed-bounds and blank.true-need.* of `reference/check-facts.toml`.
#[test]
fn rounded_rectangle_of_the_check_facts() {
    let outline = Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(10.0)).expect("a rectangle");
    let boxed = outline.boxed();
    assert!((boxed.effective_diameter.mm() - 56.7695).abs() < 5e-4);
    assert!((outline.circumference().mm() - 158.8319).abs() < 5e-4);
    assert!((outline.circumference().mm() - (2.0 * 34.0 + 2.0 * 14.0 + TAU * 10.0)).abs() < 1e-9, "closed form");
    assert!((outline.area() - (54.0 * 34.0 - (4.0 - PI) * 100.0)).abs() < 1e-8, "closed form");
    let ed = boxed.effective_diameter.mm();
    assert!((54.0..=63.812).contains(&ed));
    // A blank centred on the optical centre needs twice the greatest distance from there.
    for (x, y, need) in
        [(0.0, 0.0, 56.77), (4.0, 0.0, 64.272), (4.0, 3.0, 66.519), (3.0, 4.0, 65.651), (6.0, 2.0, 69.396)]
    {
        let reach = outline.farthest(Point::new(x, y)).distance.mm();
        assert!((2.0 * reach - need).abs() < 1e-3, "{x} {y}: {}", 2.0 * reach);
    }
}

/// frame.size-per-radius: 0.1 mm of radius all round is 0.6283 mm of circumference, for any smooth shape.
#[test]
fn a_tenth_of_radius_is_six_tenths_of_circumference() {
    for name in ["ellipse-26-18", "superellipse-27-17-4", "bean", "rectangle-54-34-10"] {
        let outline = shape(name);
        let wider = outline.offset(mm(0.1)).expect("wider");
        let grown = wider.circumference().mm() - outline.circumference().mm();
        assert!((grown - 0.6283).abs() < 1e-4, "{name}: {grown}");
        assert!((grown - TAU * 0.1).abs() < 1e-7, "{name}: {grown}");
        assert!((wider.boxed().width.mm() - outline.boxed().width.mm() - 0.2).abs() < 1e-7, "{name}");
    }
}

/// frame.sampling-loss: what straight lines between n points of a circle of radius 25 lose; a curve loses nothing.
#[test]
fn exact_points_of_a_circle_lose_nothing() {
    for (n, loss) in [(36u32, 0.1993), (72, 0.0498), (400, 0.0016), (1000, 0.0003)] {
        let polygon = 2.0 * f64::from(n) * 25.0 * libm::sin(PI / f64::from(n));
        assert!((TAU * 25.0 - polygon - loss).abs() < 1e-4, "the fact itself");
        let angles: Vec<Angle> = (0..n).map(|i| Angle::from_rad(f64::from(i) * TAU / f64::from(n))).collect();
        let outline = Outline::exact(&angles, &vec![mm(25.0); n as usize]).expect("a circle");
        assert!((outline.circumference().mm() - TAU * 25.0).abs() < 1e-9, "{n}");
    }
}

/// Points of an ellipse, declared exact, about a pole that is not the boxed centre.
#[test]
fn exact_points_meet_their_ellipse_from_any_pole() {
    let truth = table("formulas.csv").into_iter().find(|r| r[0] == "26" && r[2] == "2").expect("the ellipse");
    for (x0, y0) in [(0.0, 0.0), (5.0, 0.0), (-3.0, 4.0)] {
        let n = 720;
        let (mut angles, mut radii) = (Vec::new(), Vec::new());
        for i in 0..n {
            let t = f64::from(i) * TAU / f64::from(n);
            // From the pole (x0, y0) along t to x^2/26^2 + y^2/18^2 = 1, by hand.
            let (dx, dy) = (libm::cos(t) / 26.0, libm::sin(t) / 18.0);
            let (px, py) = (x0 / 26.0, y0 / 18.0);
            let (a, b, c) = (dx * dx + dy * dy, px * dx + py * dy, px * px + py * py - 1.0);
            angles.push(Angle::from_rad(t));
            radii.push(mm((-b + (b * b - a * c).sqrt()) / a));
        }
        let outline = Outline::exact(&angles, &radii).expect("an ellipse");
        let boxed = outline.boxed();
        assert!((outline.circumference().mm() - number(&truth[3])).abs() < 1e-6, "{}", outline.circumference().mm());
        assert!((outline.area() - number(&truth[4])).abs() < 1e-5, "{}", outline.area());
        assert!((boxed.width.mm() - 52.0).abs() < 1e-6 && (boxed.height.mm() - 36.0).abs() < 1e-6, "{boxed:?}");
        assert!((boxed.effective_diameter.mm() - 52.0).abs() < 1e-6, "{boxed:?}");
        // And the curve itself: the ellipse's equation all round.
        for i in 0..1000 {
            let p = outline.point(f64::from(i) * 0.0063);
            let off = (p.x / 26.0) * (p.x / 26.0) + (p.y / 18.0) * (p.y / 18.0) - 1.0;
            assert!(off.abs() < 1e-7, "{off}");
        }
    }
}

/// The definition of a parallel curve, which knows nothing of how it was made: each of its points is `by` away.
#[test]
fn each_point_of_a_parallel_curve_is_its_distance_away() {
    for (name, by, corners) in [
        ("ellipse-26-18", -14.0, 2),
        ("superellipse-26-18-2.5", -14.0, 2),
        ("superellipse-27-17-4", -14.0, 4),
        ("superellipse-27-17-4", 3.0, 0),
        ("bean", -14.0, 0),
        ("bean", 5.0, 0),
        ("rectangle-50-30-3", -0.7, 0),
    ] {
        let outline = shape(name);
        let parallel = outline.offset(mm(by)).expect("a parallel curve");
        assert!(parallel.corners().len() >= corners, "{name} {by}: {:?}", parallel.corners());
        for i in 0..500 {
            let p = parallel.point(f64::from(i) * TAU / 500.0);
            let away = outline.nearest(p).distance.mm();
            assert!((away - f64::abs(by)).abs() < 1e-6, "{name} {by} {p:?}: {away}");
        }
    }
}

#[test]
fn an_offset_that_leaves_nothing_says_what_would_do() {
    for (name, by, most) in [("ellipse-26-18", -30.0, 18.0), ("rectangle-50-30-3", -15.0, 15.0)] {
        match shape(name).offset(mm(by)) {
            Err(error @ NotAnOutline::TooFarIn { .. }) => {
                let hint = error.hint();
                let greatest: f64 =
                    hint.split_whitespace().find_map(|w| w.parse().ok()).expect("the hint names an amount");
                assert!(greatest < most && greatest > most - 0.5, "{hint}");
                assert!(shape(name).offset(mm(-greatest)).is_ok(), "{hint}");
            }
            other => panic!("{name}: {other:?}"),
        }
    }
}
