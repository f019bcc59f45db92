//! Measured outlines: what noise, gaps, corners, a pole off the middle and too few points do to them.
//!
//! The truth is each shape's formula, whose own figures `outside.rs` holds against general-purpose libraries. Tolerances
//! are four standard deviations of what the noise alone does, or stand with their reason.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use core::f64::consts::{PI, TAU};

use outline::{NotAnOutline, Outline, Point, Samples, Smoothed};
use units::{Angle, Mm};

fn mm(v: f64) -> Mm {
    Mm::new(v)
}

/// Nearly normal deviates of standard deviation 1: sums of twelve uniform ones from a linear congruential generator.
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).fold(-6.0, |sum, _| sum + self.uniform())
    }
}

fn rounded(radius: f64) -> Mm {
    mm((radius * 100.0).round() / 100.0)
}

/// Radius in direction `t` from a pole inside the shape.
fn seen_from(shape: &Outline, pole: Point, t: f64) -> f64 {
    let (sin, cos) = (libm::sin(t), libm::cos(t));
    let aside = |s: f64| {
        let p = shape.point(s);
        (p.y - pole.y) * cos - (p.x - pole.x) * sin
    };
    // The direction from the pole grows with that from the boxed centre, and differs by less than a right angle.
    let (mut low, mut high) = (t - 1.5, t + 1.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if aside(middle) < 0.0 { low = middle } else { high = middle }
    }
    shape.point(low).distance_to(pole)
}

/// Even radii, noisy and rounded to 0.01 mm as records have them.
fn trace(shape: &Outline, n: u32, noise_mm: f64, seed: u64) -> Samples {
    let mut noise = Noise(seed);
    let radius = |i: u32| shape.radius(f64::from(i) * TAU / f64::from(n)).0;
    let radii: Vec<Mm> = (0..n).map(|i| rounded(radius(i) + noise_mm * noise.normal())).collect();
    Samples::even(&radii).expect("a trace")
}

fn smoothed(shape: &Outline, n: u32, noise_mm: f64, seed: u64) -> Smoothed {
    Outline::smoothed(&trace(shape, n, noise_mm, seed), None).expect("an outline")
}

fn ellipse() -> Outline {
    Outline::ellipse(mm(26.0), mm(18.0)).expect("a shape")
}

fn superellipse(exponent: f64) -> Outline {
    Outline::superellipse(mm(26.0), mm(18.0), exponent).expect("a shape")
}

fn rectangle(corner: f64) -> Outline {
    Outline::rounded_rectangle(mm(50.0), mm(30.0), mm(corner)).expect("a shape")
}

/// Two arcs of radius 40 that meet at the left and right at 30 mm from the middle: a shape with two corners and curved
/// sides. Its chord is 60 and its half height 40 - sqrt(40^2 - 30^2).
fn two_arcs(t: f64) -> f64 {
    let below = (40.0f64 * 40.0 - 30.0 * 30.0).sqrt();
    // The circle round (0, -below) seen from the middle, upper half; the lower half mirrors it.
    let sin = libm::sin(t).abs();
    -below * sin + (40.0 * 40.0 - below * below * (1.0 - sin * sin)).sqrt()
}

/// The size does not depend on how many points the tracer takes. The noise itself moves the mean radius by
/// 0.02 / sqrt(400) and so the circumference by 0.0063 mm rms, which no method can take back; held to more than is left of the bends, 0.01 mm at an exponent of 3.
#[test]
fn circumference_does_not_depend_on_the_number_of_points() {
    let shapes = [ellipse(), superellipse(2.3), superellipse(2.5), superellipse(3.0)];
    let mut squares = 0.0;
    for shape in &shapes {
        for seed in 0..12 {
            let few = smoothed(shape, 400, 0.02, seed).outline.circumference().mm();
            let many = smoothed(shape, 1600, 0.02, 1000 + seed).outline.circumference().mm();
            let truth = shape.circumference().mm();
            assert!((few - many).abs() < 0.035, "{few} {many} {truth}");
            assert!((few - truth).abs() < 0.035 && (many - truth).abs() < 0.015, "{few} {many} {truth}");
            squares += (few - many) * (few - many);
        }
    }
    let rms = (squares / 48.0f64).sqrt();
    assert!(rms < 0.01, "{rms}");
}

/// What smoothing is for: through every point, 0.02 mm of noise at 400 points adds half a millimetre.
#[test]
fn joining_the_points_would_add_half_a_millimetre() {
    let shape = ellipse();
    let found = smoothed(&shape, 400, 0.02, 5);
    let raw = found.raw_circumference.mm() - shape.circumference().mm();
    assert!((0.3..0.8).contains(&raw), "{raw}");
}

