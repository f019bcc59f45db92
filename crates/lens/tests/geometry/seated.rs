//! The seat against what plane geometry and a sphere in a sphere give.

use job::EdgeRun;
use lens::{EdgeForm, EdgeRoom, EdgeRules, MOST_TILT_DEG, Size, cut_off_mm3, seat, sized};
use outline::{Depth, Outline, Places, SpaceLine};
use proptest::prelude::*;
use units::{Angle, Mm};

use crate::numbers::{Numbers, PLATE};

/// As the rules have it.
const GAP_GIVEN: Mm = Mm::new(0.03);
const LEAST: Mm = Mm::new(0.3);
const PLACES: usize = 720;
const DEG: f64 = core::f64::consts::PI / 180.0;

fn shape() -> Outline {
    Outline::superellipse(Mm::new(26.0), Mm::new(18.0), 2.6).unwrap()
}

/// The room of a lens about its own axis.
fn room(numbers: Numbers, places: &Places) -> EdgeRoom {
    EdgeRoom::of(&numbers.held(), places, LEAST, LEAST).unwrap()
}

fn on_sphere(outline: &Outline, places: &Places, curve_d: f64) -> SpaceLine {
    SpaceLine::of_rim(outline, places, &Depth::sphere(Mm::new(530.0 / curve_d)).unwrap()).unwrap()
}

/// Powers on 1.530, so that 530/D is the radius of a front.
fn minus() -> Numbers {
    Numbers { index: 1.53, given_d: 4.0, sphere_d: -4.0, centre_mm: 2.0, ..PLATE }
}

/// By hand: a rim on the sphere of the front, shifted back by the least shoulder, is followed all round.
#[test]
fn a_rim_parallel_to_the_front_has_no_gap() {
    let outline = shape();
    let places = outline.places(PLACES);
    let room = room(minus(), &places);
    let rim = on_sphere(&outline, &places, 4.0);
    let seated = seat(&rim, &places, &room, GAP_GIVEN, None).unwrap();
    assert!(seated.gap_rms.mm() < 1e-6 && seated.gap_least_rms.mm() < 1e-9, "{:?}", seated.gap_rms);
    assert!((seated.mean_front_shoulder - LEAST).abs().mm() < 1.1e-3, "{:?}", seated.mean_front_shoulder);
    assert!(seated.seat.tilt_x.deg().abs() < 1e-4 && seated.seat.tilt_y.deg().abs() < 1e-4, "{:?}", seated.seat);
    // The turning point lies at the rim's mean depth: on the apex line's own mean, a shoulder behind the front.
    assert!((seated.seat.forward.mm() + rim.mean_depth() + 0.3).abs() < 2e-3, "{:?}", seated.seat);
    assert!(seated.side_greatest.mm() < 1e-3);
}

/// A rim that leans by known angles in its trace: the seat gives them back, turned the other way.
#[test]
fn a_leaning_rim_gives_its_lean_back() {
    let outline = shape();
    let places = outline.places(PLACES);
    let room = room(minus(), &places);
    let flat = on_sphere(&outline, &places, 4.0);
    // Turned about x by 2 degrees and about y by −3 it comes to lie flat: the trace is what the inverse makes of it.
    let ((sin_x, cos_x), (sin_y, cos_y)) = (libm::sincos(2.0 * DEG), libm::sincos(-3.0 * DEG));
    let mean = flat.mean_depth();
    let untilted: Vec<f64> = (0..PLACES)
        .map(|i| {
            let (x, y, z) = (places.x[i], places.y[i], mean - flat.depths()[i]);
            let z = x * sin_y + z * cos_y;
            y * sin_x - z * cos_x
        })
        .collect();
    let rim = SpaceLine::new(&places, untilted).unwrap();
    let seated = seat(&rim, &places, &room, Mm::ZERO, None).unwrap();
    assert!((seated.seat.tilt_x.deg() - 2.0).abs() < 0.05, "{:?}", seated.seat);
    assert!((seated.seat.tilt_y.deg() + 3.0).abs() < 0.05, "{:?}", seated.seat);
}

/// The front's own room is used before the rim is asked to give: among apexes that meet the rim the foremost is taken.
#[test]
fn a_rim_inside_a_thick_edge_is_met_to_the_gap_that_may_be_given() {
    let outline = shape();
    let places = outline.places(PLACES);
    let room = room(Numbers { sphere_d: -8.0, given_d: 2.0, ..minus() }, &places);
    let rim = on_sphere(&outline, &places, 4.0);
    let seated = seat(&rim, &places, &room, GAP_GIVEN, None).unwrap();
    assert!(seated.gap_least_rms.mm() < 1e-9);
    assert!((seated.gap_rms.mm() - 0.03).abs() < 2e-3, "{:?}", seated.gap_rms);
    let mean: f64 = seated.gap.iter().zip(seated.apex.weights()).map(|(g, w)| g * w).sum();
    assert!(mean.abs() < 1e-6, "the seat is the nearest: {mean}");
}

