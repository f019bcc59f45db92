//! Conics and biconics by hand: what a parabola and a hyperbola are, where a surface ends, what goes over into what.

use lens::{CutOutline, Cutting, Ending, NoLens, Surface, Walls, volume_mm3};
use optics::Face;
use outline::{Outline, Point};
use units::{Mm, Working};

use crate::numbers::{Numbers, PLATE};

fn ellipse(a: f64, b: f64) -> CutOutline {
    CutOutline::new(Outline::ellipse(Mm::new(a), Mm::new(b)).unwrap())
}

/// A front of radius 70 mm and a plane back: at n = 1.5 and 4 mm, F₁ = 500/70, F = F₁/(1 − t F₁/n).
fn plane_backed(constant: f64) -> Numbers {
    let front = 500.0 / 70.0;
    Numbers {
        sphere_d: front / (1.0 - 0.004 / 1.5 * front),
        given_d: front,
        centre_mm: 4.0,
        conic: [constant, 0.0],
        ..PLATE
    }
}

fn close(one: &Cutting, other: &Cutting, within: f64) {
    for i in 0..90 {
        let t = f64::from(4 * i).to_radians();
        for r in [0.0, 9.0, 17.0, 24.0] {
            let at = Point::new(r * libm::cos(t), r * libm::sin(t));
            let (a, b) = (one.wall(at).unwrap(), other.wall(at).unwrap());
            assert!((a.front_depth - b.front_depth).abs().mm() < within, "{a:?} {b:?}");
            assert!((a.back_depth - b.back_depth).abs().mm() < within, "{a:?} {b:?}");
        }
    }
    let cut = ellipse(24.0, 17.0);
    let (a, b) = (volume_mm3(one, &cut).unwrap(), volume_mm3(other, &cut).unwrap());
    assert!((a - b).abs() < 1e3 * within, "{a} {b}");
}

const DECENTRED: Numbers = Numbers {
    sphere_d: -3.0,
    given_d: 6.0,
    index: 1.6,
    vertex: (5.0, -3.0),
    prism_cm_per_m: 2.0,
    base_deg: 70.0,
    ..PLATE
};

#[test]
fn a_conic_of_next_to_no_constant_is_a_sphere() {
    let conic = Numbers { conic: [1e-15, -1e-15], ..DECENTRED }.held();
    assert!(matches!(conic.lens().front(), Surface::Conic(_)) && matches!(conic.lens().back(), Surface::Conic(_)));
    close(&conic, &DECENTRED.held(), 1e-12);
}

#[test]
fn a_biconic_of_next_to_no_cylinder_is_a_conic() {
    let conic = Numbers { conic: [-0.7, 0.4], ..DECENTRED };
    for toric_front in [false, true] {
        let conic = Numbers { toric_front, given_d: 6.0, sphere_d: if toric_front { 3.0 } else { -3.0 }, ..conic };
        let biconic = Numbers { cylinder_d: -1e-8, axis_deg: 35.0, ..conic }.held();
        let made = if toric_front { biconic.lens().front() } else { biconic.lens().back() };
        assert!(matches!(made, Surface::Biconic(_)));
        // 1e-8 D are 1e-11/(n − 1) of curvature: over 30 mm 1e-8 mm.
        close(&biconic, &conic.held(), 1e-8);
    }
}

#[test]
fn a_paraboloid_lies_under_a_parabola() {
    let lens = plane_backed(-1.0).lens();
    // z = ρ²/(2r) by definition of the parabola, r = 70 its radius at the vertex.
    for (x, y) in [(10.0f64, 0.0f64), (-12.0, 16.0), (0.0, -35.0)] {
        let rho2 = x * x + y * y;
        assert!((lens.front_depth(x, y).unwrap() - rho2 / 140.0).abs() < 1e-12);
        assert!((lens.thickness_along_axis(x, y).unwrap() - (4.0 - rho2 / 140.0)).abs() < 1e-9);
    }
    // Under a circle of R the plate less half of the cylinder round the paraboloid (Archimedes).
    let straight = Numbers { front_normal: false, ..plane_backed(-1.0) }.held();
    let r: f64 = 20.0;
    let want = core::f64::consts::PI * r * r * (4.0 - 0.5 * r * r / 140.0);
    assert!((volume_mm3(&straight, &ellipse(r, r)).unwrap() - want).abs() < 1e-7);
}

#[test]
fn a_paraboloid_leans_by_its_slope() {
    // The normal at the distance X has the slope X/r; the vertex lies X (1 + X²/2r²)/sqrt(1 + X²/r²) beside it.
    let (x, r) = (8.0f64, 70.0f64);
    let slope = x / r;
    let beside = x * (1.0 + 0.5 * slope * slope) / (1.0 + slope * slope).sqrt();
    let held = Numbers { vertex: (beside, 0.0), ..plane_backed(-1.0) }.held();
    let [right, up, viewer] = held.axis_in_lens();
    // Towards the viewer the normal of a front that bulges leans away from the vertex.
    assert!((right / viewer + slope).abs() < 1e-12 && up.abs() < 1e-15, "{right} {up} {viewer}");
    let [lean_right, lean_up] = held.lean_deg(&mut Working::off());
    assert!((lean_right + libm::atan(slope).to_degrees()).abs() < 1e-10 && lean_up.abs() < 1e-13);
    let [bx, by, depth] = held.to_lens([0.0; 3]);
    assert!((bx + x).abs() < 1e-11 && by.abs() < 1e-13 && (depth - x * x / 140.0).abs() < 1e-11);
}

