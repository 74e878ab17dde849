//! What parts cost, how long they last and how they age: what the money of an option is reckoned from.
//!
//! A figure that is not given stands open: [`crate::outlook`] puts a marked placeholder in its place.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::limits;

/// What a converter costs and how long it lasts: a PV inverter, or the inverter of a storage unit with its MPPT inputs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConverterCosts {
    /// What it costs, currency; none: not given.
    pub first_cur: Option<f64>,
    /// What another one costs when it is replaced, at today's prices, currency; none: as much as the first.
    pub again_cur: Option<f64>,
    /// Years until it is replaced, from now on; none: the usual life, or half of it if it stands already.
    pub life_years: Option<f64>,
}

/// What a battery costs. How long it lasts follows from its [`BatteryAgeing`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatteryCosts {
    /// What it costs, currency; none: not given.
    pub first_cur: Option<f64>,
    /// What another one costs when it is replaced, at today's prices, currency; none: as much as the first.
    pub again_cur: Option<f64>,
}

/// How a battery ages.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatteryAgeing {
    /// Full cycles that it bears until the end of its life, above 0.
    pub full_cycles: f64,
    /// Share of its energy that it loses in the first year at 25 °C without any cycle, 0 to 0.2.
    pub first_year_loss: f64,
    /// Share of its energy that is left at the end of its life, 0.5 to 0.95.
    pub end_of_life: f64,
}

impl Default for BatteryAgeing {
    fn default() -> Self {
        Self {
            full_cycles: limits::BATTERY_FULL_CYCLES.default,
            first_year_loss: limits::BATTERY_FIRST_YEAR_LOSS.default,
            end_of_life: limits::BATTERY_END_OF_LIFE.default,
        }
    }
}

/// What an option costs beside its parts.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OptionCosts {
    /// Work, wiring and small parts, currency; none: not given.
    pub work_cur: Option<f64>,
    /// Upkeep of what is new, currency per year at today's prices; none: not given.
    pub upkeep_cur_per_year: Option<f64>,
    /// Anything else that is bought at the start.
    pub others: Vec<OtherCost>,
}

/// Something else that is bought at the start.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherCost {
    /// What it is.
    pub name: String,
    /// What it costs, currency.
    pub first_cur: f64,
}
