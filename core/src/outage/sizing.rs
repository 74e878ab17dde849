//! How large array and battery must be to live off the grid.

use serde::{Deserialize, Serialize};

use super::off_grid::off_grid;
use super::plant::OutagePlant;
use crate::converter::FitProblem;
use crate::coupling::CouplingOption;
use crate::year::Scene;

/// What is made larger or smaller until the wanted share is served.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SizedPart {
    /// All arrays, and with them the PV inverters and MPPT inputs that they feed.
    Arrays,
    /// All batteries, and with them what they take and give.
    Batteries,
    /// Arrays and batteries alike.
    Both,
}

/// Sizes that serve a wanted share of the loads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sizing {
    /// Arrays over those of the option.
    pub array_scale: f64,
    /// Batteries over those of the option.
    pub battery_scale: f64,
    /// Peak power of all arrays, W.
    pub peak_w: f64,
    /// Usable energy of all batteries, Wh.
    pub usable_wh: f64,
    /// Share of the backed-up loads' energy that a run of the year serves, 0 to 1.
    pub served_share: f64,
    /// Dark hours of that year.
    pub dark_h: f64,
    /// Fuel of that year, L.
    pub fuel_l: f64,
    /// Days of the mean load that full batteries carry alone; none: no load or no battery.
    pub days_of_autonomy: Option<f64>,
}

/// Smallest and largest scale that is tried.
const SCALES: (f64, f64) = (1.0 / 16.0, 16.0);
/// How near the least scale is found, as a share of it.
const NEAR: f64 = 0.01;

/// The option with its arrays and batteries at other scales; storage inverters and generator stay as they are.
#[must_use]
pub fn scaled(option: &CouplingOption, array_scale: f64, battery_scale: f64) -> CouplingOption {
    let mut option = option.clone();
    for array in &mut option.arrays {
        array.peak_w *= array_scale;
    }
    for inverter in &mut option.pv_inverters {
        inverter.rated_w *= array_scale;
        inverter.efficiency.no_load_w *= array_scale;
    }
    for unit in &mut option.storage {
        if let Some(mppt) = &mut unit.mppt {
            mppt.rated_w *= array_scale;
        }
        unit.battery.usable_wh *= battery_scale;
        unit.battery.charge_w *= battery_scale;
        unit.battery.discharge_w *= battery_scale;
    }
    option
}

/// Least scale of one part at which a run of the scene serves the wanted share, the other part at the scale given.
///
/// - `other_scale`: scale of the part that is not sized, if one is not
/// - `wanted_share`: share of the energy of the backed-up loads, 0 to 1
///
/// Bracketed search over whole runs, to 1 % of the scale: the result serves the share, and a scale 1 % lower was tried and
/// does not. None: not even 16 times as much does; then something else is short, such as the storage inverter. A generator
/// is left out of account if `generator` is false.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn least_size(
    scene: &Scene,
    option: &CouplingOption,
    part: SizedPart,
    other_scale: f64,
    wanted_share: f64,
    generator: bool,
) -> Result<Option<Sizing>, FitProblem> {
    let mut option = option.clone();
    if !generator {
        option.generator = None;
    }
    let at = |scale: f64| {
        let (array_scale, battery_scale) = match part {
            SizedPart::Arrays => (scale, other_scale),
            SizedPart::Batteries => (other_scale, scale),
            SizedPart::Both => (scale, scale),
        };
        size_at(scene, &option, array_scale, battery_scale)
    };
    let (mut short, mut enough) = SCALES;
    let least = at(short)?;
    if least.served_share >= wanted_share {
        return Ok(Some(least));
    }
    let mut found = at(enough)?;
    if found.served_share < wanted_share {
        return Ok(None);
    }
    while enough > short * (1.0 + NEAR) {
        let middle = libm::sqrt(short * enough);
        let sizing = at(middle)?;
        if sizing.served_share >= wanted_share {
            (enough, found) = (middle, sizing);
        } else {
            short = middle;
        }
    }
    Ok(Some(found))
}

