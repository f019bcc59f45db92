//! What the line on the edge asks: room, seat, wheel, the rim's groove, the parts behind the lens.

use job::rules::Rules;
use job::{EdgeKind, EdgeRun, Eye, Finding, Order, kinds};
use lens::{NoSize, Seat, Seated};
use units::Mm;
use units::maths::abs;

use super::rim_groove::StoppedBy;
use super::{EdgeLinePlan, TO_FORM_MM};
use crate::said::{at, fixed, mm1, mm2, signed2};

/// A turn of the rim beyond this is told, degrees: design.
const LEANS_DEG: f64 = 8.0;
/// A line that is held further than this off its rule is told, mm: own choice.
const HELD_MM: f64 = 0.1;
/// A bevel further than this off the rim's groove is told: own choice.
const RIM_GROOVE_MM: Mm = Mm::new(0.1);

/// What the line on the edge asks.
pub(crate) fn findings(order: &Order, eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    squeezed(eye, line, rules, found);
    held(eye, line, found);
    clearance(eye, line, found);
    rim_groove(order, eye, line, found);
    if line.edge == EdgeKind::Bevel {
        thinned(eye, line, rules, found);
    }
    if let (Some(seat), Some(seated)) = (&line.seat, &line.sized.seated) {
        leans(eye, seat, found);
        to_form(eye, line, seated, found);
    }
}

/// An edge without room for the bevel's least shoulders, or the groove and its least walls.
fn squeezed(eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    let Some(squeezed) = line.sized.room.squeezed else { return };
    let (thinnest, place) = (squeezed.thinnest.mm(), at(squeezed.at.direction_deg()));
    let (kind, wanted, said, mend) = if line.edge == EdgeKind::Groove {
        let walls = mm2((0.5 * (thinnest - rules.groove.width.mm())).max(0.0));
        (
            &kinds::GROOVE_WALLS_THIN,
            rules.groove.width + rules.groove.wall * 2.0,
            format!("the edge is {} mm at {place}: the walls beside the groove are {walls} mm there", mm2(thinnest)),
            "take a thicker lens; a wall so thin breaks out",
        )
    } else {
        (
            &kinds::SHOULDERS_SHORT,
            rules.least.front_shoulder + rules.least.back_shoulder,
            format!(
                "the edge is less than both least shoulders, {} mm at {place}: the apex divides it there",
                mm2(thinnest)
            ),
            "expect a lower bevel there; a thicker lens would hold better",
        )
    };
    found.push(
        Finding::new(kind, "edge.thinnest_mm", mm2(thinnest))
            .of(eye)
            .limit(mm2(wanted.mm()))
            .unit("mm")
            .weighs(wanted.mm() - thinnest)
            .says(said, mend),
    );
}

/// An order that says how a line runs where there is none, or beside a rim that this mounting has not.
pub(crate) fn idle(order: &Order, eye: Eye, line: Option<&EdgeLinePlan>, found: &mut Vec<Finding>) {
    let Some(asked) = order.lens.edge_line.filter(|&asked| {
        let may_idle = order.lens.edge == EdgeKind::Flat || asked == EdgeRun::RIM;
        may_idle && line.is_none_or(|line| line.run != asked)
    }) else {
        return;
    };
    let why = if order.lens.edge == EdgeKind::Flat {
        "a flat edge has no line"
    } else {
        "no rim with a depth is there to follow"
    };
    found.push(Finding::new(&kinds::EDGE_LINE_IDLE, "edge.line", asked.to_string()).of(eye).says(
        format!("the order wants the line on the edge {asked}, but {why}"),
        "take edge_line out of the order, or write what the edge and the rim are",
    ));
}

/// A line that would have left the edge, and is held within it.
fn held(eye: Eye, line: &EdgeLinePlan, found: &mut Vec<Finding>) {
    let Some(run) = line.sized.run.as_ref().filter(|run| run.held.mm() > HELD_MM) else { return };
    let what = if line.edge == EdgeKind::Groove { "groove" } else { "bevel" };
    found.push(
        Finding::new(&kinds::EDGE_LINE_HELD, "edge.line.held_mm", mm2(run.held.mm()))
            .of(eye)
            .limit(mm2(HELD_MM))
            .unit("mm")
            .weighs(run.held.mm())
            .says(
                format!(
                    "a {what} {} would come too near to a surface at {}: it is held {} mm off its line there",
                    line.run,
                    at(run.held_at.direction_deg()),
                    mm2(run.held.mm())
                ),
                "leave edge_line out, or take a thicker lens or another front curve",
            ),
    );
}

/// A part of the frame behind the lens that has less room than the back edge takes.
fn clearance(eye: Eye, line: &EdgeLinePlan, found: &mut Vec<Finding>) {
    for part in &line.behind {
        let (back, over) = (part.takes, part.takes - part.room);
        if over > Mm::ZERO {
            found.push(
                Finding::new(&kinds::BACK_EDGE_TOUCHES, "edge.back_shoulder_mm", mm2(back.mm()))
                    .of(eye)
                    .limit(mm2(part.room.mm()))
                    .unit("mm")
                    .weighs(over.mm())
                    .says(
                        format!(
                            "the back edge stands {} mm behind the {} at {}; the {} leaves {} mm",
                            mm2(back.mm()),
                            if line.edge == EdgeKind::Groove { "groove" } else { "bevel" },
                            at(part.deg),
                            part.what,
                            mm2(part.room.mm())
                        ),
                        "run the bevel further back, widen the safety bevel there, set the part, or take a thinner lens",
                    ),
            );
        }
    }
}

