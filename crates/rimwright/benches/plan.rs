//! A whole plan against twenty thousand blanks, and what it is made of: reading, smoothing, choosing.
#![allow(clippy::expect_used, missing_docs)] // a bench that cannot read its own inputs has nothing to measure

use std::fmt::Write;
use std::hint::black_box;
use std::sync::Arc;

use criterion::{Criterion, criterion_group, criterion_main};
use exchange::{built_in_rules, read_order, read_shelf, read_traced};
use outline::{Outline, Samples};
use planner::{Bench, Shelf, plan, shape};
use units::{Mm, Working};

const ORDER: &str = r#"
number = "0142"
taken = 2026-03-02
eyes = "both"
[wearer]
monocular_pd_mm = { right = 31.5, left = 32.0 }
pupil_height_mm = { right = 21.0, left = 21.0 }
measured_by = "pupillometer"
[prescription]
refraction_vertex_mm = 12.0
right = { sphere_d = "-4.25", cylinder_d = "-1.00", axis_deg = 170 }
left = { sphere_d = "-3.75", cylinder_d = "none" }
[frame]
outline = "frame.txt"
mounting = "full-rim"
[lens]
type = "single-vision"
material = "polycarbonate-1.586"
treatments = ["anti-reflective", "hydrophobic"]
edge = "bevel"
"#;

/// Noise of a trace without a random generator: a fixed walk of a linear congruence, 0.01 mm rms.
fn noise(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    ((*state >> 33) as f64 / f64::from(1u32 << 31) - 0.5) * 0.035
}

fn radii(seed: u64) -> Vec<f64> {
    let shape = Outline::superellipse(Mm::new(25.0), Mm::new(19.0), 2.6).expect("a shape");
    let mut state = seed;
    (0..400)
        .map(|i| {
            let t = f64::from(i) * std::f64::consts::TAU / 400.0;
            let p = shape.point(t);
            ((p.x * p.x + p.y * p.y).sqrt() + noise(&mut state)) * 100.0
        })
        .map(|hundredths| hundredths.round() / 100.0)
        .collect()
}

fn records() -> String {
    let mut text = "REQ=FIL\r\nJOB=\"0142\"\r\nDBL=18.00\r\nFCRV=5.00;5.00\r\n".to_owned();
    for (eye, seed) in [("R", 1), ("L", 2)] {
        let _ = write!(text, "TRCFMT=1;400;E;{eye};F\r\n");
        for row in radii(seed).chunks(15) {
            let row: Vec<String> = row.iter().map(|r| format!("{:.0}", r * 100.0)).collect();
            let _ = write!(text, "R={}\r\n", row.join(";"));
        }
    }
    text
}

fn shelf_text(rows: usize) -> String {
    let mut text = "sku,material,series,lot,type,form,sphere_d,cylinder_d,axis_deg,nominal_mm,usable_mm,centre_mm,\
        front_curve_d,front_curve_index,treatments,received,quantity,unit_cost_minor,currency,place\n"
        .to_owned();
    let materials = ["polycarbonate-1.586", "adc-1.498", "thiourethane-1.60", "thiourethane-1.67"];
    for i in 0..rows {
        let sphere = -800 + 25 * (i as i32 % 57);
        let cylinder = -25 * (i as i32 / 57 % 9);
        let nominal = 65 + 5 * (i / 513 % 3);
        let material = materials[i / 1539 % 4];
        let curve = (6.0 + f64::from(sphere) / 200.0).max(0.5);
        let _ = writeln!(
            text,
            "s{i},{material},clear,L{},single-vision,spheric,{:+.2},{},,{nominal},{},{:.1},{curve:.2},1.530,\
             anti-reflective+hydrophobic,2026-01-10,9,950,EUR,B{}",
            i % 40,
            f64::from(sphere) / 100.0,
            if cylinder == 0 { "none".to_owned() } else { format!("{:+.2}", f64::from(cylinder) / 100.0) },
            nominal - 2,
            if sphere < 0 { 1.5 } else { 2.0 + f64::from(sphere) / 200.0 },
            i % 30,
        );
    }
    text
}

fn benches(c: &mut Criterion) {
    let rules = built_in_rules();
    let order = read_order(ORDER.as_bytes(), &rules).expect("an order");
    let records = records();
    let frame = shape::figure(&read_traced(records.as_bytes()).expect("a trace"), &rules).expect("a shape");
    let shelf_text = shelf_text(20_000);
    let shelf = Shelf::new(read_shelf(shelf_text.as_bytes(), &rules).expect("a shelf"));
    let bench = Bench { shelf: Some(&shelf), left: None, rules: &rules, uncut: job::PerEye::default() };
    let made = plan(&order, &frame, &bench, Working::off());
    assert!(made.planned().all(|e| e.lens.is_some()), "the bench must plan a pair that is made");
    assert!(made.planned().all(|e| e.near_misses.len() == 50), "with the reasons of 50 near misses");

    c.bench_function("plan/pair against 20000 blanks", |b| {
        b.iter(|| plan(black_box(&order), &frame, &bench, Working::off()));
    });
    c.bench_function("plan/pair with every working", |b| {
        b.iter(|| plan(black_box(&order), &frame, &bench, Working::on()));
    });
    let compared = planner::compare(&order, &frame, &[], &bench);
    assert!(compared.others.len() > 10, "every material of the rules is a row");
    c.bench_function("compare/every material, 20000 blanks", |b| {
        b.iter(|| planner::compare(black_box(&order), &frame, &[], &bench));
    });
    let samples = Samples::even(&radii(1).iter().map(|&r| Mm::new(r)).collect::<Vec<_>>()).expect("samples");
    c.bench_function("outline/smoothed from 400 samples, box, lengths, area", |b| {
        b.iter(|| {
            let outline = Outline::smoothed(black_box(&samples), None).expect("smooth").outline;
            (outline.boxed(), outline.circumference(), outline.area())
        });
    });
    let outline = Outline::smoothed(&samples, None).expect("smooth").outline;
    c.bench_function("outline/parallel curve 0.5 mm", |b| b.iter(|| black_box(&outline).offset(Mm::new(0.5))));
    c.bench_function("read/records of two eyes", |b| b.iter(|| read_traced(black_box(records.as_bytes()))));
    c.bench_function("read/order", |b| b.iter(|| read_order(black_box(ORDER.as_bytes()), &rules)));
    c.bench_function("read/shelf of 20000 rows", |b| b.iter(|| read_shelf(black_box(shelf_text.as_bytes()), &rules)));
    c.bench_function("read/built-in rules", |b| b.iter(built_in_rules));
    c.bench_function("shelf/ordered by power, 20000 rows", |b| {
        let rows: Vec<_> = (0..shelf.len()).map(|i| Arc::clone(shelf.row(i))).collect();
        b.iter(|| Shelf::new(black_box(rows.clone())));
    });
    c.bench_function("shelf/rows of one power among 20000", |b| {
        let power = order.prescription.eyes.right.as_ref().expect("right").power();
        b.iter(|| shelf.exactly(&order.lens.material, order.lens.kind, black_box(power)).count());
    });
}

criterion_group!(all, benches);
criterion_main!(all);
