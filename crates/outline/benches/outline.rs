//! How long an outline takes: from raw samples to its sizes, its parallel curve, its circle.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use core::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use outline::{Outline, Point, Samples};
use units::{Angle, Mm};

/// Radii of a shape at even angles, with noise of 0.02 mm rms (sums of twelve uniform deviates), rounded to 0.01 mm.
fn trace(shape: &Outline, n: u32) -> Samples {
    let mut seed = 1u64;
    let mut noise = || {
        (0..12).fold(-6.0, |sum, _| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            sum + (seed >> 11) as f64 / (1u64 << 53) as f64
        })
    };
    let radius = |i| shape.radius(f64::from(i) * TAU / f64::from(n)).0 + 0.02 * noise();
    let radii: Vec<f64> = (0..n).map(radius).collect();
    Samples::even(&radii.iter().map(|r| Mm::new((r * 100.0).round() / 100.0)).collect::<Vec<_>>()).expect("a trace")
}

/// Everything that the box of a plan shows of an outline.
fn sizes(samples: &Samples) -> (f64, f64, f64, f64) {
    let smoothed = Outline::smoothed(samples, None).expect("an outline");
    let outline = smoothed.outline;
    let boxed = outline.boxed();
    (boxed.width.mm(), boxed.effective_diameter.mm(), outline.circumference().mm(), outline.area())
}

fn outlines(c: &mut Criterion) {
    let mm = Mm::new;
    let superellipse = Outline::superellipse(mm(26.0), mm(18.0), 2.5).expect("a shape");
    let rounded = Outline::rounded_rectangle(mm(54.0), mm(34.0), mm(10.0)).expect("a shape");
    let cornered = Outline::rounded_rectangle(mm(50.0), mm(30.0), mm(0.0)).expect("a shape");
    for (name, shape, n) in [
        ("superellipse, 400 samples", &superellipse, 400),
        ("rounded rectangle, 400 samples", &rounded, 400),
        ("sharp corners, 400 samples", &cornered, 400),
        ("superellipse, 1600 samples", &superellipse, 1600),
    ] {
        let samples = trace(shape, n);
        c.bench_function(&format!("smoothed with sizes: {name}"), |b| b.iter(|| sizes(black_box(&samples))));
    }
    let smooth = Outline::smoothed(&trace(&superellipse, 400), None).expect("an outline").outline;
    c.bench_function("parallel curve, 400 knots", |b| b.iter(|| black_box(&smooth).offset(mm(black_box(0.3)))));
    c.bench_function("circumference, 400 knots", |b| b.iter(|| black_box(&smooth).circumference()));
    c.bench_function("farthest point, 400 knots", |b| b.iter(|| black_box(&smooth).farthest(Point::new(3.0, 4.0))));
    let radius = |i: u32| {
        let t = f64::from(i) * TAU / 400.0;
        mm(24.0 + 4.0 * libm::cos(t) + 3.0 * libm::cos(2.0 * t) - 2.0 * libm::sin(3.0 * t))
    };
    let angles: Vec<Angle> = (0..400).map(|i| Angle::from_rad(f64::from(i) * TAU / 400.0)).collect();
    let hollow = Outline::exact(&angles, &(0..400).map(radius).collect::<Vec<_>>()).expect("a shape");
    for (name, shape) in [("convex", &smooth), ("with a hollow", &hollow)] {
        c.bench_function(&format!("what a wheel of 50 mm radius cannot touch: {name}, 400 knots"), |b| {
            b.iter(|| black_box(shape).unreached(mm(black_box(50.0))));
        });
    }
    c.bench_function("smallest circle, 400 knots", |b| b.iter(|| black_box(&smooth).smallest_circle()));
}

criterion_group!(benches, outlines);
criterion_main!(benches);
