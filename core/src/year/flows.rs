//! The run itself: one step after the other, every flow kept.

use super::ledger::Ledger;
use super::plant::{Plant, PlantUnit};
use super::ways::{AcFlows, WaysAccount};
use crate::bill::StepTime;
use crate::household::AcSide;
use crate::running::{AcBus, Aim, PriceRank, PvSlot, UnitSlot, balance, limit_ac_pv};

/// What a run is driven by: one value per step in every series.
#[derive(Clone, Copy, Debug)]
pub struct Drive<'a> {
    /// Length of a step, s.
    pub step_s: f64,
    /// DC power offered to each PV inverter of the plant, W.
    pub inverter_dc_w: &'a [Vec<f64>],
    /// DC power offered to the MPPT inputs of each storage unit of the plant, W.
    pub unit_dc_w: &'a [Vec<f64>],
    /// Loads on the grid side, W.
    pub load_grid_side_w: &'a [f64],
    /// Loads on the backed-up side, W.
    pub load_backed_up_w: &'a [f64],
    /// Rank of the hour's price.
    pub rank: &'a [PriceRank],
    /// Time by the clock.
    pub time: &'a [StepTime],
    /// Air temperature, °C.
    pub air_c: &'a [f64],
}

/// Every flow of a run, one value per step; powers are means of the step, W.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flows {
    /// At the meter, positive when bought.
    pub meter_w: Vec<f64>,
    /// Through the transfer switch, positive toward the backed-up side.
    pub transfer_w: Vec<f64>,
    /// Losses in converters and batteries, and clipping.
    pub loss_w: Vec<f64>,
    /// Each PV inverter of the plant.
    pub inverters: Vec<InverterFlows>,
    /// Each storage unit of the plant.
    pub units: Vec<UnitFlows>,
    /// What only a bus without a grid has; none: the grid was up.
    pub island: Option<IslandFlows>,
}

/// What a run of the backed-up bus alone tells beside the flows of its parts, one value per step; powers are means of the step, W.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IslandFlows {
    /// Loads that there were.
    pub wanted_w: Vec<f64>,
    /// Loads that were served.
    pub served_w: Vec<f64>,
    /// Places in the shed order that were switched off.
    pub shed: Vec<usize>,
    /// Share of the step in which the loads that were not switched off were served, 0 to 1.
    pub supplied_share: Vec<f64>,
    /// Share of the step in which the bus was dark, 0 to 1. While a generator that was called comes up it does not count as dark.
    pub dark_share: Vec<f64>,
    /// From the generator.
    pub generator_w: Vec<f64>,
}

impl Flows {
    /// What PV gives in each step, W: AC-joined at the output of its inverter, DC-joined where it enters the DC bus.
    #[must_use]
    pub fn generation_w(&self) -> Vec<f64> {
        let mut generation_w = vec![0.0; self.meter_w.len()];
        let on_ac = self.inverters.iter().map(|inverter| &inverter.ac_w);
        let on_dc = self.units.iter().map(|unit| &unit.dc_pv_w);
        for power_w in on_ac.chain(on_dc) {
            for (sum_w, power_w) in generation_w.iter_mut().zip(power_w) {
                *sum_w += power_w;
            }
        }
        generation_w
    }
}

/// Flows of a PV inverter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InverterFlows {
    /// AC power given.
    pub ac_w: Vec<f64>,
    /// AC power cut by command or dropped by the relay.
    pub cut_w: Vec<f64>,
    /// DC power refused at the rating.
    pub clipped_w: Vec<f64>,
}

/// Flows of a storage unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnitFlows {
    /// AC power, positive toward AC.
    pub ac_w: Vec<f64>,
    /// Battery power at the DC bus, positive when it gives.
    pub battery_w: Vec<f64>,
    /// DC PV taken at the DC bus.
    pub dc_pv_w: Vec<f64>,
    /// DC PV throttled, at the array.
    pub throttled_w: Vec<f64>,
    /// Stored energy at the end of the step, Wh.
    pub stored_wh: Vec<f64>,
}

