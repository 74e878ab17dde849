//! From schema 4 to 5.

use serde_json::{Value, json};

use super::from_1::{add, at};

/// Adds what schema 5 added, with the values that change nothing.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        at(household, "tariff", |tariff| {
            add(tariff, "tiers_by", json!("each_period"));
        });
    });
}
