//! How the batteries of an option age by what a year puts them through.

use serde::{Deserialize, Serialize};

use crate::ageing::{Ageing, Life, Wear, life};
use crate::coupling::{BatteryPlace, CouplingOption};
use crate::household::StorageId;
use crate::year::{Scene, YearRun};

/// Years up to which a battery's life is followed.
const MOST_YEARS: usize = 60;

/// How a battery ages, and how long it lasts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BatteryOutlook {
    /// The storage unit.
    pub id: StorageId,
    /// Its name.
    pub name: String,
    /// Mean temperature of the battery over the year: that of its room, or of the air outdoors, °C.
    pub mean_c: f64,
    /// Whether it stands outdoors.
    pub outdoors: bool,
    /// Energy that it gives at its DC bus in the first year, Wh.
    pub given_wh: f64,
    /// What the first year does to it.
    pub wear: Wear,
    /// Share of its energy that is left at the end of its life.
    pub end_of_life: f64,
    /// What is left of it year by year, and how long it lasts.
    pub life: Life,
}

/// When a battery is replaced, and what is left of it until then.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BatteryLife {
    /// Share left at the end of each year that it outlives.
    left: Vec<f64>,
    /// Whole years after which it is replaced; none: it outlives all that is looked at.
    whole_years: Option<usize>,
}

impl BatteryLife {
    /// Share that is left when a year begins, `year` from 1.
    pub(super) fn left_in(&self, year: usize) -> f64 {
        let before = match self.whole_years {
            Some(whole) => (year - 1) % whole.max(1),
            None => year - 1,
        };
        let last = self.left.last().copied().unwrap_or(1.0);
        match before.checked_sub(1) {
            Some(index) => self.left.get(index).copied().unwrap_or(last),
            None => 1.0,
        }
    }

    /// Years at whose end it is replaced, before the last of so many.
    pub(super) fn due(&self, years: usize) -> Vec<usize> {
        let whole = self.whole_years.unwrap_or(usize::MAX).max(1);
        (1..)
            .map(|times: usize| times.saturating_mul(whole))
            .take_while(|year| *year < years)
            .collect()
    }
}

impl BatteryOutlook {
    /// The life of this battery, or of one that lasts `longer` times as long.
    pub(super) fn lasting(&self, ageing: &Ageing, longer: f64) -> BatteryLife {
        // Both laws stretch in time when time and throughput count so much less.
        let wear = Wear {
            cycle_life_share: self.wear.cycle_life_share / longer,
            warmth: self.wear.warmth / longer,
            ..self.wear
        };
        let life = life(ageing, &wear, MOST_YEARS);
        BatteryLife {
            whole_years: life.years.map(|_| life.left.len() + 1),
            left: life.left,
        }
    }
}

/// The batteries of an option by its run of the first year, in the order of its storage units.
pub(super) fn batteries(
    option: &CouplingOption,
    scene: &Scene,
    run: &YearRun,
) -> Vec<BatteryOutlook> {
    let air_c = scene.air_c();
    let step_h = scene.grid.step_h();
    (option.storage.iter().zip(&run.flows.units))
        .map(|(unit, flows)| {
            let battery = &unit.battery;
            let battery_c: Vec<f64> = match battery.place {
                BatteryPlace::Indoors { room_c } => vec![room_c],
                BatteryPlace::Outdoors => air_c.to_vec(),
            };
            #[expect(clippy::cast_precision_loss, reason = "steps of a year")]
            let mean_c = battery_c.iter().sum::<f64>() / battery_c.len().max(1) as f64;
            let soc: Vec<f64> = flows
                .stored_wh
                .iter()
                .map(|stored_wh| stored_wh / battery.usable_wh)
                .collect();
            let ageing = Ageing::from(&battery.ageing);
            let wear = ageing.wear(&soc, &battery_c);
            BatteryOutlook {
                id: unit.id,
                name: unit.name.clone(),
                mean_c,
                outdoors: battery.place == BatteryPlace::Outdoors,
                given_wh: flows.battery_w.iter().map(|w| w.max(0.0)).sum::<f64>() * step_h,
                wear,
                end_of_life: ageing.end_of_life,
                life: life(&ageing, &wear, MOST_YEARS),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_battery_is_new_again_in_the_year_after_its_replacement() {
        let life = BatteryLife {
            left: vec![0.9, 0.85],
            whole_years: Some(3),
        };
        let left: Vec<f64> = (1..=7).map(|year| life.left_in(year)).collect();
        assert_eq!(left, [1.0, 0.9, 0.85, 1.0, 0.9, 0.85, 1.0]);
        assert_eq!(life.due(9), [3, 6]);
    }
}
