//! The uncut in the hand: every figure again from what was read on it, and what moved against the label.

use inspection::{Code, Item, Standard, Swap, Verdict, Wanted};
use job::rules::Doubt;
use job::{Eye, Finding, Order, PerEye, Uncut, kinds};
use units::{Mm, Working};

use crate::plan::{Bench, EyePlan, LensPlan, Plan};
use crate::said::mm2;
use crate::shape::FrameShapes;

/// A figure that moved by less than this, in its own unit, did not move: half of the last place that is shown.
const STILL: f64 = 0.005;

/// An error of so many limits is no bad lens but another one, or a slip of the pen: own choice.
const ANOTHER_LENS: f64 = 4.0;

/// A reading this many times as far from its label as a label may be off is more likely a slip: own choice.
const SLIP: f64 = 3.0;
/// A diameter this far from its label is more likely a slip, mm: own choice; stock comes in steps of 5 mm.
const SLIP_DIAMETER_MM: f64 = 3.0;

/// A plan from the labels beside the plan from what was read.
#[derive(Debug, Clone)]
pub struct Measured {
    /// From the labels.
    pub label: Plan,
    /// From the readings, and from the label where there was none.
    pub read: Plan,
    /// What moved for each lens that was read, most first.
    pub moved: PerEye<Vec<Moved>>,
    /// Each reading against what was ordered of the uncut lens; empty where no standard judges it.
    pub items: PerEye<Vec<Item>>,
    /// Whether right and left were taken for one another.
    pub swap: Option<Swap>,
}

/// A figure that moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which figure of the plan.
    pub figure: &'static str,
    /// Its value by the label.
    pub label: f64,
    /// Its value as read.
    pub read: f64,
    /// Its unit.
    pub unit: &'static str,
}

/// Plans an order from its labels and again from what was read on the uncut lenses. The blanks are those that the labels
/// choose.
#[must_use]
pub fn measured(
    order: &Order,
    shapes: &FrameShapes,
    bench: &Bench<'_>,
    uncut: PerEye<Option<Uncut>>,
    standard: Option<&Standard>,
    working: Working,
) -> Measured {
    let label = crate::plan(order, shapes, &Bench { uncut: PerEye::default(), ..*bench }, Working::off());
    let mut read = crate::plan(order, shapes, &Bench { uncut, ..*bench }, working);
    let moved = PerEye::from_fn(|eye: Eye| match (uncut[eye], &label.eyes[eye], &read.eyes[eye]) {
        (Some(_), Some(label), Some(read)) => moved(label, read),
        _ => Vec::new(),
    });
    let wanted = PerEye::from_fn(|eye: Eye| wanted(order, &label, eye));
    let items = PerEye::from_fn(|eye: Eye| match (&wanted[eye], &uncut[eye], standard) {
        (Some(wanted), Some(read), Some(standard)) => inspection::uncut(wanted, read, standard),
        _ => Vec::new(),
    });
    let swap = standard.and_then(|standard| inspection::swapped(&wanted, &uncut, standard, &bench.rules.readings));
    match &swap {
        Some(swap) => read.findings.push(swapped(swap)),
        None => {
            for eye in Eye::BOTH {
                let may_turn = label.eyes[eye]
                    .as_ref()
                    .and_then(|e| e.lens.as_ref())
                    .is_some_and(|l| l.blank.fixed_axis.is_none());
                read.findings.extend(items[eye].iter().filter_map(|item| off(item, eye, may_turn)));
            }
        }
    }
    for eye in Eye::BOTH {
        if let (Some(uncut), Some(lens)) = (&uncut[eye], label.eyes[eye].as_ref().and_then(|e| e.lens.as_ref())) {
            read.findings.extend(unlike_label(uncut, lens, &bench.rules.doubt, eye));
        }
    }
    crate::rank(&mut read.findings, &order.answers);
    Measured { label, read, moved, items, swap }
}

/// What an uncut lens is to be: of prism what the plan has ground into it, since decentration gives the rest.
fn wanted(order: &Order, label: &Plan, eye: Eye) -> Option<Wanted> {
    let ground = label.eyes[eye].as_ref()?.prism.ground;
    Some(Wanted { prism: ground, ..Wanted::of(order, eye)? })
}

fn swapped(swap: &Swap) -> Finding {
    let (says, mend) = match swap.eyes[..] {
        [only] => (
            format!("what was read on the {only} lens is what the other eye was ordered: right and left are swapped"),
            "take the other packet, and write R and L on the lenses before anything else".to_owned(),
        ),
        _ => (
            "what was read on each lens is what the other eye was ordered: right and left are swapped".to_owned(),
            "exchange the two lenses, and write R and L on them before anything else".to_owned(),
        ),
    };
    Finding::new(&kinds::UNCUT_SWAPPED, "measured", "swapped").weighs(100.0).says(says, mend)
}

