//! The lens as it is finished: what bevel or groove and the holes leave of the square one.

use job::{EdgeKind, Mounting, Order, Rules};
use lens::NoLens;

use crate::candidate::Fit;
use crate::edge_line::{self, EdgeLinePlan};
use crate::plan::{Finished, LensPlan};

/// What is left of the square lens, with the edge that is seen put into its line; none while a bevel's line or the holes are not known.
pub(crate) fn finish(
    order: &Order,
    rules: &Rules,
    fit: &Fit,
    line: &mut Option<EdgeLinePlan>,
    lens: &LensPlan,
) -> Result<Option<Finished>, NoLens> {
    let off = match line {
        Some(line) => edge_line::finish(line, order, rules, &fit.cutting)?,
        // A drilled lens is lighter by holes that nobody has stated.
        None if order.frame.mounting == Mounting::Drilled && lens.holes.is_empty() => return Ok(None),
        None if order.lens.edge == EdgeKind::Flat => 0.0,
        None => return Ok(None),
    };
    let drilled: f64 = lens.holes.iter().map(|hole| hole.volume_mm3).sum();
    let volume_mm3 = lens.volume_mm3 - off - drilled;
    Ok(Some(Finished { volume_mm3, mass_g: volume_mm3 * lens.density_g_cm3 / 1000.0 }))
}
