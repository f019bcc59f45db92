//! What the seat of one lens in its rim costs: everything from the outline's places on.
//!
//! The lens: −2.00 −1.50 x 30, index 1.586, front 6 D, its optical centre 3 mm in and 2 mm up. The rims: on a sphere of 4 D,
//! 2 D flatter than the front, so that the edge's bounds bite; on one of 6 D, which the front's own room follows.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{Cutting, EdgeRoom, Given, Surfacing, TorusForm};
use optics::{Prism, SpheroCylinder};
use outline::{Depth, Outline, Point, SpaceLine};
use units::{Angle, Dioptre, Mm, Working};

fn seat(c: &mut Criterion) {
    let block = Block {
        axis: CuttingAxis::FrontNormal,
        at: BlockAt::BoxedCentre,
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    };
    let d = Dioptre::new;
    let surfacing = Surfacing {
        power: SpheroCylinder::new(d(-2.0), d(-1.5), Angle::from_deg(30.0)),
        index: 1.586,
        given: Given::Front(d(6.0)),
        form: TorusForm::Tyre,
        ground: Prism::NONE,
        conic: [0.0; 2],
    };
    let lens = surfacing.lens(&mut Working::off(), Mm::new(1.8));
    let Ok(held) = lens.and_then(|lens| Cutting::new(lens, Point::new(3.0, 2.0), &block)) else { return };
    let Ok(exact) = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6) else { return };
    let angles: Vec<Angle> = (0..400).map(|i| Angle::from_deg(f64::from(i) * 0.9)).collect();
    let radii: Vec<Mm> = angles.iter().map(|a| Mm::new(exact.radius(a.rad()).0)).collect();
    let Ok(outline) = Outline::exact(&angles, &radii) else { return };
    for (name, curve_d) in [("one eye at 400 points", 4.0), ("one eye at 400 points, a rim like the front", 6.0)] {
        let Ok(depth) = Depth::sphere(Mm::new(530.0 / curve_d)) else { return };
        c.bench_function(&format!("seat/{name}"), |b| {
            b.iter(|| {
                let places = black_box(&outline).places(400);
                let rim = SpaceLine::of_rim(&outline, &places, &depth)?;
                let room = EdgeRoom::of(&held, &places, Mm::new(0.3), Mm::new(0.3)).ok()?;
                lens::seat(&rim, &places, &room, Mm::new(0.03), None).ok()
            });
        });
    }
}

criterion_group!(benches, seat);
criterion_main!(benches);
