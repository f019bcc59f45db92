//! What must stay the same: in the mirror, turned, in a larger blank.

use lens::{Coverage, CutOutline, Cutting, EdgeExtremes, Walls, over_lens, volume_mm3};
use outline::{Outline, Point};
use proptest::prelude::*;
use units::{Angle, Mm};

use crate::numbers::{Numbers, any_lens, nearly_plano};

/// A lopsided shape, by its radius over direction.
fn radius(deg: f64) -> f64 {
    let t = deg.to_radians();
    20.0 + 3.5 * libm::cos(2.0 * t) + 0.9 * libm::cos(3.0 * t + 0.4) - 0.5 * libm::sin(4.0 * t)
}

fn shape(at: impl Fn(f64) -> f64) -> CutOutline {
    let angles: Vec<Angle> = (0..360).map(|i| Angle::from_deg(f64::from(i))).collect();
    let radii: Vec<Mm> = (0..360).map(|i| Mm::new(at(f64::from(i)))).collect();
    CutOutline::new(Outline::exact(&angles, &radii).unwrap())
}

fn extremes(held: &Cutting, cut: &CutOutline) -> EdgeExtremes {
    lens::edge_extremes(held, cut, &Walls::of(held, cut).unwrap())
}

fn covered(held: &Cutting, cut: &CutOutline, middle: Point, usable_mm: f64) -> Coverage {
    let walls = Walls::of(held, cut).unwrap();
    lens::coverage(held, cut, &walls, middle, Mm::new(usable_mm), Mm::new(1.0))
}

/// All figures of a lens that neither mirror nor turn changes, with the blank's middle at `middle` from the vertex.
fn figures(numbers: &Numbers, cut: &CutOutline, middle: Point) -> [f64; 7] {
    let held = numbers.held();
    let edge = extremes(&held, cut);
    let whole = over_lens(&held, cut, &edge);
    let cover = covered(&held, cut, middle, 35.0);
    [
        edge.thinnest.thickness.mm(),
        edge.thickest.thickness.mm(),
        whole.least.thickness.mm(),
        whole.greatest.thickness.mm(),
        cover.margin.mm(),
        volume_mm3(&held, cut).unwrap() / 1e3,
        numbers.lens().back_tilt().deg(),
    ]
}

