//! Closed lens outlines: exact ones, measured ones, their box, length, area and parallel curves.
//!
//! Everything is in the plane of the outline, in mm from the **boxed centre**, x to the viewer's right and y up;
//! directions run anticlockwise from the viewer's right. What lies behind that plane is a depth, growing towards the eye.
//! This crate knows shapes and nothing of what a lens does to light.

mod bends;
mod boxing;
mod breaks;
mod compare;
mod curve;
mod cyclic_band;
mod depth;
mod distance;
mod error;
mod even_arc;
mod exact;
mod least_squares;
mod lengths;
mod nearest_sphere;
mod noise;
mod offset;
mod outline;
mod periodic_spline;
mod point;
mod polar_cubic;
mod quadrature;
mod recentre;
mod root;
mod rounded_rectangle;
mod samples;
mod smallest_circle;
mod smoothing;
mod stations;
mod strays;
mod superellipse;

pub use boxing::Boxed;
pub use compare::Difference;
pub use depth::{Depth, DepthFit, HeightSamples, circumference_in_space};
pub use distance::Reach;
pub use error::NotAnOutline;
pub use lengths::Lengths;
pub use noise::ROUNDING_MM;
pub use offset::OFFSET_ACCURACY_MM;
pub use outline::Outline;
pub use point::{Point, Vector};
pub use samples::{LEAST_POINTS, Samples};
pub use smallest_circle::Circle;
pub use smoothing::Smoothed;
