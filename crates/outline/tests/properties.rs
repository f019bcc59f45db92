//! What must hold for every outline, whatever its shape.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use core::f64::consts::TAU;

use outline::{Outline, Point};
use proptest::prelude::*;
use units::{Angle, Mm};

fn mm(v: f64) -> Mm {
    Mm::new(v)
}

/// Convex lens-like shapes: superellipses and rounded rectangles.
fn convex() -> impl Strategy<Value = Outline> {
    prop_oneof![
        (15.0..32.0f64, 12.0..25.0f64, 2.0..5.0f64)
            .prop_map(|(a, b, p)| Outline::superellipse(mm(a), mm(b), p).expect("a superellipse")),
        (30.0..60.0f64, 26.0..50.0f64, 3.0..12.0f64).prop_map(|(w, h, c)| Outline::rounded_rectangle(
            mm(w),
            mm(h),
            mm(c)
        )
        .expect("a rectangle")),
    ]
}

/// Shapes without symmetry, some hollow: a few harmonics of radius over angle.
fn harmonic() -> impl Strategy<Value = Outline> {
    prop::collection::vec((0.0..1.0f64, 0.0..TAU), 4).prop_map(|waves| {
        let n = 360;
        let radius = |t: f64| {
            waves.iter().enumerate().fold(24.0, |r, (k, (size, phase))| {
                r + [2.0, 4.0, 1.5, 0.5][k] * size * libm::cos((k as f64 + 1.0) * t + phase)
            })
        };
        let angles: Vec<Angle> = (0..n).map(|i| Angle::from_rad(f64::from(i) * TAU / f64::from(n))).collect();
        let radii: Vec<Mm> = angles.iter().map(|a| mm(radius(a.rad()))).collect();
        Outline::exact(&angles, &radii).expect("an outline")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn mirrored_twice_is_the_same(outline in harmonic()) {
        let (once, twice) = (outline.mirrored(), outline.mirrored().mirrored());
        let back = outline.compared_with(&twice);
        prop_assert!(back.worst.abs().mm() < 1e-10);
        prop_assert!((once.circumference() - outline.circumference()).abs().mm() < 1e-9);
        prop_assert!((once.boxed().width - outline.boxed().width).abs().mm() < 1e-9);
        let (p, q) = (outline.point(0.3), once.point(core::f64::consts::PI - 0.3));
        prop_assert!((p.x + q.x).abs() < 1e-9 && (p.y - q.y).abs() < 1e-9);
    }

    #[test]
    fn out_and_back_is_the_same(outline in convex(), d in 0.05..3.0f64) {
        let back = outline.offset(mm(d)).expect("out").offset(mm(-d)).expect("and back");
        let difference = outline.compared_with(&back);
        prop_assert!(difference.worst.abs().mm() < 1e-6, "{difference:?}");
        prop_assert!((back.circumference() - outline.circumference()).abs().mm() < 1e-5);
    }

    /// Steiner's formulas for convex shapes: L + 2 pi d, A + L d + pi d^2.
    #[test]
    fn convex_shapes_grow_by_steiner(outline in convex(), d in 0.05..5.0f64) {
        let wider = outline.offset(mm(d)).expect("wider");
        let (length, area) = (outline.circumference().mm(), outline.area());
        prop_assert!((wider.circumference().mm() - length - TAU * d).abs() < 1e-6);
        prop_assert!((wider.area() - area - length * d - core::f64::consts::PI * d * d).abs() < 1e-5);
    }

    #[test]
    fn box_and_circles_hold_the_curve(outline in harmonic()) {
        let (boxed, circle) = (outline.boxed(), outline.smallest_circle());
        let (a, b, ed) = (boxed.width.mm(), boxed.height.mm(), boxed.effective_diameter.mm());
        prop_assert!(ed >= a.max(b) - 1e-6 && ed <= units::maths::hypot(a, b));
        let mut reached = [false; 4];
        for i in 0..20_000 {
            let p = outline.point(f64::from(i) * TAU / 20_000.0);
            prop_assert!(p.x.abs() <= 0.5 * a + 1e-6 && p.y.abs() <= 0.5 * b + 1e-6);
            prop_assert!(2.0 * p.distance_to(Point::ORIGIN) <= ed + 1e-9);
            prop_assert!(p.distance_to(circle.centre) <= circle.radius.mm() + 1e-8);
            for (side, reach) in [p.x / a, -p.x / a, p.y / b, -p.y / b].into_iter().enumerate() {
                reached[side] |= reach > 0.5 - 1e-6;
            }
        }
        prop_assert!(reached.iter().all(|&r| r), "the box touches on all four sides");
        prop_assert!(2.0 * circle.radius.mm() <= ed + 1e-9 && 2.0 * circle.radius.mm() >= a.max(b) - 1e-6);
        let longest = outline.point(outline.towards(boxed.effective_diameter_at));
        prop_assert!((2.0 * longest.distance_to(Point::ORIGIN) - ed).abs() < 1e-9);
    }

    #[test]
    fn rays_meet_the_curve_where_they_point(outline in harmonic(), deg in 0.0..360.0f64) {
        let direction = Angle::from_deg(deg);
        let p = outline.point(outline.towards(direction));
        prop_assert!((p.x * direction.sin() - p.y * direction.cos()).abs() < 1e-9);
        prop_assert!(p.x * direction.cos() + p.y * direction.sin() > 0.0);
        prop_assert!((outline.direction_of(outline.towards(direction)).deg() - deg).abs() < 1e-9);
    }

    #[test]
    fn derivatives_are_slopes(outline in harmonic(), t in 0.1..6.1f64) {
        let h = 1e-5;
        let (a, b) = (outline.point(t - h), outline.point(t + h));
        let (d, d2) = (outline.derivative(t), outline.second_derivative(t));
        prop_assert!(((b.x - a.x) / (2.0 * h) - d.x).abs() < 1e-4 && ((b.y - a.y) / (2.0 * h) - d.y).abs() < 1e-4);
        let (a, b) = (outline.derivative(t - h), outline.derivative(t + h));
        prop_assert!(((b.x - a.x) / (2.0 * h) - d2.x).abs() < 0.05 && ((b.y - a.y) / (2.0 * h) - d2.y).abs() < 0.05);
    }

    #[test]
    fn lengths_lead_there_and_back(outline in harmonic(), t in 0.0..TAU) {
        let lengths = outline.lengths();
        prop_assert!((lengths.circumference() - outline.circumference()).abs().mm() < 1e-8);
        let back = lengths.at(lengths.up_to(t));
        prop_assert!((back - t).abs() < 1e-9, "{back} {t}");
    }

    #[test]
    fn nearest_and_farthest_bound_every_distance(outline in harmonic(), x in -40.0..40.0f64, y in -40.0..40.0f64) {
        let from = Point::new(x, y);
        let (near, far) = (outline.nearest(from).distance.mm(), outline.farthest(from).distance.mm());
        let (mut least, mut most) = (f64::INFINITY, 0.0f64);
        for i in 0..5000 {
            let d = from.distance_to(outline.point(f64::from(i) * TAU / 5000.0));
            least = least.min(d);
            most = most.max(d);
        }
        prop_assert!(near <= least + 1e-9 && near > least - 0.02);
        prop_assert!(far >= most - 1e-9 && far < most + 1e-3);
    }
}
