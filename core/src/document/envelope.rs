//! The saved form: JSON text with the format's name and schema number around the household.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::saved;
use crate::household::Household;

/// Name of the format in every saved file.
pub const FORMAT: &str = "couplet";

/// Schema number that is written now. It is raised when an older file would be read differently.
pub const SCHEMA: u32 = 5;

/// What surrounds a household in a file.
#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Envelope<H> {
    /// Always `couplet`.
    pub(super) format: String,
    /// Schema number of the household's form.
    pub(super) schema: u32,
    /// The household.
    pub(super) household: H,
}

/// A household that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// The household, in today's form; not yet checked.
    pub household: Household,
    /// Schema number that the file had.
    pub schema: u32,
}

/// Why a text cannot be read as a saved household.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadProblem {
    /// It is not JSON.
    NotJson {
        /// Line of the first fault, from 1.
        line: usize,
        /// Column of the first fault, from 1.
        column: usize,
        /// What is wrong there.
        fault: String,
    },
    /// It is JSON, but it does not say that it is a Couplet file.
    NotOurs,
    /// It was written by a newer Couplet; it must be kept as it is.
    Newer {
        /// Schema number of the file.
        schema: u64,
    },
    /// It says that it is a Couplet file, but a field is not what it should be.
    Damaged {
        /// Path of the field, such as `household.options[1].arrays[0].peak_w`.
        path: String,
        /// What was found and what was expected.
        fault: String,
    },
}

impl fmt::Display for ReadProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotJson {
                line,
                column,
                fault,
            } => write!(f, "not JSON: line {line}, column {column}: {fault}"),
            Self::NotOurs => write!(
                f,
                "not a Couplet file: the field `format` is missing or is not `{FORMAT}`"
            ),
            Self::Newer { schema } => write!(
                f,
                "written by a newer Couplet: schema {schema}, this one reads up to {SCHEMA}; open it with a newer Couplet"
            ),
            Self::Damaged { path, fault } => write!(f, "damaged at {path}: {fault}"),
        }
    }
}

impl std::error::Error for ReadProblem {}

/// Reads a saved household of any schema up to [`SCHEMA`].
///
/// **Errors**: see [`ReadProblem`]; a field that the schema does not know is damage, so that nothing is dropped silently.
pub fn read(text: &str) -> Result<Read, ReadProblem> {
    // Spreadsheets and editors on some systems put a byte order mark before the text; JSON has no room for one.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let value: Value = serde_json::from_str(text).map_err(|error| ReadProblem::NotJson {
        line: error.line(),
        column: error.column(),
        fault: without_position(&error.to_string()),
    })?;
    if value.get("format").and_then(Value::as_str) != Some(FORMAT) {
        return Err(ReadProblem::NotOurs);
    }
    let schema =
        value
            .get("schema")
            .and_then(Value::as_u64)
            .ok_or_else(|| ReadProblem::Damaged {
                path: "schema".to_owned(),
                fault: "expected a whole number from 1".to_owned(),
            })?;
    match u32::try_from(schema) {
        Ok(schema) if schema <= SCHEMA => Ok(Read {
            household: saved::household(schema, value)?,
            schema,
        }),
        _ => Err(ReadProblem::Newer { schema }),
    }
}

/// Writes a household: indented JSON in a fixed order of fields, ending in a line break. Numbers are written so that
/// reading gives the same bits; a number that is not finite has no JSON form and becomes `null`, which [`read`] reports as
/// damage, so only households whose numbers are finite should be saved.
#[must_use]
pub fn write(household: &Household) -> String {
    let envelope = Envelope {
        format: FORMAT.to_owned(),
        schema: SCHEMA,
        household,
    };
    // A household has only text keys and no failing serializer, so this never falls back; core does not panic all the same.
    let mut text = serde_json::to_string_pretty(&envelope).unwrap_or_default();
    text.push('\n');
    text
}

/// The message of a JSON fault without the position that follows it.
fn without_position(message: &str) -> String {
    match message.rfind(" at line ") {
        Some(end) => message.get(..end).unwrap_or(message).to_owned(),
        None => message.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    #[test]
    fn read_write_read_gives_the_same_document() {
        let text = write(&demo());
        let read_back = read(&text).unwrap();
        assert_eq!(read_back.household, demo());
        assert_eq!(write(&read_back.household), text);
    }

    #[test]
    fn each_way_to_be_unreadable_is_told_apart() {
        assert_eq!(
            read("{\n  \"format\" \"couplet\"}"),
            Err(ReadProblem::NotJson {
                line: 2,
                column: 12,
                fault: "expected `:`".to_owned()
            })
        );
        assert_eq!(read("[1, 2]"), Err(ReadProblem::NotOurs));
        assert_eq!(read("{\"format\": \"other\"}"), Err(ReadProblem::NotOurs));
        let newer = write(&demo()).replacen(&format!("\"schema\": {SCHEMA}"), "\"schema\": 7", 1);
        assert_eq!(read(&newer), Err(ReadProblem::Newer { schema: 7 }));
    }

    #[test]
    fn damage_is_told_with_the_path_of_the_field() {
        let mut value: Value = serde_json::from_str(&write(&demo())).unwrap();
        value["household"]["options"][1]["arrays"][0]["peak_w"] = Value::Null;
        let Err(ReadProblem::Damaged { path, fault }) = read(&value.to_string()) else {
            panic!("damage was not seen");
        };
        assert_eq!(path, "household.options[1].arrays[0].peak_w");
        assert!(fault.contains("expected f64"), "{fault}");
    }

    #[test]
    fn an_unknown_field_is_reported_at_every_depth() {
        for path in [
            "/household",
            "/household/loads/base/yearly",
            "/household/options/0/running",
        ] {
            let mut value: Value = serde_json::from_str(&write(&demo())).unwrap();
            value.pointer_mut(path).unwrap()["colour"] = Value::from(1);
            let problem = read(&value.to_string()).unwrap_err();
            assert!(problem.to_string().contains("colour"), "{path}: {problem}");
        }
    }
}
