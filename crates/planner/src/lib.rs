//! From a job to a plan: placing, blanks as a pair, coverage, thickness, prism, findings, workings.
//!
//! [`plan()`] is a pure function: no clock, no disk, no randomness. "Today" is in the order. Figures are the results of
//! their workings, which `units::Working` keeps when it is on.

mod advice;
mod assumed;
pub mod balance;
mod blocking;
mod candidate;
mod checks;
mod choice;
pub mod compare;
mod doubt;
pub mod edge_line;
mod figures;
mod finished;
pub mod holes;
pub mod intake;
pub mod lashes;
pub mod measured;
mod pair;
pub mod pair_prism;
pub mod placing;
pub mod plan;
pub mod process;
pub mod recut;
mod said;
pub mod shape;
mod shelf;
pub mod stock;
mod to_order;
pub mod traced;

use std::sync::Arc;

use job::prescription::InUp;
use job::{Answer, Eye, Finding, LensForm, LensType, Mounting, Order, OutlineFrom, OutlineOf, PerEye, kinds};
use lens::CutOutline;
use optics::PowerMatrix;
use optics::prism::CannotGivePrism;
use units::{Mm, Working};

pub use compare::{Comparison, OtherFrame, compare};
pub use measured::{Measured, measured};
pub use plan::*;
pub use shape::{FrameShapes, NoShape};
pub use shelf::Shelf;
pub use traced::{EyeTrace, Traced};

use candidate::{Placed, Wanted};
use placing::Seat;
use said::{mm1, signed2};

/// Records and order may differ by this in the distance between lenses before it is asked about, mm.
const BETWEEN_LENSES_MM: f64 = 0.5;
/// A front curve within this of the ordered one is the ordered one, D: makers' steps, common practice, no source.
const CURVE_AS_ORDERED_D: f64 = 0.3;
/// And by this in the frame curve, D.
const FRAME_CURVE_D: f64 = 0.5;

/// Plans an order: from its frame's shapes, the shelf and the rules to everything that is decided before cutting.
#[must_use]
pub fn plan(order: &Order, frame: &FrameShapes, bench: &Bench<'_>, working: Working) -> Plan {
    let mut plan = to_figures(order, frame, bench, working);
    complete(order, bench, &mut plan);
    plan
}

/// Adds to a plan that goes to its figures how far each may be off, what would even the two lenses out, and the one input
/// worth measuring again.
pub fn complete(order: &Order, bench: &Bench<'_>, plan: &mut Plan) {
    doubt::carry(order, bench, &mut plan.eyes);
    if let PerEye { right: Some(right), left: Some(left) } = &plan.eyes {
        if let (Some(r), Some(l)) = (&right.lens, &left.lens) {
            plan.pair.spread.extend(doubt::of_pair(r, l));
        }
        plan.pair.balance = balance::figure(&mut plan.working, order, bench, (right, left), &mut plan.findings);
    }
    plan.pair.worth_measuring = doubt::worth_measuring(order, bench, &plan.eyes, &plan.pair);
    plan.process = process::figure(order, bench.rules, &plan.eyes);
    rank(&mut plan.findings, &order.answers);
}

/// Plans an order to its last figure and no further: many are made only to be compared, or to be made again with what is
/// left on the shelf. [`complete()`] does the rest.
#[must_use]
pub fn to_figures(order: &Order, frame: &FrameShapes, bench: &Bench<'_>, working: Working) -> Plan {
    figured(order, frame, bench, working, true)
}

/// The same with lenses that are not seated, for plans that are only compared: they are cut in the size that a flat outline
/// would want, some hundredths of a millimetre from their own.
pub(crate) fn to_square_figures(order: &Order, frame: &FrameShapes, bench: &Bench<'_>) -> Plan {
    figured(order, frame, bench, Working::off(), false)
}

