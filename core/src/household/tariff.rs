//! What energy costs and earns: a price for buying and one for selling, with hours of their own.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Prices at the meter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tariff {
    /// Name of the tariff.
    pub name: String,
    /// ISO 4217 code of the currency.
    pub currency: String,
    /// Fixed charge, currency per month.
    pub fixed_cur_per_month: f64,
    /// Price of bought energy outside all periods, currency per kWh.
    pub buy_cur_per_kwh: f64,
    /// Price of sold energy outside all periods, currency per kWh.
    pub sell_cur_per_kwh: f64,
    /// Hours with prices of their own; where two overlap the earlier in the list holds.
    pub periods: Vec<PricePeriod>,
}

/// Hours with prices of their own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PricePeriod {
    /// Name of the period, such as "evening peak".
    pub name: String,
    /// Months in which it holds, January first.
    pub months: [bool; 12],
    /// Days on which it holds.
    pub days: Days,
    /// Hour at which it begins, 0 to 24.
    pub from_h: f64,
    /// Hour at which it ends, 0 to 24; before `from_h`: it passes midnight.
    pub to_h: f64,
    /// Price of bought energy, currency per kWh.
    pub buy_cur_per_kwh: f64,
    /// Price of sold energy, currency per kWh.
    pub sell_cur_per_kwh: f64,
}

/// Kinds of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Days {
    /// Every day.
    All,
    /// Monday to Friday.
    Weekdays,
    /// Saturday and Sunday.
    Weekends,
}
