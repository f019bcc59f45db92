//! `rimwright schema NAME`: the JSON Schema of a document.

use exchange::json;

use super::GOOD;
use crate::failure::Failure;
use crate::output::Output;

pub(super) fn run(name: &str, out: &mut Output) -> Result<u8, Failure> {
    let Some(schema) = json::schema(name) else {
        return Err(Failure::new(
            format!("there is no document `{name}`"),
            format!("write one of {}", json::SCHEMA_NAMES.join(", ")),
        ));
    };
    let text = json::pretty(&schema).map_err(|e| Failure::own(&e))?;
    out.line(&text)?;
    Ok(GOOD)
}
