//! A day of one option in detail, one series per quantity.

use serde::{Deserialize, Serialize};

use crate::household::{ArrayId, DeviceId, OptionId, PvInverterId, StorageId};

/// A day of one option. Every series has one value per step; powers are means of the step, W, positive from source to
/// load; steps start at midnight, local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DayTrace {
    /// The option.
    pub option: OptionId,
    /// Day of the year, 0 is 1 January, to 364.
    pub day: u32,
    /// Length of a step, s.
    pub step_s: f64,
    /// Each array.
    pub arrays: Vec<ArrayTrace>,
    /// Each PV inverter that an array feeds.
    pub pv_inverters: Vec<PvInverterTrace>,
    /// Each storage unit.
    pub storage: Vec<StorageTrace>,
    /// Base use on the grid side, as far as it is served.
    pub base_grid_side_w: Vec<f64>,
    /// Base use on the backed-up side, as far as it is served.
    pub base_backed_up_w: Vec<f64>,
    /// Each device.
    pub devices: Vec<DeviceTrace>,
    /// All loads that are served.
    pub load_w: Vec<f64>,
    /// Bought at the meter, at least 0.
    pub import_w: Vec<f64>,
    /// Sold at the meter, at least 0; `unpermitted_w` is part of it.
    pub export_w: Vec<f64>,
    /// Export above the limit, at least 0.
    pub unpermitted_w: Vec<f64>,
    /// Through the transfer switch, positive from the grid side to the backed-up side.
    pub transfer_w: Vec<f64>,
    /// The generator's AC power, at least 0. It runs only while there is no grid.
    pub generator_w: Vec<f64>,
    /// All PV inverters' AC power.
    pub ac_pv_w: Vec<f64>,
    /// DC PV taken by all storage units, at their DC buses.
    pub dc_pv_w: Vec<f64>,
    /// From all batteries, at their DC buses, at least 0.
    pub from_battery_w: Vec<f64>,
    /// Into all batteries, at their DC buses, at least 0.
    pub to_battery_w: Vec<f64>,
    /// PV that was there and could not be used: AC PV cut, dropped or idle (at AC), and DC PV throttled (at the array).
    pub throttled_w: Vec<f64>,
    /// Losses in converters and batteries, clipping included.
    pub loss_w: Vec<f64>,
    /// Stored energy of all batteries at the end of the step, as a share of all usable energy, 0 to 1; 0 without one.
    pub soc: Vec<f64>,
    /// Price of bought energy, currency per kWh.
    pub buy_cur_per_kwh: Vec<f64>,
    /// Price of sold energy, currency per kWh; without a utility no price has a value.
    pub sell_cur_per_kwh: Vec<f64>,
    /// Loads on the backed-up side that are not served, because they were switched off or the bus is dark; none while the grid
    /// is up.
    pub unserved_w: Vec<f64>,
    /// Share of the step in which the bus is dark, 0 to 1; 0 while the grid is up.
    pub dark_share: Vec<f64>,
}

/// An array on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ArrayTrace {
    /// The array.
    pub id: ArrayId,
    /// DC power that it could give.
    pub offered_w: Vec<f64>,
    /// DC power taken from it.
    pub taken_w: Vec<f64>,
}

/// A PV inverter on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PvInverterTrace {
    /// The PV inverter.
    pub id: PvInverterId,
    /// AC power that it gives.
    pub ac_w: Vec<f64>,
}

/// A storage unit on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StorageTrace {
    /// The storage unit.
    pub id: StorageId,
    /// AC power of its inverter, positive toward AC.
    pub ac_w: Vec<f64>,
    /// Power of its battery at the DC bus, positive when it gives.
    pub battery_w: Vec<f64>,
    /// DC PV that it takes, at the DC bus.
    pub dc_pv_w: Vec<f64>,
    /// DC PV that it throttles, at the array.
    pub throttled_w: Vec<f64>,
    /// State of charge at the end of the step, 0 to 1.
    pub soc: Vec<f64>,
}

/// A device on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DeviceTrace {
    /// The device.
    pub id: DeviceId,
    /// Power that it uses, as far as it is served.
    pub power_w: Vec<f64>,
}
