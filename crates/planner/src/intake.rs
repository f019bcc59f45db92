//! Intake: what an order alone can tell, before frame and shelf are looked at.
//!
//! Each check is a question that costs a minute now and a pair of lenses later. Limits are the rules' `[intake]`.

use job::order::{LensType, LensUse, Order};
use job::rules::Rules;
use job::{Cylinder, Eye, EyePrescription, FarPd, Finding, LensForm, PerEye, kinds};
use optics::PowerMatrix;
use units::{CmPerM, Mm, Power, Working};

use crate::placing;
use crate::said::{mm1, mm2};

/// Spheres beyond this are met so seldom that a decimal slip is likelier: common practice, no source.
const SPHERE_UNUSUAL: Power = Power::from_thousandths(20_000);
/// The same for cylinders: common practice, no source.
const CYLINDER_UNUSUAL: Power = Power::from_thousandths(8_000);
/// A height nearer than this to the top or bottom of the box is more likely a slip: common practice, no source.
pub(crate) const HEIGHT_RIM_MM: f64 = 5.0;

/// Every finding that needs only the order and the rules, in the order of the form.
#[must_use]
pub fn check(order: &Order, rules: &Rules) -> Vec<Finding> {
    let mut found = Vec::new();
    for &eye in order.eyes.made() {
        match &order.prescription.eyes[eye] {
            Some(written) => one_eye(eye, written, order, rules, &mut found),
            None => found.push(
                Finding::new(&kinds::NOT_PRESCRIBED, "prescription", "none")
                    .of(eye)
                    .says(format!("the {eye} lens is to be made, but nothing is prescribed for it"), "write its power"),
            ),
        }
    }
    if let PerEye { right: Some(right), left: Some(left) } = &order.prescription.eyes {
        both_eyes(right, left, rules, &mut found);
    }
    additions(order, rules, &mut found);
    distances(order, rules, &mut found);
    papers(order, rules, &mut found);
    found
}

/// Everything that an order tells without its frame's records and without a shelf, gravest first, with its answers taken
/// in: [`check`], and what placing, wear and pupillary distance ask of the order alone.
#[must_use]
pub fn alone(order: &Order, rules: &Rules) -> Vec<Finding> {
    let w = &mut Working::off();
    let mut found = check(order, rules);
    crate::of_order(order, &mut found);
    let mut powers = Vec::new();
    let index = rules.material(&order.lens.material).map_or(optics::curves::TOOLING_INDEX, |m| m.n_d);
    for &eye in order.eyes.made() {
        let Some(written) = order.prescription.to_make(eye) else { continue };
        let power = written.power();
        placing::pupillary_distance(w, order, rules, eye, &mut found);
        if order.wearer.optical_centre_height[eye].or(order.wearer.pupil_height[eye]).is_none() {
            // Without a height nothing asks how high the box is.
            let matrix = PowerMatrix::of(w, power.computed());
            placing::height_findings(order, rules, eye, Mm::ZERO, matrix, LensForm::Unknown, &mut found);
        }
        crate::advice::wear(w, order, eye, power, index, &mut found);
        powers.push(power);
    }
    crate::pair::pd_good_enough(w, order, rules, &powers, &mut found);
    crate::rank(&mut found, &order.answers);
    found
}