fn alike(one: [f64; 7], other: [f64; 7]) -> Result<(), TestCaseError> {
    for (a, b) in one.iter().zip(other) {
        prop_assert!((a - b).abs() < 2e-8, "{one:?}\n{other:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn mirroring_the_world_mirrors_the_lens(numbers in any_lens(), mx in -2.0f64..2.0, my in -2.0f64..2.0) {
        let cut = shape(radius);
        let mirrored = CutOutline::new(cut.outline().mirrored());
        let one = figures(&numbers, &cut, Point::new(mx, my));
        let other = figures(&numbers.mirrored(), &mirrored, Point::new(-mx, my));
        alike(one, other)?;
        let (a, b) = (extremes(&numbers.held(), &cut), extremes(&numbers.mirrored().held(), &mirrored));
        for (a, b) in [(a.thinnest, b.thinnest), (a.thickest, b.thickest)] {
            let there = (180.0 - a.direction.deg() - b.direction.deg()).rem_euclid(360.0);
            let apart = there.min(360.0 - there);
            // Of two places that are equally thin either may be named.
            let equal = cut.outline().point(core::f64::consts::PI - b.direction.rad());
            let as_good = (numbers.held().wall(equal).unwrap().thickness() - a.thickness).abs().mm() < 1e-8;
            prop_assert!(apart < 1e-4 || as_good, "{a:?} {b:?}");
        }
    }

    #[test]
    fn turning_outline_axis_and_decentration_together_changes_nothing(
        numbers in any_lens(), deg in 0.0f64..360.0, mx in -2.0f64..2.0, my in -2.0f64..2.0,
    ) {
        // A shape of point symmetry keeps its boxed centre when it is turned.
        let about = |t: f64| 19.0 + 3.5 * libm::cos(2.0 * t) + 0.8 * libm::cos(4.0 * t + 0.7);
        let cut = shape(|d| about(d.to_radians()));
        let turned = shape(|d| about((d - deg).to_radians()));
        let (sin, cos) = (units::maths::sin_deg(deg), units::maths::cos_deg(deg));
        let middle = Point::new(mx * cos - my * sin, mx * sin + my * cos);
        let one = figures(&numbers, &cut, Point::new(mx, my));
        let other = figures(&numbers.turned(deg), &turned, middle);
        for (a, b) in one.iter().zip(other) {
            // Two cubics through other points of one shape differ by some 1e-7 mm.
            prop_assert!((a - b).abs() < 1e-6, "{one:?}\n{other:?}");
        }
    }

    #[test]
    fn a_larger_blank_never_covers_less(numbers in any_lens(), radius_mm in 20.0f64..40.0, more in 0.0f64..10.0) {
        let cut = shape(radius);
        let held = numbers.held();
        let margin = |usable: f64| {
            covered(&held, &cut, Point::new(1.0, -0.5), usable).margin.mm()
        };
        prop_assert!((margin(radius_mm + more) - margin(radius_mm) - more).abs() < 1e-12);
    }

    /// No sample of a fine walk round the edge, or of a fine net over the lens, beats the extremes.
    #[test]
    fn nothing_beats_the_extremes(
        strong in any_lens(), weak in nearly_plano(), is_weak in any::<bool>(), middle in (-2.0f64..2.0, -2.0f64..2.0),
    ) {
        let numbers = if is_weak { weak } else { strong };
        let cut = shape(radius);
        let held = numbers.held();
        let edge = extremes(&held, &cut);
        let whole = over_lens(&held, &cut, &edge);
        let middle = Point::new(middle.0, middle.1);
        let cover = covered(&held, &cut, middle, 35.0);
        let (mut least, mut greatest) = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..3600 {
            let p = cut.outline().point(f64::from(i).to_radians() / 10.0);
            let wall = held.wall(p).unwrap();
            let t = wall.thickness().mm();
            (least, greatest) = (least.min(t), greatest.max(t));
            for depth in [wall.front_depth, wall.back_depth] {
                let [x, y, _] = held.to_lens([p.x, p.y, depth.mm()]);
                let away = Point::new(x, y).distance_to(middle);
                prop_assert!(away <= cover.greatest_distance.mm() + 1e-9);
            }
            if i % 60 == 0 {
                for share in 0..20 {
                    let share = f64::from(share) / 20.0;
                    let inside = held.wall(Point::new(share * p.x, share * p.y)).unwrap().thickness().mm();
                    prop_assert!(inside >= whole.least.thickness.mm() - 1e-9, "{whole:?} {inside}");
                    prop_assert!(inside <= whole.greatest.thickness.mm() + 1e-9, "{whole:?} {inside}");
                }
            }
        }
        prop_assert!((0.0..1e-4).contains(&(least - edge.thinnest.thickness.mm() + 1e-10)));
        prop_assert!((0.0..1e-4).contains(&(edge.thickest.thickness.mm() - greatest + 1e-10)));
    }

    /// The smallest shift makes the blank cover with 1e-5 mm to spare at most, and no shorter shift in any direction does.
    #[test]
    fn no_shorter_shift_saves_the_blank(
        numbers in any_lens(), middle in (-3.0f64..3.0, -3.0f64..3.0), short in 0.05f64..2.0,
    ) {
        let cut = shape(radius);
        let held = numbers.held();
        let middle = Point::new(middle.0, middle.1);
        let usable = covered(&held, &cut, middle, 0.0).greatest_distance.mm() + 1.0 - short;
        let shifted = |x: f64, y: f64| {
            let (vx, vy) = numbers.vertex;
            let held = Numbers { vertex: (vx + x, vy + y), ..numbers }.held();
            covered(&held, &cut, middle, usable).margin.mm()
        };
        let found = lens::smallest_shift(&held, &cut, middle, Mm::new(usable), Mm::new(1.0), &numbers.block());
        let least = match found {
            Some(by) => {
                let margin = shifted(by.x, by.y);
                prop_assert!((-1e-9..1e-5).contains(&margin), "{margin}");
                by.distance_to(Point::ORIGIN)
            }
            None => 8.0,
        };
        for i in 0..72 {
            let t = f64::from(5 * i).to_radians();
            for share in [0.3, 0.6, 0.9, 0.999] {
                let by = least * share;
                prop_assert!(shifted(by * libm::cos(t), by * libm::sin(t)) < 0.0, "{found:?} {by} {i}");
            }
        }
    }
}
