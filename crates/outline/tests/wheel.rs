//! The wheel on hollow outlines: against a table made with general-purpose libraries (`reference/outline/wheel.py`),
//! and what must hold for every shape.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use core::f64::consts::TAU;

use libm::{cos, sin};
use outline::{Outline, Unreached};
use proptest::prelude::*;
use units::{Angle, Mm};

fn of_radius(n: u32, radius: impl Fn(f64) -> f64) -> Outline {
    let angles: Vec<Angle> = (0..n).map(|i| Angle::from_rad(f64::from(i) * TAU / f64::from(n))).collect();
    let radii: Vec<Mm> = angles.iter().map(|a| Mm::new(radius(a.rad()))).collect();
    Outline::exact(&angles, &radii).expect("an outline")
}

/// The shapes that `wheel.py` names.
fn shape(name: &str) -> Outline {
    match name {
        "peanut" => of_radius(2000, |t| 24.0 + 7.0 * cos(2.0 * t)),
        "bean" => of_radius(2000, |t| 24.0 + 4.0 * cos(t) + 3.0 * cos(2.0 * t) - 2.0 * sin(3.0 * t)),
        "clover" => of_radius(2000, |t| 24.0 + 3.0 * cos(3.0 * t + 0.4) + sin(t)),
        "star" => of_radius(2000, |t| 20.0 + 5.0 * cos(5.0 * t + 0.3) + cos(t)),
        other => panic!("no shape {other}"),
    }
}

fn apart_deg(a: f64, b: f64) -> f64 {
    let apart = (a - b).abs() % 360.0;
    apart.min(360.0 - apart)
}

#[test]
fn hollows_meet_solved_wheels_and_a_polygon_library() {
    #[allow(clippy::disallowed_methods)] // A test may read a file; the crate may not.
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/outline/unreached.csv"))
        .expect("the table is in the tree");
    let rows: Vec<Vec<&str>> = text.lines().skip(1).map(|l| l.split(',').collect()).collect();
    assert!(rows.len() > 40, "{}", rows.len());
    let mut i = 0;
    while i < rows.len() {
        let (name, radius) = (rows[i][0], rows[i][1]);
        let mut of_this: Vec<&Vec<&str>> = Vec::new();
        while i < rows.len() && rows[i][0] == name && rows[i][1] == radius {
            if !rows[i][2].is_empty() {
                of_this.push(&rows[i]);
            }
            i += 1;
        }
        let found = shape(name).unreached(Mm::new(radius.parse().unwrap())).expect("a wheel");
        assert_eq!(found.len(), of_this.len(), "{name} {radius}: {found:?}");
        for (hollow, row) in found.iter().zip(of_this) {
            let n: Vec<f64> = row[2..].iter().map(|t| t.parse().expect("a number")).collect();
            // The table is printed to 1e-9 mm; its shape is a formula, ours a cubic through 2000 of its points, which
            // lie within 1e-9 mm of it.
            assert!((hollow.left.mm() - n[2]).abs() < 2e-9, "{row:?} {hollow:?}");
            // Where a hollow is hardly deeper than the wheel, its ends shift by some hundred times what the shape is
            // out.
            assert!(apart_deg(hollow.from.deg(), n[0]) < 5e-6, "{row:?} {hollow:?}");
            assert!(apart_deg(hollow.to.deg(), n[1]) < 5e-6, "{row:?} {hollow:?}");
            // A maximum is flat: its place is known to the root of what its height is known to.
            assert!(apart_deg(hollow.at.deg(), n[3]) < 1e-3, "{row:?} {hollow:?}");
            let reach = 1e-6 * radius.parse::<f64>().unwrap().max(50.0);
            assert!((hollow.wheel.x - n[4]).abs() < reach && (hollow.wheel.y - n[5]).abs() < reach, "{row:?}");
        }
    }
}

fn harmonic() -> impl Strategy<Value = Outline> {
    prop::collection::vec((0.0..1.0f64, 0.0..TAU), 5).prop_map(|waves| {
        of_radius(500, |t| {
            waves.iter().enumerate().fold(24.0, |r, (k, (size, phase))| {
                r + [2.0, 4.0, 2.5, 1.0, 0.6][k] * size * cos((k as f64 + 1.0) * t + phase)
            })
        })
    })
}

fn inside(hollow: &Unreached, t: f64) -> bool {
    let span = (hollow.to.rad() - hollow.from.rad()).rem_euclid(TAU);
    (t - hollow.from.rad()).rem_euclid(TAU) < span
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The wheel of each place outside the hollows keeps clear of the whole outline; the wheel of each hollow does so
    /// too, touching both ends; and the wheel of a place inside would cut in.
    #[test]
    fn a_place_is_reached_where_its_wheel_cuts_nothing_else(outline in harmonic(), radius in 3.0..90.0f64) {
        let found = outline.unreached(Mm::new(radius)).expect("a wheel");
        for hollow in &found {
            prop_assert!(outline.nearest(hollow.wheel).distance.mm() > radius - 1e-6);
            for end in [hollow.from, hollow.to] {
                prop_assert!((outline.point(end.rad()).distance_to(hollow.wheel) - radius).abs() < 1e-9);
            }
            let deepest = outline.point(hollow.at.rad()).distance_to(hollow.wheel) - radius;
            prop_assert!((deepest - hollow.left.mm()).abs() < 1e-9);
        }
        for i in 0..360 {
            let t = (f64::from(i) + 0.3) * TAU / 360.0;
            let wheel = outline.point(t) + outline.normal(t) * radius;
            let clear = outline.nearest(wheel).distance.mm() - radius;
            match found.iter().find(|h| inside(h, t)) {
                // Hollows that leave less than 1e-6 mm are passed over; a wheel set down in one cuts its brims by some
                // times as much.
                None => prop_assert!(clear > -1e-5, "{t} {clear} {found:?}"),
                Some(hollow) => {
                    prop_assert!(clear < 1e-9, "{t} {clear} {found:?}");
                    let left = outline.point(t).distance_to(hollow.wheel) - radius;
                    prop_assert!(left <= hollow.left.mm() + 1e-9);
                }
            }
        }
    }

    #[test]
    fn a_larger_wheel_never_leaves_less(outline in harmonic(), radius in 3.0..80.0f64, more in 1.0..2.0f64) {
        let most = |r: f64| {
            outline.unreached(Mm::new(r)).expect("a wheel").iter().map(|h| h.left.mm()).fold(0.0, f64::max)
        };
        prop_assert!(most(radius * more) >= most(radius) - 1e-9);
    }

    #[test]
    fn the_mirror_image_has_mirrored_hollows(outline in harmonic(), radius in 3.0..80.0f64) {
        let here = outline.unreached(Mm::new(radius)).expect("a wheel");
        let there = outline.mirrored().unreached(Mm::new(radius)).expect("a wheel");
        prop_assert_eq!(here.len(), there.len());
        for hollow in &here {
            let mirrored = |a: Angle| 180.0 - a.deg();
            let (from, to) = (mirrored(hollow.to), mirrored(hollow.from));
            let twin =
                there.iter().find(|h| apart_deg(h.from.deg(), from) < 1e-4 && apart_deg(h.to.deg(), to) < 1e-4);
            prop_assert!(twin.is_some_and(|h| (h.left - hollow.left).abs().mm() < 1e-9), "{hollow:?} {there:?}");
        }
    }
}
