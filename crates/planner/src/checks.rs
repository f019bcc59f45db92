//! What the figures of one lens ask: edges by mounting, centre by material, cover, assumptions.

use job::blank::CheckThickness;
use job::rules::Rules;
use job::{EdgeKind, Eye, Finding, LensForm, Material, Mounting, Order, kinds};
use units::{Angle, Mm, Power};

use crate::choice::TIGHT_MARGIN_MM;
use crate::plan::LensPlan;
use crate::said::{at, mm1, mm2};

/// A centre thickness that an order asks for is met within this, mm: tolerance of uncut lenses, reference facts.
const CENTRE_TOLERANCE_MM: f64 = 0.3;

/// A check thickness this far from its figure is none of the caliper's doing, mm: two readings to a tenth each.
const CHECK_OFF_MM: f64 = 0.2;

/// Backs of less bulge than this are plane, D: a step of the lens measure.
const BULGE_D: f64 = 0.12;

/// Everything that one lens asks.
pub(crate) fn lens(
    order: &Order,
    rules: &Rules,
    material: &Material,
    eye: Eye,
    lens: &LensPlan,
    found: &mut Vec<Finding>,
) {
    cover(eye, lens, found);
    edge(order, rules, material, eye, lens, found);
    wheel(rules, eye, lens, found);
    centre(order, material, eye, lens, found);
    back(eye, lens, found);
    unknown(eye, lens, found);
}

/// A front flatter than the power leaves a back that bulges: a label or a reading is wrong, or the lashes will touch.
fn back(eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    let solved = lens.cutting.lens();
    let back = solved.back_power();
    let bulge = back.sphere.max(back.across()).dioptres();
    if bulge > BULGE_D {
        let front = lens.front_curve_1530.dioptres();
        found.push(
            Finding::new(&kinds::BACK_BULGES, "blank.front_curve_1530_d", mm2(front)).of(eye).unit("D").weighs(bulge).says(
                format!(
                    "a front of {} D on 1.530 is flatter than this power: the back would bulge towards the eye by {} D",
                    mm2(front),
                    mm2(bulge)
                ),
                "lay the lens measure on the front again; if it is so, take a blank of a steeper curve",
            ),
        );
    }
}

/// A spheric blank that is not as thick where it was measured as its curves and centre make it: one of them is wrong.
fn check_disagrees(eye: Eye, lens: &LensPlan, check: CheckThickness, found: &mut Vec<Finding>) {
    let at = Angle::from_deg(check.deg.unwrap_or(0.0) + lens.turn_deg);
    let known = check.deg.is_some() || lens.power.cylinder().is_none();
    let solved = lens.cutting.lens();
    let (x, y) = (check.radius.mm() * at.cos(), check.radius.mm() * at.sin());
    let Some(figured) = solved.thickness_along_axis(x, y).filter(|_| known) else { return };
    let off = check.thickness.mm() - figured;
    if off.abs() > CHECK_OFF_MM {
        found.push(
            Finding::new(&kinds::CHECK_DISAGREES, "blank.check_mm", mm2(check.thickness.mm()))
                .of(eye)
                .limit(mm2(figured))
                .unit("mm")
                .weighs(off.abs())
                .says(
                    format!(
                        "a check thickness of {} mm stands {} mm from the vertex, where these curves and this centre give {} mm",
                        mm2(check.thickness.mm()),
                        mm1(check.radius.mm()),
                        mm2(figured)
                    ),
                    "lay a lens measure on the front, and measure the centre again; or the blank is aspheric: write aspheric into its row of the shelf",
                ),
        );
    }
}

fn cover(eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    let cover = &lens.coverage;
    let margin = cover.margin.mm();
    if margin < 0.0 {
        let mut mend = format!("take a blank of {} mm or more", mm1(cover.smallest_blank.mm()));
        if let Some(rescue) = &cover.rescue {
            mend.push_str(&format!(
                ", or move the optical centre {}: it costs {} prism dioptres in and {} up",
                crate::placing::place_words(rescue.shift),
                mm2(rescue.prism.base_in.cm_per_m()),
                mm2(rescue.prism.base_up.cm_per_m())
            ));
        }
        found.push(
            Finding::new(&kinds::BLANK_TOO_SMALL, "coverage.margin_mm", mm2(margin))
                .of(eye)
                .limit("0.00")
                .unit("mm")
                .weighs(-margin)
                .says(format!("the blank is {} mm short at {}", mm2(-margin), at(cover.tightest_deg)), mend),
        );
    } else if margin < TIGHT_MARGIN_MM {
        found.push(
            Finding::new(&kinds::COVER_TIGHT, "coverage.margin_mm", mm2(margin))
                .of(eye)
                .limit(mm2(TIGHT_MARGIN_MM))
                .unit("mm")
                .weighs(TIGHT_MARGIN_MM - margin)
                .says(
                    format!("the blank covers with {} mm to spare at {}", mm2(margin), at(cover.tightest_deg)),
                    "measure the blank and dot it with care; a larger one is safer",
                ),
        );
    }
}

