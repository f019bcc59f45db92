//! A row of the shelf: one kind of blank in stock.

use jiff::civil::Date;
use optics::OrderedPower;
use units::{Axis, Mm, Power};

use crate::frame::words;
use crate::prescription::InUp;
use crate::{Eye, LensType, MaterialId, OrderNumber, Treatments};

/// One row of the shelf. What is empty there is `None` here: not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// Stock-keeping unit.
    pub sku: String,
    /// Lens material.
    pub material: MaterialId,
    /// Series: blanks of one series match.
    pub series: Option<String>,
    /// Supplier's lot.
    pub lot: Option<String>,
    /// Kind of lens.
    pub kind: LensType,
    /// Spheric, aspheric, unknown.
    pub form: LensForm,
    /// Labelled power; its axis is `None` where the blank may be turned, and then the cylinder's axis here is 180.
    pub power: OrderedPower,
    /// The label's axis, lying on the packet's 0-180 line; `None` = may be turned.
    pub fixed_axis: Option<Axis>,
    /// Labelled addition.
    pub add: Option<Power>,
    /// Ground prism at the prism reference point.
    pub prism: Option<InUp>,
    /// For one eye only; `None` = either.
    pub eye: Option<Eye>,
    /// Nominal diameter.
    pub nominal: Mm,
    /// Usable diameter; `None` = nominal less 2.0 mm, with a note.
    pub usable: Option<Mm>,
    /// Where the blank's middle lies seen from its optical centre, towards the nose.
    pub middle_in: Mm,
    /// The same, upwards.
    pub middle_up: Mm,
    /// Centre thickness, along the lens axis.
    pub centre: Option<Mm>,
    /// Check thickness.
    pub check: Option<CheckThickness>,
    /// Front curve, with the index on which it is stated.
    pub front_curve: Option<FrontCurve>,
    /// Refractive index, where it differs from the material's.
    pub index: Option<f64>,
    /// Spectral line of the index.
    pub index_line: IndexLine,
    /// Treatments it has.
    pub treatments: Treatments,
    /// Direction of the polarising film on the packet, degrees.
    pub polarised_deg: Option<f64>,
    /// Kept for this order only.
    pub for_order: Option<OrderNumber>,
    /// The day it came in.
    pub received: Option<Date>,
    /// How many.
    pub quantity: u32,
    /// Cost of one, in minor units of the currency.
    pub unit_cost: Option<Cost>,
    /// Where it lies.
    pub place: Option<String>,
    /// Both surfaces done, or one.
    pub state: BlankState,
    /// The surface that carries the cylinder.
    pub torus: TorusSide,
    /// Conic constant of the front, where the maker states it; a toric front has it in both principal meridians.
    pub front_conic: Option<f64>,
    /// Conic constant of the back, likewise.
    pub back_conic: Option<f64>,
}

impl Blank {
    /// How much smaller the usable radius is than the nominal one; 1.0 mm where the row does not say.
    #[must_use]
    pub fn unusable_rim(&self) -> Mm {
        self.usable.map_or(Mm::new(1.0), |usable| (self.nominal - usable) / 2.0)
    }
}

/// A thickness away from the middle, along the lens axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckThickness {
    /// How thick.
    pub thickness: Mm,
    /// How far from the vertex.
    pub radius: Mm,
    /// In which direction, degrees on the packet.
    pub deg: Option<f64>,
}

/// A front curve and the index on which it is stated: 1.530 or the lens's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontCurve {
    /// Curve in dioptres on that index.
    pub curve_d: f64,
    /// The index.
    pub index: f64,
}

/// Cost of one blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cost {
    /// In minor units.
    pub minor: i64,
    /// ISO 4217 code.
    pub currency: [u8; 3],
}

/// Form of a lens's surfaces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LensForm {
    /// Spheres and tori.
    Spheric,
    /// Anything else.
    Aspheric,
    /// The row does not say; counts as spheric, with a note.
    Unknown,
}
words!(LensForm, Self::Spheric = "spheric", Self::Aspheric = "aspheric", Self::Unknown = "unknown");

/// How far a blank is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlankState {
    /// Both surfaces done.
    Finished,
    /// One surface done.
    SemiFinished,
}
words!(BlankState, Self::Finished = "finished", Self::SemiFinished = "semi-finished");

/// The surface that carries the cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TorusSide {
    /// The back.
    Back,
    /// The front.
    Front,
}
words!(TorusSide, Self::Back = "back", Self::Front = "front");

/// Spectral line of an index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IndexLine {
    /// Helium d, 587.56 nm.
    D,
    /// Mercury e, 546.07 nm.
    E,
}
words!(IndexLine, Self::D = "d", Self::E = "e");
