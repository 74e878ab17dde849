//! What the electrical rules look at: module data, input windows, runs, panels.
//!
//! Every value is either given or generic; what has no sensible generic value is an `Option` and stays open until it is given. Facts that
//! are known or open, and have nothing generic about them, are read where they are given: in the household and its option.

use crate::coupling::InputStrings;
use crate::household::{ArrayId, PanelFeed, PvInverterId, StorageId};
use crate::rules::{Code, DwellingLoads, Laying, Size};

/// Where a group of values comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Given for this household.
    Given,
    /// Generic and invented: what such a part commonly has. A finding that rests on it says so.
    Generic,
}

impl Origin {
    /// Whether the values are generic.
    #[must_use]
    pub fn is_generic(self) -> bool {
        self == Self::Generic
    }
}

/// What the electrical rules look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Details {
    /// The code that the option is judged by.
    pub code: Code,
    /// Arrays of the option.
    pub arrays: Vec<ArrayDetails>,
    /// PV inverters of the option.
    pub pv_inverters: Vec<PvInverterDetails>,
    /// Storage units of the option.
    pub storage: Vec<StorageDetails>,
    /// The panel on the grid side.
    pub grid_side: PanelDetails,
    /// The panel on the backed-up side.
    pub backed_up: PanelDetails,
    /// The run between both panels, through the transfer switch.
    pub transfer_run: Run,
    /// Loads for the dwelling load calculation, the household's devices among them.
    pub dwelling_loads: Option<DwellingLoads>,
}

/// An array's modules and strings.
#[derive(Clone, Debug, PartialEq)]
pub struct ArrayDetails {
    /// The array.
    pub id: ArrayId,
    /// Its modules.
    pub module: Module,
    /// How its modules are wired: one entry for each MPPT input that it uses.
    pub strings: Vec<InputStrings>,
    /// Every way to wire them that fits the converter's inputs; the first is proposed.
    pub fitting: Vec<Vec<InputStrings>>,
    /// Whether the strings are proposed, or given.
    pub strings_origin: Origin,
    /// The run from the array to the converter, for each input alike.
    pub run: Run,
}

/// A module by its data sheet, at standard test conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Module {
    /// Where the values come from.
    pub origin: Origin,
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

/// What a converter's MPPT inputs take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputWindow {
    /// Where the values come from.
    pub origin: Origin,
    /// Number of inputs.
    pub inputs: u32,
    /// Highest voltage that does no harm, V.
    pub most_v: f64,
    /// Lowest voltage at which it tracks maximum power, V.
    pub mppt_from_v: f64,
    /// Highest voltage at which it tracks maximum power, V.
    pub mppt_to_v: f64,
    /// Highest working current of an input, A; more is not used.
    pub most_working_a: f64,
    /// Highest short-circuit current that may be joined to an input, A.
    pub most_short_circuit_a: f64,
}

/// What a PV inverter's DC side is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PvInput {
    /// Strings on MPPT inputs.
    Strings(InputWindow),
    /// An inverter behind each module: there are no strings.
    AtModule,
}

/// A PV inverter's inputs and output.
#[derive(Clone, Debug, PartialEq)]
pub struct PvInverterDetails {
    /// The PV inverter.
    pub id: PvInverterId,
    /// Its DC side.
    pub input: PvInput,
    /// The run of its output.
    pub output: Run,
    /// On a three-phase supply: whether it feeds one line only.
    pub one_line: bool,
}

/// A storage unit's inputs, output, battery circuit and energy.
#[derive(Clone, Debug, PartialEq)]
pub struct StorageDetails {
    /// The storage unit.
    pub id: StorageId,
    /// Its MPPT inputs; none if it has none.
    pub input: Option<InputWindow>,
    /// The run of its output.
    pub output: Run,
    /// On a three-phase supply: whether it feeds one line only.
    pub one_line: bool,
    /// The circuit between battery and inverter; none: battery and inverter are one listed unit, and the circuit is its maker's.
    pub battery: Option<BatteryCircuit>,
    /// Nominal energy, Wh.
    pub nominal_wh: f64,
    /// Where `nominal_wh` comes from.
    pub nominal_origin: Origin,
}

/// The circuit between a battery and its inverter.
#[derive(Clone, Debug, PartialEq)]
pub struct BatteryCircuit {
    /// Where the voltage comes from.
    pub origin: Origin,
    /// Nominal voltage, V.
    pub nominal_v: f64,
    /// Lowest voltage at which it still gives its power, V.
    pub lowest_v: f64,
    /// Highest voltage, V.
    pub highest_v: f64,
    /// The run.
    pub run: Run,
}

/// A run of conductors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Where the length comes from.
    pub length_origin: Origin,
    /// Where the laying comes from.
    pub laying_origin: Origin,
    /// Length one way, m.
    pub one_way_m: f64,
    /// How it is laid.
    pub laying: Laying,
    /// Size that was chosen; none: the least that suits is proposed.
    pub size: Option<Size>,
    /// Breaker or fuse that was chosen, A; none: the least that suits is proposed.
    pub device_a: Option<f64>,
}

/// A panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelDetails {
    /// Rating of the busbar, A.
    pub busbar_a: Option<f64>,
    /// Rating of the device that protects the busbar from the utility's side, A.
    pub supply_device_a: f64,
    /// Ratings of all load breakers together, A.
    pub load_breakers_a: Option<f64>,
    /// How it is fed.
    pub feed: PanelFeed,
    /// Whether the breakers of the sources stand at the end away from the feed.
    pub sources_at_far_end: Option<bool>,
    /// Whether conductors leave it by feed-through lugs.
    pub feed_through: bool,
    /// Ampacity of the conductors that leave it by feed-through lugs, A.
    pub feed_through_a: Option<f64>,
    /// Setting of a power control system that holds all sources on it together, A.
    pub control_a: Option<f64>,
    /// Whether that system is listed for it, fails to a safe state, and its setting is locked.
    pub control_listed: Option<bool>,
    /// Whether its sources join ahead of the service disconnect instead of on the busbar.
    pub supply_side: bool,
}

impl Details {
    /// Details of an array.
    #[must_use]
    pub fn array(&self, id: ArrayId) -> Option<&ArrayDetails> {
        self.arrays.iter().find(|one| one.id == id)
    }

    /// Details of a PV inverter.
    #[must_use]
    pub fn pv_inverter(&self, id: PvInverterId) -> Option<&PvInverterDetails> {
        self.pv_inverters.iter().find(|one| one.id == id)
    }

    /// Details of a storage unit.
    #[must_use]
    pub fn storage(&self, id: StorageId) -> Option<&StorageDetails> {
        self.storage.iter().find(|one| one.id == id)
    }
}
