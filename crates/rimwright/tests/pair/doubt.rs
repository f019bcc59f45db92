//! Doubt carried through, against plans made with the input at each of its ends, and against Prentice's rule by hand.

use job::{Eye, PerEye, Uncut};
use outline::Outline;
use planner::{Plan, Shape};
use units::Mm;

use crate::bench::{Given, Pair, eye_of, lens_of, sphere, spread, superellipse};

fn pairs() -> Vec<Pair> {
    let minus = Pair::new(
        sphere("sphere_d = \"-6.00\", cylinder_d = \"none\"", "-6.00,none", 3.0, 2.0),
        sphere("sphere_d = \"-1.00\", cylinder_d = \"none\"", "-1.00,none", 5.5, 2.0),
    );
    let toric = Pair::new(
        sphere("sphere_d = \"-4.25\", cylinder_d = \"-2.50\", axis_deg = 25", "-4.25,-2.50", 3.5, 2.0),
        sphere("sphere_d = \"+1.00\", cylinder_d = \"+2.00\", axis_deg = 140", "+1.00,+2.00", 7.0, 4.0),
    );
    let plus = Pair::new(
        sphere("sphere_d = \"+4.00\", cylinder_d = \"none\"", "+4.00,none", 8.0, 6.5),
        sphere(
            "sphere_d = \"+3.00\", cylinder_d = \"none\", prism = [{ cm_per_m = \"1.00\", base = \"in\" }]",
            "+3.00,none",
            8.0,
            6.0,
        ),
    );
    let rectangle = Outline::rounded_rectangle(Mm::new(46.0), Mm::new(30.0), Mm::new(4.0));
    let ellipse = Outline::ellipse(Mm::new(26.0), Mm::new(17.0));
    let shapes =
        [superellipse(), rectangle.unwrap_or_else(|e| panic!("{e}")), ellipse.unwrap_or_else(|e| panic!("{e}"))];
    let mut all = Vec::new();
    for pair in [minus, toric, plus] {
        for shape in &shapes {
            for frame in ["mounting = \"full-rim\"", "mounting = \"full-rim\"\nface_form_deg = 12"] {
                all.push(Pair { shape: Shape::exact(shape.clone()), frame, ..pair.clone() });
            }
        }
    }
    all
}

