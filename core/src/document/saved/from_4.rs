//! From schema 4 to 5.

use serde_json::{Value, json};

use super::from_1::{add, at, each};
use crate::coupling::TitleNotes;

/// Adds what schema 5 added, with the values that change nothing.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        each(household, "options", |option| {
            // Every sheet was of the first revision.
            add(option, "title", json!(TitleNotes::default()));
        });
    });
}
