//! Lens materials as data.

use core::fmt;
use std::sync::Arc;

use units::Mm;

use crate::process::{Coolant, LensFamily};

/// Name of a material, such as `polycarbonate-1.586`; cheap to copy around.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MaterialId(Arc<str>);

impl MaterialId {
    /// Wraps a name; only the rules know whether there is such a material.
    #[must_use]
    pub fn new(id: &str) -> Self {
        Self(id.into())
    }

    /// As written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for MaterialId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A lens material. Figures are usual ones; a maker's data sheet wins, through the rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Its id.
    pub id: MaterialId,
    /// Its name in plain words.
    pub name: String,
    /// Refractive index on the d line.
    pub n_d: f64,
    /// Refractive index on the e line.
    pub n_e: Option<f64>,
    /// Abbe number.
    pub abbe: f64,
    /// Density in g/cm3.
    pub density_g_cm3: f64,
    /// Least centre thickness of a minus lens.
    pub least_centre: Option<Mm>,
    /// Least thinnest edge, bevelled.
    pub least_edge_bevelled: Option<Mm>,
    /// Least thinnest edge, grooved.
    pub least_edge_grooved: Option<Mm>,
    /// Least thinnest edge, drilled.
    pub least_edge_drilled: Option<Mm>,
    /// How it is cut, in words.
    pub edging: Option<String>,
    /// What it is by its chemistry, as far as cutting and solvents are concerned.
    pub family: LensFamily,
    /// Whether water runs while it is roughed; absent = as is usual for the family.
    pub rough: Option<Coolant>,
    /// Whether water runs while it is finished, likewise.
    pub finish: Option<Coolant>,
    /// Where the figures come from.
    pub sources: String,
}
