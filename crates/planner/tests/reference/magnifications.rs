//! Cases about image size: shape and power factor, the two eyes, fronts that equalise.

use optics::SpheroCylinder;
use optics::magnification::{self, SIZE_LENS_LIMITS, SizeLensLimits, Worn};
use units::{Angle, Dioptre, Mm, Working};

use crate::case::{Case, Found};

/// A spherical lens of a back vertex power, a front power and a centre thickness before an eye.
fn worn(bvp: f64, front: f64, centre: f64, index: f64, to_eye: Mm) -> Worn {
    let sphere = |power| SpheroCylinder::spherical(Dioptre::new(power));
    Worn { front: sphere(front), bvp: sphere(bvp), centre: Mm::new(centre), index, to_eye }
}

fn of(case: &Case, to_eye: &str) -> Worn {
    let [bvp, front, centre] = ["bvp_d", "front_power_d", "center_thickness_mm"].map(|key| case.number(key));
    worn(bvp, front, centre, case.number("index"), case.length(to_eye))
}

fn total(worn: Worn) -> f64 {
    magnification::magnification(&mut Working::off(), worn, Angle::ZERO)
}

pub(crate) fn factors(case: &Case) -> Found {
    let (w, worn) = (&mut Working::off(), of(case, "vertex_mm"));
    Found::none()
        .number("shape_factor", magnification::shape_factor(w, worn.front.sphere, worn.centre, worn.index))
        .number("power_factor", magnification::power_factor(w, worn.bvp.sphere, worn.to_eye))
        .number("spectacle_magnification", total(worn))
}

/// In percent more than without the lens.
pub(crate) fn percent(case: &Case) -> Found {
    let with = total(of(case, "lens_to_entrance_pupil_mm"));
    Found::none().number("percent_exact", magnification::difference_percent(&mut Working::off(), with, 1.0))
}

pub(crate) fn eyes(case: &Case) -> Found {
    let (index, vertex) = (case.number("index"), case.length("vertex_mm"));
    let [right, left] = ["right", "left"].map(|eye| {
        let [bvp, front, centre] = case.list(eye)[..] else { panic!("{}: `{eye}` has three numbers", case.id) };
        total(worn(bvp, front, centre, index, vertex))
    });
    let difference = magnification::difference_percent(&mut Working::off(), right, left);
    Found::none().number("right_sm", right).number("left_sm", left).number("difference_percent", difference)
}

/// The front, and the thickness that the front needs in turn, which must be the case's own.
pub(crate) fn iseikonic(case: &Case) -> Found {
    let (w, index, centre) = (&mut Working::off(), case.number("index"), case.length("center_thickness_mm"));
    let shape = case.number("wanted_shape_factor");
    let front = magnification::front_for_shape_factor(w, shape, centre, index).expect("a front");
    let again = magnification::centre_for_shape_factor(w, shape, front, index).expect("a centre");
    assert!((again - centre).abs().mm() < 1e-9, "{again:?}");
    Found::none().power("front_power_d", front)
}

/// `curve.eikonic-limits`
pub(crate) fn fact_size_lens_limits(_: &Case) -> Found {
    let SizeLensLimits { above_power, flattest, above_usual, apart } = SIZE_LENS_LIMITS;
    Found::none()
        .power("above_back_power", above_power)
        .power("flattest", flattest)
        .power("above_normal", above_usual)
        .power("apart", apart)
}
