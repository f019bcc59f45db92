//! Orders: one TOML file a job.

mod answers;
mod frame;
mod lens;
pub(crate) mod prescription;
mod wearer;

use job::rules::Rules;
use job::{Eye, Eyes, Order, OrderNumber};

use crate::fault::Fault;
use crate::toml_walk::{self, Table};

/// The eyes by their words.
const EYES: &[(&str, Eye)] = &[("right", Eye::Right), ("left", Eye::Left)];

/// Reads an order.
///
/// # Errors
/// Every fault of the file: what cannot be read or typed. What is readable but unwise is a finding of the plan.
pub fn read_order(bytes: &[u8], rules: &Rules) -> Result<Order, Vec<Fault>> {
    if bytes.trim_ascii().is_empty() {
        return Err(vec![Fault {
            line: 1,
            column: 1,
            ..Fault::at(0..0, "the file is empty; expected an order", "write it after the README's example")
        }]);
    }
    toml_walk::read(bytes, |file| order(file, rules))
}

/// Reads a frame file: a `[frame]` table as in an order, and nothing else.
///
/// # Errors
/// Every fault of the file.
pub fn read_frame(bytes: &[u8]) -> Result<job::Frame, Vec<Fault>> {
    toml_walk::read(bytes, |file| {
        let hint = "write a [frame] table with outline and mounting, as in an order";
        file.need("frame", file.has("frame").then_some(()), hint);
        file.section("frame").and_then(|t| frame::read(&t))
    })
}

fn order(file: &Table<'_, '_>, rules: &Rules) -> Option<Order> {
    let number = file.value("number").and_then(|v| {
        let text = v.text("an order number in quotes")?;
        let number = OrderNumber::new(text);
        number.or_else(|| v.wrong("1 to 12 digits in quotes", "numbers are typed at machines: digits only"))
    });
    let number = file.need("number", number, "write number = \"0142\"");
    let taken = file.need("taken", file.date("taken"), "write the day it was taken: taken = 2026-03-02");
    let eyes = file.word("eyes", &[("both", Eyes::Both), ("right", Eyes::Right), ("left", Eyes::Left)]);
    let eyes = file.need("eyes", eyes, "write eyes = \"both\", \"right\" or \"left\"");
    // Where the eyes are not known, none can be called missing.
    let made = eyes.map_or(&[][..], Eyes::made);
    for (table, hint) in [
        ("wearer", "write a [wearer] table with a pupillary distance"),
        ("prescription", "write a [prescription] table with the powers"),
        ("frame", "write a [frame] table with outline and mounting"),
        ("lens", "write a [lens] table with type, material and edge"),
    ] {
        file.need(table, file.has(table).then_some(()), hint);
    }
    let wearer = file.section("wearer").map(|t| wearer::read(&t, made));
    let prescription = file.section("prescription").map(|t| prescription::read(&t, made));
    let frame = file.section("frame").and_then(|t| frame::read(&t));
    let lens = file.section("lens").and_then(|t| lens::read(&t, rules));
    let answers = file.table("answers").map_or_else(Vec::new, |t| answers::read(&t));
    Some(Order {
        number: number?,
        taken: taken?,
        eyes: eyes?,
        wearer: wearer?,
        prescription: prescription?,
        frame: frame?,
        lens: lens?,
        answers,
    })
}
