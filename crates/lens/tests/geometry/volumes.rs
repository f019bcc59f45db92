//! Volume against a quadrature of the thickness over the area, and against what geometry says of it.

use lens::{CutOutline, Cutting};
use outline::{Outline, Point};
use proptest::prelude::*;
use units::Mm;

use crate::numbers::{Numbers, PLATE, any_lens};

fn cut(outline: Outline) -> CutOutline {
    CutOutline::new(outline)
}

fn ellipse() -> Outline {
    Outline::ellipse(Mm::new(24.0), Mm::new(17.0)).unwrap()
}

/// Thickness over an ellipse by brute force: x = a r cos t, y = b r sin t, the mean over 64 directions (exact for what has
/// no higher harmonics) times Simpson's rule over 400 steps of r².
fn by_brute_force(held: &Cutting, a: f64, b: f64) -> f64 {
    let mean = |r: f64| {
        let sum: f64 = (0..64)
            .map(|i| {
                let t = f64::from(i) * core::f64::consts::TAU / 64.0;
                let p = Point::new(a * r * libm::cos(t), b * r * libm::sin(t));
                held.wall(p).unwrap().thickness().mm()
            })
            .sum();
        sum / 64.0
    };
    let n = 400;
    let simpson: f64 = (0..=n)
        .map(|i| {
            let weight = if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            weight * mean((f64::from(i) / f64::from(n)).sqrt())
        })
        .sum();
    core::f64::consts::PI * a * b * simpson / (3.0 * f64::from(n))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn volume_is_the_integral_of_the_thickness(numbers in any_lens()) {
        let held = numbers.held();
        let volume = lens::volume_mm3(&held, &cut(ellipse())).unwrap();
        let brute = by_brute_force(&held, 24.0, 17.0);
        prop_assert!((volume - brute).abs() < 1e-9 * 2000.0, "{volume} {brute}");
    }

    #[test]
    fn a_millimetre_more_at_the_centre_of_fixed_surfaces_is_a_plate_more(
        numbers in any_lens(), more in 0.1f64..2.0,
    ) {
        // The same surfaces further apart: the power is read off the first lens and ordered for the second.
        let first = Numbers { prism_cm_per_m: 0.0, front_normal: false, barrel: false, deeper_mm: 0.0, ..numbers };
        let thick = Mm::new(first.centre_mm + more);
        let lens = first.lens();
        let power = optics::vertex::back_vertex_power_toric(lens.front_power(), lens.back_power(), thick, lens.index());
        let again = lens::Surfacing { power, ..first.surfacing() };
        prop_assume!(!first.toric_front);
        let vertex = Point::new(first.vertex.0, first.vertex.1);
        let other = again.lens(&mut units::Working::off(), thick).unwrap();
        let held = |lens| Cutting::new(lens, vertex, &first.block()).unwrap();
        let cut = cut(ellipse());
        let volume = |lens| lens::volume_mm3(&held(lens), &cut).unwrap();
        let plate = more * core::f64::consts::PI * 24.0 * 17.0;
        prop_assert!((volume(other) - volume(lens) - plate).abs() < 1e-6, "{} {plate}", volume(other) - volume(lens));
    }
}

/// A trace is a cubic of many pieces: the same shape as a formula and as 400 points has one volume.
#[test]
fn a_cubic_through_exact_points_has_the_volume_of_the_formula() {
    let numbers = Numbers {
        sphere_d: -4.0,
        cylinder_d: -2.5,
        axis_deg: 25.0,
        index: 1.6,
        given_d: 4.0,
        centre_mm: 1.6,
        vertex: (3.0, 1.0),
        ..PLATE
    };
    let exact = Outline::ellipse(Mm::new(25.0), Mm::new(18.0)).unwrap();
    let angles: Vec<units::Angle> = (0..400).map(|i| units::Angle::from_deg(f64::from(i) * 0.9)).collect();
    let radii: Vec<Mm> = angles.iter().map(|a| Mm::new(exact.radius(a.rad()).0)).collect();
    let cubic = Outline::exact(&angles, &radii).unwrap();
    let held = numbers.held();
    let (a, b) = (lens::volume_mm3(&held, &cut(exact)).unwrap(), lens::volume_mm3(&held, &cut(cubic)).unwrap());
    // The cubic itself leaves the ellipse by up to 1e-7 mm.
    assert!((a - b).abs() < 1e-7 * a, "{a} {b}");
}

/// A plate between planes, held at any lean, is area times thickness; and a lens that is cut along another axis keeps its
/// thickness at the vertex in the mean, so that a lean of the axis must not show in a plate.
#[test]
fn a_plate_is_area_times_thickness() {
    let plate = Numbers { sphere_d: 0.0, index: 1.5, given_d: 0.0, centre_mm: 2.25, vertex: (3.0, 1.0), ..PLATE };
    let volume = lens::volume_mm3(&plate.held(), &cut(ellipse())).unwrap();
    assert!((volume - 2.25 * core::f64::consts::PI * 24.0 * 17.0).abs() < 1e-8, "{volume}");
}
