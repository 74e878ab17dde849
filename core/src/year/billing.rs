//! The bill of a run.

use super::flows::Flows;
use super::plant::Plant;
use super::scene::Scene;
use crate::bill::{Bill, Export, Meter, bill};
use crate::money::MinorUnit;
use crate::sky::{DAYS_PER_YEAR, TimeGrid};

impl Scene {
    /// The bill of a year at the meter. What is sent out above the export limit earns nothing.
    ///
    /// Where all that PV generates is sold, AC-joined PV counts at its inverter's output and DC-joined PV where it enters the DC bus.
    ///
    /// None: there is no utility, the run is not of a whole year, or the tariff has no bill, which no checked one has.
    pub(super) fn bill(&self, plant: &Plant, flows: &Flows) -> Option<Bill> {
        let year = TimeGrid::whole_year(self.grid.step_s, self.grid.utc_offset_s);
        if !self.service.utility || self.grid.steps != DAYS_PER_YEAR * (86_400 / year.step_s) {
            return None;
        }
        let least_w = -plant.limits.export_w;
        let meter_w: Vec<f64> = flows
            .meter_w
            .iter()
            .map(|power_w| power_w.max(least_w))
            .collect();
        let mut generation_w = Vec::new();
        if matches!(self.tariff.export, Export::AllSold { .. }) {
            generation_w.resize(meter_w.len(), 0.0);
            let on_ac = flows.inverters.iter().map(|inverter| &inverter.ac_w);
            let on_dc = flows.units.iter().map(|unit| &unit.dc_pv_w);
            for power_w in on_ac.chain(on_dc) {
                for (sum_w, power_w) in generation_w.iter_mut().zip(power_w) {
                    *sum_w += power_w;
                }
            }
        }
        let meter = Meter {
            meter_w: &meter_w,
            generation_w: &generation_w,
        };
        bill(&self.tariff, &self.grid, &meter).ok()
    }

    /// Decimals of the currency of the bill.
    #[must_use]
    pub fn minor_unit(&self) -> MinorUnit {
        self.tariff.minor_unit()
    }
}