#[test]
fn residual_is_held_to_the_noise_given_or_found() {
    let samples = trace(&ellipse(), 400, 0.02, 3);
    for (given, least, most) in
        [(None, 0.017, 0.023), (Some(mm(0.03)), 0.0299, 0.0301), (Some(mm(0.001)), 0.00289, 0.00291)]
    {
        let found = Outline::smoothed(&samples, given).expect("an outline");
        let rms = found.residual_rms.mm();
        assert!((least..most).contains(&rms), "{given:?}: {rms}");
        if given.is_none() {
            // Found from third differences; the median of 400 scatters by a tenth.
            assert!((rms - found.noise_estimate.mm()).abs() < 1e-4, "{found:?}");
        }
    }
    // A clean record's noise is its rounding, 0.01 / sqrt(12); the median of a handful of steps tells it to a fifth.
    let clean = smoothed(&superellipse(2.5), 400, 0.0, 1);
    assert!((0.0025..0.0040).contains(&clean.noise_estimate.mm()), "{clean:?}");
    assert!(smoothed(&ellipse(), 400, 0.05, 1).noise_estimate.mm() > 0.03, "a trace to look at again");
}

#[test]
fn clean_records_give_the_shape() {
    for (shape, box_mm) in
        [(ellipse(), 0.01), (superellipse(2.5), 0.03), (superellipse(4.0), 0.02), (rectangle(10.0), 0.02)]
    {
        let (found, truth) = (smoothed(&shape, 400, 0.0, 0).outline, shape.boxed());
        let boxed = found.boxed();
        assert!((found.circumference() - shape.circumference()).abs().mm() < 0.01, "{:?}", found.circumference());
        assert!((found.area() - shape.area()).abs() < 0.3, "{}", found.area() - shape.area());
        assert!((boxed.width - truth.width).abs().mm() < box_mm, "{boxed:?} {truth:?}");
        assert!((boxed.height - truth.height).abs().mm() < box_mm, "{boxed:?} {truth:?}");
        assert!((boxed.effective_diameter - truth.effective_diameter).abs().mm() < 0.02, "{boxed:?} {truth:?}");
        assert!(found.corners().is_empty());
    }
}

/// A true corner is found between the points and stays one, with straight and with curved sides.
#[test]
fn corners_stay_corners() {
    let shape = rectangle(0.0);
    for (n, noise, tip, length) in [(400, 0.0, 0.005, 0.005), (400, 0.02, 0.05, 0.05), (1600, 0.02, 0.05, 0.05)] {
        for seed in 0..6 {
            let found = smoothed(&shape, n, noise, seed).outline;
            assert_eq!(found.corners().len(), 4, "{n} {noise} {seed}");
            let off = found.boxed().effective_diameter - shape.boxed().effective_diameter;
            assert!(off.abs().mm() < tip, "{n} {noise} {seed}: {off:?}");
            let off = found.circumference() - shape.circumference();
            assert!(off.abs().mm() < length, "{n} {noise} {seed}: {off:?}");
        }
    }
    // 2 x 40 x angle, the angle being that whose sine is 30/40, on either side.
    let length = 4.0 * 40.0 * libm::asin(0.75);
    for seed in 0..6 {
        let mut noise = Noise(seed);
        let radii: Vec<Mm> =
            (0..400).map(|i| rounded(two_arcs(f64::from(i) * TAU / 400.0 + 0.004) + 0.02 * noise.normal())).collect();
        let angles: Vec<Angle> = (0..400).map(|i| Angle::from_rad(f64::from(i) * TAU / 400.0 + 0.004)).collect();
        let found = Outline::smoothed(&Samples::uneven(&angles, &radii).expect("a trace"), None).expect("an outline");
        assert_eq!(found.outline.corners().len(), 2, "{seed}");
        assert!((found.outline.boxed().width.mm() - 60.0).abs() < 0.05, "{:?}", found.outline.boxed());
        assert!((found.outline.circumference().mm() - length).abs() < 0.06, "{:?}", found.outline.circumference());
    }
}

/// Bends of 3 mm and 1 mm radius are neither corners nor rounded off: the tip stands where it should. With noise, some
/// of what cannot be told from it is lost at 1 mm, three points wide.
#[test]
fn sharp_bends_are_not_rounded_off() {
    for (corner, noise, tip, length) in
        [(3.0, 0.0, 0.02, 0.02), (1.0, 0.0, 0.04, 0.02), (3.0, 0.02, 0.1, 0.06), (1.0, 0.02, 0.1, 0.2)]
    {
        let shape = rectangle(corner);
        for seed in 0..6 {
            let found = smoothed(&shape, 400, noise, seed).outline;
            assert!(found.corners().is_empty(), "{corner} {noise} {seed}");
            let tips = found.boxed().effective_diameter - shape.boxed().effective_diameter;
            assert!(tips.abs().mm() < tip, "{corner} {noise} {seed}: {tips:?}");
            let lengths = found.circumference() - shape.circumference();
            assert!(lengths.abs().mm() < length, "{corner} {noise} {seed}: {lengths:?}");
        }
    }
}

