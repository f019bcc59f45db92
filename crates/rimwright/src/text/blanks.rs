//! The blanks: chosen, to be ordered, and those that come near.

use job::prescription::InUp;
use job::{Blank, Eye};
use optics::OrderedPower;
use planner::Plan;
use planner::plan::{CurveFrom, EyePlan, LensPlan, OrderThickness, Reason, SemiFinished, ToOrder};

use super::page::Page;
use super::words::{at, minus, place, power, prism, sentence, signed, two};

/// Near misses shown for an eye.
const MISSES: usize = 4;

/// The chosen blanks, side by side.
pub(super) fn chosen(page: &mut Page, plan: &Plan) {
    if plan.planned().all(|eye| eye.lens.is_none()) {
        return;
    }
    page.gap();
    page.sides("blank");
    let mut row = |label: &str, of: &dyn Fn(&LensPlan) -> Option<String>| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(|e| e.lens.as_ref()).and_then(of);
        page.spine(label, value(Eye::Right).as_deref(), value(Eye::Left).as_deref());
    };
    row("lies in", &|l| l.blank.place.clone());
    row("sku", &|l| Some(l.blank.sku.clone()));
    row("lot", &|l| l.blank.lot.clone());
    row("packet says", &|l| Some(packet(&l.blank)));
    row("diameter", &|l| Some(format!("{:.0} mm", l.blank.nominal.mm())));
    row("front on 1.530", &|l| Some(signed(l.front_curve_1530.dioptres())));
    row("centre", &|l| Some(two(l.thickness.vertex.mm())));
    row("to spare", &|l| Some(two(l.coverage.margin.mm())));
    page.gap();
}

/// A blank that may be turned has no axis on its packet.
fn packet(blank: &Blank) -> String {
    let (sphere, cylinder) = (blank.power.sphere(), blank.power.cylinder());
    match (cylinder, blank.fixed_axis) {
        (Some((cylinder, _)), None) => minus(&format!("{sphere} {cylinder}")),
        _ => power(blank.power),
    }
}

/// What to ask the supplier for, line by line as it is read over the telephone.
pub(super) fn to_order(page: &mut Page, plan: &Plan) {
    for eye in plan.planned() {
        let Some(order) = &eye.to_order else { continue };
        page.gap();
        page.line(&format!("To order, {} lens:", eye.eye));
        let mut row = |label: &str, text: &str| page.wrapped(&format!("  {label:<11} "), text);
        let minus_form = OrderedPower::new(order.sphere, order.cylinder);
        row("power", &power(minus_form));
        if minus_form != order.ordered {
            row("as ordered", &power(order.ordered));
        }
        if eye.prism.ordered != InUp::default() {
            row("prism", &to_grind(eye, order));
        }
        let series = order.series.as_ref().map_or(String::new(), |series| format!(", series {series}"));
        row("material", &format!("{}, index {:.3}, {}{series}", order.material, order.index, order.form.word()));
        let none = "none".to_owned();
        row("treatments", &Some(order.treatment_names.join(", ")).filter(|names| !names.is_empty()).unwrap_or(none));
        row("front", &format!("{} on 1.530, {}", signed(order.front_curve.curve_1530.dioptres()), curve_from(order)));
        let point = if order.prism == InUp::default() { "optical centre" } else { "prism reference point" };
        row(
            "across",
            &format!(
                "{:.0} mm or more ({:.1} figured) with its {point} in the middle, which will stand {}",
                order.diameter_asked().mm(),
                order.least_diameter.mm(),
                place(order.decentration)
            ),
        );
        let edge = match order.thickness {
            OrderThickness::Centre(_) => format!("the thinnest edge is then {} mm", two(order.thinnest_edge.mm())),
            OrderThickness::CentreForEdge { edge, .. } => format!("for a thinnest edge of {} mm", two(edge.mm())),
        };
        row("centre", &format!("{} mm, {edge}", two(order.centre_asked().mm())));
        for caution in &order.cautions {
            row("settle", &sentence(caution));
        }
        for semi in order.semi_finished.iter().take(MISSES) {
            row("or surface", &surfaced(semi));
        }
        if order.semi_finished.len() > MISSES {
            row("", "and others; --json lists them");
        }
    }
    page.gap();
}

fn to_grind(eye: &EyePlan, order: &ToOrder) -> String {
    match prism(order.prism) {
        Some(ground) => {
            let (x, y) = (order.prism.base_in.cm_per_m() * eye.eye.nasal(), order.prism.base_up.cm_per_m());
            let (amount, deg) = (units::maths::hypot(x, y), units::maths::atan2_deg(y, x));
            format!("{ground}, ground, at the reference point: {} \u{394} with its base at {}", two(amount), at(deg))
        }
        None => "none to grind: where the optical centre stands gives what is prescribed".to_owned(),
    }
}

fn curve_from(order: &ToOrder) -> &'static str {
    match order.front_curve.from {
        CurveFrom::Order => "as the order wants it",
        CurveFrom::Fellow => "to match the blank of the fellow eye",
        CurveFrom::Mate => "to match the fellow lens",
        CurveFrom::Usual => "a usual one (Vogel's rule): there is none to match",
    }
}

/// A semi-finished blank, with what was checked of it.
fn surfaced(semi: &SemiFinished) -> String {
    let lies = semi.blank.place.as_ref().map_or(String::new(), |place| format!(" ({place})"));
    format!(
        "{}{lies}: {} mm to spare round the shape, front {} D from the one wanted, {} mm thicker than the lens",
        semi.blank.sku,
        two(semi.margin.mm()),
        signed(semi.curve_off.dioptres()),
        two(semi.spare.mm())
    )
}

/// Blanks that come near, for whoever wonders why not this one. Where a blank was chosen, one of another power is no
/// news.
pub(super) fn near_misses(page: &mut Page, plan: &Plan) {
    for eye in plan.planned() {
        let telling = telling(eye);
        if telling.is_empty() {
            continue;
        }
        page.line(&format!("Why not, {} eye:", eye.eye));
        for (sku, alike, sentence) in telling.iter().take(MISSES) {
            let more = if *alike > 0 { format!(" ({alike} more like it)") } else { String::new() };
            page.wrapped(&format!("  {sku:<24} "), &format!("{sentence}{more}"));
        }
        if telling.len() > MISSES {
            page.line("  and others; --json lists them");
        }
        page.gap();
    }
}

/// The first blank of each reason in a row, how many follow with the same one, and the reason.
fn telling(eye: &EyePlan) -> Vec<(&str, usize, String)> {
    let mut telling: Vec<(&str, usize, String)> = Vec::new();
    for miss in eye.near_misses.iter().filter(|miss| eye.lens.is_none() || miss.reason < Reason::Power) {
        let sentence = miss.reason.sentence(miss.by);
        match telling.last_mut() {
            Some((_, alike, before)) if *before == sentence => *alike += 1,
            _ => telling.push((&miss.blank.sku, 0, sentence)),
        }
    }
    telling
}
