//! What a blocker, an edger and a drill are told of a plan, as records of ISO 16284.
//!
//! The standard's own text was not read. So every record carries how sure we are of it ([`Mark`]): one whose label,
//! meaning or code is known from memory alone is left out unless it is asked for, and named either way. What the plan
//! does not know has no record: never a zero, never a usual value.
//!
//! All lengths are of the **cut outline**, so that box, distance between lenses and trace agree with each other.

mod edge;
mod holes;
mod mark;
mod places;
mod shape;
mod sheet;

use job::rules::Rules;
use job::{Eye, Eyes, Finding, Mounting, Order, PerEye};
use planner::Plan;
use planner::plan::{EyePlan, LensPlan};

use crate::records::{Problem, Record};
pub use holes::CannotDrill;
pub use mark::Mark;
use sheet::Sheet;

/// A machine at the bench that reads records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Device {
    /// Puts the block onto the lens.
    Blocker,
    /// Cuts the outline and its edge.
    Edger,
    /// Drills a lens that is screwed to its mounting.
    Drill,
}

impl Device {
    /// `blocker`, `edger`, `drill`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Blocker => "blocker",
            Self::Edger => "edger",
            Self::Drill => "drill",
        }
    }
}

/// How much is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// Only records that somebody else's text or data bear out.
    Confirmed,
    /// Those from memory too.
    FromMemory,
}

/// The records for one machine.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceFile {
    /// Whose.
    pub device: Device,
    /// In the order in which they are written.
    pub records: Vec<Record>,
    /// Labels known from memory alone for which the plan has something: written or left out, as was asked. In the order
    /// in which they stand.
    pub from_memory: Vec<(&'static str, Mark)>,
    /// What the plan has and no record says, for a person to set at the machine.
    pub unsaid: Vec<&'static str>,
}

/// The records for every machine that a plan needs.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceRecords {
    /// Blocker, edger, and for a drilled mounting the drill.
    pub files: Vec<DeviceFile>,
    /// Why a drilled mounting has no file for the drill.
    pub not_drilled: Option<CannotDrill>,
}

/// Why a plan gives no records at all.
#[derive(Debug, Clone, PartialEq)]
pub enum NoRecords {
    /// A stop, or an ask without an answer: never sent to a machine.
    Open {
        /// The gravest.
        finding: Box<Finding>,
        /// How many there are besides.
        more: usize,
    },
    /// No blank was chosen for this eye.
    NoLens(Eye),
    /// A record that may not be written: a fault of this program, since all its texts come from values that were read.
    Record(Problem),
}

impl core::fmt::Display for NoRecords {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Open { finding, more } => {
                let eye = finding.eye.map_or(String::new(), |eye| format!(" ({eye})"));
                write!(f, "{} {}{eye}: {}", finding.kind.severity.word(), finding.kind.code, finding.sentence)?;
                if *more > 0 { write!(f, "; and {more} more stand open") } else { Ok(()) }
            }
            Self::NoLens(eye) => write!(f, "no blank is chosen for the {eye} eye, so there is no lens to cut"),
            Self::Record(problem) => write!(f, "{}", problem.what),
        }
    }
}
impl std::error::Error for NoRecords {}

impl NoRecords {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> &str {
        match self {
            Self::Open { finding, .. } => &finding.mend,
            Self::NoLens(_) => "name the shelf, or put it beside the order",
            Self::Record(problem) => problem.mend,
        }
    }
}

impl From<Problem> for NoRecords {
    fn from(problem: Problem) -> Self {
        Self::Record(problem)
    }
}

/// One eye's part of the plan, with its lens.
#[derive(Debug, Clone, Copy)]
struct Cut<'a> {
    eye: &'a EyePlan,
    lens: &'a LensPlan,
}

/// The records of a plan for each machine that it needs.
///
/// # Errors
/// [`NoRecords`] where something stands open, or a lens that is to be made has no blank.
pub fn device_records(plan: &Plan, order: &Order, rules: &Rules, extent: Extent) -> Result<DeviceRecords, NoRecords> {
    let mut open = plan.findings.iter().filter(|finding| finding.is_open());
    if let Some(gravest) = open.next() {
        return Err(NoRecords::Open { finding: Box::new(gravest.clone()), more: open.count() });
    }
    let mut cut: PerEye<Option<Cut<'_>>> = PerEye::default();
    for &eye in plan.made.made() {
        let found = plan.eyes[eye].as_ref().and_then(|eye| Some(Cut { eye, lens: eye.lens.as_ref()? }));
        cut[eye] = Some(found.ok_or(NoRecords::NoLens(eye))?);
    }
    let made = Made { plan, order, rules, cut };
    let mut files = vec![made.blocker(extent)?, made.edger(extent)?];
    let mut not_drilled = None;
    if order.frame.mounting == Mounting::Drilled {
        match holes::may_be_drilled(&cut, extent) {
            Ok(()) => files.push(made.drill(extent)?),
            Err(why) => not_drilled = Some(why),
        }
    }
    Ok(DeviceRecords { files, not_drilled })
}

/// A plan whose every lens is there.
struct Made<'a> {
    plan: &'a Plan,
    order: &'a Order,
    rules: &'a Rules,
    cut: PerEye<Option<Cut<'a>>>,
}

impl<'a> Made<'a> {
    fn blocker(&self, extent: Extent) -> Result<DeviceFile, Problem> {
        let mut sheet = self.headed(Device::Blocker, extent)?;
        places::power(&mut sheet)?;
        places::pupil(&mut sheet, self.order)?;
        shape::boxed(&mut sheet, self.order)?;
        places::block(&mut sheet)?;
        places::optical_centre(&mut sheet)?;
        shape::traces(&mut sheet, self.order)?;
        Ok(sheet.done())
    }

    fn edger(&self, extent: Extent) -> Result<DeviceFile, Problem> {
        let mut sheet = self.headed(Device::Edger, extent)?;
        edge::material(&mut sheet)?;
        edge::kind(&mut sheet, self.order, self.rules)?;
        shape::boxed(&mut sheet, self.order)?;
        shape::lengths(&mut sheet, self.order)?;
        places::block(&mut sheet)?;
        holes::records(&mut sheet, self.order)?;
        shape::traces(&mut sheet, self.order)?;
        Ok(sheet.done())
    }

    fn drill(&self, extent: Extent) -> Result<DeviceFile, Problem> {
        let mut sheet = self.headed(Device::Drill, extent)?;
        edge::material(&mut sheet)?;
        edge::rim(&mut sheet, self.order)?;
        shape::boxed(&mut sheet, self.order)?;
        places::block(&mut sheet)?;
        holes::records(&mut sheet, self.order)?;
        shape::traces(&mut sheet, self.order)?;
        Ok(sheet.done())
    }

    /// Job and eyes.
    fn headed(&self, device: Device, extent: Extent) -> Result<Sheet<'a>, Problem> {
        let mut sheet = Sheet::new(device, extent, self.cut);
        sheet.one("REQ", Mark::Secondary, "FIL")?;
        sheet.one("JOB", Mark::Data, self.plan.number.as_str())?;
        let eyes = match self.plan.made {
            Eyes::Both => "B",
            Eyes::Right => "R",
            Eyes::Left => "L",
        };
        sheet.one("DO", Mark::High, eyes)?;
        Ok(sheet)
    }
}
