//! The ways that the energy went: how much of what each source gave reached loads or meter, directly or stored first.
//!
//! On AC, by physics, PV meets the loads first, then what storage gives, then the grid (off the grid: the generator); the surplus of PV charges
//! storage before it goes out. A store is a mixture: what is taken out of it has the make-up of what is in it. With every
//! Wh in store goes the energy that it cost at its source, so the efficiency of a way is what really came out.

use super::figures::{Way, Ways};
use super::plant::PlantUnit;
use crate::battery::BatteryStep;
use crate::running::UnitSlot;

/// Where stored energy came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Origin {
    AcPv,
    DcPv,
    Grid,
    /// What was in store when the run began.
    Start,
}

const ORIGINS: [Origin; 4] = [Origin::AcPv, Origin::DcPv, Origin::Grid, Origin::Start];

/// What meets what on AC in one step, W.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AcFlows {
    pv_to_load_w: f64,
    pv_to_storage_w: f64,
    pv_to_meter_w: f64,
    storage_to_load_w: f64,
    storage_to_storage_w: f64,
    /// All that storage takes from AC.
    into_storage_w: f64,
    /// All that storage gives to AC.
    out_of_storage_w: f64,
}

impl AcFlows {
    pub(crate) fn new(load_w: f64, ac_pv_w: f64, meter_w: f64, units: &[UnitSlot]) -> Self {
        let out_of_storage_w: f64 = units.iter().map(|unit| unit.ac_w.max(0.0)).sum();
        let into_storage_w: f64 = units.iter().map(|unit| (-unit.ac_w).max(0.0)).sum();
        let pv_to_load_w = ac_pv_w.min(load_w);
        let storage_to_load_w = out_of_storage_w.min(load_w - pv_to_load_w);
        let pv_to_storage_w = (ac_pv_w - pv_to_load_w).min(into_storage_w);
        let storage_to_storage_w =
            (out_of_storage_w - storage_to_load_w).min(into_storage_w - pv_to_storage_w);
        let exported_w = (-meter_w).max(0.0);
        let pv_to_meter_w = (ac_pv_w - pv_to_load_w - pv_to_storage_w)
            .min(exported_w)
            .max(0.0);
        Self {
            pv_to_load_w,
            pv_to_storage_w,
            pv_to_meter_w,
            storage_to_load_w,
            storage_to_storage_w,
            into_storage_w,
            out_of_storage_w,
        }
    }

    fn share_of_input(&self, power_w: f64) -> f64 {
        if self.into_storage_w > 0.0 {
            power_w / self.into_storage_w
        } else {
            0.0
        }
    }

    fn share_of_output(&self, power_w: f64) -> f64 {
        if self.out_of_storage_w > 0.0 {
            power_w / self.out_of_storage_w
        } else {
            0.0
        }
    }
}

/// What is in a store, by origin.
#[derive(Clone, Copy, Debug, Default)]
struct Mixture {
    stored_wh: [f64; 4],
    source_wh: [f64; 4],
}

/// The account of a whole run.
#[derive(Clone, Debug)]
pub struct WaysAccount {
    mixtures: Vec<Mixture>,
    ac_as_made: Way,
    dc_as_made: Way,
    stored: [Way; 4],
    pv_to_loads_wh: f64,
    /// Array power per AC power of AC PV in this step.
    source_per_ac_pv: f64,
}

impl WaysAccount {
    /// An account that begins with this energy in each unit, Wh.
    pub(crate) fn new(initial_wh: impl Iterator<Item = f64>) -> Self {
        let mixtures = initial_wh
            .map(|initial_wh| {
                let mut mixture = Mixture::default();
                mixture.stored_wh[Origin::Start as usize] = initial_wh;
                mixture.source_wh[Origin::Start as usize] = initial_wh;
                mixture
            })
            .collect();
        Self {
            mixtures,
            ac_as_made: Way::default(),
            dc_as_made: Way::default(),
            stored: Default::default(),
            pv_to_loads_wh: 0.0,
            source_per_ac_pv: 1.0,
        }
    }

    /// PV energy that loads used, directly or stored first, Wh.
    #[must_use]
    pub fn pv_to_loads_wh(&self) -> f64 {
        self.pv_to_loads_wh
    }

    /// Books AC PV: `source_w` is what its inverters took from their arrays to be able to give `offered_w`.
    pub(crate) fn begin_step(
        &mut self,
        flows: &AcFlows,
        source_w: f64,
        offered_w: f64,
        step_h: f64,
    ) {
        self.source_per_ac_pv = if offered_w > 0.0 {
            source_w / offered_w
        } else {
            1.0
        };
        let used_w = flows.pv_to_load_w + flows.pv_to_meter_w;
        self.ac_as_made
            .add(self.source_per_ac_pv * used_w * step_h, used_w * step_h);
        self.pv_to_loads_wh += flows.pv_to_load_w * step_h;
    }