/// The pole of the trace may lie anywhere: the same box, circumference and place of the pole come out.
#[test]
fn the_pole_may_lie_off_the_middle() {
    for shape in [ellipse(), superellipse(2.5), rectangle(6.0)] {
        for pole in [Point::new(0.0, 0.0), Point::new(0.6, -0.4), Point::new(5.0, 0.0), Point::new(-3.0, 4.0)] {
            let mut noise = Noise(9);
            let radii: Vec<Mm> = (0..400)
                .map(|i| rounded(seen_from(&shape, pole, f64::from(i) * TAU / 400.0) + 0.01 * noise.normal()))
                .collect();
            let found = Outline::smoothed(&Samples::even(&radii).expect("a trace"), None).expect("an outline");
            let (boxed, truth) = (found.outline.boxed(), shape.boxed());
            assert!((found.outline.circumference() - shape.circumference()).abs().mm() < 0.02, "{pole:?} {found:?}");
            assert!((boxed.width - truth.width).abs().mm() < 0.05, "{pole:?} {boxed:?}");
            assert!((boxed.height - truth.height).abs().mm() < 0.05, "{pole:?} {boxed:?}");
            assert!(found.trace_pole.distance_to(pole) < 0.03, "{pole:?} {:?}", found.trace_pole);
            assert!(found.residual_rms.mm() < 0.013, "{pole:?} {found:?}");
        }
    }
}

/// Uneven angles, a sector of twenty degrees without a point, one point twice, and the first repeated at the end.
#[test]
fn gaps_and_doubled_points_do_no_harm() {
    // Over a gap the curve bends as on either side of it. The tip of the superellipse is flatter than that, by 0.2 mm,
    // which no point tells.
    for (shape, bridge_mm) in [(ellipse(), 0.1), (superellipse(2.5), 0.25)] {
        for gap_at in [0.0, 0.8, 2.5, 4.7] {
            let mut noise = Noise(4);
            let (mut angles, mut radii) = (Vec::new(), Vec::new());
            for i in 0..400 {
                let t = TAU * (f64::from(i) + 0.4 * libm::sin(f64::from(i))) / 400.0;
                let from_gap = (t - gap_at).abs().min(TAU - (t - gap_at).abs());
                if from_gap < 10f64.to_radians() {
                    continue;
                }
                let times = if i == 230 { 2 } else { 1 };
                for _ in 0..times {
                    angles.push(t);
                    radii.push(rounded(shape.radius(t).0 + 0.01 * noise.normal()));
                }
            }
            angles.push(angles[0] + TAU);
            radii.push(radii[0]);
            let angles: Vec<Angle> = angles.into_iter().map(Angle::from_rad).collect();
            let found =
                Outline::smoothed(&Samples::uneven(&angles, &radii).expect("a trace"), None).expect("an outline");
            assert_eq!(found.doubled, 2);
            let (gap, at) = found.widest_gap;
            assert!((19.0..23.0).contains(&gap.deg()), "{gap:?}");
            assert!(libm::cos(at.rad() - gap_at) > 0.999, "{at:?} {gap_at}");
            let (boxed, truth) = (found.outline.boxed(), shape.boxed());
            assert!(
                (found.outline.circumference() - shape.circumference()).abs().mm() < bridge_mm,
                "{gap_at} {found:?}"
            );
            assert!((boxed.width - truth.width).abs().mm() < bridge_mm, "{gap_at} {boxed:?}");
            assert!((boxed.height - truth.height).abs().mm() < 0.05, "{gap_at} {boxed:?}");
        }
    }
}

#[test]
fn a_stray_point_is_left_out() {
    let shape = rectangle(6.0);
    let mut radii: Vec<Mm> = (0..400).map(|i| rounded(shape.radius(f64::from(i) * TAU / 400.0).0)).collect();
    radii[100] += mm(0.8);
    let found = Outline::smoothed(&Samples::even(&radii).expect("a trace"), None).expect("an outline");
    assert_eq!(found.strays, 1, "{found:?}");
    assert!((found.outline.circumference() - shape.circumference()).abs().mm() < 0.02, "{found:?}");
    assert!((found.outline.boxed().height - shape.boxed().height).abs().mm() < 0.03, "{found:?}");
}

