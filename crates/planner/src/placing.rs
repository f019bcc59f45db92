//! Placing: where the pupil looks through the lens, and where the optical centre must go for it.

use job::prescription::InUp;
use job::rules::Rules;
use job::{Eye, FarPd, Finding, LensForm, LensUse, Order, kinds};
use optics::prism::CannotGivePrism;
use optics::{Offset, PowerMatrix, Prism};
use units::maths::{cos_deg, sin_deg, tan_deg};
use units::{CmPerM, Mm, Working, step};

use crate::intake::HEIGHT_RIM_MM;
use crate::plan::{Place, PrismPlan};
use crate::said::{fixed, mm1, mm2};

const ALONG_THE_LENS: &str =
    "boxing system, measured along the lens; the lens turned by the face form about its middle";
const LOWERING: &str = "27 mm x sin(tilt) along the lens; Atchison and Tame 1993 give about 0.5 mm a degree";

/// The pupillary distance of one eye for the pair's use, with the notes that it deserves.
///
/// `None` where the order lacks what the use needs; the finding says what.
pub fn pupillary_distance(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    eye: Eye,
    found: &mut Vec<Finding>,
) -> Option<Mm> {
    let far = match order.wearer.far_pd {
        Some(FarPd::Monocular(pd)) => pd[eye],
        Some(FarPd::Binocular(both)) => {
            if order.eyes.made().first() == Some(&eye) {
                found.push(Finding::new(&kinds::PD_HALVED, "wearer.binocular_pd_mm", mm1(both.mm())).unit("mm").says(
                    format!("{} mm between the pupils was halved; most faces are a little uneven", mm1(both.mm())),
                    "measure each eye from the middle of the nose where the power is strong",
                ));
            }
            w.figure(eye.word(), "pd_mm");
            let binocular = both.mm();
            Some(Mm::new(step!(w, pd = binocular / 2.0; binocular["mm"]; "mm", "halved: common practice, no source")))
        }
        Some(FarPd::BoxedCentres) | None => None,
    };
    if order.lens.purpose == LensUse::Distance {
        return far;
    }
    if let Some(near) = order.wearer.near_pd[eye] {
        return Some(near);
    }
    match (far, order.lens.task_distance) {
        (Some(far), Some(task)) => {
            w.figure(eye.word(), "pd_mm");
            let near = optics::near::near_pd(w, far, task, rules.eye.rotation);
            found.push(
                Finding::new(&kinds::NEAR_PD_FIGURED, "wearer.near_pd_mm", mm1(near.mm())).of(eye).unit("mm").says(
                    format!(
                        "near pupillary distance {} mm, figured from far {} mm and the task at {} mm",
                        mm1(near.mm()),
                        mm1(far.mm()),
                        fixed(task.mm(), 0)
                    ),
                    "measure it where it matters",
                ),
            );
            Some(near)
        }
        _ => {
            found.push(Finding::new(&kinds::NO_NEAR_PD, "wearer.near_pd_mm", "none").of(eye).weighs(5.0).says(
                "a near pair needs the near pupillary distance, or the far one with the task distance",
                "measure the near distance, or write task_distance_mm",
            ));
            None
        }
    }
}

/// What placing needs of the frame.
#[derive(Debug, Clone, Copy)]
pub struct Seat {
    /// Box width and height of this eye's outline.
    pub box_width: Mm,
    /// Box height.
    pub box_height: Mm,
    /// Distance between lenses.
    pub between_lenses: Mm,
}