#[test]
fn a_hyperboloid_lies_on_its_hyperbola() {
    // Semi-axes a = r/|1 + k| along, b = r/sqrt|1 + k| across; its centre lies a before the vertex.
    let (r, k) = (70.0f64, -2.5f64);
    let (a, b2) = (r / (1.0 + k).abs(), r * r / (1.0 + k).abs());
    let lens = plane_backed(k).lens();
    for rho in [0.0, 6.0, 21.0, 34.0] {
        let z = lens.front_depth(0.6 * rho, -0.8 * rho).unwrap() + a;
        assert!((z * z / (a * a) - rho * rho / b2 - 1.0).abs() < 1e-13);
    }
}

/// The series of a conic's sagitta: c ρ²/2 + (1 + k) c³ ρ⁴/8 + (1 + k)² c⁵ ρ⁶/16 + 5 (1 + k)³ c⁷ ρ⁸/128, this one 1e-14 mm
/// at 1 mm.
#[test]
fn constants_enter_with_the_fourth_power() {
    for k in [-2.0, -0.4, 0.9] {
        let c: f64 = 1.0 / 70.0;
        let q = (1.0 + k) * c * c;
        let found = plane_backed(k).lens().front_depth(1.0, 0.0).unwrap();
        assert!((found - c * (0.5 + q * (1.0 / 8.0 + q / 16.0))).abs() < 1e-13, "{k}");
    }
}

#[test]
fn a_conic_that_does_not_reach_says_so() {
    // r = 70 and k = 8: it ends at 70/3 = 23.3 mm.
    let short = Numbers { vertex: (0.0, 0.0), ..plane_backed(8.0) };
    let held = short.held();
    assert!(held.wall(Point::new(23.3, 0.0)).is_some() && held.wall(Point::new(23.4, 0.0)).is_none());
    let ends = Walls::of(&held, &ellipse(25.0, 18.0)).unwrap_err();
    let NoLens::SurfaceEnds { face: Face::Front, cause: Ending::Conic, .. } = ends else { panic!("{ends:?}") };
    assert!(
        ends.to_string().starts_with("with its conic constant the front surface ends before it reaches ("),
        "{ends}"
    );
    assert!(ends.hint().contains("conic constant"));
    assert!(matches!(volume_mm3(&held, &ellipse(25.0, 18.0)), Err(NoLens::SurfaceEnds { .. })));
    assert!(volume_mm3(&held, &ellipse(23.0, 18.0)).is_ok());
    assert_eq!(short.lens().thickness_along_axis(23.4, 0.0), None);
    assert_eq!(short.lens().thickness_along_front_normal(23.4, 0.0), None);
}

#[test]
fn a_constant_that_is_no_number_is_refused() {
    let no = Numbers { conic: [0.0, f64::NAN], ..PLATE }.surfacing().lens(&mut Working::off(), Mm::new(2.0));
    assert!(matches!(no, Err(NoLens::Conic { .. })), "{no:?}");
}

#[test]
fn a_front_flatter_than_the_power_allows_is_named() {
    // +20 D on a plane front of 1.5: the back bulges with a radius of 500/20 = 25 mm.
    let bulging = Numbers { sphere_d: 20.0, centre_mm: 14.0, ..PLATE };
    let ends = Walls::of(&bulging.held(), &ellipse(26.0, 18.0)).unwrap_err();
    let NoLens::SurfaceEnds { face: Face::Back, cause: Ending::WrongWay, .. } = ends else { panic!("{ends:?}") };
    assert!(
        ends.to_string().starts_with("the front is flatter than the power allows: the back surface ends"),
        "{ends}"
    );
    assert!(ends.hint().contains("steeper front curve"), "{}", ends.hint());
    // A minus lens on a steep front ends for the other reason.
    let steep = Numbers { sphere_d: -8.0, given_d: 14.0, ..PLATE };
    let ends = Walls::of(&steep.held(), &ellipse(26.0, 18.0)).unwrap_err();
    assert!(matches!(ends, NoLens::SurfaceEnds { face: Face::Back, cause: Ending::Steep, .. }), "{ends:?}");
    assert!(ends.hint().contains("flatter front curve"), "{}", ends.hint());
}

/// Walls singly, and all at once, are the same: the loops and the formula.
#[test]
fn walls_in_a_loop_are_the_walls_one_by_one() {
    let cut = ellipse(25.0, 18.0);
    let conics = [[0.0, 0.0], [-0.6, 0.3], [0.2, -1.4]];
    for (conic, cylinder_d, deeper_mm) in
        conics.iter().flat_map(|&c| [(c, 0.0, 0.0), (c, -2.0, 0.0), (c, -2.0, 0.4), (c, 0.0, -0.3)])
    {
        for prism_cm_per_m in [0.0, 4.0] {
            for front_normal in [false, true] {
                let held =
                    Numbers { conic, cylinder_d, deeper_mm, prism_cm_per_m, front_normal, axis_deg: 25.0, ..DECENTRED }
                        .held();
                let thinnest = Walls::of(&held, &cut).unwrap().thinnest().mm();
                let one_by_one = (0..400)
                    .map(|i| cut.outline().point(f64::from(i) * core::f64::consts::TAU / 400.0))
                    .map(|p| held.wall(p).unwrap().thickness().mm())
                    .fold(f64::INFINITY, f64::min);
                assert!((thinnest - one_by_one).abs() < 1e-11, "{held:?}");
            }
        }
    }
}