fn edge(order: &Order, rules: &Rules, material: &Material, eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    let (thinnest, deg) = (lens.edge.thinnest, lens.edge.thinnest_deg);
    let thin = |kind, limit: Mm, what: &str, mend: &str| {
        Finding::new(kind, "edge.thinnest_mm", mm2(thinnest.mm()))
            .of(eye)
            .limit(mm2(limit.mm()))
            .unit("mm")
            .weighs((limit - thinnest).mm())
            .says(format!("the edge is {} mm at {}: {what} {} mm", mm2(thinnest.mm()), at(deg), mm2(limit.mm())), mend)
    };
    let least = lens.thickness.least.0;
    if least <= Mm::ZERO {
        found.push(
            Finding::new(&kinds::RUNS_OUT, "thickness.least_mm", mm2(least.mm()))
                .of(eye)
                .limit("0.00")
                .unit("mm")
                .weighs(-least.mm() + 10.0)
                .says(
                    "the surfaces meet inside the shape: there is no lens at the rim",
                    "take a larger or thicker blank",
                ),
        );
        return;
    }
    let thicker = "take a larger or thicker blank, or order the lens surfaced";
    match order.lens.edge {
        EdgeKind::Groove if thinnest < rules.least.groove_stop => {
            found.push(thin(&kinds::GROOVE_EDGE_STOP, rules.least.groove_stop, "a groove needs", thicker));
        }
        EdgeKind::Groove if thinnest < rules.least.groove_ask => {
            let mend = "answer if cord and groove may be made smaller, or take a thicker blank";
            found.push(thin(&kinds::GROOVE_EDGE_ASK, rules.least.groove_ask, "a groove wants", mend));
        }
        EdgeKind::Bevel if thinnest < rules.least.bevel_ask => {
            let mend = "answer if the bevel may run out there, or take a thicker blank";
            found.push(thin(&kinds::BEVEL_EDGE_ASK, rules.least.bevel_ask, "a bevel wants", mend));
        }
        EdgeKind::Flat if order.frame.mounting == Mounting::Drilled => {
            let wanted = material.least_edge_drilled.unwrap_or(rules.least.drilled_stop);
            if thinnest < rules.least.drilled_stop {
                found.push(thin(&kinds::DRILLED_EDGE_STOP, rules.least.drilled_stop, "drilling needs", thicker));
            } else if thinnest < wanted {
                let mend = "answer if the material bears it, or take a thicker blank";
                found.push(thin(&kinds::DRILLED_EDGE_ASK, wanted, "drilling this material wants", mend));
            }
            let most = rules.least.drilled_most_ask;
            if lens.edge.thickest > most {
                let thickest = lens.edge.thickest.mm();
                found.push(
                    Finding::new(&kinds::DRILLED_EDGE_THICK, "edge.thickest_mm", mm2(thickest))
                        .of(eye)
                        .limit(mm2(most.mm()))
                        .unit("mm")
                        .weighs(thickest - most.mm())
                        .says(
                            format!(
                                "the edge is {} mm at {}; hardware takes {} mm",
                                mm2(thickest),
                                at(lens.edge.thickest_deg),
                                mm2(most.mm())
                            ),
                            "see that the screws are long enough, or take a higher index",
                        ),
                );
            }
        }
        EdgeKind::Groove | EdgeKind::Bevel | EdgeKind::Flat => {}
    }
    if let Some(wanted) = order.lens.least_edge[eye].filter(|&wanted| thinnest < wanted) {
        found.push(thin(&kinds::EDGE_NOT_AS_ORDERED, wanted, "the order wants", thicker));
    }
}

/// A hollow of the cut outline in which the finishing wheel leaves more than the rules overlook.
fn wheel(rules: &Rules, eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    let left_by = |diameter: Mm| lens.cut.outline().unreached(diameter / 2.0).unwrap_or_default();
    let hollows = left_by(rules.wheel.bevel);
    let Some(worst) = hollows.iter().max_by(|a, b| a.left.mm().total_cmp(&b.left.mm())) else { return };
    if worst.left <= rules.wheel.left {
        return;
    }
    let rough = left_by(rules.wheel.rough).iter().map(|h| h.left).fold(Mm::ZERO, Mm::max);
    let roughing = if rough > worst.left {
        format!("; the roughing wheel of {} mm leaves {} mm", mm1(rules.wheel.rough.mm()), mm2(rough.mm()))
    } else {
        String::new()
    };
    found.push(
        Finding::new(&kinds::WHEEL_CANNOT_REACH, "wheel.left_mm", mm2(worst.left.mm()))
            .of(eye)
            .limit(mm2(rules.wheel.left.mm()))
            .unit("mm")
            .weighs(worst.left.mm())
            .says(
                format!(
                    "a finishing wheel of {} mm leaves {} mm in the hollow from {} to {}, most at {}{roughing}",
                    mm1(rules.wheel.bevel.mm()),
                    mm2(worst.left.mm()),
                    at(worst.from.direction_deg()),
                    at(worst.to.direction_deg()),
                    at(worst.at.direction_deg())
                ),
                "edge it on a machine with a smaller wheel, or take the hollow down by hand and try it in the rim",
            ),
    );
}