fn figured(order: &Order, frame: &FrameShapes, bench: &Bench<'_>, mut working: Working, seats: bool) -> Plan {
    let rules = bench.rules;
    let mut found = intake::check(order, rules);
    found.extend(frame.doubts.iter().filter(|d| d.eye.is_none_or(|eye| order.eyes.makes(eye))).cloned());
    frame_findings(order, frame, bench, &mut found);
    let between = between_lenses(order, frame, &mut found);
    let w = &mut working;

    let mut eyes: PerEye<Option<EyePlan>> = PerEye::default();
    let mut wanted: PerEye<Option<Wanted<'_>>> = PerEye::default();
    let mut refused: PerEye<Option<CannotGivePrism>> = PerEye::default();
    for &eye in order.eyes.made() {
        let Some(written) = order.prescription.to_make(eye) else { continue };
        let shape = &frame.eyes[eye];
        let mut eye_plan = bare(order, eye, shape, written, w);
        let matrix = PowerMatrix::of(&mut Working::off(), eye_plan.power.computed());
        if let Some(between) = between {
            eye_plan.between_lenses = Some(between);
            eye_plan.pd = placing::pupillary_distance(w, order, rules, eye, &mut found);
            let seat = Seat { box_width: shape.boxed.width, box_height: shape.boxed.height, between_lenses: between };
            let mut of_form = |w: &mut Working, form| {
                let reference = placing::reference_point(w, order, rules, eye, seat, eye_plan.pd, form)?;
                let (vertex, prism, no) =
                    placing::vertex(w, eye, matrix, reference, eye_plan.prism.ordered, InUp::default());
                refused[eye] = no;
                Some(Placed { reference, vertex, prism })
            };
            let spheric = of_form(w, LensForm::Spheric);
            let aspheric = of_form(&mut Working::off(), LensForm::Aspheric);
            if let (Some(spheric), Some(aspheric)) = (spheric, aspheric) {
                settle(&mut eye_plan, &spheric);
                let first_offset = edge_line::first_offset(order, rules, shape);
                match (rules.material(&order.lens.material), shape.grown(first_offset)) {
                    (Some(material), Some(cut)) => {
                        // Until a lens is there to seat: the size that the order gives, if it gives one.
                        let ordered = eye_plan.size_offset;
                        cut_larger(&mut eye_plan, ordered, &cut);
                        wanted[eye] = Some(Wanted {
                            order,
                            rules,
                            material,
                            eye,
                            power: eye_plan.power,
                            matrix,
                            prism: eye_plan.prism.ordered,
                            cut,
                            spheric,
                            aspheric,
                        });
                    }
                    // Unknown materials are faults of the order file; an allowance that leaves no outline is one of size.
                    _ => found.push(size_refused(eye, eye_plan.size_offset)),
                }
            }
        }
        eyes[eye] = Some(eye_plan);
    }

    match bench.shelf {
        None => found.push(Finding::new(&kinds::NO_SHELF, "shelf", "none").says(
            "no shelf was given: the plan stops at the reference point",
            "name the shelf, or put shelf.csv beside the order",
        )),
        Some(shelf) if order.lens.kind == LensType::SingleVision => {
            let choice = choice::choose(order, bench, shelf, &wanted, &mut found);
            for &eye in order.eyes.made() {
                let (Some(eye_plan), Some(want)) = (eyes[eye].as_mut(), wanted[eye].as_ref()) else { continue };
                eye_plan.near_misses = choice.misses[eye].clone();
                let chosen = choice.fits[eye].as_ref().map(|fit| match bench.uncut[eye] {
                    Some(uncut) => candidate::as_read(want, fit, &uncut),
                    None => Ok(fit.clone()),
                });
                match chosen {
                    Some(Err(ends)) => {
                        let sku = choice.fits[eye].as_ref().map_or("", |fit| fit.blank.sku.as_str());
                        found.push(unfit(sku, eye, &ends));
                    }
                    Some(Ok(fit)) => {
                        let fit = &fit;
                        place_again(w, order, rules, want, fit, eye_plan);
                        let seated =
                            if seats { edge_line::figure(w, order, rules, eye_plan, &fit.cutting) } else { Ok(None) };
                        let mut seated = seated.unwrap_or_else(|no| {
                            found.push(edge_line::unseated(eye, &no));
                            None
                        });
                        // A groove takes the size that was asked.
                        let in_rim = seated.as_ref().filter(|line| line.seat.is_some());
                        let sized = in_rim.map(|line| sized(want, eye_plan, &line.sized));
                        if sized.is_none() {
                            let first = edge_line::first_offset(order, rules, &eye_plan.shape);
                            cut_larger(eye_plan, first, &want.cut);
                        }
                        let want = sized.as_ref().unwrap_or(want);
                        match figures::lens(w, want, fit, &eye_plan.shape, &mut found) {
                            Ok(mut lens) => {
                                match finished::finish(order, rules, fit, &mut seated, &lens) {
                                    Ok(finished) => lens.finished = finished,
                                    Err(ends) => found.push(unfit(&fit.blank.sku, eye, &ends)),
                                }
                                edge_line::idle(order, eye, seated.as_ref(), &mut found);
                                if let Some(line) = &seated {
                                    edge_line::findings(order, eye, line, rules, &mut found);
                                }
                                holes::findings(order, rules, eye, &lens, eye_plan.reference_point, &mut found);
                                let (outline, reference) = (want.cut.outline(), eye_plan.reference_point);
                                lens.lashes = lashes::room(order, eye, &fit.cutting, outline, reference);
                                lashes::findings(rules, eye, lens.lashes, &mut found);
                                lens.edge_line = seated;
                                checks::lens(order, rules, want.material, eye, &lens, &mut found);
                                choice_notes(order, fit, eye, &mut found);
                                blocking::slip(eye, fit.power, fit.blank.treatments, &mut found);
                                eye_plan.optical_centre = figures::optical_centre(w, eye, &lens.cutting);
                                eye_plan.lens = Some(lens);
                            }
                            Err(ends) => found.push(unfit(&fit.blank.sku, eye, &ends)),
                        }
                    }
                    None => {
                        let asked = to_order::figure(w, want, choice.fits[eye.other()].as_ref(), bench, shelf);
                        if order.lens.blank[eye].is_none() {
                            found.push(to_order::no_blank(want, shelf, eye_plan, &asked));
                        }
                        eye_plan.to_order = asked.ok();
                    }
                }
            }
        }
        Some(_) => {}
    }
    for eye_plan in eyes.right.iter().chain(eyes.left.iter()) {
        let form = eye_plan.lens.as_ref().map_or(LensForm::Unknown, |l| l.blank.form);
        let matrix = PowerMatrix::of(&mut Working::off(), eye_plan.power.computed());
        if eye_plan.reference_point.is_some() {
            let height = eye_plan.shape.boxed.height;
            placing::height_findings(order, rules, eye_plan.eye, height, matrix, form, &mut found);
        }
        match (&refused[eye_plan.eye], &eye_plan.lens) {
            (Some(no), None) => {
                found.push(placing::prism_refused(eye_plan.eye, eye_plan.prism.ordered, no));
            }
            _ => residual(eye_plan, &mut found),
        }
        let index =
            eye_plan.lens.as_ref().map(|l| l.index).or_else(|| rules.material(&order.lens.material).map(|m| m.n_d));
        advice::wear(
            w,
            order,
            eye_plan.eye,
            eye_plan.power,
            index.unwrap_or(optics::curves::TOOLING_INDEX),
            &mut found,
        );
    }
    for &eye in order.eyes.made() {
        if let Some(eye_plan) = eyes[eye].as_mut() {
            eye_plan.setting = eye_plan.size_offset.map(|planned| recut::setting(order, rules, planned));
        }
    }
    let pair = pair::figure(w, order, rules, &eyes, &mut found);
    rank(&mut found, &order.answers);
    Plan {
        number: order.number.clone(),
        made: order.eyes,
        standard: rules.edition.clone(),
        eyes,
        pair,
        process: None,
        findings: found,
        working,
    }
}

