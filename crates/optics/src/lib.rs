//! Paraxial optics of spectacle lenses: sphero-cylinders, prism, vertex powers, surface curves, image size, chromatism,
//! tilt as a check.
//!
//! Directions are the house's: x to the viewer's right, y up, angles anticlockwise for the viewer, who faces the
//! wearer. *In* and *out* depend on the eye and are the caller's. Formulas that feed a plan's figure take a
//! [`units::Working`] first and evaluate through [`units::step!`]; a caller without a working passes
//! [`units::Working::off`]. Computed lengths are [`units::Mm`], powers [`units::Dioptre`], prism [`units::CmPerM`].
//!
//! Ranges: ordered powers end at 40 D and lenses of glass or resin at some 30 mm, so that the denominators of the
//! vertex formulas, 1 - (t/n) F, stay well above zero. A caller with other numbers checks them first.

pub mod chromatism;
pub mod curves;
pub mod magnification;
pub mod near;
mod ordered;
mod power_matrix;
mod power_vector;
pub mod prism;
pub mod rules_of_thumb;
mod sphero_cylinder;
pub mod tilt_check;
pub mod vertex;

pub use curves::{Curvature, Face};
pub use ordered::OrderedPower;
pub use power_matrix::PowerMatrix;
pub use power_vector::{PowerVector, sum_in_contact};
pub use prism::{CannotGivePrism, Offset, Prism};
pub use sphero_cylinder::SpheroCylinder;
