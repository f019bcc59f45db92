//! What a job is made of, parsed and valid: order, frame, blank, rules; and the findings that speak about it.
//!
//! Nothing here reads files: `exchange` parses, and hands over only values that cannot be wrong in themselves. Whether
//! they are wise together is the planner's question.

pub mod blank;
pub mod edge_run;
pub mod eye;
pub mod finding;
pub mod frame;
pub mod kinds;
pub mod material;
pub mod order;
pub mod prescription;
pub mod process;
pub mod rules;
pub mod treatment;
pub mod uncut;

pub use blank::{Blank, BlankState, FrontCurve, IndexLine, LensForm, TorusSide};
pub use edge_run::{Beside, EdgeRun};
pub use eye::{Eye, Eyes, PerEye};
pub use finding::{Finding, Kind, Severity};
pub use frame::{Frame, FrameMaterial, Mounting, OutlineFrom, OutlineOf};
pub use material::{Material, MaterialId};
pub use order::{Answer, EdgeKind, FarPd, LensOrder, LensType, LensUse, Mate, MeasuredBy, Order, OrderNumber, Wearer};
pub use prescription::{Base, Cylinder, EyePrescription, OrderedPrism, Prescription};
pub use rules::Rules;
pub use treatment::{TreatmentNames, Treatments};
pub use uncut::Uncut;
