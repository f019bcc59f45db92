//! What a lens is held against.

use job::prescription::InUp;
use job::{Eye, LensType, Order};
use optics::OrderedPower;
use units::{Mm, Power};

/// What readings are compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// The prescription as it was written.
    Ordered,
    /// Powers that the order gives to be verified instead: compensated for wear.
    Verification,
}

impl Against {
    /// `ordered`, `verification`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ordered => "ordered",
            Self::Verification => "verification",
        }
    }
}

/// What one lens is wanted to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Its eye.
    pub eye: Eye,
    /// Kind of lens.
    pub kind: LensType,
    /// What the power was taken from.
    pub against: Against,
    /// Power, in the form of the order.
    pub power: OrderedPower,
    /// Ordered prism at the reference point; nothing in both parts where none is ordered.
    pub prism: InUp,
    /// Ordered addition.
    pub add: Option<Power>,
    /// Ordered centre thickness.
    pub centre: Option<Mm>,
    /// Ordered front curve, D on 1.530.
    pub front_curve_1530_d: Option<f64>,
}

impl Wanted {
    /// What an order wants of an eye's lens; `None` where it has no power for that eye. A cylinder that was not given
    /// counts as none, as it does for the plan.
    #[must_use]
    pub fn of(order: &Order, eye: Eye) -> Option<Self> {
        let written = order.prescription.to_make(eye)?;
        let against = match order.prescription.compensated[eye] {
            Some(_) => Against::Verification,
            None => Against::Ordered,
        };
        Some(Self {
            eye,
            kind: order.lens.kind,
            against,
            power: written.power(),
            prism: written.prism(eye),
            add: written.add.as_ref().map(|add| add.power),
            centre: order.lens.centre[eye],
            front_curve_1530_d: order.lens.front_curve_d[eye],
        })
    }
}
