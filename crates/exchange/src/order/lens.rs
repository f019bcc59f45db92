//! `[lens]`: what is to be made, and the fellow lens that a single one must match.

use job::order::{BevelKind, EdgeKind, LensOrder, LensType, LensUse, Mate};
use job::rules::Rules;
use job::{FrontCurve, MaterialId, Treatments};

use crate::edge_run;
use crate::limits::{self, Limits};
use crate::nearest::suggestion;
use crate::toml_walk::{Table, Value};

/// A task.
const TASK: Limits = Limits::from_to(100.0, 6000.0, "mm");

fn material(value: &Value<'_, '_>, rules: &Rules) -> Option<MaterialId> {
    let text = value.text("a material in double quotes")?;
    match rules.materials.iter().find(|m| m.id.as_str() == text) {
        Some(material) => Some(material.id.clone()),
        None => {
            let known = rules.materials.iter().map(|m| m.id.as_str());
            value.wrong("a material that the rules know", &suggestion(text, known))
        }
    }
}

pub(super) fn read(table: &Table<'_, '_>, rules: &Rules) -> Option<LensOrder> {
    let kind = table.need("type", table.word("type", LensType::WORDS), "write type = \"single-vision\"");
    let id = table.value("material").and_then(|v| material(&v, rules));
    let id = table.need("material", id, "write a material of the rules, such as \"polycarbonate-1.586\"");
    let edge = table.word("edge", EdgeKind::WORDS);
    let edge = table.need("edge", edge, "write edge = \"bevel\", \"groove\" or \"flat\"");
    let purpose = table.word("use", LensUse::WORDS).unwrap_or(LensUse::Distance);
    let task_distance = table.mm("task_distance_mm", TASK);
    let treatments = treatments(&table.list("treatments"), rules);
    let bevel = table.word("bevel", BevelKind::WORDS);
    let edge_line = table.table("edge_line").and_then(|t| edge_run::read(&t));
    let blank = table.per_eye("blank", |v| v.text("a stock-keeping unit in double quotes").map(str::to_owned));
    let centre = table.mm_per_eye("centre_mm", limits::THICKNESS);
    let least_edge = table.mm_per_eye("least_edge_mm", limits::THICKNESS);
    let front_curve_d = table.per_eye("front_curve_d", |v| v.number(limits::CURVE));
    let mate = table.table("mate").map(|t| mate(&t, rules));
    table.end();
    Some(LensOrder {
        purpose,
        task_distance,
        kind: kind?,
        material: id?,
        treatments,
        edge: edge?,
        bevel,
        edge_line,
        blank,
        centre,
        least_edge,
        front_curve_d,
        mate,
    })
}

fn treatments(list: &[Value<'_, '_>], rules: &Rules) -> Treatments {
    list.iter().fold(Treatments::NONE, |set, value| {
        let Some(name) = value.text("a treatment in double quotes") else { return set };
        if let Some(one) = rules.treatments.find(name) {
            return set.with(one);
        }
        let known = rules.treatments.all().iter().map(String::as_str);
        value.wrong::<()>("a treatment that the rules know", &suggestion(name, known));
        set
    })
}

fn mate(table: &Table<'_, '_>, rules: &Rules) -> Mate {
    let curve = table.number("front_curve_d", limits::CURVE);
    let index = table.number("front_curve_index", limits::INDEX);
    for (here, other) in [("front_curve_d", "front_curve_index"), ("front_curve_index", "front_curve_d")] {
        if table.has(here) {
            table.need(
                other,
                table.has(other).then_some(()),
                "a curve and the index on which it is stated go together",
            );
        }
    }
    let mate = Mate {
        material: table.value("material").and_then(|v| material(&v, rules)),
        series: table.text("series").map(str::to_owned),
        front_curve: curve.zip(index).map(|(curve_d, index)| FrontCurve { curve_d, index }),
        centre: table.mm("centre_mm", limits::THICKNESS),
    };
    table.end();
    mate
}
