//! What one lens costs: edge, extremes, coverage, whole lens, volume, seat in its rim, and the outline that all blanks
//! share.
//!
//! The lens: −2.00 −1.50 x 30, index 1.586, front 6 D, its optical centre 3 mm in and 2 mm up, so that the back is a torus
//! at an oblique axis and the cutting axis leans when it follows the front's normal. The outline: 400 points of a rounded
//! shape 52 x 36, joined by a cubic, as a trace is. The other surfaces on the same lens: conics on front and back of its
//! sphere alone, a biconic back, and a back whose thickness was corrected.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{CutOutline, Cutting, EdgeRoom, Given, HalfExponent, Lens, NoLens, Surfacing, TorusForm};
use optics::{Prism, SpheroCylinder};
use outline::{Depth, Outline, Point, SpaceLine};
use units::{Angle, Dioptre, Mm, Working};

fn block(axis: CuttingAxis) -> Block {
    Block {
        axis,
        at: BlockAt::BoxedCentre,
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    }
}

fn outline() -> Option<Outline> {
    let exact = Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).ok()?;
    let angles: Vec<Angle> = (0..400).map(|i| Angle::from_deg(f64::from(i) * 0.9)).collect();
    let radii: Vec<Mm> = angles.iter().map(|a| Mm::new(exact.radius(a.rad()).0)).collect();
    Outline::exact(&angles, &radii).ok()
}

fn surfacing() -> Surfacing {
    let d = Dioptre::new;
    Surfacing {
        power: SpheroCylinder::new(d(-2.0), d(-1.5), Angle::from_deg(30.0)),
        index: 1.586,
        given: Given::Front(d(6.0)),
        form: TorusForm::Tyre,
        ground: Prism::NONE,
        conic: [0.0; 2],
    }
}

fn lens(c: &mut Criterion) {
    let Some(outline) = outline() else { return };
    let cut = CutOutline::new(outline.clone());
    let vertex = Point::new(3.0, 2.0);
    c.bench_function("cut outline, once for all blanks", |b| b.iter(|| CutOutline::new(black_box(outline.clone()))));
    for (name, axis) in [("along the lens axis", CuttingAxis::LensAxis), ("tilted", CuttingAxis::FrontNormal)] {
        let block = block(axis);
        let Ok(made) = surfacing().lens(&mut Working::off(), Mm::new(1.8)) else { return };
        let Ok(held) = Cutting::new(made, vertex, &block) else { return };
        c.bench_function(&format!("lens and cutting axis, {name}"), |b| {
            b.iter(|| {
                let made = surfacing().lens(&mut Working::off(), black_box(Mm::new(1.8)));
                made.and_then(|made| Cutting::new(made, black_box(vertex), &block))
            });
        });
        let Ok(walls) = lens::Walls::of(&held, &cut) else { return };
        let edge = lens::edge_extremes(&held, &cut, &walls);
        c.bench_function(&format!("square edge of 400 points, {name}"), |b| {
            b.iter(|| lens::Walls::of(black_box(&held), &cut).map(|w| w.thinnest()));
        });
        c.bench_function(&format!("extremes of the edge, {name}"), |b| {
            b.iter(|| lens::edge_extremes(black_box(&held), &cut, &walls));
        });
        c.bench_function(&format!("extremes over the lens, {name}"), |b| {
            b.iter(|| lens::over_lens(black_box(&held), &cut, &edge));
        });
        c.bench_function(&format!("coverage, {name}"), |b| {
            b.iter(|| lens::coverage(black_box(&held), &cut, &walls, Point::ORIGIN, Mm::new(32.5), Mm::new(1.0)));
        });
        c.bench_function(&format!("volume, {name}"), |b| b.iter(|| lens::volume_mm3(black_box(&held), &cut)));
        c.bench_function(&format!("centre for a 1.5 mm edge, {name}"), |b| {
            b.iter(|| {
                let w = &mut Working::off();
                lens::centre_for_thinnest_edge(w, black_box(&surfacing()), vertex, &block, &cut, Mm::new(1.5))
            });
        });
    }
}

/// The lens with other surfaces.
fn other_surfaces() -> Result<[(&'static str, Lens); 5], NoLens> {
    let (w, centre) = (&mut Working::off(), Mm::new(1.8));
    let power = SpheroCylinder::spherical(Dioptre::new(-2.0));
    let sphere = Surfacing { power, ..surfacing() }.lens(w, centre)?;
    let conic = Surfacing { power, conic: [-0.6, 0.3], ..surfacing() }.lens(w, centre)?;
    let biconic = Surfacing { conic: [0.0, -0.8], ..surfacing() }.lens(w, centre)?;
    let corrected = |lens: &Lens| lens.corrected(Mm::new(3.6), Mm::new(25.0), None, HalfExponent::Two);
    let torus = surfacing().lens(w, centre)?;
    Ok([
        ("sphere", sphere),
        ("conic", conic),
        ("biconic", biconic),
        ("corrected sphere", corrected(&sphere)?),
        ("corrected torus", corrected(&torus)?),
    ])
}

fn surfaces(c: &mut Criterion) {
    let (Some(outline), Ok(lenses)) = (outline(), other_surfaces()) else { return };
    let cut = CutOutline::new(outline);
    for (name, made) in lenses {
        let Ok(held) = Cutting::new(made, Point::new(3.0, 2.0), &block(CuttingAxis::FrontNormal)) else { return };
        let Ok(walls) = lens::Walls::of(&held, &cut) else { return };
        let edge = lens::edge_extremes(&held, &cut, &walls);
        c.bench_function(&format!("square edge of 400 points, {name}"), |b| {
            b.iter(|| lens::Walls::of(black_box(&held), &cut).map(|w| w.thinnest()));
        });
        c.bench_function(&format!("extremes over the lens, {name}"), |b| {
            b.iter(|| lens::over_lens(black_box(&held), &cut, &edge));
        });
        c.bench_function(&format!("volume, {name}"), |b| b.iter(|| lens::volume_mm3(black_box(&held), &cut)));
    }
    let toric = surfacing().lens(&mut Working::off(), Mm::new(1.8));
    c.bench_function("thickness correction, mean all round", |b| {
        b.iter(|| {
            let (check, radius) = (black_box(Mm::new(3.6)), Mm::new(25.0));
            toric.and_then(|lens| lens.corrected(check, radius, None, HalfExponent::Two))
        });
    });
}

/// A lens seated in its rim, from the outline's places on. The rims: on a sphere of 4 D, 2 D flatter than the front, so that the
/// edge's bounds bite; on one of 6 D, which the front's own room follows.
fn seat(c: &mut Criterion) {
    let block = block(CuttingAxis::FrontNormal);
    let lens = surfacing().lens(&mut Working::off(), Mm::new(1.8));
    let Ok(held) = lens.and_then(|lens| Cutting::new(lens, Point::new(3.0, 2.0), &block)) else { return };
    let Some(outline) = outline() else { return };
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

criterion_group!(benches, lens, surfaces, seat);
criterion_main!(benches);