/// Gravest first, then by consequence, then right before left; answers that fit are taken in.
pub(crate) fn rank(found: &mut [Finding], answers: &[Answer]) {
    for finding in found.iter_mut() {
        finding.take_answer(answers);
    }
    found.sort_by(|a, b| {
        let answered = |f: &Finding| f.answered.is_some();
        (a.kind.severity, answered(a))
            .cmp(&(b.kind.severity, answered(b)))
            .then(b.weight.total_cmp(&a.weight))
            .then(a.eye.cmp(&b.eye))
            .then(a.kind.code.cmp(b.kind.code))
    });
}

/// What is known of an eye before it is placed.
fn bare(order: &Order, eye: Eye, shape: &Arc<Shape>, written: &job::EyePrescription, w: &mut Working) -> EyePlan {
    let ordered = written.prism(eye);
    let frame_curve = shape.frame_curve_d.or(order.frame.frame_curve_d);
    let outline_is_smaller = order.frame.outline_allowance;
    EyePlan {
        eye,
        shape: Arc::clone(shape),
        circumference_3d: shape.length_in_space(w, eye, frame_curve),
        between_lenses: None,
        pd: None,
        power: written.power(),
        reference_point: None,
        optical_centre: None,
        vertex: None,
        size_offset: outline_is_smaller,
        circumference_offset: None,
        setting: None,
        prism: PrismPlan { ordered, residual: ordered, ..PrismPlan::default() },
        lens: None,
        near_misses: Vec::new(),
        to_order: None,
    }
}

