//! The chain from every schema that was ever written to today's.
//!
//! An older file is brought up one schema at a time, as plain JSON: what a newer schema added gets the value that changes
//! nothing or the stated default. A fixture of each schema stays in `tests/saves`.

mod from_1;
mod from_2;
mod from_3;
mod from_4;

use serde_json::Value;

use super::envelope::{Envelope, ReadProblem};
use crate::household::Household;

/// The household in an envelope of this schema, in today's form.
pub(super) fn household(schema: u32, mut envelope: Value) -> Result<Household, ReadProblem> {
    let steps = [
        from_1::bring_up,
        from_2::bring_up,
        from_3::bring_up,
        from_4::bring_up,
    ];
    let Some(steps) = schema
        .checked_sub(1)
        .and_then(|before| steps.get(usize::try_from(before).ok()?..))
    else {
        return Err(ReadProblem::Damaged {
            path: "schema".to_owned(),
            fault: format!("found {schema}, expected a whole number from 1"),
        });
    };
    for bring_up in steps {
        bring_up(&mut envelope);
    }
    serde_path_to_error::deserialize::<_, Envelope<Household>>(envelope)
        .map(|envelope| envelope.household)
        .map_err(|error| ReadProblem::Damaged {
            path: error.path().to_string(),
            fault: error.inner().to_string(),
        })
}