/// The point before the pupil, from the boxed centre, for a lens of a given form.
///
/// in = (d/2 + a/2·cos w − PD)/cos w, exact at the boxed centre's level. Heights are along the lens; that of the pupil
/// is lowered for tilt where the rules say so.
pub fn reference_point(
    w: &mut Working,
    order: &Order,
    rules: &Rules,
    eye: Eye,
    seat: Seat,
    pd: Option<Mm>,
    form: LensForm,
) -> Option<Place> {
    let face_form = order.frame.face_form_deg.unwrap_or(0.0);
    let tilt = order.frame.pantoscopic_deg.unwrap_or(0.0);
    w.figure(eye.word(), "reference_point.in_mm");
    let inwards = match pd {
        Some(pd) => {
            let (d, a, pd) = (seat.between_lenses.mm(), seat.box_width.mm(), pd.mm());
            step!(w, inwards = (d / 2.0 + a / 2.0 * cos_deg(face_form) - pd) / cos_deg(face_form);
                d["mm"], a["mm"], pd["mm"], face_form["deg"]; "mm", ALONG_THE_LENS)
        }
        None if order.wearer.far_pd == Some(FarPd::BoxedCentres) => {
            w.say(|| "The order puts the optical centre at the boxed centre.".to_owned());
            0.0
        }
        None => return None,
    };
    let in_steps = w.is_on();
    w.figure(eye.word(), "reference_point.up_mm");
    let b = seat.box_height.mm();
    let up = match (order.wearer.optical_centre_height[eye], order.wearer.pupil_height[eye]) {
        (Some(height), _) => {
            let height = height.mm();
            step!(w, up = height - b / 2.0; height["mm"], b["mm"]; "mm", "boxing system: ordered height of the optical centre")
        }
        (None, Some(height)) => {
            let height = height.mm();
            let lowered = match form {
                LensForm::Aspheric => rules.placement.lower_aspheric,
                LensForm::Spheric | LensForm::Unknown => rules.placement.lower_spheric,
            };
            if lowered && tilt != 0.0 {
                let rotation = rules.eye.rotation.mm();
                step!(w, up = height - b / 2.0 - rotation * sin_deg(tilt);
                    height["mm"], b["mm"], rotation["mm"], tilt["deg"]; "mm", LOWERING)
            } else {
                step!(w, up = height - b / 2.0; height["mm"], b["mm"]; "mm", "boxing system: height of the pupil")
            }
        }
        (None, None) => {
            w.say(|| "No height was given: on the horizontal centreline.".to_owned());
            0.0
        }
    };
    if in_steps && face_form != 0.0 && tilt != 0.0 {
        // The formula for "in" holds at the boxed centre's level; this is what it leaves out where the pupil is.
        w.figure(eye.word(), "reference_point.in_left_out_mm");
        step!(w, left_out = up * sin_deg(tilt) * tan_deg(face_form);
            up["mm"], tilt["deg"], face_form["deg"]; "mm", "tilt and face form together, first order");
    }
    Some(Place { inwards: Mm::new(inwards), up: Mm::new(up) })
}

