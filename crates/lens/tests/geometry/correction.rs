//! The thickness correction: nothing at the vertex, exact where it was measured, its power of the distance between.

use lens::{HalfExponent, NoLens};
use proptest::prelude::*;
use units::{Angle, Mm};

use crate::numbers::{Numbers, PLATE, any_lens, mean_thickness};

const HALVES: [(HalfExponent, f64); 3] =
    [(HalfExponent::One, 2.0), (HalfExponent::Two, 4.0), (HalfExponent::Three, 6.0)];

proptest! {
    #[test]
    fn it_is_exact_where_it_was_measured(numbers in any_lens(), deg in 0.0f64..360.0, radius in 5.0f64..26.0, deeper in -0.5f64..0.5) {
        let base = Numbers { deeper_mm: 0.0, ..numbers }.lens();
        let (at, r) = (Angle::from_deg(deg), Mm::new(radius));
        let (x, y) = (radius * at.cos(), radius * at.sin());
        for (half, _) in HALVES {
            let check = base.thickness_along_axis(x, y).unwrap() + deeper;
            let lens = base.corrected(Mm::new(check), r, Some(at), half).unwrap();
            prop_assert!((lens.thickness_along_axis(x, y).unwrap() - check).abs() < 1e-12);
            prop_assert!((lens.thickness_along_axis(0.0, 0.0).unwrap() - base.centre().mm()).abs() < 1e-14);
            // Without a direction it is the mean that is met.
            let mean = mean_thickness(&base, radius) + deeper;
            let lens = base.corrected(Mm::new(mean), r, None, half).unwrap();
            prop_assert!((mean_thickness(&lens, radius) - mean).abs() < 1e-12, "{}", mean_thickness(&lens, radius) - mean);
            // The front, and the powers at the vertices, are what they were.
            prop_assert_eq!(lens.front(), base.front());
            prop_assert_eq!(lens.back_vertex_power(), base.back_vertex_power());
        }
    }

    /// Without ground prism the thickness along the lens axis is the uncorrected one and a rᵐ, everywhere.
    #[test]
    fn between_it_grows_with_its_power(numbers in any_lens(), deg in 0.0f64..360.0, at in 0.0f64..28.0, deeper in -0.5f64..0.5) {
        let base = Numbers { deeper_mm: 0.0, prism_cm_per_m: 0.0, ..numbers }.lens();
        let a = Angle::from_deg(deg);
        let (x, y) = (at * a.cos(), at * a.sin());
        for (half, m) in HALVES {
            let check = base.thickness_along_axis(22.0, 0.0).unwrap() + deeper;
            let lens = base.corrected(Mm::new(check), Mm::new(22.0), Some(Angle::ZERO), half).unwrap();
            let added = lens.thickness_along_axis(x, y).unwrap() - base.thickness_along_axis(x, y).unwrap();
            prop_assert!((added - deeper * libm::pow(at / 22.0, m)).abs() < 1e-12, "{half:?} {added}");
            prop_assert!((lens.correction(Mm::new(at)).mm() - added).abs() < 1e-12);
        }
    }
}

/// A correction by the square of the distance is what another curve would do near the vertex: c/2 more per mm².
#[test]
fn by_the_square_it_bends_the_back() {
    let base = Numbers { sphere_d: -2.0, given_d: 5.0, ..PLATE }.lens();
    let check = base.thickness_along_axis(20.0, 0.0).unwrap() + 0.4;
    let lens = base.corrected(Mm::new(check), Mm::new(20.0), None, HalfExponent::One).unwrap();
    let added = lens.thickness_along_axis(0.0, 10.0).unwrap() - base.thickness_along_axis(0.0, 10.0).unwrap();
    assert!((added - 0.1).abs() < 1e-12);
}

/// Measured again where the same thickness stands, a corrected lens is the one that it was before.
#[test]
fn a_check_that_agrees_corrects_nothing() {
    let base = Numbers { sphere_d: -2.0, cylinder_d: -1.5, axis_deg: 20.0, given_d: 5.0, ..PLATE }.lens();
    let (at, r) = (Angle::from_deg(130.0), Mm::new(24.0));
    let check = base.thickness_along_axis(24.0 * at.cos(), 24.0 * at.sin()).unwrap();
    assert_eq!(base.corrected(Mm::new(check), r, Some(at), HalfExponent::Two).unwrap(), base);
    // And a second correction takes the place of the first.
    let other = base.corrected(Mm::new(check + 0.5), r, Some(at), HalfExponent::Three).unwrap();
    assert_eq!(other.corrected(Mm::new(check), r, Some(at), HalfExponent::Two).unwrap(), base);
}

#[test]
fn where_no_thickness_can_be_measured_there_is_none() {
    // A front of 100 D on 1.5 is a sphere of 5 mm.
    let small = Numbers { sphere_d: 120.0, given_d: 100.0, centre_mm: 1.0, ..PLATE }.lens();
    for (lens, radius) in [(small, 6.0), (PLATE.lens(), 0.0), (PLATE.lens(), -3.0), (PLATE.lens(), f64::NAN)] {
        for direction in [None, Some(Angle::from_deg(40.0))] {
            let no = lens.corrected(Mm::new(3.0), Mm::new(radius), direction, HalfExponent::Two);
            assert!(matches!(no, Err(NoLens::CheckPlace { .. })), "{no:?}");
        }
    }
}
