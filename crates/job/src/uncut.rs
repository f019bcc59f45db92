//! What was read on an uncut lens before it is touched.

use optics::OrderedPower;
use units::Mm;

use crate::blank::CheckThickness;
use crate::prescription::InUp;

/// Readings of one uncut lens; what was not read is `None`. A reading counts as written: no eighth is restored.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Uncut {
    /// Back vertex power at the dot, in the form in which it was read. Where no cylinder was read it has none, which
    /// then says nothing about the lens: see [`Uncut::cylinder_read`].
    pub power: Option<OrderedPower>,
    /// Whether the cylinder was read, be it that there is none. Without it only the sphere of `power` was read.
    pub cylinder_read: bool,
    /// Prism at the dot; nothing in both parts where it was read as none.
    pub prism: Option<InUp>,
    /// Thickness at the dot, along the lens axis.
    pub centre: Option<Mm>,
    /// A thickness away from the dot.
    pub check: Option<CheckThickness>,
    /// Front curve by lens measure, D on 1.530.
    pub front_curve_1530_d: Option<f64>,
    /// Diameter of the blank.
    pub diameter: Option<Mm>,
}
