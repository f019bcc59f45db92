//! Readings of the uncut lenses: one TOML file with a table for each eye.

use job::blank::CheckThickness;
use job::prescription::InUp;
use job::{Cylinder, Eye, OrderedPrism, PerEye, Uncut};
use optics::OrderedPower;
use units::Mm;

use crate::fault::Fault;
use crate::limits::{self, Limits};
use crate::order::prescription;
use crate::toml_walk::{self, Table, Value};

/// A distance from the middle of a blank.
const RADIUS: Limits = Limits::between(0.0, 75.0, "mm");

/// Reads `uncut.toml`: `[right]` and `[left]`, each with what was read on that lens; an eye without a table is `None`.
///
/// Powers are quoted as in orders but count as written: `"-0.12"` is 0.12 D. Either form will do; an axis of 0 is 180.
/// `prism = []` says that the prism was read as none.
///
/// # Errors
/// Every fault of the file: what cannot be read or typed, a cylinder without its axis or its sphere, a check thickness
/// without its radius or beyond the blank.
pub fn read_uncut(bytes: &[u8]) -> Result<PerEye<Option<Uncut>>, Vec<Fault>> {
    const HINT: &str = "write a table for each lens that was read: [right], [left], and under it centre_mm = 2.1";
    if bytes.trim_ascii().is_empty() {
        return Err(vec![Fault {
            line: 1,
            column: 1,
            ..Fault::at(0..0, "the file is empty; expected readings of uncut lenses", HINT)
        }]);
    }
    toml_walk::read(bytes, |file| {
        if !(file.has("right") || file.has("left")) {
            file.missing("neither [right] nor [left] is there", HINT);
        }
        Some(PerEye::from_fn(|eye: Eye| {
            // As a section, so that a key on the wrong level is told where it belongs.
            let table = file.section(eye.word())?;
            let uncut = uncut(&table, eye);
            uncut.filter(|_| file.has(eye.word()))
        }))
    })
}

fn uncut(table: &Table<'_, '_>, eye: Eye) -> Option<Uncut> {
    let (power, cylinder_read) = power(table).unzip();
    let prism = table.value("prism").map(|list| prism(&list, eye));
    let diameter = table.mm("diameter_mm", limits::DIAMETER);
    let uncut = Uncut {
        power,
        cylinder_read: cylinder_read.unwrap_or(false),
        prism: prism.flatten(),
        centre: table.mm("centre_mm", limits::THICKNESS),
        check: check(table, diameter),
        front_curve_1530_d: table.number("front_curve_d", limits::CURVE),
        diameter,
    };
    table.end();
    Some(uncut)
}

/// The power and whether its cylinder was read. Nothing at all where something is wrong: the fault is told then.
fn power(table: &Table<'_, '_>) -> Option<(OrderedPower, bool)> {
    let sphere = table.value("sphere_d").and_then(|v| v.reading());
    let (cylinder, axis) = (table.value("cylinder_d"), table.value("axis_deg"));
    if let (false, Some(cylinder)) = (table.has("sphere_d"), &cylinder) {
        cylinder.fault::<()>(
            format!("`{}` is given without a sphere", cylinder.path()),
            "write sphere_d beside it, in the form in which both were read: \"-4.25\" or \"plano\"",
        );
    }
    let cylinder = prescription::cylinder(cylinder.as_ref(), axis.as_ref(), Value::reading)?;
    let sphere = sphere?.power;
    Some(match cylinder {
        Cylinder::NotGiven => (OrderedPower::new(sphere, None), false),
        Cylinder::None => (OrderedPower::new(sphere, None), true),
        Cylinder::Given { power, axis } => (OrderedPower::new(sphere, Some((power.power, axis))), true),
    })
}

fn prism(list: &Value<'_, '_>, eye: Eye) -> Option<InUp> {
    if !list.is_list() {
        return list
            .wrong("a list of prisms", "write prism = [{ cm_per_m = \"0.25\", base = \"up\" }], or [] for none");
    }
    let prisms: Vec<Option<OrderedPrism>> = list.list().iter().map(prescription::prism).collect();
    Some(job::prescription::sum(&prisms.into_iter().collect::<Option<Vec<_>>>()?, eye))
}

/// Thickness and radius go together, and the radius lies on the blank.
fn check(table: &Table<'_, '_>, diameter: Option<Mm>) -> Option<CheckThickness> {
    let thickness = table.mm("check_mm", limits::THICKNESS);
    let radius = table.value("check_radius_mm").and_then(|value| {
        let radius = value.number(RADIUS)?;
        match diameter.map(Mm::mm) {
            Some(diameter) if radius > diameter / 2.0 => value.fault(
                format!("`{}` is {radius}, outside the blank: its diameter_mm is {diameter}", value.path()),
                format!(
                    "it counts from the middle, at most {} here: is it a diameter, or a distance from the rim?",
                    diameter / 2.0
                ),
            ),
            _ => Some(Mm::new(radius)),
        }
    });
    let deg = table.number("check_deg", limits::DIRECTION).map(|deg| deg % 360.0);
    for (here, other, hint) in [
        ("check_mm", "check_radius_mm", "write how far from the middle it was read: check_radius_mm = 30.0"),
        (
            "check_radius_mm",
            "check_mm",
            "write the thickness that was read there: check_mm = 3.4, or take the radius out",
        ),
        ("check_deg", "check_mm", "write the thickness that was read there: check_mm = 3.4, or take the direction out"),
    ] {
        if table.has(here) {
            table.need(other, table.has(other).then_some(()), hint);
        }
    }
    Some(CheckThickness { thickness: thickness?, radius: radius?, deg })
}
