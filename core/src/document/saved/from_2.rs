//! From schema 2 to 3: what the electrical rules ask for came in.

use serde_json::{Value, json};

use super::from_1::{add, at, each};
use crate::coupling::{ArrayElectrical, PvInverterElectrical, StorageElectrical};
use crate::household::HouseholdElectrical;

/// Adds what schema 3 asks for: nothing is given. A part that is not what it should be is left alone: reading reports it.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        add(
            household,
            "electrical",
            json!(HouseholdElectrical::default()),
        );
        each(household, "options", |option| {
            each(option, "arrays", |array| {
                add(array, "electrical", json!(ArrayElectrical::default()));
            });
            each(option, "pv_inverters", |inverter| {
                add(
                    inverter,
                    "electrical",
                    json!(PvInverterElectrical::default()),
                );
            });
            each(option, "storage", |unit| {
                add(unit, "electrical", json!(StorageElectrical::default()));
            });
        });
    });
}