/// A bevel that does not go down to the bottom of the rim's groove.
fn rim_groove(order: &Order, eye: Eye, line: &EdgeLinePlan, found: &mut Vec<Finding>) {
    let Some((groove, sits)) = order.frame.rim_groove.zip(line.sits) else { return };
    let (code, far, sentence, mend) = match sits.stopped_by {
        StoppedBy::Bottom if sits.off > RIM_GROOVE_MM => (
            &kinds::BEVEL_STANDS_OFF,
            sits.off,
            format!(
                "the bevel is {} mm higher than the rim's groove is deep: its shoulders stand off the rim",
                mm2(sits.off.mm())
            ),
            "expect a line of light beside the rim; a lower bevel closes it",
        ),
        StoppedBy::Lips if sits.short > RIM_GROOVE_MM => (
            &kinds::BEVEL_SHORT,
            sits.short,
            format!(
                "the bevel is wider than the mouth of the rim's groove: it rests on the lips, {} mm above the bottom that was traced",
                mm2(sits.short.mm())
            ),
            "expect it tight: try it early, and go smaller step by step; a narrower bevel goes deeper",
        ),
        StoppedBy::Shoulders if sits.short > RIM_GROOVE_MM => (
            &kinds::BEVEL_SHORT,
            sits.short,
            format!(
                "the bevel is lower than the rim's groove is deep: its shoulders meet the rim with the apex {} mm above the bottom that was traced",
                mm2(sits.short.mm())
            ),
            "expect it tight: try it early, and go smaller step by step; a higher bevel goes deeper",
        ),
        StoppedBy::Bottom | StoppedBy::Lips | StoppedBy::Shoulders => return,
    };
    found.push(
        Finding::new(code, "seat.reach_mm", mm2(sits.reach.mm()))
            .of(eye)
            .limit(mm2(groove.depth.mm()))
            .unit("mm")
            .weighs(far.mm())
            .says(sentence, mend),
    );
}

/// A rim that lies far askew on the lens.
fn leans(eye: Eye, seat: &Seat, found: &mut Vec<Finding>) {
    let (x, y) = (seat.tilt_x.deg(), seat.tilt_y.deg());
    let most = if abs(x) > abs(y) { x } else { y };
    if abs(most) > LEANS_DEG {
        found.push(
            Finding::new(
                &kinds::SEAT_LEANS,
                if abs(x) > abs(y) { "seat.tilt_x_deg" } else { "seat.tilt_y_deg" },
                fixed(most, 1),
            )
            .of(eye)
            .limit(fixed(LEANS_DEG, 1))
            .unit("deg")
            .weighs(abs(most) / 10.0)
            .says(
                format!("the rim would lie {} degrees askew on this lens", fixed(abs(most), 1)),
                "true the front and trace again; or take a lens nearer to the frame curve",
            ),
        );
    }
}

/// A bevel that leaves the rim by more than a rim gives by itself.
fn to_form(eye: Eye, line: &EdgeLinePlan, seated: &Seated, found: &mut Vec<Finding>) {
    let gap = seated.gap_greatest.mm();
    if abs(gap) > TO_FORM_MM {
        let curves = match (line.frame_curve_d, line.bevel_curve_d) {
            (Some(frame), Some(apex)) => {
                format!(" (frame curve {} D, bevel curve {} D)", signed2(frame), signed2(apex))
            }
            _ => String::new(),
        };
        let place = at(seated.gap_greatest_at.direction_deg());
        let stands = if gap < 0.0 { "before" } else { "behind" };
        found.push(
            Finding::new(&kinds::RIM_TO_FORM, "seat.gap_greatest_mm", signed2(gap))
                .of(eye)
                .limit(mm2(TO_FORM_MM))
                .unit("mm")
                .weighs(abs(gap))
                .says(
                    format!("the bevel would stand {} mm {stands} the rim at {place}{curves}", mm2(abs(gap))),
                    "form the rim to the bevel before mounting, or take a lens nearer to the frame curve",
                ),
        );
    }
}

/// Where the apex runs steeply round the edge, the wheel's own groove cuts the bevel lower.
fn thinned(eye: Eye, line: &EdgeLinePlan, rules: &Rules, found: &mut Vec<Finding>) {
    let Some((most, place)) = line.lowered else { return };
    if most > rules.wheel.thinned {
        found.push(
            Finding::new(&kinds::BEVEL_THINNED, "edge.lowered_mm", mm2(most.mm()))
                .of(eye)
                .limit(mm2(rules.wheel.thinned.mm()))
                .unit("mm")
                .weighs(most.mm())
                .says(
                    format!(
                        "the bevel runs so steeply that a wheel of {} mm cuts it {} mm lower at {}",
                        mm1(rules.wheel.bevel.mm()),
                        mm2(most.mm()),
                        at(place.direction_deg())
                    ),
                    "look at the bevel there after the first cut; a smaller wheel or a flatter bevel curve leaves more",
                ),
        );
    }
}

/// The finding of a lens that cannot be seated.
pub(crate) fn unseated(eye: Eye, no: &NoSize) -> Finding {
    match no {
        NoSize::Outline { offset, .. } => crate::size_refused(eye, Some(*offset)),
        NoSize::Curve { curve_d, .. } => {
            Finding::new(&kinds::EDGE_LINE_REFUSED, "edge.line.curve_d", signed2(*curve_d)).of(eye).weighs(10.0).says(
                format!("the line on the edge cannot run so: {no}"),
                "order a flatter curve, or leave edge_line out",
            )
        }
        NoSize::Lens(no) => Finding::new(&kinds::NOT_SEATED, "seat", "none").of(eye).weighs(1.0).says(
            format!("the lens could not be seated in its rim: {no}"),
            "check trace depth and frame curve; figures of size and bevel are missing",
        ),
    }
}
