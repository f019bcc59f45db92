//! Cases about tilted lenses by the thin-lens formulas, which check and never feed a plan.

use optics::SpheroCylinder;
use optics::tilt_check::{self, CrossTerm, Tilt};
use units::Angle;

use crate::case::{Case, Found};

pub(crate) fn sphere(case: &Case) -> Found {
    let power = case.power("sphere_d");
    let index = if case.has("two_n") { case.number("two_n") / 2.0 } else { case.number("index") };
    let tilt = Tilt::of(case.angle("tilt_deg"), Angle::ZERO);
    let exact = tilt_check::coddington(power, tilt, index);
    Found::none()
        .sphero_cylinder(tilt_check::martin(power, tilt, index))
        .power("sphere_thin_lens_exact_d", exact.sphere)
        .power("cyl_thin_lens_exact_d", exact.cylinder)
}

/// Two published forms of one angle; ours is a third.
pub(crate) fn combined(case: &Case) -> Found {
    let angle = Tilt::of(case.angle("pantoscopic_deg"), case.angle("face_form_deg")).angle.deg();
    Found::none().number("effective_tilt_deg", angle).number("via_tangent_deg", angle)
}

pub(crate) fn sphero_cylinder(case: &Case) -> Found {
    let tilt = Tilt::of(case.angle("pantoscopic_deg"), case.angle("face_form_deg"));
    let worn = |cross| tilt_check::sphero_cylinder(case.sphero_cylinder(), tilt, case.number("index"), cross);
    let geometric: SpheroCylinder = worn(CrossTerm::Geometric);
    Found::none()
        .sphero_cylinder(worn(CrossTerm::Arithmetic))
        .power("geometric_sphere_d", geometric.sphere)
        .power("geometric_cyl_d", geometric.cylinder)
        .number("geometric_axis_deg", geometric.axis.axis_deg())
}

/// `power.tilt.martin`
pub(crate) fn fact_martin(case: &Case) -> Found {
    let made =
        tilt_check::martin(case.power("power"), Tilt::of(case.angle("angle"), Angle::ZERO), case.number("index"));
    Found::none().power("sphere", made.sphere).power("cylinder", made.cylinder)
}

/// `power.wrap-prism.1`
pub(crate) fn fact_wrap_prism(case: &Case) -> Found {
    let found = tilt_check::prism_of_face_form(
        units::Mm::new(case.number("thickness_m") * 1000.0),
        case.number("index"),
        case.power("front_curve"),
        case.angle("angle"),
    );
    Found::none().number("expect", found.cm_per_m())
}