/// The finding of a blank that was chosen and cannot be figured.
pub(crate) fn unfit(sku: &str, eye: Eye, ends: &lens::NoLens) -> Finding {
    Finding::new(&kinds::BLANK_UNFIT, "blank.sku", sku)
        .of(eye)
        .weighs(10.0)
        .says(format!("the blank `{sku}` will not do: {ends}"), ends.hint())
}

fn settle(eye_plan: &mut EyePlan, placed: &Placed) {
    eye_plan.reference_point = Some(placed.reference);
    eye_plan.vertex = Some(placed.vertex);
    eye_plan.optical_centre = Some(placed.vertex);
    eye_plan.prism = placed.prism;
}

/// Places the eye for the blank that was chosen, where that is not the place of a usual one: the working must tell of
/// the place that is used.
fn place_again(
    w: &mut Working,
    order: &Order,
    rules: &job::Rules,
    want: &Wanted<'_>,
    fit: &candidate::Fit,
    eye_plan: &mut EyePlan,
) {
    let ground = fit.placed.prism.ground;
    let aspheric = fit.blank.form == LensForm::Aspheric;
    if aspheric {
        let seat = Seat {
            box_width: eye_plan.shape.boxed.width,
            box_height: eye_plan.shape.boxed.height,
            between_lenses: eye_plan.between_lenses.unwrap_or_default(),
        };
        placing::reference_point(w, order, rules, want.eye, seat, eye_plan.pd, LensForm::Aspheric);
    }
    if aspheric || ground != InUp::default() || fit.power != want.power {
        if ground != InUp::default() {
            // Without its prism the lens would have stood elsewhere; that is no figure of this plan.
            for figure in ["optical_centre.in_mm", "optical_centre.up_mm"] {
                w.figure(want.eye.word(), figure);
                w.say(|| {
                    "The blank has prism ground: its prism reference point is placed, blank.vertex_in_mm.".to_owned()
                });
            }
        }
        let matrix = PowerMatrix::of(&mut Working::off(), fit.power.computed());
        placing::vertex(w, want.eye, matrix, fit.placed.reference, want.prism, ground);
    }
    settle(eye_plan, &fit.placed);
}

/// What was wanted, cut to the size that seats the lens.
fn sized<'a>(want: &Wanted<'a>, eye_plan: &mut EyePlan, sized: &lens::Sized) -> Wanted<'a> {
    let cut = Arc::new(CutOutline::new(sized.outline.clone()));
    cut_larger(eye_plan, Some(sized.offset), &cut);
    Wanted { cut, ..want.clone() }
}

