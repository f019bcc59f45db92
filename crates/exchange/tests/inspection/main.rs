//! The built-in tolerance standards, held against the reference tables and the reference's worked judgements.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod cases;
mod swaps;
mod tables;
mod verdicts;

use inspection::{Against, Wanted};
use job::prescription::InUp;
use job::{Eye, LensType};
use optics::OrderedPower;
use units::{Axis, CmPerM, Power};

/// A sphere, or a sphere with its cylinder and axis, from thousandths and half degrees.
fn power(sphere: i32, cylinder: Option<(i32, u16)>) -> OrderedPower {
    let d = Power::from_thousandths;
    OrderedPower::new(d(sphere), cylinder.map(|(c, half)| (d(c), Axis::from_half_degrees(half).unwrap())))
}

/// A right single-vision lens of which only the power is ordered.
fn wanted(power: OrderedPower) -> Wanted {
    Wanted {
        eye: Eye::Right,
        kind: LensType::SingleVision,
        against: Against::Ordered,
        power,
        prism: InUp::default(),
        add: None,
        centre: None,
        front_curve_1530_d: None,
    }
}

/// A prism by its parts, cm/m.
fn prism(base_in: f64, base_up: f64) -> InUp {
    InUp { base_in: CmPerM::new(base_in), base_up: CmPerM::new(base_up) }
}
