//! PV inverters, and the efficiency figures that every converter's datasheet gives.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{ConverterCosts, GridCode, PvInverterElectrical};
use crate::ids::{AcSide, PvInverterId};

/// A PV inverter on AC: one string inverter, or a set of module inverters taken together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PvInverter {
    /// Names the inverter.
    pub id: PvInverterId,
    /// Name on the drawing.
    pub name: String,
    /// Side of the transfer point on which it joins.
    pub side: AcSide,
    /// Whether it stands already.
    pub standing: bool,
    /// Rated AC power, W.
    pub rated_w: f64,
    /// Datasheet efficiencies.
    pub efficiency: ConverterEfficiency,
    /// What it does under an export limit.
    pub limiting: PowerLimiting,
    /// The grid code that it was built to: how it answers to frequency, when it trips, how it comes back.
    pub grid_code: GridCode,
    /// How it is held back in an island whose battery cannot take its power.
    pub island: IslandMeans,
    /// What the electrical rules ask about it.
    pub electrical: PvInverterElectrical,
    /// What it costs and how long it lasts.
    pub costs: ConverterCosts,
}

/// What a PV inverter does when the meter would export more than is permitted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum PowerLimiting {
    /// It understands no command: it goes on, and the excess is booked as unpermitted export.
    None,
    /// It follows a power-limit command that keeps the meter below the limit less this margin.
    Commanded {
        /// Margin that the controller keeps below the export limit, W.
        margin_w: f64,
        /// Time from one reading of the meter, and the command that follows from it, to the next, s.
        poll_s: f64,
        /// How fast its output follows a command, share of its rating per second.
        ramp_per_s: f64,
    },
    /// A relay drops it when export exceeds the limit; it comes back after the wait.
    Relay {
        /// Wait before it comes back, s.
        reconnect_s: f64,
    },
}

/// How a PV inverter is held back in an island.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum IslandMeans {
    /// By frequency alone: it answers as its grid code says.
    Frequency,
    /// The storage inverter commands its power.
    Command {
        /// Time to 90 % of a commanded change, s.
        response_s: f64,
    },
    /// The storage inverter opens a contactor before it.
    Contactor {
        /// State of charge at which it opens, 0 to 1. It also opens when more comes than the batteries take.
        open_soc: f64,
        /// State of charge at which it closes again, 0 to 1.
        close_soc: f64,
    },
}

/// Efficiency figures of a converter, as a datasheet gives them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConverterEfficiency {
    /// Highest efficiency at any load, 0.5 to 0.999.
    pub peak: f64,
    /// Weighted efficiency, below the peak.
    pub weighted: f64,
    /// Which weights the weighted efficiency is made with.
    pub weighting: Weighting,
    /// Power that it takes for itself while it runs at no load, W.
    pub no_load_w: f64,
}

/// Weights of a weighted efficiency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Weighting {
    /// European weights: 5, 10, 20, 30, 50, 100 % of rated power.
    European,
    /// CEC weights: 10, 20, 30, 50, 75, 100 % of rated power.
    Cec,
}
