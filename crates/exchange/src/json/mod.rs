//! Plans and outlines as JSON: mirror types that own the wire, so that the plan's own types stay free to change.
//!
//! Keys carry their unit; what does not exist is absent, never null; a number that is none is an error, not a `null`.

mod balance;
mod comparison;
mod eye;
mod figure;
mod finding;
mod intake;
mod lens;
mod measured;
mod outline;
mod pair;
mod plan;
mod process;
mod recut;
mod schema;
mod working;

pub use comparison::ComparisonJson;
pub use eye::EyeJson;
pub use figure::{Direction, Figure, Places};
pub use finding::FindingJson;
pub use intake::{IntakeInputs, IntakeJson};
pub use outline::OutlineJson;
pub use plan::{Inputs, PlanJson};
pub use recut::RecutJson;
pub use schema::{NAMES as SCHEMA_NAMES, schema};

/// The program and its version, as JSON gives them.
pub const ENGINE: &str = concat!("rimwright ", env!("CARGO_PKG_VERSION"));

/// One line of JSON.
///
/// # Errors
/// Where a figure is infinite or not a number: a fault of this program, never of the order.
pub fn line<T: serde::Serialize>(document: &T) -> Result<String, serde_json::Error> {
    serde_json::to_string(document)
}

/// JSON for reading: one key a line.
///
/// # Errors
/// As [`line()`].
pub fn pretty<T: serde::Serialize>(document: &T) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(document)
}
