//! From schema 3 to 4: the tariff became that of a bill, with tiers, demand charges, summer time and ways to settle export; costs,
//! ageing and what is assumed of money came in; panels tell what leaves them by feed-through lugs and whether a power control system
//! may be relied on.

use serde_json::{Map, Value, json};

use super::from_1::{add, at, each};
use crate::coupling::{BatteryAgeing, BatteryCosts, ConverterCosts, OptionCosts};
use crate::household::Finance;

/// Writes the tariff of schema 3 as one of schema 4 with the same meaning: hours of standard time, one price in each period,
/// export credited at the price of its period and paid out. A part that is not what it should be is left alone: reading
/// reports it.
pub(super) fn bring_up(envelope: &mut Value) {
    at(envelope, "household", |household| {
        at(household, "electrical", |electrical| {
            for panel in ["grid_side", "backed_up"] {
                at(electrical, panel, |panel| {
                    add(panel, "feed_through_a", Value::Null);
                    add(panel, "control_listed", Value::Null);
                });
            }
        });
        at(household, "tariff", |tariff| {
            add(tariff, "clock_rule", Value::Null);
            add(tariff, "holidays", json!([]));
            add(tariff, "minimum_cur_per_month", json!(0.0));
            add(tariff, "demand", json!([]));
            add(
                tariff,
                "export",
                json!({ "net_billing": { "price": "by_period", "surplus": "paid" } }),
            );
            add(tariff, "tax", json!(0.0));
            if let Some(tariff) = tariff.as_object_mut() {
                periods(tariff);
            }
        });
        add(household, "finance", json!(Finance::default()));
        each(household, "options", costs);
    });
}

/// No cost is known yet, and batteries age as usual.
fn costs(option: &mut Value) {
    add(option, "costs", json!(OptionCosts::default()));
    each(option, "arrays", |array| {
        add(array, "first_cur", Value::Null)
    });
    each(option, "pv_inverters", |inverter| {
        add(inverter, "costs", json!(ConverterCosts::default()));
    });
    each(option, "storage", |unit| {
        add(unit, "costs", json!(ConverterCosts::default()));
        at(unit, "battery", |battery| {
            add(battery, "ageing", json!(BatteryAgeing::default()));
            add(battery, "costs", json!(BatteryCosts::default()));
        });
    });
}

/// The prices that held outside all periods become those of the last period.
fn periods(tariff: &mut Map<String, Value>) {
    let mut other = Map::new();
    for key in ["buy_cur_per_kwh", "sell_cur_per_kwh"] {
        if let Some(price) = tariff.remove(key) {
            other.insert(key.to_owned(), price);
        }
    }
    if let Some(periods) = tariff.get_mut("periods").and_then(Value::as_array_mut) {
        let name = match periods.is_empty() {
            true => "All hours",
            false => "Other hours",
        };
        other.insert("name".to_owned(), json!(name));
        periods
            .iter_mut()
            .filter_map(Value::as_object_mut)
            .for_each(with_a_window);
        other.insert("windows".to_owned(), json!([]));
        periods.push(Value::Object(other));
        periods
            .iter_mut()
            .filter_map(Value::as_object_mut)
            .for_each(with_a_tier);
    }
}

/// Months, days and hours of a period become its only window.
fn with_a_window(period: &mut Map<String, Value>) {
    let mut window = Map::new();
    for key in ["months", "days", "from_h", "to_h"] {
        if let Some(value) = period.remove(key) {
            let value = match value.as_str() {
                Some("weekends") => json!("weekends_and_holidays"),
                _ => value,
            };
            window.insert(key.to_owned(), value);
        }
    }
    period.insert("windows".to_owned(), json!([window]));
}

/// The price of a period becomes that of its only tier.
fn with_a_tier(period: &mut Map<String, Value>) {
    let mut tier = Map::new();
    tier.insert("up_to_wh".to_owned(), Value::Null);
    if let Some(price) = period.remove("buy_cur_per_kwh") {
        tier.insert("cur_per_kwh".to_owned(), price);
    }
    period.insert("tiers".to_owned(), json!([tier]));
}
