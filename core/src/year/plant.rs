//! An option made ready to run: every law fitted, every bound in place.

use super::ledger::Ledger;
use crate::battery::{BatteryLaw, BatteryStep};
use crate::converter::{FitProblem, LossLaw};
use crate::coupling::{BatteryPlace, CouplingOption, PowerLimiting, RunningRule};
use crate::household::{AcSide, PvInverterId, Service, StorageId};
use crate::running::{Aim, Limits, UnitSlot};

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

impl PlantUnit {
    /// Puts into a slot what the unit has in a step.
    ///
    /// - `offered_w`: DC power offered to the MPPT inputs, W
    /// - `stored_wh`: stored energy at the start of the step, Wh
    pub(crate) fn begin_step(
        &self,
        slot: &mut UnitSlot,
        offered_w: f64,
        stored_wh: f64,
        aim: Aim,
        air_c: f64,
    ) {
        slot.dc_pv_w = (self.mppt_efficiency * offered_w).min(self.mppt_rated_w);
        let battery_c = self.place.battery_c(air_c);
        let usable_wh = self.battery.usable_wh();
        slot.charge_limit_w = self.battery.charge_limit_w(stored_wh, usable_wh, battery_c);
        slot.discharge_limit_w = if aim.may_discharge() {
            self.battery.discharge_limit_w(stored_wh, self.reserve_wh)
        } else {
            0.0
        };
        slot.grid_charge_limit_w = match aim {
            Aim::GridCharge { to_soc } => {
                self.battery
                    .charge_limit_w(stored_wh, to_soc * usable_wh, battery_c)
            }
            _ => 0.0,
        };
    }

    /// DC power that the MPPT inputs refuse at their rating, at the array, W.
    pub(crate) fn clipped_w(&self, offered_w: f64) -> f64 {
        (self.mppt_efficiency * offered_w - self.mppt_rated_w).max(0.0) / self.mppt_efficiency
    }

    /// DC PV that is throttled, W. It never passes the MPPT input: it is booked at the array, without that input's loss.
    pub(crate) fn throttled_w(&self, slot: &UnitSlot) -> f64 {
        slot.throttled_w() / self.mppt_efficiency
    }

    /// Books the unit's flows of a step, means in W, under the names of the energies.
    pub(crate) fn book(
        &self,
        step: &mut Ledger,
        slot: &UnitSlot,
        stored_wh: f64,
        after: &BatteryStep,
        step_h: f64,
    ) {
        step.storage_inverter_loss_wh += slot.inverter_loss_w();
        step.storage_ac_out_wh += slot.ac_w.max(0.0);
        step.storage_ac_in_wh += (-slot.ac_w).max(0.0);
        step.dc_pv_taken_wh += slot.dc_pv_taken_w;
        step.dc_pv_throttled_wh += self.throttled_w(slot);
        step.mppt_loss_wh += slot.dc_pv_taken_w * (1.0 / self.mppt_efficiency - 1.0);
        step.battery_charge_wh += slot.charge_w;
        step.battery_discharge_wh += slot.discharge_w;
        step.battery_charge_loss_wh += after.charge_loss_w;
        step.battery_discharge_loss_wh += after.discharge_loss_w;
        step.self_discharge_wh += after.self_discharge_w;
        step.stored_change_wh += (after.stored_wh - stored_wh) / step_h;
    }
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
