//! What the prescriber ordered, per eye, unaltered.

use jiff::civil::Date;
use optics::OrderedPower;
use units::{Axis, CmPerM, Mm, PrismAmount, WrittenPower};

use crate::{Eye, PerEye};

/// The prescription of both eyes.
#[derive(Debug, Clone, PartialEq)]
pub struct Prescription {
    /// The day it was written.
    pub written: Option<Date>,
    /// Vertex distance at which the refraction was done.
    pub refraction_vertex: Option<Mm>,
    /// As ordered; absent for an eye that was not written.
    pub eyes: PerEye<Option<EyePrescription>>,
    /// Powers to make instead, already compensated for wear: read as verification powers.
    pub compensated: PerEye<Option<EyePrescription>>,
}

impl Prescription {
    /// The powers to make for an eye: compensated where the order has them, else as ordered.
    #[must_use]
    pub fn to_make(&self, eye: Eye) -> Option<&EyePrescription> {
        self.compensated[eye].as_ref().or(self.eyes[eye].as_ref())
    }
}

/// One eye of a prescription.
#[derive(Debug, Clone, PartialEq)]
pub struct EyePrescription {
    /// Sphere, with its text.
    pub sphere: WrittenPower,
    /// Cylinder: ordered, ordered as none, or not given.
    pub cylinder: Cylinder,
    /// Prescribed prism, as many entries as were written; none written is an empty list.
    pub prism: Vec<OrderedPrism>,
    /// Addition, with its text.
    pub add: Option<WrittenPower>,
}

/// The cylinder of an order. An empty box is not the same as "no cylinder".
#[derive(Debug, Clone, PartialEq)]
pub enum Cylinder {
    /// Nobody wrote it.
    NotGiven,
    /// Ordered as none.
    None,
    /// Ordered, with the axis that belongs to it.
    Given {
        /// Cylinder, with its text.
        power: WrittenPower,
        /// Axis.
        axis: Axis,
    },
}

impl EyePrescription {
    /// The exact power as ordered; a cylinder that was not given counts as none (and is a finding).
    #[must_use]
    pub fn power(&self) -> OrderedPower {
        let cylinder = match &self.cylinder {
            Cylinder::Given { power, axis } => Some((power.power, *axis)),
            Cylinder::None | Cylinder::NotGiven => None,
        };
        OrderedPower::new(self.sphere.power, cylinder)
    }

    /// The prescribed prism as base in and base up for this eye, all entries added.
    #[must_use]
    pub fn prism(&self, eye: Eye) -> InUp {
        sum(&self.prism, eye)
    }
}

/// Prisms added, as base in and base up for an eye.
#[must_use]
pub fn sum(prisms: &[OrderedPrism], eye: Eye) -> InUp {
    prisms.iter().fold(InUp::default(), |sum, p| {
        let (x, y) = p.base.vector(eye);
        let amount = p.amount.cm_per_m();
        InUp { base_in: sum.base_in + amount * (x * eye.nasal()), base_up: sum.base_up + amount * y }
    })
}

/// A prism as its two parts: + base in, + base up.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct InUp {
    /// Base towards the nose.
    pub base_in: CmPerM,
    /// Base upwards.
    pub base_up: CmPerM,
}

/// One prescribed prism.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderedPrism {
    /// How much.
    pub amount: PrismAmount,
    /// Where its thick edge points.
    pub base: Base,
}

/// Direction of the base of a prism.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Base {
    /// Towards the nose.
    In,
    /// Towards the temple.
    Out,
    /// Upwards.
    Up,
    /// Downwards.
    Down,
    /// The viewer's direction in degrees, [0, 360), for both eyes alike.
    Degrees(f64),
}

impl Base {
    /// The unit vector to the base, x to the viewer's right, y up.
    #[must_use]
    pub fn vector(self, eye: Eye) -> (f64, f64) {
        match self {
            Self::In => (eye.nasal(), 0.0),
            Self::Out => (-eye.nasal(), 0.0),
            Self::Up => (0.0, 1.0),
            Self::Down => (0.0, -1.0),
            Self::Degrees(deg) => (units::maths::cos_deg(deg), units::maths::sin_deg(deg)),
        }
    }
}
