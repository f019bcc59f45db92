//! How long the files take: an order, the built-in rules, a shelf of 20 000 rows.

use std::fmt::Write as _;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

const ORDER: &[u8] = include_bytes!("../tests/data/order.toml");

/// A shelf as a shop has it: every power in two materials and two diameters, most columns filled.
fn shelf(rows: usize) -> String {
    let mut text = exchange::COLUMNS.join(",");
    text.push('\n');
    for i in 0..rows {
        let (sphere, cylinder) = ((i % 81) as f64 * 0.25 - 10.0, (i / 81 % 17) as f64 * -0.25);
        let (material, index) = [("adc-1.498", 1.498), ("polycarbonate-1.586", 1.586)][i % 2];
        let diameter = 65 + i % 3 * 5;
        let _ = writeln!(
            text,
            "ST-{i:06},{material},clear,L{:04},single-vision,spheric,{sphere:+.2},{cylinder:+.2},,,,,,{diameter},{},0,0,\
             2.0,4.{:02},{}.0,90,{:.2},{index},,d,anti-reflective+hydrophobic,,,2026-01-{:02},{},{},EUR,A{}-{},finished,back,,",
            i / 40,
            diameter - 2,
            i % 90,
            diameter / 2 - 3,
            4.0 + (i % 9) as f64 * 0.5,
            i % 28 + 1,
            i % 5 + 1,
            300 + i % 700,
            i / 1000,
            i % 40,
        );
    }
    text
}

fn files(c: &mut Criterion) {
    let rules = exchange::built_in_rules();
    assert!(exchange::read_order(ORDER, &rules).is_ok());
    c.bench_function("order", |b| b.iter(|| exchange::read_order(black_box(ORDER), &rules)));
    c.bench_function("built-in rules", |b| b.iter(exchange::built_in_rules));
    let shelf = shelf(20_000);
    assert!(exchange::read_shelf(shelf.as_bytes(), &rules).is_ok_and(|rows| rows.len() == 20_000));
    let mut group = c.benchmark_group("shelf");
    group.sample_size(20);
    group.bench_function("20 000 rows", |b| b.iter(|| exchange::read_shelf(black_box(shelf.as_bytes()), &rules)));
    group.finish();
}

criterion_group!(benches, files);
criterion_main!(benches);