impl Drive<'_> {
    /// Number of steps that every series has.
    #[must_use]
    pub fn steps(&self) -> usize {
        let others = [
            self.load_backed_up_w.len(),
            self.rank.len(),
            self.time.len(),
            self.air_c.len(),
        ];
        let arrays = self
            .inverter_dc_w
            .iter()
            .chain(self.unit_dc_w)
            .map(Vec::len);
        others
            .into_iter()
            .chain(arrays)
            .fold(self.load_grid_side_w.len(), usize::min)
    }
}

/// Runs a plant through all steps of its drive.
///
/// Returns every flow, the ledger, and the account of the ways that the energy went.
#[must_use]
pub fn run_plant(plant: &Plant, drive: &Drive<'_>) -> (Flows, Ledger, WaysAccount) {
    run_told(plant, drive, |index, _| {
        Aim::of(&plant.rule, drive.rank[index], &drive.time[index])
    })
}

/// As [`run_plant`], with a controller in place of the running rule: it is given the step and what each storage unit holds at its
/// start, Wh, and tells the aim.
pub(crate) fn run_told(
    plant: &Plant,
    drive: &Drive<'_>,
    mut tell: impl FnMut(usize, &[f64]) -> Aim,
) -> (Flows, Ledger, WaysAccount) {
    let steps = drive.steps();
    let step_h = drive.step_s / 3600.0;
    let mut flows = Flows::with_room(plant.inverters.len(), plant.units.len(), steps);
    let mut ledger = Ledger::default();
    let mut ways = WaysAccount::new(plant.units.iter().map(|unit| unit.initial_wh));
    let mut inverters: Vec<PvSlot> = plant
        .inverters
        .iter()
        .map(|inverter| PvSlot::new(inverter.limiting, inverter.side == AcSide::BackedUp))
        .collect();
    let mut units: Vec<UnitSlot> = plant
        .units
        .iter()
        .map(|unit| UnitSlot::new(unit.law, unit.side == AcSide::BackedUp))
        .collect();
    let mut stored_wh: Vec<f64> = plant.units.iter().map(|unit| unit.initial_wh).collect();

    for index in 0..steps {
        let mut step = Ledger::default();
        for ((slot, law), (offered_w, flow)) in inverters
            .iter_mut()
            .zip(&plant.inverters)
            .zip(drive.inverter_dc_w.iter().zip(&mut flows.inverters))
        {
            let made = law.law.invert_pv(offered_w[index]);
            slot.begin(made.ac_w, drive.step_s);
            step.ac_array_wh += offered_w[index];
            step.pv_inverter_loss_wh += made.loss_w;
            step.pv_inverter_clipped_wh += made.clipped_w;
            flow.clipped_w.push(made.clipped_w);
        }

        let aim = tell(index, &stored_wh);
        for ((slot, unit), (offered_w, stored)) in units
            .iter_mut()
            .zip(&plant.units)
            .zip(drive.unit_dc_w.iter().zip(&stored_wh))
        {
            unit.begin_step(slot, offered_w[index], *stored, aim, drive.air_c[index]);
            step.dc_array_wh += offered_w[index];
            step.mppt_clipped_wh += unit.clipped_w(offered_w[index]);
        }

        let load = AcBus {
            grid_side_w: drive.load_grid_side_w[index],
            backed_up_w: drive.load_backed_up_w[index],
        };
        let meter_w = close_meter(&mut inverters, &mut units, aim, plant, load);

        let (mut ac_pv_w, mut backed_up_w) = (0.0, 0.0);
        for (slot, flow) in inverters.iter().zip(&mut flows.inverters) {
            flow.ac_w.push(slot.ac_w);
            flow.cut_w.push(slot.cut_w());
            ac_pv_w += slot.ac_w;
            backed_up_w += if slot.backed_up { slot.ac_w } else { 0.0 };
            step.ac_pv_cut_wh += slot.cut_w();
        }
        let ac_flows = AcFlows::new(load.total_w(), ac_pv_w, meter_w, &units);
        ways.begin_step(
            &ac_flows,
            step.ac_array_wh - step.pv_inverter_clipped_wh,
            ac_pv_w + step.ac_pv_cut_wh,
            step_h,
        );

        for ((number, slot), (unit, (stored, flow))) in units.iter().enumerate().zip(
            plant
                .units
                .iter()
                .zip(stored_wh.iter_mut().zip(&mut flows.units)),
        ) {
            let after = unit.battery.step(*stored, slot.charge_w, slot.discharge_w);
            ways.add_unit(number, slot, unit, *stored, &after, &ac_flows, step_h);
            unit.book(&mut step, slot, *stored, &after, step_h);
            backed_up_w += if slot.backed_up { slot.ac_w } else { 0.0 };
            *stored = after.stored_wh;
            flow.push(unit, slot, after.stored_wh);
        }

        step.load_wh = load.total_w();
        step.import_wh = meter_w.max(0.0);
        step.export_wh = (-meter_w).max(0.0);
        step.unpermitted_export_wh = (step.export_wh - plant.limits.export_w).max(0.0);
        step.pv_inverter_ac_wh = ac_pv_w;
        flows.meter_w.push(meter_w);
        flows.transfer_w.push(load.backed_up_w - backed_up_w);
        flows
            .loss_w
            .push(step.loss_wh() + step.pv_inverter_clipped_wh + step.mppt_clipped_wh);
        ledger.add(&step, step_h);
    }
    (flows, ledger, ways)
}

