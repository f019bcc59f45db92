//! Where things stand on the lens: pupil, optical centre, block.
//!
//! A label between two points says where the second lies seen from the first, + towards the nose and + up (memory,
//! medium).

use job::{LensForm, LensUse, Order};
use planner::plan::Place;

use super::sheet::{Sheet, mm};
use super::{Cut, Mark};
use crate::records::Problem;

/// The power that is made, in the form of the order: it says which of the two axes is meant.
pub(super) fn power(sheet: &mut Sheet<'_>) -> Result<(), Problem> {
    sheet.pair("SPH", Mark::High, |cut| Some(cut.eye.made_power().sphere().to_string()))?;
    sheet.pair("CYL", Mark::High, |cut| Some(cut.eye.made_power().cylinder()?.0.to_string()))?;
    sheet.pair("AX", Mark::High, |cut| Some(cut.eye.made_power().cylinder()?.1.to_string()))?;
    let aspheric = |cut: &Cut<'_>| cut.lens.blank.form == LensForm::Aspheric;
    let any_aspheric = sheet.cut.iter().any(|(_, cut)| cut.as_ref().is_some_and(aspheric));
    let mark = if any_aspheric { Mark::Low } else { Mark::High };
    sheet.pair("LTYPE", mark, |cut| Some(if aspheric(cut) { "SV AS" } else { "SV" }.to_owned()))
}

/// Where the pupil is. Left out where the optical centre is not before it: a blocker would take it for that.
pub(super) fn pupil(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    let label = if order.lens.purpose == LensUse::Distance { "IPD" } else { "NPD" };
    sheet.pair(label, Mark::High, |cut| {
        let before_it = cut.eye.vertex.is_some() && cut.eye.vertex == cut.eye.reference_point;
        Some(mm(cut.eye.pd?)).filter(|_| before_it)
    })?;
    sheet.pair("OCHT", Mark::Medium, |cut| {
        let up = optical_centre_of(cut)?.up;
        Some(mm(up + cut.lens.cut.outline().boxed().height / 2.0))
    })
}

/// The block, and from it the middle of the shape.
pub(super) fn block(sheet: &mut Sheet<'_>) -> Result<(), Problem> {
    let at = |cut: &Cut<'_>| cut.lens.block.at;
    sheet.pair("FBFCIN", Mark::Medium, |cut| Some(mm(-at(cut).inwards)))?;
    sheet.pair("FBFCUP", Mark::Medium, |cut| Some(mm(-at(cut).up)))?;
    sheet.pair("BLKD", Mark::Medium, |cut| Some(mm(cut.lens.block.diameter?)))
}

/// The optical centre from shape and block; of a lens with ground prism the prism reference point, which is what is
/// dotted.
pub(super) fn optical_centre(sheet: &mut Sheet<'_>) -> Result<(), Problem> {
    let dotted = |cut: &Cut<'_>| cut.eye.vertex.filter(|_| cut.eye.has_ground_prism());
    for (labels, of) in [
        (["FCOCIN", "FCOCUP", "FBOCIN", "FBOCUP"], &optical_centre_of as &dyn Fn(&Cut<'_>) -> Option<Place>),
        (["FCPRIN", "FCPRUP", "FBPRIN", "FBPRUP"], &dotted),
    ] {
        let [shape_in, shape_up, block_in, block_up] = labels;
        sheet.pair(shape_in, Mark::Medium, |cut| Some(mm(of(cut)?.inwards)))?;
        sheet.pair(shape_up, Mark::Medium, |cut| Some(mm(of(cut)?.up)))?;
        sheet.pair(block_in, Mark::Medium, |cut| Some(mm(of(cut)?.inwards - cut.lens.block.at.inwards)))?;
        sheet.pair(block_up, Mark::Medium, |cut| Some(mm(of(cut)?.up - cut.lens.block.at.up)))?;
    }
    Ok(())
}

/// The optical centre of a lens that is marked by it.
fn optical_centre_of(cut: &Cut<'_>) -> Option<Place> {
    cut.eye.optical_centre.filter(|_| !cut.eye.has_ground_prism())
}