/// A reading that does not meet the order, or meets it by one reading of the standard only.
fn off(item: &Item, eye: Eye, may_turn: bool) -> Option<Finding> {
    let kind = match item.verdict {
        Verdict::Outside => &kinds::UNCUT_OUTSIDE,
        Verdict::Marginal => &kinds::UNCUT_MARGINAL,
        Verdict::Within | Verdict::NotChecked | Verdict::NotDefined => return None,
    };
    let (error, limit) = (item.error?, item.limit?);
    let name = item.code.name();
    let mend = match item.code {
        Code::Axis if may_turn => "turn the lens on the focimeter to the ordered axis and mark it again".to_owned(),
        _ if item.verdict == Verdict::Marginal => format!("{}; read it again", item.clause),
        _ if item.share().is_some_and(|share| share > ANOTHER_LENS) => {
            "see whether these readings are of this order's lenses, and the signs and the form of the power".to_owned()
        }
        _ => "read it again; if it is so, send the lens back and take another".to_owned(),
    };
    let sure = if item.sure.is_provisional() { "; that limit is provisional" } else { "" };
    Some(
        Finding::new(kind, &format!("measured.{}", item.code.word()), error.to_string())
            .of(eye)
            .limit(limit.to_string())
            .unit(item.unit)
            .weighs(item.share().unwrap_or(1.0))
            .says(
                format!(
                    "the uncut's {name} is {error} {unit} off {wanted} {what}; {limit} {unit} is allowed ({edition}{sure})",
                    wanted = item.wanted,
                    what = if item.code == Code::Prp { "that is ground into it" } else { "that was ordered" },
                    unit = item.unit,
                    edition = item.edition,
                ),
                mend,
            ),
    )
}

/// Readings so far from what the label says that a slip of the pen is likelier than such a lens.
fn unlike_label(uncut: &Uncut, lens: &LensPlan, doubt: &Doubt, eye: Eye) -> Vec<Finding> {
    let assumed = |figure: &str| lens.assumed.iter().any(|a| a.figure == figure);
    let centre_doubt = if assumed("blank.centre_mm") { doubt.centre } else { doubt.label_centre };
    let curve_doubt = if assumed("blank.front_curve_1530_d") { doubt.front_curve_d } else { doubt.label_curve_d };
    [
        (
            "centre thickness",
            "measured.centre_mm",
            "mm",
            uncut.centre.map(Mm::mm),
            lens.thickness.vertex.mm(),
            SLIP * centre_doubt.mm(),
        ),
        (
            "front curve",
            "measured.front_curve_d",
            "D",
            uncut.front_curve_1530_d,
            lens.front_curve_1530.dioptres(),
            SLIP * curve_doubt,
        ),
        (
            "diameter",
            "measured.diameter_mm",
            "mm",
            uncut.diameter.map(Mm::mm),
            lens.blank.nominal.mm(),
            SLIP_DIAMETER_MM,
        ),
    ]
    .into_iter()
    .filter_map(|(name, figure, unit, read, label, most)| {
        let read = read?;
        ((read - label).abs() > most).then(|| {
            Finding::new(&kinds::UNCUT_UNLIKE_LABEL, figure, mm2(read))
                .of(eye)
                .limit(mm2(label))
                .unit(unit)
                .weighs((read - label).abs())
                .says(
                    format!(
                        "the {name} read is {} {unit}; the packet and this power would have about {} {unit}",
                        mm2(read),
                        mm2(label)
                    ),
                    "read it again, and see that the decimal point stands right; if it is so, answer",
                )
        })
    })
    .collect()
}

/// The figures of one eye that moved, by how far.
fn moved(label: &EyePlan, read: &EyePlan) -> Vec<Moved> {
    type Figure = fn(&EyePlan) -> Option<f64>;
    fn lens(eye: &EyePlan) -> Option<&LensPlan> {
        eye.lens.as_ref()
    }
    const FIGURES: [(&str, &str, Figure); 13] = [
        ("edge.thickest_mm", "mm", |e| Some(lens(e)?.edge.thickest.mm())),
        ("edge.thinnest_mm", "mm", |e| Some(lens(e)?.edge.thinnest.mm())),
        ("thickness.optical_centre_mm", "mm", |e| Some(lens(e)?.thickness.optical_centre?.mm())),
        ("thickness.reference_point_mm", "mm", |e| Some(lens(e)?.thickness.reference_point.mm())),
        ("thickness.greatest_mm", "mm", |e| Some(lens(e)?.thickness.greatest.0.mm())),
        ("thickness.least_mm", "mm", |e| Some(lens(e)?.thickness.least.0.mm())),
        ("coverage.margin_mm", "mm", |e| Some(lens(e)?.coverage.margin.mm())),
        ("mass_g", "g", |e| Some(lens(e)?.mass_g)),
        ("blank.front_curve_1530_d", "D", |e| Some(lens(e)?.front_curve_1530.dioptres())),
        ("optical_centre.in_mm", "mm", |e| Some(e.optical_centre?.inwards.mm())),
        ("optical_centre.up_mm", "mm", |e| Some(e.optical_centre?.up.mm())),
        ("prism.residual.base_in_cm_per_m", "cm/m", |e| Some(e.prism.residual.base_in.cm_per_m())),
        ("prism.residual.base_up_cm_per_m", "cm/m", |e| Some(e.prism.residual.base_up.cm_per_m())),
    ];
    let mut moved: Vec<Moved> = FIGURES
        .iter()
        .filter_map(|&(figure, unit, of)| Some(Moved { figure, label: of(label)?, read: of(read)?, unit }))
        .filter(|m| (m.read - m.label).abs() >= STILL)
        .collect();
    moved.sort_by(|a, b| (b.read - b.label).abs().total_cmp(&(a.read - a.label).abs()));
    moved
}
