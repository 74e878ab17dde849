//! Simple rules by the tariff's own dear and cheap hours: a small number that the optimum's shape suggests, each run through the year.

use super::measure::measured_cur;
use super::optimum::Optimum;
use crate::converter::FitProblem;
use crate::coupling::{CouplingOption, DcOrder, Running, RunningRule};
use crate::year::Scene;

/// Less energy than this share of a battery's content counts as nothing.
const LEAST_CONTENT: f64 = 1.0;

/// Rules worth trying: those that an optimum of this shape does not make pointless. The one in use is the first. All keep its reserve,
/// which is a matter of outages and not of cost.
#[must_use]
pub fn candidates(option: &CouplingOption, optimum: &Optimum) -> Vec<Running> {
    let reserve_soc = option.running.reserve_soc;
    let mut levels = vec![None];
    if matters(option, optimum.grid_charge_wh) {
        levels.extend(charge_levels(&optimum.grid_charge_soc, reserve_soc).map(Some));
    }
    let selling: &[bool] = if matters(option, optimum.battery_export_wh) {
        &[false, true]
    } else {
        &[false]
    };
    let mut rules = vec![RunningRule::SelfConsumption];
    for discharge_in_middle_hours in [true, false] {
        for grid_charge_to_soc in &levels {
            for sell_from_battery in selling {
                rules.push(RunningRule::TimeOfUse {
                    discharge_in_middle_hours,
                    grid_charge_to_soc: *grid_charge_to_soc,
                    sell_from_battery: *sell_from_battery,
                });
            }
        }
    }
    let on_dc = option.arrays.iter().any(|array| array.dc_unit.is_some());
    let orders: &[DcOrder] = if on_dc {
        &[
            DcOrder::LoadsBatteryGrid,
            DcOrder::LoadsGridBattery,
            DcOrder::BatteryLoadsGrid,
        ]
    } else {
        std::slice::from_ref(&option.running.dc_order)
    };
    let mut found = vec![option.running.clone()];
    for rule in rules {
        for dc_order in orders {
            let running = Running {
                rule: rule.clone(),
                reserve_soc,
                dc_order: *dc_order,
            };
            if !found.contains(&running) {
                found.push(running);
            }
        }
    }
    found
}

/// Whether an energy of the year is worth a rule.
pub(super) fn matters(option: &CouplingOption, energy_wh: f64) -> bool {
    let batteries = option.storage.iter().map(|unit| &unit.battery);
    let usable_wh: f64 = batteries.map(|battery| battery.usable_wh).sum();
    energy_wh > LEAST_CONTENT * usable_wh
}

/// States of charge to charge to: where the optimum ends a quarter, half, three quarters and all of its charging, in steps of 5 %.
pub(super) fn charge_levels(
    ends_soc: &[f64],
    reserve_soc: f64,
) -> impl Iterator<Item = f64> + use<> {
    const STEPS: f64 = 20.0;
    let mut levels: Vec<f64> = [0.25, 0.5, 0.75, 1.0]
        .into_iter()
        .filter_map(|share| {
            #[expect(
                clippy::cast_precision_loss,
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "charges of a year"
            )]
            let place = (share * (ends_soc.len().checked_sub(1)? as f64)) as usize;
            ends_soc.get(place)
        })
        .map(|soc| ((soc * STEPS).round() / STEPS).clamp(0.0, 1.0))
        .filter(|soc| *soc > reserve_soc)
        .collect();
    levels.dedup();
    levels.into_iter()
}

/// Runs each candidate through the year; what each costs by the measure, currency.
///
/// - `on_run`: told the number of years run so far
///
/// **Errors**: as [`Scene::run`].
pub fn simple_rules(
    scene: &Scene,
    option: &CouplingOption,
    candidates: &[Running],
    mut on_run: impl FnMut(usize),
) -> Result<Vec<f64>, FitProblem> {
    let mut tried = option.clone();
    let mut costs_cur = Vec::with_capacity(candidates.len());
    for running in candidates {
        tried.running = running.clone();
        costs_cur.push(measured_cur(scene, &scene.run(&tried)?));
        on_run(costs_cur.len());
    }
    Ok(costs_cur)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn charge_levels_are_where_the_optimum_stops() {
        let ends = [0.1, 0.31, 0.32, 0.5, 0.98];
        let levels: Vec<f64> = charge_levels(&ends, 0.2).collect();
        assert_eq!(levels.len(), 3, "{levels:?}");
        assert!((levels[0] - 0.3).abs() < 1e-9 && (levels[2] - 1.0).abs() < 1e-9);
        assert_eq!(charge_levels(&[], 0.2).count(), 0);
    }
}
