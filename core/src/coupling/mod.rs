//! An option: one way to couple and size everything.

mod array;
mod costs;
mod edit;
mod electrical;
mod generic;
mod grid_code;
mod island;
mod pv_inverter;
mod running;
mod storage;
mod title;

pub use array::{Array, Join};
pub use costs::{BatteryAgeing, BatteryCosts, ConverterCosts, OptionCosts, OtherCost};
pub use edit::{MoveProblem, Moved};
pub use electrical::{
    ArrayElectrical, BatterySheet, CircuitChoice, GeneratorElectrical, InputSheet, InputStrings,
    ModuleSheet, PvInverterElectrical, StorageElectrical,
};
pub use grid_code::{
    DroopBase, EnterService, FrequencyDroop, FrequencySettings, FrequencyTrip, GridCode,
};
pub use island::{Generator, IslandRunning};
pub use pv_inverter::{ConverterEfficiency, IslandMeans, PowerLimiting, PvInverter, Weighting};
pub use running::{DcOrder, OwnHours, Running, RunningRule, WindowAim};
pub use storage::{Battery, BatteryPlace, Mppt, StorageInverter, StorageUnit, Surge};
pub use title::TitleNotes;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::ids::{ArrayId, OptionId, PvInverterId, StorageId};

/// One way to couple and size everything.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CouplingOption {
    /// Names the option.
    pub id: OptionId,
    /// Name on the tab and the sheet.
    pub name: String,
    /// What its title block says beside that.
    pub title: TitleNotes,
    /// Arrays, each with its join.
    pub arrays: Vec<Array>,
    /// PV inverters; one that no array uses stands idle: it is kept for the array's return and is not drawn.
    pub pv_inverters: Vec<PvInverter>,
    /// Storage units.
    pub storage: Vec<StorageUnit>,
    /// How the storage is run while the grid is up.
    pub running: Running,
    /// A generator on the backed-up bus, if there is one.
    pub generator: Option<Generator>,
    /// How the storage is run while the grid is gone.
    pub island: IslandRunning,
    /// What it costs beside its parts.
    pub costs: OptionCosts,
}

impl CouplingOption {
    /// The array with this id, if there is one.
    #[must_use]
    pub fn array(&self, id: ArrayId) -> Option<&Array> {
        self.arrays.iter().find(|array| array.id == id)
    }

    /// The PV inverter with this id, if there is one.
    #[must_use]
    pub fn pv_inverter(&self, id: PvInverterId) -> Option<&PvInverter> {
        self.pv_inverters.iter().find(|inverter| inverter.id == id)
    }

    /// The storage unit with this id, if there is one.
    #[must_use]
    pub fn storage_unit(&self, id: StorageId) -> Option<&StorageUnit> {
        self.storage.iter().find(|unit| unit.id == id)
    }

    /// Where an array joins; none if it names a PV inverter that is not there.
    #[must_use]
    pub fn join(&self, array: &Array) -> Option<Join> {
        match array.dc_unit {
            Some(unit) => Some(Join::Dc(unit)),
            None => self
                .pv_inverter(array.pv_inverter)
                .map(|inverter| Join::Ac(inverter.side)),
        }
    }

    /// Whether all that is computed of the two is the same: they differ at most in what is written into the title block.
    pub(crate) fn computes_as(&self, other: &Self) -> bool {
        let Self {
            id,
            name,
            title: _,
            arrays,
            pv_inverters,
            storage,
            running,
            generator,
            island,
            costs,
        } = self;
        *id == other.id
            && *name == other.name
            && *arrays == other.arrays
            && *pv_inverters == other.pv_inverters
            && *storage == other.storage
            && *running == other.running
            && *generator == other.generator
            && *island == other.island
            && *costs == other.costs
    }

    /// Arrays that feed this PV inverter now.
    pub fn arrays_on_inverter(&self, id: PvInverterId) -> impl Iterator<Item = &Array> {
        self.arrays
            .iter()
            .filter(move |array| array.dc_unit.is_none() && array.pv_inverter == id)
    }

    /// Arrays on the MPPT inputs of this storage unit.
    pub fn arrays_on_unit(&self, id: StorageId) -> impl Iterator<Item = &Array> {
        self.arrays
            .iter()
            .filter(move |array| array.dc_unit == Some(id))
    }
}