/// What a run of the scene comes to at these scales.
fn size_at(
    scene: &Scene,
    option: &CouplingOption,
    array_scale: f64,
    battery_scale: f64,
) -> Result<Sizing, FitProblem> {
    let option = scaled(option, array_scale, battery_scale);
    let figures = off_grid(scene, &option)?.figures;
    Ok(Sizing {
        array_scale,
        battery_scale,
        peak_w: option.arrays.iter().map(|array| array.peak_w).sum(),
        usable_wh: (option.storage.iter())
            .map(|unit| unit.battery.usable_wh)
            .sum(),
        served_share: figures.served_share,
        dark_h: figures.dark_h,
        fuel_l: figures.fuel_l,
        days_of_autonomy: figures.days_of_autonomy,
    })
}

/// The month in which the arrays offer least for each Wh of load.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DesignMonth {
    /// Month, 0 is January.
    pub month: usize,
    /// Energy that the arrays on the backed-up side offer in it, Wh.
    pub array_wh: f64,
    /// Energy that the backed-up loads ask for in it, Wh.
    pub load_wh: f64,
    /// The one over the other: the array-to-load ratio.
    pub ratio: f64,
}

/// The design month: that of the lowest array-to-load ratio; none if there is no load in any month.
///
/// Source: IEEE 1562, which asks for 1.1 to 1.2 where a dark day does little harm and for 1.3 and more where it does; the month
/// is chosen as in Duffie and Beckman. Here the energy is that of a modelled year at the array, not that of a mean day.
///
/// **Errors**: efficiency figures that no loss law has; a checked household has none.
pub fn design_month(
    scene: &Scene,
    option: &CouplingOption,
) -> Result<Option<DesignMonth>, FitProblem> {
    let plant = OutagePlant::new(scene, option)?;
    let step_h = scene.grid.step_h();
    let mut months = [(0.0, 0.0); 12];
    for step in 0..plant.steps() {
        let offer = plant.offer(step);
        if let Some((array_wh, load_wh)) = months.get_mut(scene.grid.month(step)) {
            *array_wh += step_h * offer.array_w();
            *load_wh += step_h * offer.load_w.first().copied().unwrap_or(0.0);
        }
    }
    Ok(months
        .into_iter()
        .enumerate()
        .filter(|(_, (_, load_wh))| *load_wh > 0.0)
        .map(|(month, (array_wh, load_wh))| DesignMonth {
            month,
            array_wh,
            load_wh,
            ratio: array_wh / load_wh,
        })
        .min_by(|a, b| a.ratio.total_cmp(&b.ratio)))
}

/// What a lead-acid battery of a stand-alone system is sized by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AutonomyNeeds {
    /// Energy of a day, at the battery, Wh.
    pub load_wh_per_day: f64,
    /// Days that the battery must carry alone.
    pub days: f64,
    /// Deepest discharge over these days, share of the nominal energy.
    pub most_depth: f64,
    /// Share of the nominal energy that is left at the end of its life.
    pub end_of_life_share: f64,
    /// Factor on top.
    pub margin: f64,
}

/// Nominal energy of a lead-acid battery that meets these needs, Wh.
///
/// Source: IEEE 1013 and IEEE 1562 practice: days times load over depth and end of life, times the margin. The standard covers
/// lead-acid alone; of other batteries the usable energy is told, see [`OutagePlant::days_of_autonomy`].
#[must_use]
pub fn nominal_capacity_wh(needs: &AutonomyNeeds) -> f64 {
    needs.days * needs.load_wh_per_day / (needs.most_depth * needs.end_of_life_share) * needs.margin
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEEE 1013/1562 practice, worked by hand: 6 kWh a day, 3 days, 80 % depth, 80 % at the end of life, margin 1.1:
    /// 3 × 6 / (0.8 × 0.8) × 1.1 = 30.9375 kWh.
    #[test]
    fn three_days_of_six_kwh_ask_for_thirty_one_kwh_of_lead() {
        let needs = AutonomyNeeds {
            load_wh_per_day: 6_000.0,
            days: 3.0,
            most_depth: 0.8,
            end_of_life_share: 0.8,
            margin: 1.1,
        };
        assert!((nominal_capacity_wh(&needs) - 30_937.5).abs() < 1e-6);
    }
}
