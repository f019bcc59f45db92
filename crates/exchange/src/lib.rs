//! Bytes to and from jobs and plans: orders and rules in TOML, the shelf in CSV, record files, JSON.
//!
//! Readers take `&[u8]` and return values that cannot be wrong in themselves, or every [`Fault`] of the file in one run.
//! No file is opened here.

pub mod device_records;
mod edge_run;
mod fault;
pub mod json;
mod limits;
mod nearest;
mod order;
pub mod records;
mod rules;
mod shelf;
mod source;
mod surfacing_order;
mod tolerances;
mod toml_walk;
mod traced;
mod uncut;

pub use fault::{Fault, MOST_SHOWN, report, report_in_colour};
pub use order::{read_frame, read_order};
pub use rules::{built_in_rules, built_in_rules_text, read_rules, rules_in_force};
pub use shelf::{COLUMNS, read_shelf};
pub use surfacing_order::{SurfacingOrder, surfacing_order};
pub use tolerances::standards;
pub use traced::{NoTrace, read_traced};
pub use uncut::read_uncut;