/// Writes down how much larger than the traced outline the lens is cut.
fn cut_larger(eye_plan: &mut EyePlan, offset: Option<Mm>, cut: &CutOutline) {
    eye_plan.size_offset = offset;
    eye_plan.circumference_offset = offset.map(|_| cut.outline().circumference() - eye_plan.shape.circumference);
}

pub(crate) fn size_refused(eye: Eye, offset: Option<Mm>) -> Finding {
    let mm = offset.map_or(0.0, Mm::mm);
    Finding::new(&kinds::SIZE_REFUSED, "size.offset_radius_mm", said::mm2(mm)).of(eye).unit("mm").weighs(10.0).says(
        format!("an outline {} mm larger in radius than the traced one does not exist", said::mm2(mm)),
        "check outline_allowance_mm",
    )
}

fn between_lenses(order: &Order, frame: &FrameShapes, found: &mut Vec<Finding>) -> Option<Mm> {
    let ordered = order.frame.distance_between_lenses;
    if let (Some(record), Some(ordered)) = (frame.between_lenses, ordered)
        && (record - ordered).abs().mm() > BETWEEN_LENSES_MM
    {
        found.push(
            Finding::new(
                &kinds::BETWEEN_LENSES_DIFFER,
                "distance_between_lenses_mm",
                format!("{}/{}", mm1(record.mm()), mm1(ordered.mm())),
            )
            .limit(mm1(BETWEEN_LENSES_MM))
            .unit("mm")
            .weighs((record - ordered).abs().mm())
            .says(
                format!(
                    "the records say {} mm between the lenses, the order says {} mm; the records are used",
                    mm1(record.mm()),
                    mm1(ordered.mm())
                ),
                "measure the frame",
            ),
        );
    }
    let between = frame.between_lenses.or(ordered);
    if between.is_none() {
        found.push(
            Finding::new(&kinds::NO_DISTANCE_BETWEEN_LENSES, "distance_between_lenses_mm", "none").weighs(10.0).says(
                "neither the records nor the order have the distance between lenses: the optical centres cannot be placed",
                "measure it and write distance_between_lenses_mm",
            ),
        );
    }
    between
}

fn frame_findings(order: &Order, frame: &FrameShapes, bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let limits = &bench.rules.intake;
    for &eye in order.eyes.made() {
        let shape = &frame.eyes[eye];
        let sizes = [
            ("box.width_mm", "box width", shape.boxed.width, limits.box_width),
            ("box.height_mm", "box height", shape.boxed.height, limits.box_height),
        ];
        for (figure, what, size, (least, most)) in sizes {
            found.extend(unusual(figure, what, size, least, most).map(|f| f.of(eye)));
        }
        if let (Some(record), Some(ordered)) = (shape.frame_curve_d, order.frame.frame_curve_d)
            && (record - ordered).abs() > FRAME_CURVE_D
        {
            found.push(
                Finding::new(
                    &kinds::FRAME_CURVES_DIFFER,
                    "frame_curve_d",
                    format!("{}/{}", signed2(record), signed2(ordered)),
                )
                .of(eye)
                .limit(said::mm2(FRAME_CURVE_D))
                .unit("D")
                .weighs((record - ordered).abs() / 10.0)
                .says(
                    format!(
                        "the records give a frame curve of {} D, the order says {} D; the records are used",
                        signed2(record),
                        signed2(ordered)
                    ),
                    "lay a lens measure or a curve gauge on the rim",
                ),
            );
        }
        if shape.depth.is_none() {
            let curve = shape.frame_curve_d.or(order.frame.frame_curve_d);
            found.push(match curve.filter(|&c| c > 0.0) {
                Some(curve) => {
                    Finding::new(&kinds::DEPTH_FROM_CURVE, "frame_curve_d", signed2(curve)).of(eye).unit("D").says(
                        format!(
                            "no heights in the trace: the rim is laid on the sphere of its frame curve, {} D",
                            signed2(curve)
                        ),
                        "trace with depth where the fit matters",
                    )
                }
                None => Finding::new(&kinds::NO_DEPTH, "box.circumference_3d_mm", "none").of(eye).says(
                    "neither heights nor a frame curve: no length in space",
                    "write frame_curve_d, or trace with depth",
                ),
            });
        }
    }
    let (least, most) = limits.between_lenses;
    if let Some(between) = frame.between_lenses.or(order.frame.distance_between_lenses) {
        found.extend(unusual("distance_between_lenses_mm", "distance between lenses", between, least, most));
    }
    of_order(order, found);
}