#[test]
fn a_rim_flatter_than_the_lens_can_follow_leaves_a_gap() {
    let outline = shape();
    let places = outline.places(PLACES);
    let lens = Numbers { index: 1.53, given_d: 8.0, sphere_d: -0.5, centre_mm: 1.2, ..PLATE };
    let room = room(lens, &places);
    let rim = on_sphere(&outline, &places, 1.0);
    let seated = seat(&rim, &places, &room, GAP_GIVEN, None).unwrap();
    assert!(seated.gap_least_rms.mm() > 0.1, "{:?}", seated.gap_least_rms);
    assert!(seated.gap_rms.mm() <= seated.gap_least_rms.mm() + 0.03 + 1e-6);
    assert!(seated.seat.tilt_x.deg().abs() < MOST_TILT_DEG);
}

/// Design: the apex line is as long in space as the rim line and what is wanted beyond, to a micrometre.
#[test]
fn the_apex_is_as_long_as_wanted() {
    let outline = shape();
    let places = outline.places(PLACES);
    for (curve_d, beyond) in [(4.0, 0.0), (6.0, 0.3), (2.0, -0.2), (8.0, 0.6)] {
        let depth = Depth::sphere(Mm::new(530.0 / curve_d)).unwrap();
        let rim = SpaceLine::of_rim(&outline, &places, &depth).unwrap();
        let length = outline::circumference_in_space(&outline, &depth).unwrap() + Mm::new(beyond);
        let rules = EdgeRules { front_shoulder: LEAST, back_shoulder: LEAST, gap_given: GAP_GIVEN, run: EdgeRun::RIM };
        let found =
            sized(&outline, Some(&rim), &minus().held(), &rules, Size::Length { length, guess: Mm::ZERO }).unwrap();
        // Added up as straight lines between ten times as many places.
        let n = 3600;
        let fine = found.outline.places(n);
        let at = |k: usize| {
            let (i, share) = (k / 10, (k % 10) as f64 / 10.0);
            let d = found.line.depths();
            let (a, b, c, e) = (d[(i + 359) % 360], d[i], d[(i + 1) % 360], d[(i + 2) % 360]);
            // The cubic through four neighbours.
            let t = share;
            -a * t * (t - 1.0) * (t - 2.0) / 6.0 + b * (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0
                - c * (t + 1.0) * t * (t - 2.0) / 2.0
                + e * (t + 1.0) * t * (t - 1.0) / 6.0
        };
        let polygon: f64 = (0..n)
            .map(|k| {
                let (p, q, rise) = (fine.at(k), fine.at((k + 1) % n), at((k + 1) % n) - at(k));
                ((q - p).dot(q - p) + rise * rise).sqrt()
            })
            .sum();
        assert!((polygon - length.mm()).abs() < 1e-3, "{curve_d} {polygon} {}", length.mm());
    }
}

/// Reference facts, frame.size-per-radius: 0.1 mm of radius all round is 0.6283 mm of circumference, whatever the shape.
#[test]
fn a_tenth_of_radius_is_two_pi_of_a_tenth_round() {
    for outline in [shape(), Outline::rounded_rectangle(Mm::new(54.0), Mm::new(34.0), Mm::new(10.0)).unwrap()] {
        let grown = outline.offset(Mm::new(0.1)).unwrap();
        let by = (grown.circumference() - outline.circumference()).mm();
        assert!((by - 0.6283).abs() < 1e-4, "{by}");
    }
}

/// By hand: a plate of 4 mm round a circle of 25 mm, its bevel in the middle, 90 degrees and 1 mm high. The section that
/// goes is two trapezia, each 2 mm at the outline and 1 mm at the foot: 1.5 mm2 with its centroid 4/9 mm inwards.
#[test]
fn a_bevel_takes_off_what_plane_geometry_says() {
    let circle = Outline::circle(Mm::new(25.0)).unwrap();
    let places = circle.places(360);
    let held = Numbers { centre_mm: 4.0, ..PLATE }.held();
    let room = EdgeRoom::of(&held, &places, LEAST, LEAST).unwrap();
    let apex = SpaceLine::new(&places, vec![2.0; 360]).unwrap();
    let form = EdgeForm::Bevel { angle: Angle::from_deg(90.0), height: Mm::new(1.0), step: Mm::ZERO };
    let off = cut_off_mm3(&held, &places, &room, &apex, form).unwrap();
    let by_hand = 2.0 * 1.5 * core::f64::consts::TAU * (25.0 - 4.0 / 9.0);
    assert!((off - by_hand).abs() < 0.01, "{off} {by_hand}");
    // Stepped by half a millimetre: behind the foot, 1 mm behind the apex, 1 mm of edge goes in a ring of 23.5 to 24 mm.
    let stepped = EdgeForm::Bevel { angle: Angle::from_deg(90.0), height: Mm::new(1.0), step: Mm::new(0.5) };
    let off = cut_off_mm3(&held, &places, &room, &apex, stepped).unwrap();
    let by_hand = by_hand + core::f64::consts::PI * (24.0 * 24.0 - 23.5 * 23.5);
    assert!((off - by_hand).abs() < 0.01, "{off} {by_hand}");
    // A groove of 0.6 by 0.6 in it: its middle 0.3 mm inwards.
    let groove = EdgeForm::Groove { width: Mm::new(0.6), depth: Mm::new(0.6) };
    let off = cut_off_mm3(&held, &places, &room, &apex, groove).unwrap();
    let by_hand = 0.36 * core::f64::consts::TAU * (25.0 - 0.3);
    assert!((off - by_hand).abs() < 0.001, "{off} {by_hand}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A wider least shoulder never lowers the least gap.
    #[test]
    fn a_wider_shoulder_never_lowers_the_gap(curve in 0.5f64..8.0, front in 3.0f64..8.0, sphere in -6.0f64..3.0,
        wider in 0.0f64..0.6) {
        let outline = shape();
        let places = outline.places(240);
        let lens = Numbers { index: 1.6, given_d: front, sphere_d: sphere, centre_mm: 3.6, ..PLATE };
        let held = lens.held();
        let rim = on_sphere(&outline, &places, curve);
        let gap = |shoulder: f64| {
            let room = EdgeRoom::of(&held, &places, Mm::new(shoulder), Mm::new(shoulder)).ok()?;
            let seated = seat(&rim, &places, &room, GAP_GIVEN, None).unwrap();
            Some((seated.gap_least_rms.mm(), room.squeezed))
        };
        let (Some((near, _)), Some((far, squeezed))) = (gap(0.3), gap(0.3 + wider)) else { return Ok(()) };
        prop_assume!(squeezed.is_none());
        prop_assert!(far >= near - 1e-6, "{near} {far}");
    }

    /// Whatever may be given away, a seat comes to rest, within its bounds and with no more gap than that; but for 0.1 um,
    /// below which a gap counts as none, and what that leaves open where few places touch.
    #[test]
    fn a_seat_comes_to_rest_whatever_may_be_given(curve in 0.0f64..8.5, front in 1.0f64..8.0, sphere in -8.0f64..4.0,
        centre in 1.0f64..4.0, x in -4.0f64..4.0, y in -3.0f64..3.0, twist in -2.0f64..2.0, wave in -0.3f64..0.3,
        shoulder in 0.0f64..0.6, given in prop_oneof![Just(0.0), Just(0.0005), Just(0.002), Just(0.03), 0.0f64..0.2],
        coarse in any::<bool>()) {
        let outline = shape();
        let places = outline.places(if coarse { 48 } else { 360 });
        let lens = Numbers { index: 1.6, given_d: front, sphere_d: sphere, centre_mm: centre, vertex: (x, y), ..PLATE };
        let Ok(room) = EdgeRoom::of(&lens.held(), &places, Mm::new(shoulder), Mm::new(shoulder)) else { return Ok(()) };
        let sphere = on_sphere(&outline, &places, curve.max(0.01));
        let rim: Vec<f64> = (0..places.len())
            .map(|i| {
                let twisted = twist * places.x[i] * places.y[i] / (26.0 * 18.0);
                sphere.depths()[i] + twisted + wave * libm::cos(3.0 * places.t[i])
            })
            .collect();
        let rim = SpaceLine::new(&places, rim).unwrap();
        let seated = seat(&rim, &places, &room, Mm::new(given), None).unwrap();
        let over = (seated.gap_rms - seated.gap_least_rms).mm() - given.max(1e-4);
        prop_assert!(over < 5e-5, "{over}");
        for (i, &depth) in seated.apex.depths().iter().enumerate() {
            prop_assert!(room.least[i] <= depth && depth <= room.most[i]);
        }
    }

    /// The mirrored rim on the mirrored lens sits as the mirror image.
    #[test]
    fn mirrored_sits_mirrored(curve in 1.0f64..8.0, x in -3.0f64..3.0, y in -2.0f64..2.0, sphere in -6.0f64..2.0) {
        let outline = shape();
        let places = outline.places(240);
        let lens = Numbers { index: 1.6, given_d: 5.0, sphere_d: sphere, centre_mm: 3.0, vertex: (x, y), front_normal: true, ..PLATE };
        let other = Numbers { vertex: (-x, y), ..lens };
        let rim = on_sphere(&outline, &places, curve);
        let sit = |lens: Numbers| {
            let held = lens.held();
            let room = EdgeRoom::of(&held, &places, LEAST, LEAST).ok()?;
            Some(seat(&rim, &places, &room, GAP_GIVEN, None).unwrap())
        };
        let (Some(a), Some(b)) = (sit(lens), sit(other)) else { return Ok(()) };
        prop_assert!((a.gap_rms - b.gap_rms).abs().mm() < 1e-6);
        prop_assert!((a.seat.forward - b.seat.forward).abs().mm() < 1e-5, "{:?} {:?}", a.seat, b.seat);
        prop_assert!((a.seat.tilt_x.deg() - b.seat.tilt_x.deg()).abs() < 1e-4);
        prop_assert!((a.seat.tilt_y.deg() + b.seat.tilt_y.deg()).abs() < 1e-4);
    }
}
