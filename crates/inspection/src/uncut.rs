//! An uncut lens against its order.

use job::Uncut;

use crate::dimension::{base_curve, centre_thickness};
use crate::reference_point::prp;
use crate::{Item, Standard, Wanted, add, powers};

/// Holds what was read on an uncut lens against what was wanted of it.
///
/// Always there: the power's items, in the edition's own way, and the prism at the reference point. Where ordered: axis,
/// addition (which is not read on an uncut lens, so it stays unchecked), centre thickness, front curve. What was not
/// read is `not_checked`, what the edition sets no limit on `not_defined`.
///
/// `standard` is the edition that judges uncut lenses: [`crate::Standards::for_uncut`]. The axis is taken as the lens
/// lay on the dots; a lens that may still be turned has another one once it is.
#[must_use]
pub fn uncut(wanted: &Wanted, read: &Uncut, standard: &Standard) -> Vec<Item> {
    let mut items = powers(wanted, read, standard);
    items.extend(add(wanted, None, standard));
    items.push(prp(wanted, read.prism, standard));
    items.extend(centre_thickness(wanted, read.centre, standard));
    items.extend(base_curve(wanted, read.front_curve_1530_d, standard));
    items
}
