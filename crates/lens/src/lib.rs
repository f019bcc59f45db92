//! Two surfaces and what lies between: thickness along the cutting axis, extremes, volume, coverage.
//!
//! A [`Surfacing`] solves a [`Lens`] for a centre thickness; a [`Cutting`] holds it in the machine; a [`CutOutline`] is
//! sampled once and serves every blank that is tried. Figures that enter a plan are evaluated through a
//! [`units::Working`]; searches run without one.

mod assumed;
mod biconic;
mod body;
mod conic;
mod correction;
mod coverage;
mod cut_outline;
mod cutting_axis;
mod edge;
mod edge_room;
mod edge_run;
mod fault;
mod finished;
mod placed;
mod rescue;
mod search;
mod seat;
mod seen;
mod sized;
mod sphere;
mod surface;
mod thinnest_edge;
mod torus;
mod valley;
mod vector;
mod volume;
mod wheel;
mod whole;

pub use assumed::{Assumption, assumed_centre, assumed_front_curve};
pub use biconic::Biconic;
pub use body::{Given, Lens, Surfacing};
pub use conic::Conic;
pub use correction::HalfExponent;
pub use coverage::{Coverage, coverage};
pub use cut_outline::CutOutline;
pub use cutting_axis::{Cutting, Wall};
pub use edge::{EdgeExtremes, EdgePoint, Walls, edge_extremes};
pub use edge_room::{EdgeRoom, Squeezed};
pub use edge_run::RunLine;
pub use fault::{Ending, NoLens};
pub use finished::{EdgeForm, VisibleEdge, cut_off_mm3, visible_edge};
pub use rescue::smallest_shift;
pub use seat::{MOST_TILT_DEG, Seat, Seated, seat};
pub use sized::{EDGE_PLACES, EdgeRules, NoSize, Size, Sized, sized};
pub use sphere::Sphere;
pub use surface::Surface;
pub use thinnest_edge::centre_for_thinnest_edge;
pub use torus::{Torus, TorusForm};
pub use volume::volume_mm3;
pub use wheel::{BevelWheel, EdgePlace, bevel_lowered, most_lowered};
pub use whole::{Extremes, Spot, over_lens};
