//! The chain from every schema that was ever written to today's.
//!
//! Schema 1 is today's form and is read by today's types. When the schema is raised to 2, the types of schema 1 are frozen
//! as `saved/v1.rs` with one `From<v1::Household> for Household`, the arm `1 =>` reads those, and a fixture of schema 1
//! stays in `tests/saves`.

use serde::de::DeserializeOwned;
use serde_json::Value;

use super::envelope::{Envelope, ReadProblem};
use crate::household::Household;

/// The household in an envelope of this schema, in today's form.
pub(super) fn household(schema: u32, envelope: Value) -> Result<Household, ReadProblem> {
    match schema {
        1 => typed(envelope),
        _ => Err(ReadProblem::Damaged {
            path: "schema".to_owned(),
            fault: format!("found {schema}, expected a whole number from 1"),
        }),
    }
}

fn typed<H: DeserializeOwned>(envelope: Value) -> Result<H, ReadProblem> {
    serde_path_to_error::deserialize::<_, Envelope<H>>(envelope)
        .map(|envelope| envelope.household)
        .map_err(|error| ReadProblem::Damaged {
            path: error.path().to_string(),
            fault: error.inner().to_string(),
        })
}
