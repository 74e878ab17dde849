//! An option made ready for an island, and what drives it.

use super::settings::settings;
use super::unit::IslandUnit;
use crate::battery::BatteryLaw;
use crate::converter::{FitProblem, LossLaw};
use crate::coupling::{
    BatteryPlace, CouplingOption, FrequencySettings, Generator, IslandMeans, IslandRunning,
    PvInverter, StorageUnit,
};
use crate::household::{AcSide, PvInverterId, Service, Start, StorageId};

/// Step for which batteries limit their power, so that none passes full or empty within it, s.
const BATTERY_STEP_S: f64 = 1.0;

/// What stands on the backed-up bus, made ready to run alone.
#[derive(Clone, Debug, PartialEq)]
pub struct IslandPlant {
    /// Nominal frequency, Hz.
    pub nominal_hz: f64,
    /// PV inverters on the backed-up side that an array feeds.
    pub inverters: Vec<IslandInverter>,
    /// Storage units on the backed-up side.
    pub units: Vec<PlacedUnit>,
    /// The generator, if there is one.
    pub generator: Option<Generator>,
    /// How the island is run.
    pub running: IslandRunning,
}

/// A PV inverter on the island.
#[derive(Clone, Debug, PartialEq)]
pub struct IslandInverter {
    /// The PV inverter.
    pub id: PvInverterId,
    /// Its loss law.
    pub law: LossLaw,
    /// How it answers to frequency.
    pub settings: FrequencySettings,
    /// How it is held back.
    pub means: IslandMeans,
}

/// A storage unit on the island.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedUnit {
    /// The storage unit.
    pub id: StorageId,
    /// What it can do.
    pub unit: IslandUnit,
    /// Where its battery stands.
    pub place: BatteryPlace,
    /// Stored energy at the start, Wh.
    pub initial_wh: f64,
}

impl IslandPlant {
    /// Makes what an option has on the backed-up side ready to run alone.
    ///
    /// - `stored_wh`: energy in each storage unit of the option at the start, Wh; a unit without a value starts with its own
    ///
    /// **Errors**: efficiency figures that no loss law has.
    pub fn new(
        service: &Service,
        option: &CouplingOption,
        stored_wh: &[f64],
    ) -> Result<Self, FitProblem> {
        let inverters = option
            .pv_inverters
            .iter()
            .filter(|inverter| {
                inverter.side == AcSide::BackedUp
                    && option.arrays_on_inverter(inverter.id).next().is_some()
            })
            .map(|inverter| island_inverter(service, inverter))
            .collect::<Result<_, _>>()?;
        let units = option
            .storage
            .iter()
            .enumerate()
            .filter(|(_, unit)| unit.side == AcSide::BackedUp)
            .map(|(number, unit)| placed_unit(unit, &option.island, stored_wh.get(number).copied()))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            nominal_hz: service.supply.frequency_hz(),
            inverters,
            units,
            generator: option.generator.clone(),
            running: option.island,
        })
    }

    /// Rated AC power of all storage inverters together, W.
    #[must_use]
    pub fn storage_rated_w(&self) -> f64 {
        self.units
            .iter()
            .map(|placed| placed.unit.law.rated_w)
            .sum()
    }

    /// Rated AC power of all PV inverters together, W.
    #[must_use]
    pub fn pv_rated_w(&self) -> f64 {
        self.inverters.iter().map(|one| one.law.rated_w).sum()
    }
}

fn island_inverter(service: &Service, inverter: &PvInverter) -> Result<IslandInverter, FitProblem> {
    Ok(IslandInverter {
        id: inverter.id,
        law: LossLaw::fit(&inverter.efficiency, inverter.rated_w)?,
        settings: settings(inverter.grid_code, service.supply),
        means: inverter.island,
    })
}

fn placed_unit(
    unit: &StorageUnit,
    island: &IslandRunning,
    stored_wh: Option<f64>,
) -> Result<PlacedUnit, FitProblem> {
    let battery = &unit.battery;
    let initial_wh = stored_wh.unwrap_or(battery.initial_soc * battery.usable_wh);
    Ok(PlacedUnit {
        id: unit.id,
        unit: IslandUnit {
            law: LossLaw::fit(&unit.inverter.efficiency, unit.inverter.rated_w)?,
            surge: unit.inverter.surge.clone(),
            mppt_efficiency: unit.mppt.as_ref().map_or(1.0, |mppt| mppt.efficiency),
            mppt_rated_w: unit.mppt.as_ref().map_or(0.0, |mppt| mppt.rated_w),
            battery: BatteryLaw::new(battery, BATTERY_STEP_S),
            charge_w: battery.charge_w,
            discharge_w: battery.discharge_w,
            overload_s: battery.overload_s,
            shut_down_wh: island.shut_down_soc * battery.usable_wh,
            restart_wh: island.restart_soc * battery.usable_wh,
        },
        place: battery.place,
        initial_wh: initial_wh.clamp(0.0, battery.usable_wh),
    })
}

/// What drives an island: one value per step in every series.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IslandDrive {
    /// Length of a step, s.
    pub step_s: f64,
    /// AC power that the sun offers through each PV inverter of the plant, W.
    pub inverter_ac_w: Vec<Vec<f64>>,
    /// DC power offered to the MPPT inputs of each storage unit of the plant, W.
    pub unit_dc_w: Vec<Vec<f64>>,
    /// Loads on the backed-up side.
    pub loads: Vec<IslandLoad>,
    /// Starts that take more than running does, in order of time.
    pub starts: Vec<LoadStart>,
    /// Air temperature, °C.
    pub air_c: Vec<f64>,
    /// Time at which the grid is back, s from the start; none: not within the run.
    pub grid_back_s: Option<f64>,
}

/// A load on the backed-up side.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IslandLoad {
    /// Name, as on the drawing.
    pub name: String,
    /// Place in the shed order, from 1; none: never shed.
    pub shed_order: Option<u32>,
    /// Power, W.
    pub power_w: Vec<f64>,
}

/// A load that starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadStart {
    /// Which of the drive's loads.
    pub load: usize,
    /// Time from the start of the run, s.
    pub at_s: f64,
    /// What it takes.
    pub inrush: Start,
}

impl IslandDrive {
    /// Number of steps that every series has.
    #[must_use]
    pub fn steps(&self) -> usize {
        let series = self.inverter_ac_w.iter().chain(&self.unit_dc_w);
        series
            .map(Vec::len)
            .chain(self.loads.iter().map(|load| load.power_w.len()))
            .fold(self.air_c.len(), usize::min)
    }
}