fn one_eye(eye: Eye, written: &EyePrescription, order: &Order, rules: &Rules, found: &mut Vec<Finding>) {
    let mut powers = vec![("sphere_d", &written.sphere, SPHERE_UNUSUAL)];
    match &written.cylinder {
        Cylinder::NotGiven => found.push(
            Finding::new(&kinds::CYLINDER_NOT_GIVEN, "prescription.cylinder_d", "not given").of(eye).weighs(1.0).says(
                "the cylinder box is empty; nobody wrote that there is none",
                "read the prescription again; write cylinder_d = \"none\" if there is none",
            ),
        ),
        Cylinder::None => {}
        Cylinder::Given { power, axis } => {
            powers.push(("cylinder_d", power, CYLINDER_UNUSUAL));
            if axis.half_degrees() % 2 == 1 {
                found.push(
                    Finding::new(&kinds::AXIS_HALF_DEGREE, "prescription.axis_deg", axis.to_string())
                        .of(eye)
                        .unit("deg")
                        .says(format!("axis {axis}: axes are written in whole degrees"), "read the axis again"),
                );
            }
        }
    }
    powers.extend(written.add.as_ref().map(|add| ("add_d", add, Power::from_thousandths(4_000))));
    for (name, power, unusual) in powers {
        let figure = format!("prescription.{name}");
        if power.power.abs() > unusual {
            found.push(
                Finding::new(&kinds::POWER_UNUSUAL, &figure, power.written.clone())
                    .of(eye)
                    .limit(unusual.to_string())
                    .unit("D")
                    .weighs(power.power.abs().dioptre().dioptres())
                    .says(
                        format!("{} D is met very seldom: has a decimal point slipped?", power.written),
                        "read it again",
                    ),
            );
        }
        if power.power.thousandths() % 250 != 0 {
            found.push(
                Finding::new(&kinds::POWER_STEP, &figure, power.written.clone())
                    .of(eye)
                    .limit("0.25")
                    .unit("D")
                    .weighs(0.125)
                    .says(format!("{} D is no quarter dioptre", power.written), "have eighths confirmed"),
            );
        }
    }
    let limit = rules.intake.vertex_d;
    let strongest = written.power().principal_powers().into_iter().max_by_key(|p| p.abs()).unwrap_or(Power::ZERO);
    if strongest.abs().dioptre().dioptres() > limit && order.prescription.refraction_vertex.is_none() {
        found.push(
            Finding::new(&kinds::VERTEX_NOT_GIVEN, "prescription.refraction_vertex_mm", strongest.to_string())
                .of(eye)
                .limit(mm2(limit))
                .unit("D")
                .weighs(0.25)
                .says(
                    format!("{strongest} D without the vertex distance of the refraction: a few millimetres change the power"),
                    "ask the prescriber for the vertex distance",
                ),
        );
    }
}