/// Where the lens's vertex must stand so that the prescribed prism holds at the reference point.
///
/// The vertex is the optical centre of a lens without ground prism and the prism reference point of one with: there it
/// has the prism `ground`, and decentration gives the rest. Where the power cannot give that rest the vertex stays at the
/// reference point, the rest is residual, and the refusal says why.
pub fn vertex(
    w: &mut Working,
    eye: Eye,
    power: PowerMatrix,
    reference: Place,
    ordered: InUp,
    ground: InUp,
) -> (Place, PrismPlan, Option<CannotGivePrism>) {
    let is_ground = ground != InUp::default();
    let (figure_in, figure_up) = if is_ground {
        ("blank.vertex_in_mm", "blank.vertex_up_mm")
    } else {
        ("optical_centre.in_mm", "optical_centre.up_mm")
    };
    w.figure(eye.word(), figure_in);
    w.uses(eye.word(), "reference_point.in_mm");
    let mut rest = ordered;
    if is_ground {
        let (ordered_in, ordered_up) = (ordered.base_in.cm_per_m(), ordered.base_up.cm_per_m());
        let (ground_in, ground_up) = (ground.base_in.cm_per_m(), ground.base_up.cm_per_m());
        let rest_in = step!(w, rest_in = ordered_in - ground_in; ordered_in["cm/m"], ground_in["cm/m"]; "cm/m",
            "what decentration is left to give");
        let rest_up = step!(w, rest_up = ordered_up - ground_up; ordered_up["cm/m"], ground_up["cm/m"]; "cm/m",
            "what decentration is left to give");
        rest = InUp { base_in: CmPerM::new(rest_in), base_up: CmPerM::new(rest_up) };
    }
    let wanted = Prism { x: rest.base_in * eye.nasal(), y: rest.base_up };
    let (offset, refused) = match optics::prism::decentration_for(w, power, wanted) {
        Ok(offset) => (offset, None),
        Err(refused) => (Offset::default(), Some(refused)),
    };
    let (dx, dy, nasal) = (offset.x.mm(), offset.y.mm(), eye.nasal());
    let (reference_in, reference_up) = (reference.inwards.mm(), reference.up.mm());
    let inwards = step!(w, inwards = reference_in + dx * nasal; reference_in["mm"], dx["mm"], nasal[""];
        "mm", "reference point + decentration; nasal is +1 right, -1 left");
    w.figure(eye.word(), figure_up);
    w.uses(eye.word(), "reference_point.up_mm");
    w.uses(eye.word(), figure_in);
    let up = step!(w, up = reference_up + dy; reference_up["mm"], dy["mm"]; "mm", "reference point + decentration");
    let place = Place { inwards: Mm::new(inwards), up: Mm::new(up) };
    (place, prism_at(w, eye, power, reference, (place, ground), ordered), refused)
}

/// Prism that a lens with its vertex at a place, and this prism ground, gives at `reference`, against the ordered one.
pub fn prism_at(
    w: &mut Working,
    eye: Eye,
    power: PowerMatrix,
    reference: Place,
    (vertex, ground): (Place, InUp),
    ordered: InUp,
) -> PrismPlan {
    let (figure_in, figure_up) = if ground == InUp::default() {
        ("optical_centre.in_mm", "optical_centre.up_mm")
    } else {
        ("blank.vertex_in_mm", "blank.vertex_up_mm")
    };
    w.figure(eye.word(), "prism.from_centration.base_in_cm_per_m");
    w.uses(eye.word(), figure_in);
    w.uses(eye.word(), figure_up);
    let given = met(w, eye, power, reference, vertex);
    w.figure(eye.word(), "prism.from_centration.base_up_cm_per_m");
    w.uses(eye.word(), "prism.from_centration.base_in_cm_per_m");
    let clean = |p: CmPerM| if p.abs().cm_per_m() < 1e-9 { CmPerM::ZERO } else { p };
    PrismPlan {
        ordered,
        from_centration: given,
        ground,
        residual: InUp {
            base_in: clean(ordered.base_in - given.base_in - ground.base_in),
            base_up: clean(ordered.base_up - given.base_up - ground.base_up),
        },
    }
}

/// The finding of a prism that decentration cannot give.
#[must_use]
pub fn prism_refused(eye: Eye, ordered: InUp, refused: &CannotGivePrism) -> Finding {
    let amount = units::maths::hypot(ordered.base_in.cm_per_m(), ordered.base_up.cm_per_m());
    Finding::new(
        &kinds::PRISM_REFUSED,
        "prism.from_centration",
        format!("{}/{}", mm2(ordered.base_in.cm_per_m()), mm2(ordered.base_up.cm_per_m())),
    )
    .of(eye)
    .unit("cm/m")
    .weighs(amount)
    .says(refused.to_string(), refused.hint())
}

