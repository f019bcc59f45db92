//! The shape as it is cut: box, lengths, trace, and the heights of the line on its edge.

use job::{Eye, Order, OutlineOf};
use units::Angle;
use units::maths::cos_deg;

use super::sheet::{Sheet, mm};
use super::{Cut, Mark};
use crate::records::{Heights, Problem, Source, Spacing, Trace};
use crate::surfacing_order::fixed;

/// Radii that are written for each eye: the count that every device is said to take (memory, medium).
const RADII: usize = 400;
/// Heights that are written for each eye: the plan has one a degree.
const HEIGHTS: u32 = 360;

/// Box of the cut outline, and the distance between two such boxes: both grow and shrink with the size, so that half
/// the box and half the distance between lenses still lead from the middle of the bridge to the boxed centre.
pub(super) fn boxed(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    sheet.pair("HBOX", Mark::Data, |cut| Some(mm(cut.lens.cut.outline().boxed().width)))?;
    sheet.pair("VBOX", Mark::Data, |cut| Some(mm(cut.lens.cut.outline().boxed().height)))?;
    let made: Vec<&Cut<'_>> = sheet.cut.iter().filter_map(|(_, cut)| cut.as_ref()).collect();
    let Some(between) = made.iter().find_map(|cut| cut.eye.between_lenses) else { return Ok(()) };
    let face_form = order.frame.face_form_deg.unwrap_or(0.0);
    let grown = |cut: &&Cut<'_>| cut.eye.size_offset.unwrap_or_default();
    // A lens that is not made is taken to grow as its fellow does.
    let both = made.iter().map(grown).reduce(|right, left| right + left).unwrap_or_default();
    let both = if made.len() == 1 { both * 2.0 } else { both };
    sheet.one("DBL", Mark::Data, &mm(between - both * cos_deg(face_form)))
}

/// Circumference, flat, as the trace in the same file has it; in space under its own label; frame and bevel curve.
pub(super) fn lengths(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    sheet.pair("CIRC", Mark::Data, |cut| Some(mm(cut.lens.cut.outline().circumference())))?;
    sheet.pair("CIRC3D", Mark::Low, |cut| Some(mm(cut.lens.edge_line.as_ref()?.sized.line.length())))?;
    // Label and unit are borne out by others; that the curve is on index 1.530 is not.
    sheet.pair("FCRV", Mark::Medium, |cut| {
        let line = cut.lens.edge_line.as_ref().and_then(|line| line.frame_curve_d);
        Some(fixed(line.or(cut.eye.shape.frame_curve_d).or(order.frame.frame_curve_d)?, 2))
    })
}

/// The cut outline of each eye, right first; where the line on its edge is known, with the heights of that line.
pub(super) fn traces(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    for eye in Eye::BOTH {
        let Some(cut) = sheet.cut[eye] else { continue };
        let source = match order.frame.outline_of {
            Some(OutlineOf::RimGroove) => Source::Frame,
            // These letters are known from memory alone; without one a device is told nothing that may be wrong.
            Some(OutlineOf::Pattern) if sheet.has(Mark::High) => Source::Pattern,
            Some(OutlineOf::BevelApex | OutlineOf::LensEdge | OutlineOf::DemoLens) if sheet.has(Mark::High) => {
                Source::Lens
            }
            _ => Source::Unknown,
        };
        let mut radii = trace(&cut, source).to_records()?;
        let heights = radii.iter().position(|record| record.label() == "ZFMT").map(|at| radii.split_off(at));
        sheet.made("R", Mark::Data, radii);
        if let Some(heights) = heights
            && sheet.wants_heights()
        {
            sheet.made("Z", Mark::Low, heights);
        }
    }
    Ok(())
}

/// The cut outline about its boxed centre at even angles, and the depth of the line on its edge: of the bevel's apex,
/// or of the groove's middle, along the cutting axis from the front at the block point, growing towards the eye.
fn trace(cut: &Cut<'_>, source: Source) -> Trace {
    let outline = cut.lens.cut.outline();
    let angles_deg: Vec<f64> = (0..RADII).map(|i| 360.0 * i as f64 / RADII as f64).collect();
    let radii_mm = angles_deg.iter().map(|&deg| outline.radius(Angle::from_deg(deg).rad()).0).collect();
    let heights = cut.lens.edge_line.as_ref().and_then(|line| {
        let mm: Option<Vec<f64>> = (0..HEIGHTS).map(|deg| Some(line.row(deg)?.depth.mm())).collect();
        Some(Heights { spacing: Spacing::Even, angles_deg: (0..HEIGHTS).map(f64::from).collect(), mm: mm? })
    });
    Trace { eye: cut.eye.eye, source, spacing: Spacing::Even, angles_deg, radii_mm, heights, line: 0 }
}