fn both_eyes(right: &EyePrescription, left: &EyePrescription, rules: &Rules, found: &mut Vec<Finding>) {
    let limits = &rules.intake;
    let (r, l) = (right.power().minus_form(), left.power().minus_form());
    let apart = (r.sphere() - l.sphere()).abs().dioptre().dioptres();
    let value = format!("{}/{}", r.sphere(), l.sphere());
    let opposite = r.sphere().thousandths().signum() * l.sphere().thousandths().signum() < 0;
    if opposite && apart > limits.opposite_sign_d {
        found.push(
            Finding::new(&kinds::OPPOSITE_SIGNS, "prescription.sphere_d", value)
                .limit(mm2(limits.opposite_sign_d))
                .unit("D")
                .weighs(apart)
                .says(
                    format!("right {} and left {} have opposite signs, {} D apart", r.sphere(), l.sphere(), mm2(apart)),
                    "ask the wearer: short-sighted or long-sighted, and compare with the last pair",
                ),
        );
    } else if apart > limits.anisometropia_d {
        found.push(
            Finding::new(&kinds::POWERS_FAR_APART, "prescription.sphere_d", value)
                .limit(mm2(limits.anisometropia_d))
                .unit("D")
                .weighs(apart)
                .says(
                    format!("right {} and left {} stand {} D apart", r.sphere(), l.sphere(), mm2(apart)),
                    "read both lines again; compare with the last pair",
                ),
        );
    }
    if let (Cylinder::Given { power: cr, axis: ar }, Cylinder::Given { power: cl, axis: al }) =
        (&right.cylinder, &left.cylinder)
    {
        if cr.power.thousandths().signum() * cl.power.thousandths().signum() < 0 {
            found.push(
                Finding::new(
                    &kinds::MIXED_CYLINDER_SIGNS,
                    "prescription.cylinder_d",
                    format!("{}/{}", cr.written, cl.written),
                )
                .unit("D")
                .weighs(cr.power.abs().max(cl.power.abs()).dioptre().dioptres())
                .says(
                    format!("right cylinder {} and left cylinder {} have different signs", cr.written, cl.written),
                    "a prescription keeps to one form; read it again",
                ),
            );
        }
        let both_strong = cr.power.abs().min(cl.power.abs()).dioptre().dioptres() >= limits.mirror_cylinder_d;
        if let (Some((_, axis_r)), Some((_, axis_l)), true) = (r.cylinder(), l.cylinder(), both_strong) {
            let from_mirror = f64::from(axis_r.half_degrees_to(axis_l.mirrored())) / 2.0;
            if from_mirror > limits.mirror_deg {
                found.push(
                    Finding::new(&kinds::AXIS_NOT_MIRRORED, "prescription.axis_deg", format!("{ar}/{al}"))
                        .limit(mm1(limits.mirror_deg))
                        .unit("deg")
                        .weighs(2.0 * cr.power.abs().max(cl.power.abs()).dioptre().dioptres())
                        .says(
                            format!(
                                "axes {ar} right and {al} left are {} degrees from mirror images; most pairs stay within 15",
                                mm1(from_mirror)
                            ),
                            "read both axes again, digit by digit",
                        ),
                );
            }
        }
    }
    let (pr, pl) = (right.prism(Eye::Right), left.prism(Eye::Left));
    let horizontal = (pr.base_in + pl.base_in).abs();
    let vertical = (pr.base_up - pl.base_up).abs();
    let most = horizontal.max(vertical);
    if most > CmPerM::new(limits.prism_pair_cm_per_m) {
        found.push(
            Finding::new(&kinds::PRISM_LARGE, "prescription.prism", mm2(most.cm_per_m()))
                .limit(mm2(limits.prism_pair_cm_per_m))
                .unit("cm/m")
                .weighs(most.cm_per_m())
                .says(
                    format!("the pair has {} prism dioptres in all", mm2(most.cm_per_m())),
                    "ask whether the amount is for each eye or for both",
                ),
        );
    }
    if pr.base_up.cm_per_m() * pl.base_up.cm_per_m() > 0.0 {
        let shared = pr.base_up.abs().min(pl.base_up.abs()).cm_per_m();
        found.push(
            Finding::new(
                &kinds::PRISM_BASES,
                "prescription.prism",
                format!("{}/{}", mm2(pr.base_up.cm_per_m()), mm2(pl.base_up.cm_per_m())),
            )
            .unit("cm/m")
            .weighs(2.0 * shared)
            .says(
                "both eyes have vertical prism with its base the same way: between the eyes it cancels",
                "ask which eye has base up and which has base down",
            ),
        );
    }
}

