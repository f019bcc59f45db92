//! The one place where a number is rounded on its way out.

use job::prescription::InUp;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::ser::Error as _;
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use units::{CmPerM, Dioptre, Mm};

/// A number that leaves with at most `PLACES` decimals. One that is infinite or not a number does not leave at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure<const PLACES: u32>(f64);

/// A direction in degrees, two decimals, in [0, 360) after rounding: 360 is 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction(f64);

/// How many decimals each kind of figure keeps.
#[derive(Debug)]
pub struct Places;

impl Places {
    /// Millimetres, dioptres and prism dioptres.
    pub const LENGTH: u32 = 4;
    /// Degrees, square and cubic millimetres.
    pub const COARSE: u32 = 2;
    /// Grams.
    pub const MASS: u32 = 3;
    /// Numbers of a working, as [`units::working::printed`] shows them.
    pub const WORKING: u32 = 9;
}

/// Millimetres, dioptres, prism dioptres.
pub(super) type Fine = Figure<{ Places::LENGTH }>;
/// Signed degrees, areas, volumes.
pub(super) type Coarse = Figure<{ Places::COARSE }>;
/// Grams.
pub(super) type Grams = Figure<{ Places::MASS }>;

impl<const PLACES: u32> Figure<PLACES> {
    /// Takes the exact number; it is rounded when it is written.
    #[must_use]
    pub const fn new(value: f64) -> Self {
        Self(value)
    }

    /// As it will be written.
    #[must_use]
    pub fn rounded(self) -> f64 {
        let scale = f64::from(10_u32.pow(PLACES));
        // Adding zero turns -0 into 0.
        (self.0 * scale).round() / scale + 0.0
    }
}

impl From<Mm> for Fine {
    fn from(length: Mm) -> Self {
        Self(length.mm())
    }
}
impl From<Dioptre> for Fine {
    fn from(power: Dioptre) -> Self {
        Self(power.dioptres())
    }
}
impl From<CmPerM> for Fine {
    fn from(prism: CmPerM) -> Self {
        Self(prism.cm_per_m())
    }
}

impl Direction {
    /// Takes degrees in any turn.
    #[must_use]
    pub const fn new(deg: f64) -> Self {
        Self(deg)
    }

    /// As it will be written.
    #[must_use]
    pub fn rounded(self) -> f64 {
        let once = self.0 % 360.0;
        let deg = Coarse::new(if once < 0.0 { once + 360.0 } else { once }).rounded();
        if deg >= 360.0 { 0.0 } else { deg }
    }
}

fn finite<S: Serializer>(value: f64, to: S) -> Result<S::Ok, S::Error> {
    if value.is_finite() {
        to.serialize_f64(value)
    } else {
        Err(S::Error::custom(format!("a figure is {value}: this is a fault of the program, please report it")))
    }
}

impl<const PLACES: u32> Serialize for Figure<PLACES> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        finite(self.rounded(), to)
    }
}
impl Serialize for Direction {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        finite(self.rounded(), to)
    }
}

impl<const PLACES: u32> JsonSchema for Figure<PLACES> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("Figure{PLACES}").into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}
impl JsonSchema for Direction {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Direction".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number", "minimum": 0, "exclusiveMaximum": 360 })
    }
}

/// Prism as its two parts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(super) struct PrismJson {
    /// Base towards the nose, cm/m.
    base_in_cm_per_m: Fine,
    /// Base upwards, cm/m.
    base_up_cm_per_m: Fine,
}

impl From<InUp> for PrismJson {
    fn from(prism: InUp) -> Self {
        Self { base_in_cm_per_m: prism.base_in.into(), base_up_cm_per_m: prism.base_up.into() }
    }
}

/// A place on the lens, from the boxed centre unless its key says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub(super) struct PlaceJson {
    /// Towards the nose, mm.
    in_mm: Fine,
    /// Upwards, mm.
    up_mm: Fine,
}

impl From<planner::Place> for PlaceJson {
    fn from(place: planner::Place) -> Self {
        Self { in_mm: place.inwards.into(), up_mm: place.up.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_half_away_from_zero_and_has_no_minus_zero() {
        for (value, want) in
            [(1.234_56, "1.2346"), (-1.234_56, "-1.2346"), (-0.000_01, "0.0"), (38.0, "38.0"), (0.000_05, "0.0001")]
        {
            assert_eq!(serde_json::to_string(&Fine::new(value)).unwrap(), want);
        }
    }

    #[test]
    fn a_full_turn_is_zero_even_after_rounding() {
        for (deg, want) in [(359.996, "0.0"), (359.994, "359.99"), (360.0, "0.0"), (-0.001, "0.0"), (-90.0, "270.0")] {
            assert_eq!(serde_json::to_string(&Direction::new(deg)).unwrap(), want, "{deg}");
        }
    }

    #[test]
    fn what_is_no_number_does_not_leave() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let fault = serde_json::to_string(&[Fine::new(value)]).unwrap_err();
            assert!(fault.to_string().contains("fault of the program"), "{fault}");
            assert!(serde_json::to_string(&Direction::new(value)).is_err());
        }
        // Rounding scales first: a finite number must not overflow into silence either.
        assert!(serde_json::to_string(&Figure::<9>::new(1e308)).is_err());
    }
}
