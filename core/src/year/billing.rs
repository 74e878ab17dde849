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
    /// Where all that PV generates is sold, it counts as [`Flows::generation_w`] does.
    ///
    /// None: there is no utility, the run is not of a whole year, or the tariff has no bill, which no checked one has.
    pub(super) fn bill(&self, plant: &Plant, flows: &Flows) -> Option<Bill> {
        if !self.service.utility || !self.is_whole_year() {
            return None;
        }
        let least_w = -plant.limits.export_w;
        let meter_w: Vec<f64> = flows
            .meter_w
            .iter()
            .map(|power_w| power_w.max(least_w))
            .collect();
        let generation_w = match self.tariff.export {
            Export::AllSold { .. } => flows.generation_w(),
            _ => Vec::new(),
        };
        let meter = Meter {
            meter_w: &meter_w,
            generation_w: &generation_w,
        };
        bill(&self.tariff, &self.grid, &meter).ok()
    }

    /// Whether the run is of a whole year.
    pub(crate) fn is_whole_year(&self) -> bool {
        let year = TimeGrid::whole_year(self.grid.step_s, self.grid.utc_offset_s);
        self.grid.steps == DAYS_PER_YEAR * (86_400 / year.step_s)
    }

    /// Decimals of the currency of the bill.
    #[must_use]
    pub fn minor_unit(&self) -> MinorUnit {
        self.tariff.minor_unit()
    }
}
