//! Cases about chromatism.

use optics::{Prism, chromatism};
use units::{Angle, CmPerM, Working};

use crate::case::{Case, Found};

/// The spread lies about evenly to both sides of the power, which is stated on the line between.
pub(crate) fn axial(case: &Case) -> Found {
    let power = case.power("power_d");
    let spread = chromatism::axial(&mut Working::off(), power, case.number("abbe"));
    Found::none().power("dioptric_spread_d", spread).power("blue_power_approx_d", power + spread / 2.0)
}

pub(crate) fn transverse(case: &Case) -> Found {
    let prism = Prism::towards(CmPerM::new(case.number("prism_pd")), Angle::from_deg(37.0));
    let found = chromatism::transverse(&mut Working::off(), prism, case.number("abbe"));
    Found::none().number("tca_pd", found.cm_per_m())
}
