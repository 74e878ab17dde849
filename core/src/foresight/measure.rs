//! What ways of running are measured by.

use crate::converter::FitProblem;
use crate::coupling::{CouplingOption, RunningRule};
use crate::year::{Scene, YearRun};

/// What passes the meter in a run at the prices of its steps, currency: bought less sold, and what the highest powers cost; what is
/// sent out above the limit earns nothing. Fixed charges are left out.
#[must_use]
pub fn measured_cur(scene: &Scene, run: &YearRun) -> f64 {
    let step_h = f64::from(scene.grid.step_s) / 3600.0;
    let limit_w = run.plant().limits.export_w;
    let prices = (scene.prices.buy_cur_per_kwh.iter()).zip(&scene.prices.sell_cur_per_kwh);
    let energy_cur: f64 = (run.flows.meter_w.iter().zip(prices))
        .map(|(meter_w, (buy, sell))| {
            let (bought_w, sold_w) = (meter_w.max(0.0), (-meter_w).max(0.0).min(limit_w));
            (bought_w * buy - sold_w * sell) * step_h / 1000.0
        })
        .sum();
    energy_cur + demand_cur(scene, run)
}

/// What the highest powers of the months cost, currency.
fn demand_cur(scene: &Scene, run: &YearRun) -> f64 {
    let charges = &scene.tariff().demand;
    let months = run.figures.bill.iter().flat_map(|bill| &bill.months);
    months
        .flat_map(|month| month.peak_w.iter().zip(charges))
        .map(|(peak_w, charge)| peak_w / 1000.0 * charge.cur_per_kw)
        .sum()
}

/// Runs the option without its batteries: a storage unit that carries arrays stays as their inverter, any other is taken away.
///
/// **Errors**: as [`Scene::run`].
pub fn without_storage(scene: &Scene, option: &CouplingOption) -> Result<YearRun, FitProblem> {
    let mut bare = option.clone();
    let carries = |unit| option.arrays_on_unit(unit).next().is_some();
    bare.storage.retain(|unit| carries(unit.id));
    for unit in &mut bare.storage {
        unit.battery.usable_wh = 0.0;
    }
    bare.running.rule = RunningRule::SelfConsumption;
    scene.run(&bare)
}