#[test]
fn from_eight_points_to_eighteen_thousand() {
    let shape = superellipse(2.4);
    for (n, off) in [(8u32, 3.0), (12, 1.5), (36, 0.3), (72, 0.08), (200, 0.03), (800, 0.02), (18_000, 0.01)] {
        let found = smoothed(&shape, n, 0.01, 2);
        let length = found.outline.circumference() - shape.circumference();
        assert!(length.abs().mm() < off, "{n}: {length:?}");
        assert!(found.outline.breaks().len() <= 1080, "{n}: {}", found.outline.breaks().len());
    }
    let four = Samples::even(&[mm(25.0), mm(20.0), mm(26.0), mm(21.0)]);
    assert_eq!(four, Err(NotAnOutline::TooFewPoints { given: 4, least: 8 }));
    let mut message = String::new();
    if let Err(error) = four {
        message = format!("{error}; {}", error.hint());
    }
    assert_eq!(
        message,
        "4 points are too few for an outline, 8 are the least; trace the shape again; 400 points are usual"
    );
}

#[test]
fn what_is_no_trace_is_said_with_its_place() {
    let mut radii = vec![mm(25.0); 100];
    radii[17] = mm(-3.0);
    assert_eq!(Samples::even(&radii), Err(NotAnOutline::Radius { at: 17, given: -3.0 }));
    radii[17] = mm(f64::NAN);
    assert!(matches!(Samples::even(&radii), Err(NotAnOutline::Radius { at: 17, .. })));
    let mut angles: Vec<Angle> = (0..100).map(|i| Angle::from_deg(3.6 * f64::from(i))).collect();
    angles[40] = Angle::from_deg(1.0);
    radii[17] = mm(25.0);
    assert!(matches!(Samples::uneven(&angles, &radii), Err(NotAnOutline::Angle { at: 40, .. })));
    assert_eq!(Samples::uneven(&angles[1..], &radii), Err(NotAnOutline::Counts { angles: 99, radii: 100 }));
    // A third of the turn without a point: nobody knows that shape.
    let angles: Vec<Angle> = (0..100).map(|i| Angle::from_deg(2.4 * f64::from(i))).collect();
    let samples = Samples::uneven(&angles, &radii).expect("points");
    assert!(matches!(Outline::smoothed(&samples, None), Err(NotAnOutline::Gap { .. })));
}

#[test]
fn mirrored_points_give_the_mirrored_outline() {
    let shape = superellipse(2.5);
    let samples = trace(&shape, 400, 0.02, 8);
    let one = Outline::smoothed(&samples, None).expect("an outline").outline.mirrored();
    let other = Outline::smoothed(&samples.mirrored(), None).expect("an outline").outline;
    let apart = one.compared_with(&other);
    // The stiffness is searched to a part in a thousand, from sums in another order.
    assert!(apart.worst.abs().mm() < 1e-4, "{apart:?}");
    assert!((one.point(0.4).x + one.mirrored().point(PI - 0.4).x).abs() < 1e-9);
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]

    /// However wild the noise, the answer is an outline of finite sizes or a reason, never a number that is none.
    #[test]
    fn noise_never_makes_nan(seed in 0u64..1_000_000, noise_mm in 0.0..8.0f64, n in 8u32..300, given in 0.0..20.0f64) {
        let mut noise = Noise(seed);
        let radii: Vec<Mm> = (0..n)
            .map(|i| mm((superellipse(2.5).radius(f64::from(i) * TAU / f64::from(n)).0 + noise_mm * noise.normal()).max(0.5)))
            .collect();
        let samples = Samples::even(&radii).expect("radii");
        for noise in [None, Some(mm(given))] {
            if let Ok(found) = Outline::smoothed(&samples, noise) {
                let boxed = found.outline.boxed();
                for size in [
                    boxed.width.mm(), boxed.height.mm(), boxed.effective_diameter.mm(),
                    found.outline.circumference().mm(), found.outline.area(), found.residual_rms.mm(),
                ] {
                    proptest::prop_assert!(size.is_finite() && size >= 0.0, "{found:?}");
                }
                let circle = found.outline.smallest_circle().radius.mm();
                proptest::prop_assert!(circle.is_finite() && circle <= 0.5 * boxed.effective_diameter.mm() + 1e-6);
                if let Ok(wider) = found.outline.offset(mm(0.2)) {
                    proptest::prop_assert!(wider.area() > found.outline.area());
                }
            }
        }
    }

    /// A visible edge lies some way inside any traced outline: the parallel curve is there, and where it should be.
    #[test]
    fn traces_have_parallel_curves(seed in 0u64..1000, by in -1.5..1.5f64, sharp in 0usize..3) {
        let shape = [superellipse(2.5), rectangle(3.0), rectangle(0.0)][sharp].clone();
        let outline = smoothed(&shape, 400, 0.02, seed).outline;
        let parallel = outline.offset(mm(by)).expect("a parallel curve");
        for i in 0..200 {
            let away = outline.nearest(parallel.point(f64::from(i) * TAU / 200.0)).distance.mm();
            proptest::prop_assert!((away - by.abs()).abs() < 2e-6, "{i}: {away} {by}");
        }
    }
}
