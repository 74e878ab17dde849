//! From schema 4 to 5: costs, fuel price, plate and circuit of a generator, title notes, conductors in parallel and short circuits,
//! voltage drops aimed at, circuits of the home, what is added to a dwelling, by what tiers count, a fixed charge by the day.

use serde_json::{Value, json};

use super::from_1::{add, at, each};

/// Adds what schema 5 added, with the values that change nothing.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        at(household, "loads", |loads| {
            each(loads, "devices", |device| {
                add(device, "is_added", json!(false));
            });
        });
        at(household, "tariff", |tariff| {
            add(tariff, "tiers_by", json!("each_period"));
            add(tariff, "fixed_cur_per_day", json!(0.0));
            add(tariff, "tax_on", json!("to_pay"));
        });
        at(household, "electrical", |electrical| {
            for key in ["home_circuits", "dc_drop_share", "ac_drop_share"] {
                add(electrical, key, Value::Null);
            }
            at(electrical, "dwelling", dwelling);
            at(electrical, "transfer_circuit", circuit);
        });
        each(household, "options", |option| {
            // Every sheet was of the first revision.
            add(
                option,
                "title",
                json!({ "revision": "A", "drawn_for": "", "checked_by": "" }),
            );
            at(option, "generator", |generator| {
                add(generator, "fuel_cur_per_l", Value::Null);
                add(
                    generator,
                    "costs",
                    json!({ "first_cur": null, "again_cur": null, "life_years": null }),
                );
                add(generator, "electrical", generator_electrical());
            });
            each(option, "arrays", |array| circuits(array, &["circuit"]));
            each(option, "pv_inverters", |inverter| {
                circuits(inverter, &["output"]);
            });
            each(option, "storage", |unit| {
                circuits(unit, &["output", "battery_circuit"]);
            });
        });
    });
}

/// Nothing is known of a generator's plate, and nothing is chosen for its circuit.
fn generator_electrical() -> Value {
    let mut output = json!({
        "one_way_m": null, "device_a": null, "size": null, "ambient_c": null, "metal": null, "wiring": null,
    });
    circuit(&mut output);
    json!({ "rated_a": null, "kept_from_overload": null, "output": output })
}

/// Nothing is added to the dwelling, and it is heated otherwise.
fn dwelling(dwelling: &mut Value) {
    add(dwelling, "added_appliances_w", json!(0.0));
    add(dwelling, "central_heating_w", json!(0.0));
    add(dwelling, "central_heating_is_added", json!(false));
}

fn circuits(part: &mut Value, names: &[&str]) {
    at(part, "electrical", |electrical| {
        for name in names {
            at(electrical, name, circuit);
        }
    });
}

/// No conductors in parallel are chosen, and no short circuit is known.
fn circuit(circuit: &mut Value) {
    for key in ["parallel", "parallel_laying", "fault_a", "fault_cleared_s"] {
        add(circuit, key, Value::Null);
    }
}
