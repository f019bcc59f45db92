//! Whether the right and the left lens were taken for one another.

use job::prescription::InUp;
use job::rules::Readings;
use job::{Eye, PerEye, Uncut};
use optics::OrderedPower;
use units::Power;
use units::maths::{hypot, sq};

use crate::amount::turned;
use crate::item::{Item, Verdict, overall};
use crate::reference_point::prp;
use crate::{Standard, Wanted, powers};

/// A right/left swap: what was read fits the fellow eye's order.
#[derive(Debug, Clone, PartialEq)]
pub struct Swap {
    /// The eyes whose readings belong to the other one.
    pub eyes: Vec<Eye>,
    /// Misfit of the readings to their own orders, chi-square.
    pub own: f64,
    /// Misfit of the readings to one another's orders.
    pub crossed: f64,
}

/// An exchange must lower chi-square by this much before it is named: it has no amount to fit, so ten says that the
/// readings as they stand are e^5 = 148 times less likely. The threshold is that of the causes of a failed inspection.
const LEAST_GAIN: f64 = 10.0;

/// Whether readings fit the fellow eye's order and not their own, or clearly less well.
///
/// Named where crosswise everything that was read of power, axis and prism is within tolerance, and chi-square falls by
/// at least 10 (each reading's difference over the instrument's repeatability, squared and summed). A lone reading is
/// named only if it also fails its own order. An axis and the viewer's direction of a prism lie the same for both eyes;
/// base in for one is base out for the other.
#[must_use]
pub fn swapped(
    wanted: &PerEye<Option<Wanted>>,
    read: &PerEye<Option<Uncut>>,
    standard: &Standard,
    readings: &Readings,
) -> Option<Swap> {
    let (Some(right), Some(left)) = (wanted.right, wanted.left) else { return None };
    let wanted = PerEye { right, left };
    let eyes: Vec<Eye> = Eye::BOTH.into_iter().filter(|&eye| read[eye].is_some_and(|r| r.power.is_some())).collect();
    let mut swap = Swap { eyes, own: 0.0, crossed: 0.0 };
    let (mut own, mut crossed) = (Vec::new(), Vec::new());
    for &eye in &swap.eyes {
        let here = read[eye]?;
        let there = as_other(&here);
        own.extend(judged(&wanted[eye], &here, standard));
        crossed.extend(judged(&wanted[eye.other()], &there, standard));
        swap.own += misfit(&wanted[eye], &here, readings);
        swap.crossed += misfit(&wanted[eye.other()], &there, readings);
    }
    let fits = overall(&crossed) == Verdict::Within;
    let fails = overall(&own) == Verdict::Outside;
    (fits && (fails || swap.eyes.len() == 2) && swap.own - swap.crossed >= LEAST_GAIN).then_some(swap)
}

/// The same lens as it is read for the fellow eye: base in is base out there.
fn as_other(read: &Uncut) -> Uncut {
    let prism = read.prism.map(|prism| InUp { base_in: -prism.base_in, ..prism });
    Uncut { prism, ..*read }
}

fn judged(wanted: &Wanted, read: &Uncut, standard: &Standard) -> Vec<Item> {
    let mut items = powers(wanted, read, standard);
    items.push(prp(wanted, read.prism, standard));
    items
}

/// Chi-square of what was read: differences over the rms repeatability of the instruments.
fn misfit(wanted: &Wanted, read: &Uncut, readings: &Readings) -> f64 {
    let power = read.power.map_or(0.0, |power| match read.cylinder_read {
        true => power_misfit(wanted.power.minus_form(), power.minus_form(), readings),
        false => sq(difference(wanted.power.sphere(), power.sphere()) / readings.power_d),
    });
    let prism = read.prism.map_or(0.0, |prism| {
        let off = |a: units::CmPerM, b: units::CmPerM| sq((a - b).cm_per_m() / readings.prism_cm_per_m);
        off(prism.base_in, wanted.prism.base_in) + off(prism.base_up, wanted.prism.base_up)
    });
    power + prism
}

fn difference(a: Power, b: Power) -> f64 {
    (a - b).dioptre().dioptres()
}

/// Both in minus-cylinder form. The axis counts where both have a cylinder, with a doubt that grows as that falls.
fn power_misfit(wanted: OrderedPower, read: OrderedPower, readings: &Readings) -> f64 {
    let cylinder = |power: OrderedPower| power.cylinder().map_or(Power::ZERO, |(cylinder, _)| cylinder);
    let spheres = sq(difference(wanted.sphere(), read.sphere()) / readings.power_d);
    let cylinders = sq(difference(cylinder(wanted), cylinder(read)) / readings.power_d);
    let axes = match (wanted.cylinder(), read.cylinder()) {
        (Some((amount, wanted)), Some((_, read))) => {
            let doubt = hypot(AXIS_AT_ANY_DEG, readings.axis_deg / amount.dioptre().dioptres());
            sq(turned(wanted, read).value() / doubt)
        }
        _ => 0.0,
    };
    spheres + cylinders + axes
}

/// How well an axis is read however strong the cylinder, degrees rms.
const AXIS_AT_ANY_DEG: f64 = 0.5;
