//! An option made ready to run: every law fitted, every bound in place.

use crate::battery::BatteryLaw;
use crate::converter::{FitProblem, LossLaw};
use crate::coupling::{BatteryPlace, CouplingOption, PowerLimiting, RunningRule};
use crate::household::{AcSide, PvInverterId, Service, StorageId};
use crate::running::Limits;

/// An option made ready to run.
#[derive(Clone, Debug, PartialEq)]
pub struct Plant {
    /// PV inverters that an array feeds.
    pub inverters: Vec<PlantInverter>,
    /// Storage units.
    pub units: Vec<PlantUnit>,
    /// What bounds the flows.
    pub limits: Limits,
    /// What the storage aims at.
    pub rule: RunningRule,
}

/// A PV inverter made ready to run.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantInverter {
    /// The PV inverter.
    pub id: PvInverterId,
    /// Its loss law.
    pub law: LossLaw,
    /// What it does under an export limit.
    pub limiting: PowerLimiting,
    /// Side of the transfer point.
    pub side: AcSide,
}

/// A storage unit made ready to run.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantUnit {
    /// The storage unit.
    pub id: StorageId,
    /// Loss law of its inverter.
    pub law: LossLaw,
    /// Side of the transfer point.
    pub side: AcSide,
    /// Share of the arrays' power that reaches the DC bus.
    pub mppt_efficiency: f64,
    /// Most DC PV on the DC bus, W.
    pub mppt_rated_w: f64,
    /// Its battery.
    pub battery: BatteryLaw,
    /// Where the battery stands.
    pub place: BatteryPlace,
    /// Stored energy at the start, Wh.
    pub initial_wh: f64,
    /// Stored energy that is kept for outages, Wh.
    pub reserve_wh: f64,
}

impl Plant {
    /// Makes an option ready to run at this step.
    ///
    /// **Errors**: efficiency figures that no loss law has.
    pub fn new(
        service: &Service,
        option: &CouplingOption,
        step_s: f64,
    ) -> Result<Self, FitProblem> {
        let inverters = option
            .pv_inverters
            .iter()
            .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
            .map(|inverter| {
                Ok(PlantInverter {
                    id: inverter.id,
                    law: LossLaw::fit(&inverter.efficiency, inverter.rated_w)?,
                    limiting: inverter.limiting,
                    side: inverter.side,
                })
            })
            .collect::<Result<_, FitProblem>>()?;
        let units = option
            .storage
            .iter()
            .map(|unit| {
                let battery = &unit.battery;
                Ok(PlantUnit {
                    id: unit.id,
                    law: LossLaw::fit(&unit.inverter.efficiency, unit.inverter.rated_w)?,
                    side: unit.side,
                    mppt_efficiency: unit.mppt.as_ref().map_or(1.0, |mppt| mppt.efficiency),
                    mppt_rated_w: unit.mppt.as_ref().map_or(0.0, |mppt| mppt.rated_w),
                    battery: BatteryLaw::new(battery, step_s),
                    place: battery.place,
                    initial_wh: battery.initial_soc * battery.usable_wh,
                    reserve_wh: option.running.reserve_soc * battery.usable_wh,
                })
            })
            .collect::<Result<_, FitProblem>>()?;
        let limits = Limits {
            export_w: service.export_limit_w.unwrap_or(f64::INFINITY),
            import_w: service.import_limit_w(),
            transfer_w: service.transfer_limit_w(),
            dc_order: option.running.dc_order,
        };
        Ok(Self {
            inverters,
            units,
            limits,
            rule: option.running.rule.clone(),
        })
    }
}
