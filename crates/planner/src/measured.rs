//! The uncut in the hand: every figure again from what was read on it, and what moved against the label.

use job::{Eye, Order, PerEye, Uncut};
use units::Working;

use crate::plan::{Bench, EyePlan, LensPlan, Plan};
use crate::shape::FrameShapes;

/// A figure that moved by less than this, in its own unit, did not move: half of the last place that is shown.
const STILL: f64 = 0.005;

/// A plan from the labels beside the plan from what was read.
#[derive(Debug, Clone)]
pub struct Measured {
    /// From the labels.
    pub label: Plan,
    /// From the readings, and from the label where there was none.
    pub read: Plan,
    /// What moved for each lens that was read, most first.
    pub moved: PerEye<Vec<Moved>>,
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
    working: Working,
) -> Measured {
    let label = crate::plan(order, shapes, &Bench { uncut: PerEye::default(), ..*bench }, Working::off());
    let read = crate::plan(order, shapes, &Bench { uncut, ..*bench }, working);
    let moved = PerEye::from_fn(|eye: Eye| match (uncut[eye], &label.eyes[eye], &read.eyes[eye]) {
        (Some(_), Some(label), Some(read)) => moved(label, read),
        _ => Vec::new(),
    });
    Measured { label, read, moved }
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