    /// Books one storage unit: what it gave, by origin, then what it took.
    #[expect(
        clippy::too_many_arguments,
        reason = "one step of one unit: all of it is needed at once"
    )]
    pub(crate) fn add_unit(
        &mut self,
        number: usize,
        slot: &UnitSlot,
        unit: &PlantUnit,
        stored_wh: f64,
        after: &BatteryStep,
        flows: &AcFlows,
        step_h: f64,
    ) {
        let Some(mixture) = self.mixtures.get_mut(number) else {
            return;
        };
        let dc_w = slot.inverter_dc_w();
        let out_w = slot.ac_w.max(0.0);
        let used_share = 1.0 - flows.share_of_output(flows.storage_to_storage_w);
        let to_load_share = flows.share_of_output(flows.storage_to_load_w);
        let ac_per_dc = if dc_w > 0.0 { out_w / dc_w } else { 0.0 };

        // Out: DC PV as it is made.
        let direct_w = (dc_w - slot.discharge_w).max(0.0).min(slot.dc_pv_taken_w);
        if out_w > 0.0 {
            let source_w = direct_w / unit.mppt_efficiency;
            self.dc_as_made.add(
                source_w * used_share * step_h,
                direct_w * ac_per_dc * used_share * step_h,
            );
            self.pv_to_loads_wh += direct_w * ac_per_dc * to_load_share * step_h;
        }

        // Out: from store, each origin by its share of the mixture.
        if slot.discharge_w > 0.0 && stored_wh > 0.0 {
            let taken_share =
                (slot.discharge_w * step_h / unit.battery.discharge_efficiency() / stored_wh)
                    .min(1.0);
            let ac_wh = slot.discharge_w * ac_per_dc * step_h;
            let total_wh: f64 = mixture.stored_wh.iter().sum();
            for origin in ORIGINS {
                let k = origin as usize;
                let part = if total_wh > 0.0 {
                    mixture.stored_wh[k] / total_wh
                } else {
                    0.0
                };
                self.stored[k].add(
                    mixture.source_wh[k] * taken_share,
                    part * ac_wh * used_share,
                );
                if matches!(origin, Origin::AcPv | Origin::DcPv) {
                    self.pv_to_loads_wh += part * ac_wh * to_load_share;
                }
                mixture.stored_wh[k] *= 1.0 - taken_share;
                mixture.source_wh[k] *= 1.0 - taken_share;
            }
        }

        // In: from AC and from DC PV, in proportion to what each puts on the DC bus.
        if slot.charge_w > 0.0 {
            let from_ac_w = (-dc_w).max(0.0);
            let from_pv_w = (slot.dc_pv_taken_w - direct_w).max(0.0);
            let on_bus_w = from_ac_w + from_pv_w;
            let stored_per_bus = if on_bus_w > 0.0 {
                unit.battery.charge_efficiency() * slot.charge_w / on_bus_w
            } else {
                0.0
            };
            let ac_in_w = (-slot.ac_w).max(0.0);
            let from_pv_share = flows.share_of_input(flows.pv_to_storage_w);
            let from_storage_share = flows.share_of_input(flows.storage_to_storage_w);
            let from_grid_share = (1.0 - from_pv_share - from_storage_share).max(0.0);
            // AC power that does not reach the battery feeds the inverter's own needs: it is no part of a way.
            if from_ac_w > 0.0 {
                for (origin, share, source_per_ac) in [
                    (Origin::AcPv, from_pv_share, self.source_per_ac_pv),
                    (Origin::Grid, from_grid_share, 1.0),
                ] {
                    mixture.fill(
                        origin,
                        from_ac_w * share * stored_per_bus * step_h,
                        ac_in_w * share * source_per_ac * step_h,
                    );
                }
            }
            // Another unit sends out only DC PV that its own battery cannot take.
            mixture.fill(
                Origin::DcPv,
                (from_pv_w + from_ac_w * from_storage_share) * stored_per_bus * step_h,
                (from_pv_w + ac_in_w * from_storage_share) / unit.mppt_efficiency * step_h,
            );
        }

        // Self-discharge and rounding: the mixture sums to what is in store.
        let total_wh: f64 = mixture.stored_wh.iter().sum();
        if total_wh > 0.0 {
            let scale = after.stored_wh / total_wh;
            mixture.stored_wh.iter_mut().for_each(|part| *part *= scale);
        }
    }

    /// The ways with their efficiencies.
    #[must_use]
    pub fn ways(&self) -> Ways {
        Ways {
            ac_pv_as_made: self.ac_as_made.closed(),
            ac_pv_stored: self.stored[Origin::AcPv as usize].closed(),
            dc_pv_as_made: self.dc_as_made.closed(),
            dc_pv_stored: self.stored[Origin::DcPv as usize].closed(),
            grid_stored: self.stored[Origin::Grid as usize].closed(),
        }
    }
}

impl Mixture {
    fn fill(&mut self, origin: Origin, stored_wh: f64, source_wh: f64) {
        self.stored_wh[origin as usize] += stored_wh;
        self.source_wh[origin as usize] += source_wh;
    }
}

impl Way {
    fn add(&mut self, source_wh: f64, delivered_wh: f64) {
        self.source_wh += source_wh;
        self.delivered_wh += delivered_wh;
    }

    /// With its efficiency, once something went this way: rounding alone leaves some micro-Wh on any way in a year.
    fn closed(&self) -> Self {
        const LEAST_WH: f64 = 1.0;
        let efficiency = (self.source_wh >= LEAST_WH).then(|| self.delivered_wh / self.source_wh);
        Self {
            efficiency,
            ..self.clone()
        }
    }
}