fn additions(order: &Order, rules: &Rules, found: &mut Vec<Finding>) {
    let adds: Vec<(Eye, &units::WrittenPower)> = Eye::BOTH
        .into_iter()
        .filter_map(|eye| Some((eye, order.prescription.eyes[eye].as_ref()?.add.as_ref()?)))
        .collect();
    let value = adds.iter().map(|(_, add)| add.written.as_str()).collect::<Vec<_>>().join("/");
    match order.lens.kind {
        LensType::SingleVision if !adds.is_empty() => found.push(
            Finding::new(&kinds::ADD_ON_SINGLE_VISION, "prescription.add_d", value.clone()).unit("D").weighs(2.0).says(
                format!("addition {value} is written, but the lenses are single vision"),
                "ask: distance, intermediate or near? Write the power for that use, without the addition",
            ),
        ),
        LensType::Multifocal | LensType::ProgressivePower if adds.is_empty() => found.push(
            Finding::new(&kinds::ADD_MISSING, "prescription.add_d", "none")
                .weighs(2.0)
                .says("the lenses have a near zone, but no addition is written", "ask the prescriber"),
        ),
        _ => {}
    }
    let (least, most) = rules.intake.add_d;
    for (eye, add) in &adds {
        let d = add.power.dioptre().dioptres();
        if !(least..=most).contains(&d) {
            found.push(
                Finding::new(&kinds::ADD_UNUSUAL, "prescription.add_d", add.written.clone())
                    .of(*eye)
                    .limit(format!("{}..{}", mm2(least), mm2(most)))
                    .unit("D")
                    .weighs(1.0)
                    .says(format!("addition {} is outside the usual range", add.written), "read it again"),
            );
        }
    }
    if let [(_, right), (_, left)] = adds[..]
        && right.power != left.power
    {
        found.push(
            Finding::new(&kinds::ADDS_DIFFER, "prescription.add_d", value)
                .unit("D")
                .weighs((right.power - left.power).abs().dioptre().dioptres())
                .says(format!("additions {} right and {} left differ", right.written, left.written), "read both again"),
        );
    }
}

fn distances(order: &Order, rules: &Rules, found: &mut Vec<Finding>) {
    let limits = &rules.intake;
    let wearer = &order.wearer;
    let single = |eye: Eye, mm: f64, figure: &str| {
        let (least, most) = (limits.monocular_least.mm(), limits.monocular_most.mm());
        (!(least..=most).contains(&mm)).then(|| {
            let advice = if mm > most { "is it the binocular distance?" } else { "has a decimal point slipped?" };
            Finding::new(&kinds::PD_MONOCULAR, figure, mm1(mm))
                .of(eye)
                .limit(format!("{}..{}", mm1(least), mm1(most)))
                .unit("mm")
                .weighs(10.0)
                .says(format!("{} mm from the nose to one pupil: no face has that", mm1(mm)), advice)
        })
    };
    match wearer.far_pd {
        Some(FarPd::Monocular(pd)) => {
            for (eye, mm) in pd.iter().filter_map(|(eye, mm)| Some((eye, (*mm)?))) {
                found.extend(single(eye, mm.mm(), "wearer.monocular_pd_mm"));
            }
            if let PerEye { right: Some(r), left: Some(l) } = pd
                && (r - l).abs() > limits.monocular_apart
            {
                found.push(
                    Finding::new(
                        &kinds::PD_UNEVEN,
                        "wearer.monocular_pd_mm",
                        format!("{}/{}", mm1(r.mm()), mm1(l.mm())),
                    )
                    .limit(mm1(limits.monocular_apart.mm()))
                    .unit("mm")
                    .weighs((r - l).abs().mm())
                    .says(
                        format!(
                            "{} right and {} left: the nose would stand far off the middle",
                            mm1(r.mm()),
                            mm1(l.mm())
                        ),
                        "measure both again",
                    ),
                );
            }
        }
        Some(FarPd::Binocular(mm)) if mm < limits.binocular_least || mm > limits.binocular_most => found.push(
            Finding::new(&kinds::PD_BINOCULAR, "wearer.binocular_pd_mm", mm1(mm.mm()))
                .limit(format!("{}..{}", mm1(limits.binocular_least.mm()), mm1(limits.binocular_most.mm())))
                .unit("mm")
                .weighs(10.0)
                .says(
                    format!("{} mm between the pupils lies outside nearly all adult faces", mm1(mm.mm())),
                    "is it one eye's distance, or has a decimal point slipped? Measure again",
                ),
        ),
        Some(FarPd::BoxedCentres) => {
            let powered = order.eyes.made().iter().find(|&&eye| {
                order.prescription.to_make(eye).is_some_and(|p| p.power().principal_powers() != [Power::ZERO; 2])
            });
            if let Some(&eye) = powered {
                found.push(
                    Finding::new(&kinds::BOXED_CENTRES_WITH_POWER, "wearer.pd", "boxed-centres")
                        .of(eye)
                        .weighs(5.0)
                        .says(
                            "the optical centres would stand at the boxed centres, and the lens has power",
                            "measure the pupillary distance",
                        ),
                );
            }
        }
        Some(FarPd::Binocular(_)) | None => {}
    }
    for &eye in order.eyes.made() {
        if let Some(near) = wearer.near_pd[eye] {
            found.extend(single(eye, near.mm(), "wearer.near_pd_mm"));
            let far = match wearer.far_pd {
                Some(FarPd::Monocular(pd)) => pd[eye],
                Some(FarPd::Binocular(pd)) => Some(pd / 2.0),
                _ => None,
            };
            if let Some(far) = far.filter(|&far| near >= far) {
                found.push(
                    Finding::new(&kinds::NEAR_PD_NOT_LESS, "wearer.near_pd_mm", mm1(near.mm()))
                        .of(eye)
                        .limit(mm1(far.mm()))
                        .unit("mm")
                        .weighs(2.0)
                        .says(
                            format!(
                                "near {} mm is not less than far {} mm; eyes turn in to read",
                                mm1(near.mm()),
                                mm1(far.mm())
                            ),
                            "are far and near exchanged? Measure again",
                        ),
                );
            }
        }
    }
    if order.lens.purpose == LensUse::Distance && wearer.far_pd.is_none() {
        found.push(
            Finding::new(&kinds::NO_FAR_PD, "wearer.monocular_pd_mm", "none")
                .weighs(5.0)
                .says("a distance pair with only a near pupillary distance", "measure the far one"),
        );
    }
    for heights in [&wearer.pupil_height, &wearer.optical_centre_height, &wearer.fitting_height, &wearer.segment_height]
    {
        if let PerEye { right: Some(r), left: Some(l) } = heights
            && (*r - *l).abs() > limits.height_apart
        {
            found.push(
                Finding::new(&kinds::HEIGHTS_UNEVEN, "wearer.heights", format!("{}/{}", mm1(r.mm()), mm1(l.mm())))
                    .limit(mm1(limits.height_apart.mm()))
                    .unit("mm")
                    .weighs((*r - *l).abs().mm())
                    .says(
                        format!("heights {} right and {} left are far apart", mm1(r.mm()), mm1(l.mm())),
                        "is the frame level on the face? Measure again",
                    ),
            );
        }
    }
}