/// Every figure of an eye that a spread may speak of, with the tolerance of the search behind it. What moves by less than
/// a thousandth is not told.
fn figures(plan: &Plan, eye: Eye) -> [(&'static str, f64, f64); 5] {
    let lens = lens_of(plan, eye);
    [
        ("edge.thinnest_mm", lens.edge.thinnest.mm(), 0.001),
        ("edge.thickest_mm", lens.edge.thickest.mm(), 0.001),
        ("mass_g", lens.mass_g, 0.002),
        ("coverage.margin_mm", lens.coverage.margin.mm(), 0.001),
        ("thickness.reference_point_mm", lens.thickness.reference_point.mm(), 0.001),
    ]
}

/// The spread of a cause holds the plan and both plans made at its ends, and reaches no further.
fn holds(pair: &Pair, cause: &str, change: impl Fn(&mut Pair, Eye, f64)) {
    let planned = pair.plan();
    for eye in Eye::BOTH {
        let ends = [-1.0, 1.0].map(|sign| {
            let mut changed = pair.clone();
            change(&mut changed, eye, sign);
            changed.plan()
        });
        for (i, (figure, value, tolerance)) in figures(&planned, eye).into_iter().enumerate() {
            let at = ends.each_ref().map(|plan| figures(plan, eye)[i].1);
            let (low, high) = (value.min(at[0]).min(at[1]), value.max(at[0]).max(at[1]));
            let told = spread(&planned, eye, figure, cause).map_or((value, value), |s| (s.low, s.high));
            assert!(
                (told.0 - low).abs() < tolerance && (told.1 - high).abs() < tolerance,
                "{cause} {eye} {figure}: told {told:?}, planned again {low} to {high}, {:?} {:?}",
                pair.eyes,
                pair.shape.boxed
            );
        }
    }
}

#[test]
fn a_labels_centre_is_carried_through() {
    for pair in pairs() {
        // Tolerance of ISO 8980-1 and ANSI Z80.1 in summary (thick.iso-centre-tolerance): 0.3 mm.
        holds(&pair, "centre", |p, eye, sign| p.eyes[eye].centre += 0.3 * sign);
    }
}

#[test]
fn a_labels_front_curve_is_carried_through() {
    for pair in pairs() {
        // ANSI Z80.1 in summary (tol.ansi.other): 0.75 D.
        holds(&pair, "front-curve", |p, eye, sign| p.eyes[eye].front += 0.75 * sign);
    }
}

#[test]
fn a_pupillary_distance_is_carried_through() {
    for pair in pairs() {
        let pair = Pair { wearer: "measured_by = \"rule-examiner\"".to_owned(), ..pair };
        // McMahon, Irving and Lee 2012: half of -0.69 to +1.88 for the pair, half of that for each eye.
        holds(&pair, "pd", |p, eye, sign| p.eyes[eye].pd += 1.285 / 2.0 * sign);
        let planned = pair.plan();
        for eye in Eye::BOTH {
            let mut changed = pair.clone();
            changed.eyes[eye].pd -= 1.285 / 2.0;
            let further_in = eye_of(&changed.plan(), eye).optical_centre.map(|p| p.inwards.mm());
            let told = spread(&planned, eye, "optical_centre.in_mm", "pd").map(|s| s.high);
            assert!((told.unwrap_or(f64::NAN) - further_in.unwrap_or(f64::NAN)).abs() < 1e-9);
        }
    }
}

#[test]
fn a_trace_is_carried_through() {
    for pair in pairs() {
        let noisy = |shape: &Shape| {
            let mut noisy = shape.clone();
            noisy.noise = Mm::new(0.02);
            noisy
        };
        let planned = Pair { shape: noisy(&pair.shape), ..pair.clone() }.plan();
        let leans = if pair.frame.contains("face_form") { units::maths::cos_deg(12.0) } else { 1.0 };
        let grown = |by: f64| {
            let outline = pair.shape.outline.offset(Mm::new(by)).unwrap_or_else(|e| panic!("{e}"));
            let mut grown = Pair { shape: Shape::exact(outline), height: pair.height + by, ..pair.clone() };
            // The lens stays where it is in the larger box.
            for eye in Eye::BOTH {
                grown.eyes[eye].pd += by * leans;
            }
            grown.plan()
        };
        let ends = [grown(-0.02), grown(0.02)];
        for eye in Eye::BOTH {
            for (i, (figure, value, _)) in figures(&planned, eye).into_iter().enumerate().take(4) {
                let moved = (figures(&ends[1], eye)[i].1 - figures(&ends[0], eye)[i].1).abs();
                let told = spread(&planned, eye, figure, "trace").map_or(0.0, |s| {
                    assert!(s.low <= value && value <= s.high, "{figure} {s:?}");
                    s.high - s.low
                });
                // A parallel curve is not quite that of radii which are all longer: where its normal leans against the ray
                // it is farther out. At the extremes it leans little.
                assert!((told - moved).abs() < 0.15 * moved + 0.001, "{figure}: {told} {moved}");
            }
        }
    }
}

/// Spheres of one power for both eyes.
fn alike(power: &'static str, label: &'static str, front: f64, centre: f64, measured_by: &str) -> Pair {
    let given = sphere(power, label, front, centre);
    Pair { wearer: format!("measured_by = \"{measured_by}\""), ..Pair::new(given.clone(), given) }
}

#[test]
fn a_pd_is_good_enough_for_a_weak_pair_and_not_for_a_strong_one() {
    // Prentice's rule by hand. The wearer's own rule is off by 5.68 mm: at 1 D 0.568 prism dioptres between the eyes, at
    // 6 D 3.408; 0.67 are allowed (ISO 21987 and ANSI Z80.1 in summary).
    let one = ("sphere_d = \"-1.00\", cylinder_d = \"none\"", "-1.00,none", 5.5, 2.0);
    let six = ("sphere_d = \"-6.00\", cylinder_d = \"none\"", "-6.00,none", 3.0, 2.0);
    let weak = alike(one.0, one.1, one.2, one.3, "self").plan();
    let strong = alike(six.0, six.1, six.2, six.3, "self").plan();
    for (plan, want) in [(&weak, 0.568), (&strong, 3.408)] {
        let pair = plan.pair.spread.iter().find(|s| s.cause == "pd").unwrap_or_else(|| panic!("no spread of the pair"));
        assert_eq!(pair.figure, "pair.horizontal_imbalance_cm_per_m");
        assert!((pair.high - want).abs() < 1e-9 && (pair.low + want).abs() < 1e-9, "{pair:?} {want}");
        let each = spread(plan, Eye::Left, "prism.residual.base_in_cm_per_m", "pd").map(|s| s.high);
        assert!((each.unwrap_or(f64::NAN) - want / 2.0).abs() < 1e-9);
    }
    assert_eq!(weak.pair.worth_measuring, None);
    let worth = strong.pair.worth_measuring.as_ref().unwrap_or_else(|| panic!("nothing is worth measuring"));
    assert_eq!((worth.input, worth.eye, worth.figure), ("pd", None, "pair.horizontal_imbalance_cm_per_m"));
    assert!((worth.high - 3.408).abs() < 1e-9 && (worth.limit - 0.67).abs() < 1e-12, "{worth:?}");
    // The same pair with a pupillometer: 0.5 mm, 0.3 prism dioptres.
    assert_eq!(alike(six.0, six.1, six.2, six.3, "pupillometer").plan().pair.worth_measuring, None);
    // It is named exactly where the finding asks about it.
    let asks = |plan: &Plan| plan.findings.iter().any(|f| f.kind.code == "pd-not-good-enough");
    assert!(asks(&strong) && !asks(&weak));
}

fn grooved(centre: f64) -> Pair {
    let minus = sphere("sphere_d = \"-5.00\", cylinder_d = \"none\"", "-5.00,none", 3.5, centre);
    Pair {
        lens: "material = \"adc-1.498\"\nedge = \"groove\"".to_owned(),
        frame: "mounting = \"nylon-cord\"\noutline_of = \"lens-edge\"",
        ..Pair::new(Given { centre: 2.5, ..minus.clone() }, minus)
    }
}

#[test]
fn an_edge_near_its_limit_names_the_centre() {
    // The groove asks under 2.2 mm: a left centre that leaves 2.3 is 0.1 off, and a label is good to 0.3.
    let found = lens_of(&grooved(1.0).plan(), Eye::Left).edge.thinnest.mm();
    let near = grooved(1.0 + 2.3 - found);
    let plan = near.plan();
    assert!((lens_of(&plan, Eye::Left).edge.thinnest.mm() - 2.3).abs() < 0.01);
    let worth = plan.pair.worth_measuring.as_ref().unwrap_or_else(|| panic!("nothing is worth measuring"));
    assert_eq!((worth.input, worth.eye, worth.figure), ("centre", Some(Eye::Left), "edge.thinnest_mm"));
    assert!((worth.limit - 2.2).abs() < 1e-12 && worth.low < 2.2 && worth.value > 2.2, "{worth:?}");
    assert!(!plan.findings.iter().any(|f| f.kind.code == "groove-edge-thin"), "the figure itself does not cross");
    // Read with a caliper, 0.05 mm: settled.
    let read = Uncut { centre: Some(Mm::new(near.eyes.left.centre)), ..Uncut::default() };
    let measured = Pair { uncut: PerEye { right: None, left: Some(read) }, ..near };
    assert_eq!(measured.plan().pair.worth_measuring, None);
    let narrow = measured.plan();
    let by_centre = spread(&narrow, Eye::Left, "edge.thinnest_mm", "centre").map(|s| s.high - s.low);
    assert!(by_centre.is_some_and(|by| (by - 0.1).abs() < 0.01), "{by_centre:?}");
    // Half a millimetre more: nothing to measure.
    assert_eq!(grooved(1.5 + 2.3 - found).plan().pair.worth_measuring, None);
    // Just under the limit the question stands, and a measurement may answer it.
    let under = grooved(0.9 + 2.2 - found).plan();
    assert!(under.findings.iter().any(|f| f.kind.code == "groove-edge-thin"));
    assert_eq!(under.pair.worth_measuring.as_ref().map(|w| w.input), Some("centre"));
}

#[test]
fn a_near_distance_figured_from_the_far_one_is_off_in_proportion() {
    let mut pair = alike("sphere_d = \"+2.00\", cylinder_d = \"none\"", "+2.00,none", 7.0, 5.0, "rule-examiner");
    pair.lens.push_str("\nuse = \"near\"\ntask_distance_mm = 400");
    // 0.6425 mm of one eye, times 400/(400 + 27).
    let of = |plan: &Plan| spread(plan, Eye::Right, "optical_centre.in_mm", "pd").map(|s| (s.high - s.low) / 2.0);
    let figured = of(&pair.plan()).unwrap_or(f64::NAN);
    assert!((figured - 0.6425 * 400.0 / 427.0).abs() < 1e-9, "{figured}");
    pair.wearer.push_str("\nnear_pd_mm = { right = 29.5, left = 29.5 }");
    let measured = of(&pair.plan()).unwrap_or(f64::NAN);
    assert!((measured - 0.6425).abs() < 1e-9, "{measured}");
}

#[test]
fn what_is_not_stated_has_no_spread() {
    // Nobody says who measured, no trace was made, and the shelf leaves the centre open.
    let mut pair = alike("sphere_d = \"-2.00\", cylinder_d = \"none\"", "-2.00,none", 5.0, 2.0, "unknown");
    pair.wearer.clear();
    let plan = pair.plan();
    let causes = |plan: &Plan| lens_of(plan, Eye::Right).spread.iter().map(|s| s.cause.clone()).collect::<Vec<_>>();
    assert!(causes(&plan).iter().all(|c| c == "centre" || c == "front-curve"), "{:?}", causes(&plan));
    assert!(plan.pair.spread.is_empty());
}