/// Balances storage and limits AC PV until the step stands; returns the meter's power, positive when bought, W.
fn close_meter(
    inverters: &mut [PvSlot],
    units: &mut [UnitSlot],
    aim: Aim,
    plant: &Plant,
    load: AcBus,
) -> f64 {
    let floor_w = if units.is_empty() {
        f64::NEG_INFINITY
    } else {
        0.0
    };
    loop {
        let ac_pv = inverters.iter().fold(AcBus::default(), |sum, slot| {
            if slot.backed_up {
                AcBus {
                    backed_up_w: sum.backed_up_w + slot.ac_w,
                    ..sum
                }
            } else {
                AcBus {
                    grid_side_w: sum.grid_side_w + slot.ac_w,
                    ..sum
                }
            }
        });
        balance(units, aim, &plant.limits, load, ac_pv);
        let storage_w: f64 = units.iter().map(|unit| unit.ac_w).sum();
        let meter_w = load.total_w() - ac_pv.total_w() - storage_w;
        // Every pass that drops a relay leaves one fewer to drop, so this ends.
        if !limit_ac_pv(inverters, -meter_w, plant.limits.export_w, floor_w) {
            let given_w: f64 = inverters.iter().map(|slot| slot.ac_w).sum();
            return meter_w + (ac_pv.total_w() - given_w);
        }
    }
}

impl Flows {
    /// Room for so many steps of so many PV inverters and storage units.
    pub(crate) fn with_room(inverters: usize, units: usize, steps: usize) -> Self {
        let room = || Vec::with_capacity(steps);
        Self {
            meter_w: room(),
            transfer_w: room(),
            loss_w: room(),
            inverters: (0..inverters)
                .map(|_| InverterFlows {
                    ac_w: room(),
                    cut_w: room(),
                    clipped_w: room(),
                })
                .collect(),
            units: (0..units)
                .map(|_| UnitFlows {
                    ac_w: room(),
                    battery_w: room(),
                    dc_pv_w: room(),
                    throttled_w: room(),
                    stored_wh: room(),
                })
                .collect(),
            island: None,
        }
    }
}

impl InverterFlows {
    /// An inverter that nothing happens to.
    pub(super) fn idle(steps: usize) -> Self {
        Self {
            ac_w: vec![0.0; steps],
            cut_w: vec![0.0; steps],
            clipped_w: vec![0.0; steps],
        }
    }
}

impl UnitFlows {
    /// A unit that nothing happens to.
    pub(super) fn idle(stored_wh: f64, steps: usize) -> Self {
        Self {
            ac_w: vec![0.0; steps],
            battery_w: vec![0.0; steps],
            dc_pv_w: vec![0.0; steps],
            throttled_w: vec![0.0; steps],
            stored_wh: vec![stored_wh; steps],
        }
    }

    /// Adds a step of a unit.
    ///
    /// - `stored_wh`: stored energy at its end, Wh
    pub(crate) fn push(&mut self, unit: &PlantUnit, slot: &UnitSlot, stored_wh: f64) {
        self.ac_w.push(slot.ac_w);
        self.battery_w.push(slot.discharge_w - slot.charge_w);
        self.dc_pv_w.push(slot.dc_pv_taken_w);
        self.throttled_w.push(unit.throttled_w(slot));
        self.stored_wh.push(stored_wh);
    }
}