fn centre(order: &Order, material: &Material, eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    let centre = lens.thickness.vertex;
    if let Some(wanted) =
        order.lens.centre[eye].filter(|&wanted| (centre - wanted).abs().mm() > CENTRE_TOLERANCE_MM + 1e-9)
    {
        found.push(
            Finding::new(&kinds::CENTRE_NOT_AS_ORDERED, "thickness.optical_centre_mm", mm2(centre.mm()))
                .of(eye)
                .limit(mm2(wanted.mm()))
                .unit("mm")
                .weighs((centre - wanted).abs().mm())
                .says(
                    format!("the centre is {} mm, ordered was {} mm", mm2(centre.mm()), mm2(wanted.mm())),
                    "ask whether this thickness will do, or order the lens surfaced",
                ),
        );
    }
    let minus = lens.power.principal_powers().into_iter().all(|p| p <= Power::ZERO);
    if let Some(least) = material.least_centre.filter(|&least| minus && centre.mm() < least.mm() - 1e-9) {
        found.push(
            Finding::new(&kinds::CENTRE_THIN, "thickness.optical_centre_mm", mm2(centre.mm()))
                .of(eye)
                .limit(mm2(least.mm()))
                .unit("mm")
                .weighs((least - centre).mm())
                .says(
                    format!(
                        "the centre is {} mm; {} is usual for {}",
                        mm2(centre.mm()),
                        mm2(least.mm()),
                        material.name
                    ),
                    "see the maker's figure for this series, or take a thicker blank",
                ),
        );
    }
}

fn unknown(eye: Eye, lens: &LensPlan, found: &mut Vec<Finding>) {
    if lens.blank.usable.is_none() {
        let usable = (lens.blank.nominal.mm() - 2.0).to_string();
        found.push(
            Finding::new(&kinds::USABLE_ASSUMED, "blank.usable_mm", mm1(lens.blank.nominal.mm() - 2.0))
                .of(eye)
                .unit("mm")
                .says(
                    format!("the shelf does not state the usable diameter; {usable} mm was taken"),
                    "measure it, or write usable_mm",
                ),
        );
    }
    if lens.blank.form == LensForm::Unknown {
        found.push(Finding::new(&kinds::FORM_UNKNOWN, "blank.form", "unknown").of(eye).says(
            "the shelf does not say whether this blank is aspheric; it counts as spheric",
            "write its form into the shelf",
        ));
    }
    let thinnest = lens.spread.iter().find(|s| s.cause == "check-thickness" && s.figure == "edge.thinnest_mm");
    if let (Some(check), Some(spread)) = (lens.blank.check, thinnest) {
        found.push(
            Finding::new(&kinds::ASPHERIC_INTERPOLATED, "blank.check_mm", mm2(check.thickness.mm())).of(eye).unit("mm").says(
                format!(
                    "the blank's form is not known: it is figured through its thickness of {} mm at {} mm from the vertex, so that the thinnest edge may be {} to {} mm",
                    mm2(check.thickness.mm()),
                    mm1(check.radius.mm()),
                    mm2(spread.low),
                    mm2(spread.high)
                ),
                "measure the uncut nearer to where the shape will be cut",
            ),
        );
    } else if let (Some(check), LensForm::Spheric) = (lens.blank.check, lens.blank.form) {
        check_disagrees(eye, lens, check, found);
    }
    let conic = lens.blank.front_conic.is_some() || lens.blank.back_conic.is_some();
    if lens.blank.form == LensForm::Aspheric && thinnest.is_none() && !conic {
        found.push(Finding::new(&kinds::ASPHERIC_AS_SPHERIC, "blank.form", "aspheric").of(eye).says(
            "the aspheric blank is figured with spherical surfaces: towards the rim its true thickness may differ",
            "measure the uncut's edge before a groove or a drill depends on it",
        ));
    }
    for assumed in &lens.assumed {
        let (kind, unit, name) = if assumed.figure == "blank.centre_mm" {
            (&kinds::CENTRE_ASSUMED, "mm", "centre thickness")
        } else {
            (&kinds::CURVE_ASSUMED, "D", "front curve")
        };
        let spread: Vec<String> = lens
            .spread
            .iter()
            .filter(|s| s.cause == assumed.figure)
            .map(|s| format!("{} {} to {}", s.figure, mm2(s.low), mm2(s.high)))
            .collect();
        found.push(Finding::new(kind, assumed.figure, mm2(assumed.value)).of(eye).unit(unit).says(
            format!("{name} {} was taken: {}; so {}", mm2(assumed.value), assumed.why, spread.join(", ")),
            format!("measure the {name} and write it into the shelf"),
        ));
    }
}
