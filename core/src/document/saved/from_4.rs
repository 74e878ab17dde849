//! From schema 4 to 5.

use serde_json::Value;

use super::from_1::at;

/// Adds what schema 5 added, with the values that change nothing.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |_household| {});
}
