//! What it costs to say how much a wheel lowers a bevel all round: 400 places of an exact outline, the apex on a
//! sphere.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use lens::{BevelWheel, EdgePlace, bevel_lowered};
use outline::{Outline, Point};
use units::{Angle, Mm};

fn lowered(c: &mut Criterion) {
    let wheel = BevelWheel { radius: Mm::new(50.0), angle: Angle::from_deg(115.0), height: Mm::new(0.7) };
    for (name, width, height, corner) in [("rounded", 54.0, 34.0, 12.0), ("sharp corners", 50.0, 30.0, 0.0)] {
        let shape = Outline::rounded_rectangle(Mm::new(width), Mm::new(height), Mm::new(corner));
        let Ok(shape) = shape else { return };
        let places = shape.places(400);
        let line: Vec<EdgePlace> = (0..places.len())
            .map(|i| {
                let (x, y) = (places.x[i], places.y[i]);
                // On a sphere of 6 D, 530/6 mm.
                let (radius, square) = (530.0 / 6.0, x * x + y * y);
                let depth = square / (radius + (radius * radius - square).sqrt());
                EdgePlace { at: Point::new(x, y), normal: places.normal[i], apex_depth: Mm::new(depth) }
            })
            .collect();
        c.bench_function(&format!("wheel/bevel lowered, 400 places, {name}"), |b| {
            b.iter(|| bevel_lowered(black_box(&line), &wheel));
        });
    }
}

criterion_group!(benches, lowered);
criterion_main!(benches);
