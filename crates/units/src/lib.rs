//! The units of the bench: lengths, powers, prism, angles; exact ordered powers; worked steps.
//!
//! Computed quantities are `f64` wrapped by their unit ([`Mm`], [`Dioptre`], [`CmPerM`], [`Angle`]); what a person
//! orders or reads is exact ([`Power`], [`PrismAmount`], [`Axis`]). Degrees and millimetres live at the edges of the
//! program, radians inside formulas.

mod angle;
mod axis;
pub mod maths;
mod power;
mod quantity;
pub mod working;

pub use angle::Angle;
pub use axis::{Axis, NotAnAxis};
pub use power::{NotAPower, Power, PrismAmount, WrittenPower};
pub use quantity::{CmPerM, Dioptre, Mm};
pub use working::{Step, Working};