/// What the order alone tells of frame, edge and fellow lens.
pub(crate) fn of_order(order: &Order, found: &mut Vec<Finding>) {
    outline_findings(order, found);
    if order.lens.kind != LensType::SingleVision {
        found.push(Finding::new(&kinds::LAYOUT_NOT_FIGURED, "lens.type", order.lens.kind.word()).weighs(10.0).says(
            format!("{} lenses are not laid out by this program yet", order.lens.kind.word()),
            "lay the pair out by the maker's chart",
        ));
    }
    if let Some(material) =
        order.lens.mate.as_ref().and_then(|m| m.material.as_ref()).filter(|m| **m != order.lens.material)
    {
        found.push(
            Finding::new(&kinds::MATE_MATERIAL, "lens.material", order.lens.material.as_str())
                .limit(material.as_str())
                .weighs(1.0)
                .says(
                    format!("the fellow lens is {material}, this one is ordered in {}", order.lens.material),
                    "make both of one material, or answer why not",
                ),
        );
    }
    let usual = order.frame.mounting.usual_edge();
    if order.lens.edge != usual {
        found.push(
            Finding::new(&kinds::EDGE_NOT_OF_MOUNTING, "lens.edge", order.lens.edge.word())
                .limit(usual.word())
                .weighs(1.0)
                .says(
                    format!(
                        "a {} mounting takes a {} edge; the order says {}",
                        order.frame.mounting.word(),
                        usual.word(),
                        order.lens.edge.word()
                    ),
                    "look at the frame and set edge or mounting right",
                ),
        );
    }
}

fn unusual(figure: &str, what: &str, size: Mm, least: Mm, most: Mm) -> Option<Finding> {
    (size < least || size > most).then(|| {
        Finding::new(&kinds::FRAME_SIZE, figure, mm1(size.mm()))
            .limit(format!("{}..{}", mm1(least.mm()), mm1(most.mm())))
            .unit("mm")
            .weighs(1.0)
            .says(
                format!("{what} {} mm: few frames have that", mm1(size.mm())),
                "measure the frame; see the units of the trace",
            )
    })
}

fn outline_findings(order: &Order, found: &mut Vec<Finding>) {
    let frame = &order.frame;
    let smaller = match (frame.outline_of, frame.outline_from) {
        (Some(OutlineOf::DemoLens), _) => Some("a demonstration lens"),
        (Some(OutlineOf::LensEdge), _) => Some("the edge of a cut lens"),
        _ => None,
    };
    if let Some(what) = smaller.filter(|_| frame.outline_allowance.is_none()) {
        found.push(
            Finding::new(&kinds::OUTLINE_ALLOWANCE, "frame.outline_allowance_mm", "none").unit("mm").weighs(1.0).says(
                match frame.mounting {
                    Mounting::FullRim => format!(
                        "the outline is of {what}, often smaller than the groove by about the bevel's height; as it stands the lens is cut to the outline itself"
                    ),
                    Mounting::NylonCord | Mounting::GroovedRim | Mounting::Drilled => format!(
                        "the outline is of {what}: is the new lens to be exactly that size? As it stands it is cut to the outline itself"
                    ),
                },
                "measure lens against frame and write outline_allowance_mm (of radius; 0 if they agree)",
            ),
        );
    }
    if frame.outline_of == Some(OutlineOf::RimGroove)
        && matches!(frame.mounting, Mounting::NylonCord | Mounting::Drilled)
    {
        found.push(
            Finding::new(&kinds::OUTLINE_NOT_OF_MOUNTING, "frame.outline_of", OutlineOf::RimGroove.word()).says(
                format!("a {} frame has no rim groove all round to trace", frame.mounting.word()),
                "write what was traced: demo-lens, lens-edge or pattern",
            ),
        );
    }
    let inherited = match frame.outline_from {
        Some(OutlineFrom::EarlierTrace) => Some("an earlier trace of the model"),
        Some(OutlineFrom::PrintedSizes) => Some("the maker's printed sizes"),
        Some(OutlineFrom::DemoLens) => Some("the demonstration lens"),
        Some(OutlineFrom::ThisFrame) | None => None,
    };
    if let Some(what) = inherited {
        let advice = if frame.material == Some(job::FrameMaterial::Metal) {
            "metal forgives least: cut a little large, try, cut again"
        } else {
            "cut a little large, try, cut again"
        };
        found.push(
            Finding::new(
                &kinds::OUTLINE_INHERITED,
                "frame.outline_from",
                frame.outline_from.map_or("", OutlineFrom::word),
            )
            .says(format!("the outline comes from {what}, not from this rim"), advice),
        );
    }
}

