//! The published form of a saved file.

use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

use super::envelope::{Envelope, FORMAT, SCHEMA};
use crate::household::Household;
use crate::limits::Limit;

/// JSON Schema (draft 2020-12) of a saved file, with the range and the default of every typed number. What no schema can
/// say, such as ids that must name something, is left to [`crate::check::check`].
#[must_use]
pub fn schema() -> Value {
    let mut schema = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<Envelope<Household>>()
        .to_value();
    schema["title"] = json!("Couplet household");
    schema["properties"]["format"]["const"] = json!(FORMAT);
    schema["properties"]["schema"]["const"] = json!(SCHEMA);
    if let Some(definitions) = schema.get_mut("$defs").and_then(Value::as_object_mut) {
        for limit in Limit::all() {
            if let Some(field) = field_of(definitions, limit) {
                set_range(field, limit);
            }
        }
    }
    schema
}

/// The schema of the field that a row is for: `Type.field` or `Type.variant.field`.
fn field_of<'s>(definitions: &'s mut Map<String, Value>, limit: &Limit) -> Option<&'s mut Value> {
    let mut parts = limit.field.split('.');
    let mut place = definitions.get_mut(parts.next()?)?;
    for part in parts {
        place = if place.get("oneOf").is_some() {
            place
                .get_mut("oneOf")?
                .as_array_mut()?
                .iter_mut()
                .find_map(|variant| variant.get_mut("properties")?.get_mut(part))?
        } else {
            place.get_mut("properties")?.get_mut(part)?
        };
    }
    Some(place)
}

/// Sets the range on a number, or on the numbers of a list.
fn set_range(field: &mut Value, limit: &Limit) {
    if let Some(items) = field.get_mut("items") {
        return set_range(items, limit);
    }
    if let Some(field) = field.as_object_mut() {
        field.insert("minimum".to_owned(), json!(limit.least));
        field.insert("maximum".to_owned(), json!(limit.most));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_stands_in_the_schema() {
        let mut schema = schema();
        let definitions = schema["$defs"].as_object_mut().unwrap();
        for limit in Limit::all() {
            // The shade table is a list of lists that has a definition of its own.
            if limit.field == "RoofPlane.shade" {
                continue;
            }
            let field = field_of(definitions, limit).unwrap_or_else(|| panic!("{}", limit.field));
            let text = field.to_string();
            assert!(
                text.contains("\"minimum\"") && text.contains("\"maximum\""),
                "{text}"
            );
        }
    }
}
