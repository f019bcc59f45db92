//! What wear would do to the powers: advice only. Powers are made as ordered, unless the order has compensated ones.

use job::{Eye, Finding, Order, kinds};
use optics::tilt_check::{CrossTerm, Tilt, sphero_cylinder};
use optics::{OrderedPower, PowerMatrix, vertex};
use units::maths::{abs, hypot};
use units::{Angle, Working};

use crate::said::{fixed, mm1, signed2};

/// An eighth of a dioptre: less than that nobody orders.
const WORTH_SAYING_D: f64 = 0.12;

/// Vertex distance and tilt against the power as it is made.
pub(crate) fn wear(
    w: &mut Working,
    order: &Order,
    eye: Eye,
    power: OrderedPower,
    index: f64,
    found: &mut Vec<Finding>,
) {
    if order.prescription.compensated[eye].is_some() {
        return;
    }
    if let (Some(refracted), Some(worn)) = (order.prescription.refraction_vertex, order.wearer.worn_vertex) {
        w.figure(eye.word(), "advice.vertex_d");
        let needed = vertex::compensated(w, power.computed(), refracted, worn);
        let made = power.computed();
        let (sphere, across) = ((needed.sphere - made.sphere).dioptres(), (needed.across() - made.across()).dioptres());
        let off = if abs(across) > abs(sphere) { across } else { sphere };
        if abs(off) >= WORTH_SAYING_D {
            found.push(
                Finding::new(&kinds::VERTEX_ADVICE, "power", signed2(off)).of(eye).limit(fixed(WORTH_SAYING_D, 2)).unit("D").weighs(abs(off)).says(
                    format!(
                        "refracted at {} mm and worn at {} mm, the eye would need {} D more; the power is made as ordered",
                        mm1(refracted.mm()),
                        mm1(worn.mm()),
                        signed2(off)
                    ),
                    "ask the prescriber whether to compensate, and write the compensated powers",
                ),
            );
        }
    }
    let tilt = Tilt::of(
        Angle::from_deg(order.frame.pantoscopic_deg.unwrap_or(0.0)),
        Angle::from_deg(order.frame.face_form_deg.unwrap_or(0.0) * -eye.nasal()),
    );
    let made = PowerMatrix::from(power.computed());
    let worn = PowerMatrix::from(sphero_cylinder(power.computed(), tilt, index, CrossTerm::Arithmetic));
    let change = worn - made;
    let cylinder = 2.0 * hypot((change.xx - change.yy).dioptres() / 2.0, change.xy.dioptres());
    if cylinder >= WORTH_SAYING_D {
        found.push(
            Finding::new(&kinds::TILT_ADVICE, "power", fixed(cylinder, 2)).of(eye).limit(fixed(WORTH_SAYING_D, 2)).unit("D").weighs(cylinder).says(
                format!(
                    "tilt and face form add about {} D of cylinder as worn (thin-lens check); the power is made as ordered",
                    fixed(cylinder, 2)
                ),
                "straighten the frame where the face allows, or ask for compensated powers",
            ),
        );
    }
}
