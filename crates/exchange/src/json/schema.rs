//! JSON Schemas of what this program prints, made from the types that print it.

use schemars::generate::SchemaSettings;
use schemars::transform::{Transform, transform_subschemas};
use schemars::{JsonSchema, Schema};
use serde_json::Value;

use super::{ComparisonJson, IntakeJson, OutlineJson, PlanJson, RecutJson};

/// The documents that have a schema.
pub const NAMES: &[&str] = &["plan", "outline", "comparison", "intake", "recut"];

/// The JSON Schema (2020-12) of a document by its name.
#[must_use]
pub fn schema(name: &str) -> Option<Schema> {
    match name {
        "plan" => Some(of::<PlanJson>()),
        "comparison" => Some(of::<ComparisonJson>()),
        "intake" => Some(of::<IntakeJson>()),
        "recut" => Some(of::<RecutJson>()),
        "outline" => Some(of::<OutlineJson>()),
        _ => None,
    }
}

fn of<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(NeverNull)
        .into_generator()
        .into_root_schema_for::<T>()
}

/// What does not exist is absent, so no key may be null; a derive lets every optional one be.
#[derive(Debug, Clone)]
struct NeverNull;

impl Transform for NeverNull {
    fn transform(&mut self, schema: &mut Schema) {
        if let Some(object) = schema.as_object_mut() {
            if let Some(Value::Array(types)) = object.get_mut("type") {
                types.retain(|word| word != "null");
                if let [only] = types.as_slice() {
                    let only = only.clone();
                    object.insert("type".to_owned(), only);
                }
            }
            if let Some(Value::Array(ways)) = object.get_mut("anyOf") {
                ways.retain(|way| way.get("type").is_none_or(|word| word != "null"));
                if let [Value::Object(only)] = ways.as_slice() {
                    let only = only.clone();
                    object.remove("anyOf");
                    object.extend(only);
                }
            }
        }
        transform_subschemas(self, schema);
    }
}
