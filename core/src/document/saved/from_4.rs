//! From schema 4 to 5: a generator has costs and a price of its fuel.

use serde_json::{Value, json};

use super::from_1::{add, at, each};
use crate::coupling::ConverterCosts;

/// Adds what schema 5 added, with the values that change nothing.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        each(household, "options", |option| {
            at(option, "generator", |generator| {
                add(generator, "fuel_cur_per_l", Value::Null);
                add(generator, "costs", json!(ConverterCosts::default()));
            });
        });
    });
}