fn papers(order: &Order, rules: &Rules, found: &mut Vec<Finding>) {
    let limits = &rules.intake;
    if let Some(written) = order.prescription.written {
        let oldest = order.taken.checked_sub(jiff::Span::new().years(limits.prescription_years));
        if written > order.taken {
            found.push(
                Finding::new(&kinds::PRESCRIPTION_AFTER, "prescription.written", written.to_string())
                    .limit(order.taken.to_string())
                    .says(format!("written {written}, but the order was taken {}", order.taken), "check both dates"),
            );
        } else if oldest.is_ok_and(|oldest| written < oldest) {
            found.push(
                Finding::new(&kinds::PRESCRIPTION_OLD, "prescription.written", written.to_string())
                    .limit(format!("{} years", limits.prescription_years))
                    .says(
                        format!("the prescription of {written} is more than {} years old", limits.prescription_years),
                        "ask for a new eye examination where the local code wants one",
                    ),
            );
        }
    }
    if let Some(born) = order.wearer.born {
        // The year alone is known: younger than the limit all through this year.
        let age = order.taken.year() - born;
        if age < limits.child_years {
            found.push(
                Finding::new(&kinds::CHILD, "wearer.born", born.to_string())
                    .limit(format!("{} years", limits.child_years))
                    .says(
                        format!("the wearer is about {age} years old"),
                        "see that local code lets this shop supply a child; prefer an impact-resistant material, centre 1.5 mm and up",
                    ),
            );
        }
    }
}