fn residual(eye_plan: &EyePlan, found: &mut Vec<Finding>) {
    let residual = eye_plan.prism.residual;
    let most = residual.base_in.abs().max(residual.base_up.abs());
    if most.cm_per_m() > candidate::PRISM_MET_CM_PER_M && eye_plan.reference_point.is_some() {
        let value = format!("{}/{}", signed2(residual.base_in.cm_per_m()), signed2(residual.base_up.cm_per_m()));
        found.push(
            Finding::new(&kinds::RESIDUAL_PRISM, "prism.residual", value.clone())
                .of(eye_plan.eye)
                .unit("cm/m")
                .weighs(most.cm_per_m())
                .says(format!("{value} prism dioptres in/up are left of what was ordered"), "order the prism ground"),
        );
    }
}

fn choice_notes(order: &Order, fit: &candidate::Fit, eye: Eye, found: &mut Vec<Finding>) {
    let extra = choice::extra_treatments(order, fit);
    if !extra.is_empty() {
        found.push(Finding::new(&kinds::EXTRA_TREATMENT, "blank.treatments", extra.count().to_string()).of(eye).says(
            "the blank has a clear coat that was not ordered",
            "tell the wearer that it is there, or take another blank",
        ));
    }
    if let Some(wanted) = order.lens.front_curve_d[eye] {
        let off = fit.figures.front_curve_1530_d.value - wanted;
        if off.abs() > CURVE_AS_ORDERED_D {
            let has = signed2(fit.figures.front_curve_1530_d.value);
            found.push(
                Finding::new(&kinds::CURVE_NOT_AS_ORDERED, "blank.front_curve_1530_d", has.clone())
                    .of(eye)
                    .limit(signed2(wanted))
                    .unit("D")
                    .weighs(off.abs() / 10.0)
                    .says(
                        format!("the front curve is {has} D, ordered was {} D", signed2(wanted)),
                        "ask whether this curve will do, or order the lens surfaced",
                    ),
            );
        }
    }
    if let Some(series) = order.lens.mate.as_ref().and_then(|m| m.series.as_ref())
        && fit.blank.series.as_ref() != Some(series)
    {
        let has = fit.blank.series.as_deref().unwrap_or("none");
        found.push(
            Finding::new(&kinds::MATE_SERIES, "blank.series", has).of(eye).limit(series.clone()).says(
                format!("this blank is of series {has}, the fellow lens of {series}"),
                "compare both in the light",
            ),
        );
    }
    if let Some(mate) = order.lens.mate.as_ref().and_then(|m| m.front_curve) {
        let off = choice::off_mate(fit, mate);
        if off.abs() > 0.5 {
            found.push(
                Finding::new(&kinds::MATE_CURVE, "blank.front_curve_1530_d", signed2(off))
                    .of(eye)
                    .unit("D")
                    .weighs(off.abs() / 10.0)
                    .says(
                        format!("the front curve differs from the fellow lens by {} D", signed2(off)),
                        "order a blank of the fellow lens's curve if the look matters",
                    ),
            );
        }
    }
}
