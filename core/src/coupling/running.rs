//! How the storage is run while the grid is up.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::bill::Window;

/// The running rule and its bounds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Running {
    /// What the storage aims at.
    pub rule: RunningRule,
    /// State of charge kept for outages: below it nothing is discharged while the grid is up, 0 to 1.
    pub reserve_soc: f64,
    /// Order in which DC PV is given to battery, loads and grid.
    pub dc_order: DcOrder,
}

/// What the storage aims at. Dear and cheap hours come from the tariff: of one day, the hours with the highest and
/// with the lowest buying price; a day with one price has neither.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum RunningRule {
    /// The meter reads zero wherever the storage can make it so.
    SelfConsumption,
    /// Self-consumption in the dear hours; in the cheap ones the battery holds or is charged.
    TimeOfUse {
        /// Whether the battery may be discharged in hours that are neither dear nor cheap.
        discharge_in_middle_hours: bool,
        /// State of charge up to which the grid charges the battery in cheap hours, 0 to 1; none: never.
        grid_charge_to_soc: Option<f64>,
        /// Whether the battery may be discharged into the grid in dear hours, as far as export is permitted.
        sell_from_battery: bool,
    },
    /// Hours of the household's own choosing; self-consumption outside them.
    OwnHours {
        /// The first that holds counts.
        windows: Vec<OwnHours>,
    },
}

/// Hours in which the storage does as the household says.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnHours {
    /// When, by the clock and the holidays of the tariff.
    pub window: Window,
    /// What the storage does then.
    pub aim: WindowAim,
}

/// What the storage does in hours of the household's own choosing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum WindowAim {
    /// The grid charges the battery up to a state of charge; it gives nothing.
    Charge {
        /// State of charge, 0 to 1.
        to_soc: f64,
    },
    /// The battery takes surplus PV and gives nothing.
    Hold,
    /// Self-consumption: the battery gives to the loads and takes surplus PV.
    Give,
    /// The battery gives to the loads and is sold, as far as export is permitted.
    Sell,
}

/// Order in which DC PV is given out. AC power meets the loads before it reaches the meter, so "grid before loads" is
/// the same flow as "loads before grid": of the six orders these three differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DcOrder {
    /// Loads first, then the battery, then the grid.
    LoadsBatteryGrid,
    /// The battery first, then loads, then the grid; by day the battery is not discharged.
    BatteryLoadsGrid,
    /// Loads and grid first; the battery takes what neither may have.
    LoadsGridBattery,
}