/// Prism met at a point of a lens whose optical centre stands elsewhere, as base in and up.
pub fn met(w: &mut Working, eye: Eye, power: PowerMatrix, point: Place, centre: Place) -> InUp {
    let ((px, py), (cx, cy)) = (point.xy(eye), centre.xy(eye));
    let p = optics::prism::prentice(w, power, Offset { x: Mm::new(cx - px), y: Mm::new(cy - py) });
    let (base_x, nasal) = (p.x.cm_per_m(), eye.nasal());
    let base_in = step!(w, base_in = base_x * nasal; base_x["cm/m"], nasal[""]; "cm/m", "nasal is +1 right, -1 left");
    InUp { base_in: CmPerM::new(base_in), base_up: p.y }
}

/// Questions and notes about the height, once the form of the lens is known.
pub fn height_findings(
    order: &Order,
    rules: &Rules,
    eye: Eye,
    box_height: Mm,
    power: PowerMatrix,
    form: LensForm,
    found: &mut Vec<Finding>,
) {
    let wearer = &order.wearer;
    let height = wearer.optical_centre_height[eye].or(wearer.pupil_height[eye]);
    let tilt = order.frame.pantoscopic_deg.unwrap_or(0.0);
    let rise = rules.eye.rotation.mm() * sin_deg(tilt);
    match height {
        None => {
            let per_mm = power.yy.abs().dioptres() / 10.0;
            if per_mm == 0.0 {
                return;
            }
            let value = mm2(per_mm);
            let near_zone = order.lens.kind != job::LensType::SingleVision;
            let (kind, mend) = if form == LensForm::Aspheric || near_zone {
                (&kinds::HEIGHT_NEEDED, "measure the height of the pupil above the lowest tangent of the lens")
            } else {
                (&kinds::HEIGHT_NOT_GIVEN, "measure the height where the two eyes differ in power")
            };
            found.push(Finding::new(kind, "wearer.pupil_height_mm", value.clone()).of(eye).unit("cm/m per mm").weighs(per_mm).says(
                format!("no height was given; on the horizontal centreline each millimetre off costs {value} prism dioptres up or down"),
                mend,
            ));
        }
        Some(height) => {
            let above = height.mm();
            let below = box_height.mm() - above;
            if above < HEIGHT_RIM_MM || below < HEIGHT_RIM_MM {
                found.push(
                    Finding::new(&kinds::HEIGHT_OUTSIDE, "wearer.pupil_height_mm", mm1(above))
                        .of(eye)
                        .limit(format!("{}..{}", mm1(HEIGHT_RIM_MM), mm1(box_height.mm() - HEIGHT_RIM_MM)))
                        .unit("mm")
                        .weighs(HEIGHT_RIM_MM - above.min(below))
                        .says(
                            format!(
                                "height {} mm in a box {} mm high lies at the rim or outside",
                                mm1(above),
                                mm1(box_height.mm())
                            ),
                            "measure from the lowest tangent of the lens, not from the rim's outside",
                        ),
                );
            }
            let as_measured = wearer.optical_centre_height[eye].is_none() && !rules.placement.lower_spheric;
            // A quarter of a dioptre and a degree or two of tilt are nothing to advise about.
            let matters = power.xx.abs().max(power.yy.abs()).dioptres() >= 4.0 && rise >= 2.0;
            if as_measured && form != LensForm::Aspheric && matters {
                found.push(
                    Finding::new(&kinds::LOWERING_ADVISED, "optical_centre.up_mm", mm1(rise)).of(eye).unit("mm").weighs(rise / 10.0).says(
                        format!("a tilt of {} degrees would ask for the optical centre {} mm lower; it stays as measured", fixed(tilt, 0), mm1(rise)),
                        "set lower_spheric = true in the rules to lower spheric lenses too",
                    ),
                );
            }
        }
    }
}

/// `3.1 mm in and 0.4 mm down`, for a place.
pub(crate) fn place_words(place: Place) -> String {
    let word =
        |mm: f64, plus: &str, minus: &str| format!("{} mm {}", mm1(mm.abs()), if mm < 0.0 { minus } else { plus });
    format!("{} and {}", word(place.inwards.mm(), "in", "out"), word(place.up.mm(), "up", "down"))
}
