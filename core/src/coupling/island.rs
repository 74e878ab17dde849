//! How an option is run while the grid is gone.

use super::{ConverterCosts, GeneratorElectrical};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the storage inverters do while they hold the backed-up bus alone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IslandRunning {
    /// State of charge below which devices that have a shed order are switched off, 0 to 1.
    pub shed_soc: f64,
    /// State of charge at which a storage inverter shuts down, 0 to 1.
    pub shut_down_soc: f64,
    /// State of charge that a battery must regain before its inverter starts again, 0 to 1.
    pub restart_soc: f64,
    /// Frequency held while the batteries take what is left over, Hz above nominal (negative: below).
    pub idle_offset_hz: f64,
    /// Highest frequency that the storage inverters go to, to hold AC PV back, Hz above nominal.
    pub rise_hz: f64,
}

/// A generator on the backed-up bus. It runs only while there is no grid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Generator {
    /// Name on the drawing.
    pub name: String,
    /// Whether it stands already.
    pub standing: bool,
    /// Rated AC power, W.
    pub rated_w: f64,
    /// Least load that it should carry, share of its rating, 0 to 0.8.
    pub least_load: f64,
    /// State of charge at which it is started, 0 to 1; it is also started when the batteries cannot carry the loads.
    pub start_soc: f64,
    /// State of charge at which it is stopped, 0 to 1.
    pub stop_soc: f64,
    /// Time from the call to the first power, s.
    pub start_delay_s: f64,
    /// Fuel of an hour at no load, L/h.
    pub idle_fuel_l_per_h: f64,
    /// Fuel of each further kilowatt-hour, L/kWh.
    pub fuel_l_per_kwh: f64,
    /// Price of the fuel, currency per L; none: not known, and no cost of fuel is told.
    pub fuel_cur_per_l: Option<f64>,
    /// What the electrical rules ask about it.
    pub electrical: GeneratorElectrical,
    /// What it costs and how long it lasts.
    pub costs: ConverterCosts,
}
