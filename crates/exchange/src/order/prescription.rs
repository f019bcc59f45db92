//! `[prescription]`: powers, prism and additions as they were written.

use job::{Base, Cylinder, Eye, EyePrescription, OrderedPrism, PerEye, Prescription};
use units::{Power, WrittenPower};

use crate::limits;
use crate::toml_walk::{Table, Value};

pub(super) fn read(table: &Table<'_, '_>, made: &[Eye]) -> Prescription {
    let eyes = PerEye::from_fn(|eye: Eye| {
        let read = table.value(eye.word()).and_then(|v| eye_prescription(&v));
        if made.contains(&eye) {
            table.need(eye.word(), read, "write the power of each eye that is made")
        } else {
            read
        }
    });
    let prescription = Prescription {
        written: table.date("written"),
        refraction_vertex: table.mm("refraction_vertex_mm", limits::VERTEX),
        eyes,
        compensated: table.per_eye("compensated", eye_prescription),
    };
    table.end();
    prescription
}

fn eye_prescription(value: &Value<'_, '_>) -> Option<EyePrescription> {
    let table = value.table()?;
    let sphere = table.need("sphere_d", table.power("sphere_d"), "write sphere_d = \"-4.25\" or \"plano\"");
    let cylinder = cylinder(table.value("cylinder_d").as_ref(), table.value("axis_deg").as_ref(), Value::power);
    let prism: Vec<Option<OrderedPrism>> = table.list("prism").iter().map(prism).collect();
    let add = table.value("add_d").and_then(|v| {
        let power = v.power()?;
        if power.power < Power::ZERO { v.wrong("a plus power", "an addition is always plus") } else { Some(power) }
    });
    table.end();
    Some(EyePrescription {
        sphere: sphere?,
        cylinder: cylinder?,
        prism: prism.into_iter().collect::<Option<_>>()?,
        add,
    })
}

/// The cylinder with its axis: both or neither. An empty box is not the same as `none`, and a cylinder of zero needs no
/// axis. `power` says how a power is read: as ordered, or as an instrument shows it.
pub(crate) fn cylinder<'a, 't>(
    cylinder: Option<&Value<'a, 't>>,
    axis: Option<&Value<'a, 't>>,
    power: fn(&Value<'a, 't>) -> Option<WrittenPower>,
) -> Option<Cylinder> {
    let Some(cylinder) = cylinder else {
        let Some(axis) = axis else { return Some(Cylinder::NotGiven) };
        axis.axis();
        return axis.fault(
            format!("`{}` is given without a cylinder", axis.path()),
            "write the cylinder, or cylinder_d = \"none\" and no axis",
        );
    };
    let none = cylinder.as_text().is_some_and(|t| t.trim().eq_ignore_ascii_case("none"));
    match axis {
        None if none => Some(Cylinder::None),
        Some(axis) if none => axis.fault(
            format!("`{}` is given although there is no cylinder", axis.path()),
            "take out the axis, or write the cylinder",
        ),
        None => {
            let power = cylinder_power(cylinder, power)?;
            if power.power == Power::ZERO {
                return Some(Cylinder::None);
            }
            cylinder.fault(
                format!("`{}` is given without an axis", cylinder.path()),
                "write axis_deg beside it, from 1 to 180",
            )
        }
        Some(axis) => {
            let (power, axis) = (cylinder_power(cylinder, power), axis.axis());
            Some(Cylinder::Given { power: power?, axis: axis? })
        }
    }
}

fn cylinder_power<'a, 't>(
    value: &Value<'a, 't>,
    power: fn(&Value<'a, 't>) -> Option<WrittenPower>,
) -> Option<WrittenPower> {
    match value.as_text().map(|t| t.trim().to_ascii_lowercase()) {
        Some(no) if ["ds", "sph", "sphere", "-", "--"].contains(&no.as_str()) => {
            value.wrong("a power such as \"-1.00\", or \"none\"", "where there is no cylinder write \"none\"")
        }
        _ => power(value),
    }
}

/// One entry of a list of prisms: how much, and where its base points.
pub(crate) fn prism(value: &Value<'_, '_>) -> Option<OrderedPrism> {
    const BASE: &str = "a prism needs its base: write base = \"in\", \"out\", \"up\", \"down\", or degrees";
    let table = value.table()?;
    let amount = table.value("cm_per_m").and_then(|v| v.prism_amount());
    let amount = table.need("cm_per_m", amount, "write cm_per_m = \"1.00\"");
    let base = table.value("base").and_then(|v| match v.as_text() {
        Some(text) if text.trim().parse::<f64>().is_ok() => {
            v.wrong("a word, or degrees", "write degrees without quotes")
        }
        Some(_) => v.word(&[("in", Base::In), ("out", Base::Out), ("up", Base::Up), ("down", Base::Down)]),
        None => v.number(limits::DIRECTION).map(|deg| Base::Degrees(deg % 360.0)),
    });
    let base = table.need("base", base, BASE);
    table.end();
    Some(OrderedPrism { amount: amount?, base: base? })
}
