//! Whole lenses, held against second formulations and against what must stay the same.

#![allow(clippy::unwrap_used, reason = "a test; only functions marked as tests are spared otherwise")]

mod correction;
mod numbers;
mod properties;
mod runs;
mod seated;
mod surfaces;
mod tilted;
mod volumes;
