//! What the electrical rules ask about the parts of an option. Whatever is not given is generic or stays open.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::rules::{Metal, ParallelLaying, Size, StorageRoom, Wiring};

/// An array's modules, strings and circuit. The default is: nothing given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArrayElectrical {
    /// Its modules by their data sheet.
    pub module: Option<ModuleSheet>,
    /// How its modules are wired, one entry for each MPPT input that it uses; none: strings that fit are proposed.
    pub strings: Option<Vec<InputStrings>>,
    /// The circuit from the array to its converter.
    pub circuit: CircuitChoice,
}

/// A module by its data sheet, at standard test conditions.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ModuleSheet {
    /// How many of them the array has.
    pub count: u32,
    /// Open-circuit voltage, V.
    pub voc_v: f64,
    /// Short-circuit current, A.
    pub isc_a: f64,
    /// Voltage at maximum power, V.
    pub vmp_v: f64,
    /// Current at maximum power, A.
    pub imp_a: f64,
    /// Relative change of the open-circuit voltage with temperature, per °C; none: the code's table of factors is used.
    pub voc_per_c: Option<f64>,
    /// Relative change of the voltage at maximum power with temperature, per °C; none: that of power is used.
    pub vmp_per_c: Option<f64>,
    /// Largest series fuse that it bears, A.
    pub series_fuse_a: f64,
}

/// What hangs on one MPPT input.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InputStrings {
    /// Modules in series in each string.
    pub in_series: u32,
    /// Strings in parallel.
    pub parallel: u32,
}

/// What each MPPT input of a converter takes, by its data sheet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InputSheet {
    /// Highest voltage that does no harm, V.
    pub most_v: f64,
    /// Lowest voltage at which it tracks maximum power, V.
    pub mppt_from_v: f64,
    /// Highest voltage at which it tracks maximum power, V.
    pub mppt_to_v: f64,
    /// Highest working current, A; more is not used.
    pub most_working_a: f64,
    /// Highest short-circuit current that may be joined, A.
    pub most_short_circuit_a: f64,
}

/// A PV inverter's inputs and circuit. The default is: nothing given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PvInverterElectrical {
    /// Whether it stands for inverters behind each module: there are no strings.
    pub at_modules: bool,
    /// Number of MPPT inputs.
    pub inputs: Option<u32>,
    /// What each input takes.
    pub input: Option<InputSheet>,
    /// On a three-phase supply: whether it feeds one line only.
    pub one_line: Option<bool>,
    /// The circuit of its output.
    pub output: CircuitChoice,
}

/// A storage unit's inputs, circuits and place. The default is: nothing given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StorageElectrical {
    /// What each MPPT input takes.
    pub input: Option<InputSheet>,
    /// On a three-phase supply: whether it feeds one line only.
    pub one_line: Option<bool>,
    /// The circuit of its output.
    pub output: CircuitChoice,
    /// Whether battery and inverter are one listed unit, whose inner circuit is its maker's.
    pub battery_inside: bool,
    /// Voltages of the battery.
    pub battery: Option<BatterySheet>,
    /// The circuit between battery and inverter.
    pub battery_circuit: CircuitChoice,
    /// Nominal energy, Wh.
    pub nominal_wh: Option<f64>,
    /// Where it stands.
    pub room: Option<StorageRoom>,
    /// Least distance to other units, doors and windows, m.
    pub spacing_m: Option<f64>,
    /// Clear depth before it, m.
    pub clear_depth_m: Option<f64>,
    /// Whether it is listed as a system.
    pub listed: Option<bool>,
    /// Whether there is a means to disconnect it that can be reached and locked.
    pub disconnect: Option<bool>,
    /// Whether there is an emergency shutdown outdoors.
    pub emergency_shutdown: Option<bool>,
    /// On a split-phase supply: whether it gives both lines and the neutral.
    pub gives_both_lines: Option<bool>,
}

/// A generator's rating plate and circuit. The default is: nothing given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GeneratorElectrical {
    /// Rated current on each line by its plate, A; none: that of its rated power at unity power factor.
    pub rated_a: Option<f64>,
    /// Whether its design, or a device that belongs to it, keeps it from overload.
    pub kept_from_overload: Option<bool>,
    /// The circuit of its output.
    pub output: CircuitChoice,
}

/// Voltages of a battery, by its data sheet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatterySheet {
    /// Nominal voltage, V.
    pub nominal_v: f64,
    /// Lowest voltage at which it still gives its power, V.
    pub lowest_v: f64,
    /// Highest voltage, V.
    pub highest_v: f64,
}

/// What was chosen for a circuit; what was not is generic or proposed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CircuitChoice {
    /// Length one way, m.
    pub one_way_m: Option<f64>,
    /// Breaker or fuse, A.
    pub device_a: Option<f64>,
    /// Size of the conductors.
    pub size: Option<Size>,
    /// Temperature of the air about the conductors, °C.
    pub ambient_c: Option<f64>,
    /// What the conductors are made of.
    pub metal: Option<Metal>,
    /// Insulation and company; it counts only under the family of codes that it is written in.
    pub wiring: Option<Wiring>,
    /// Conductors of each pole in parallel; none: one, and more only where the largest size does not suffice.
    pub parallel: Option<u32>,
    /// How conductors in parallel lie to one another.
    pub parallel_laying: Option<ParallelLaying>,
    /// Highest current of a short circuit at its device, A.
    pub fault_a: Option<f64>,
    /// Time until its device has cleared that current, s.
    pub fault_cleared_s: Option<f64>,
}
