//! A storage unit: a storage inverter with a battery and, if it has them, MPPT inputs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{BatteryAgeing, BatteryCosts, ConverterCosts, ConverterEfficiency, StorageElectrical};
use crate::ids::{AcSide, StorageId};

/// A storage inverter with its battery and its DC bus.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StorageUnit {
    /// Names the unit.
    pub id: StorageId,
    /// Name on the drawing.
    pub name: String,
    /// Side of the transfer point on which it joins; on the grid side it cannot hold an island.
    pub side: AcSide,
    /// Whether it stands already.
    pub standing: bool,
    /// The bidirectional inverter between AC and the DC bus.
    pub inverter: StorageInverter,
    /// MPPT inputs for arrays; none: an AC battery.
    pub mppt: Option<Mppt>,
    /// The battery on the DC bus.
    pub battery: Battery,
    /// What the electrical rules ask about it.
    pub electrical: StorageElectrical,
    /// What its inverter costs and how long that lasts, MPPT inputs included.
    pub costs: ConverterCosts,
}

/// The bidirectional inverter of a storage unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StorageInverter {
    /// Rated AC power, either way, W.
    pub rated_w: f64,
    /// Datasheet efficiencies.
    pub efficiency: ConverterEfficiency,
    /// What it carries beyond its rating for a while, from the longest time to the shortest.
    pub surge: Vec<Surge>,
}

/// Power that an inverter carries for a while.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Surge {
    /// Power, W, above the rating.
    pub power_w: f64,
    /// How long it is carried, s.
    pub duration_s: f64,
}

/// MPPT inputs of a storage unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Mppt {
    /// Number of inputs.
    pub inputs: u32,
    /// Share of the arrays' power that reaches the DC bus, 0.5 to 1.
    pub efficiency: f64,
    /// Most power that all inputs together put on the DC bus, W.
    pub rated_w: f64,
}

/// A battery on the DC bus of its storage unit. Its state of charge counts within the usable window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Battery {
    /// Energy between the lowest and the highest permitted state, Wh.
    pub usable_wh: f64,
    /// Most charging power at the DC bus, W.
    pub charge_w: f64,
    /// Most discharging power at the DC bus, W.
    pub discharge_w: f64,
    /// Share of charging power that is stored, 0.5 to 1.
    pub charge_efficiency: f64,
    /// Share of the energy taken out of store that reaches the DC bus, 0.5 to 1.
    pub discharge_efficiency: f64,
    /// State of charge above which charging power falls in a straight line to nothing at full, 0.5 to 1; 1: no taper.
    pub taper_from_soc: f64,
    /// Share of the stored energy lost in a month, 0 to 0.3.
    pub self_discharge_per_month: f64,
    /// Lowest temperature at which it may be charged, °C.
    pub least_charge_c: f64,
    /// How long it bears more charging or discharging power than its limits before it disconnects itself, s.
    pub overload_s: f64,
    /// Where it stands.
    pub place: BatteryPlace,
    /// State of charge at the start of a run, 0 to 1.
    pub initial_soc: f64,
    /// How it ages.
    pub ageing: BatteryAgeing,
    /// What it costs.
    pub costs: BatteryCosts,
}

/// Where a battery stands; it decides its temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum BatteryPlace {
    /// In a room of this temperature.
    Indoors {
        /// Temperature of the room, °C.
        room_c: f64,
    },
    /// Outdoors, at air temperature.
    Outdoors,
}
