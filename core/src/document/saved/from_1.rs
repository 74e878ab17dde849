//! From schema 1 to 2: what happens without the grid came in.

use serde_json::{Value, json};

use crate::coupling::{IslandRunning, Surge};
use crate::limits;

/// Adds what schema 2 asks for. A part that is not what it should be is left alone: reading reports it.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        at(household, "service", |service| {
            add(service, "utility", json!(true));
        });
        at(household, "loads", |loads| {
            add(loads, "base_start", Value::Null);
            each(loads, "devices", |device| {
                add(device, "shed_order", Value::Null);
                add(device, "start", Value::Null);
            });
        });
        each(household, "options", |option| {
            add(option, "generator", Value::Null);
            add(option, "island", json!(IslandRunning::default()));
            each(option, "pv_inverters", pv_inverter);
            each(option, "storage", storage_unit);
        });
    });
}

fn pv_inverter(inverter: &mut Value) {
    let standing = inverter.get("standing") == Some(&json!(true));
    let code = if standing { "not_known" } else { "present" };
    add(inverter, "grid_code", json!(code));
    add(inverter, "island", json!("frequency"));
    at(inverter, "limiting", |limiting| {
        at(limiting, "commanded", |commanded| {
            add(commanded, "poll_s", json!(limits::LIMITING_POLL_S.default));
            let ramp_per_s = limits::LIMITING_RAMP_PER_S.default;
            add(commanded, "ramp_per_s", json!(ramp_per_s));
        });
    });
}

fn storage_unit(unit: &mut Value) {
    at(unit, "inverter", |inverter| {
        let rated_w = inverter.get("rated_w").and_then(Value::as_f64);
        let surge = Surge::generic(rated_w.unwrap_or_default());
        add(inverter, "surge", json!(surge));
    });
    at(unit, "battery", |battery| {
        let overload_s = limits::BATTERY_OVERLOAD_S.default;
        add(battery, "overload_s", json!(overload_s));
    });
}

pub(super) fn at(value: &mut Value, key: &str, change: impl FnOnce(&mut Value)) {
    if let Some(inside) = value.get_mut(key) {
        change(inside);
    }
}

pub(super) fn each(value: &mut Value, key: &str, change: impl FnMut(&mut Value)) {
    at(value, key, |list| {
        list.as_array_mut().into_iter().flatten().for_each(change);
    });
}

/// Adds a field, unless it is there.
pub(super) fn add(value: &mut Value, key: &str, content: Value) {
    if let Some(fields) = value.as_object_mut() {
        fields.entry(key).or_insert(content);
    }
}
