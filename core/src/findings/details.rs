//! What the electrical rules look at: module data, input windows, runs, panels.
//!
//! Every value is either given or generic; what has no sensible generic value is an `Option` and stays open until it is given. Facts that
//! are known or open, and have nothing generic about them, are read where they are given: in the household and its option.

use crate::coupling::{BatterySheet, InputSheet, InputStrings, ModuleSheet};
use crate::household::{ArrayId, PanelElectrical, PvInverterId, StorageId};
use crate::rules::{Code, Laying, Size};
use crate::units::UnitSystem;

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
    /// Units in which the findings are told; see [`Self::told_in`].
    pub units: UnitSystem,
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
    /// The run from the generator to the backed-up panel; none if there is no generator.
    pub generator_run: Option<Run>,
}

/// An array's modules and strings.
#[derive(Clone, Debug, PartialEq)]
pub struct ArrayDetails {
    /// The array.
    pub id: ArrayId,
    /// Its modules.
    pub module: ModuleSheet,
    /// Where the module's values come from.
    pub module_origin: Origin,
    /// How its modules are wired: one entry for each MPPT input that it uses.
    pub strings: Vec<InputStrings>,
    /// Every way to wire them that fits the converter's inputs; the first is proposed.
    pub fitting: Vec<Vec<InputStrings>>,
    /// Whether the strings are proposed, or given.
    pub strings_origin: Origin,
    /// The run from the array to the converter, for each input alike.
    pub run: Run,
}

/// What a converter's MPPT inputs take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputWindow {
    /// Where the values come from.
    pub origin: Origin,
    /// Number of inputs.
    pub inputs: u32,
    /// What each input takes.
    pub each: InputSheet,
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
    /// Voltages of the battery.
    pub voltages: BatterySheet,
    /// Where the voltages come from.
    pub origin: Origin,
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
    /// Where the temperature of the air about it comes from.
    pub ambient_origin: Origin,
    /// Length one way, m.
    pub one_way_m: f64,
    /// How it is laid.
    pub laying: Laying,
    /// Size that was chosen; none: the least that suits is proposed.
    pub size: Option<Size>,
    /// Conductors of each pole in parallel that were chosen; none: the fewest that suit are proposed.
    pub parallel: Option<u32>,
    /// Breaker or fuse that was chosen, A; none: the least that suits is proposed.
    pub device_a: Option<f64>,
    /// Highest current of a short circuit at the device, A.
    pub fault_a: Option<f64>,
    /// Time until the device has cleared it, s.
    pub fault_cleared_s: Option<f64>,
}

/// A panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelDetails {
    /// Rating of the busbar, A.
    pub busbar_a: Option<f64>,
    /// Rating of the device that protects the busbar from the utility's side, A.
    pub supply_device_a: f64,
    /// What the household gives of it.
    pub given: PanelElectrical,
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
