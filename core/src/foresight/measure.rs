//! What ways of running are measured by.

use crate::bill::DemandCharge;
use crate::converter::FitProblem;
use crate::coupling::{CouplingOption, RunningRule};
use crate::year::{Scene, YearRun};

/// What passes the meter in a run at the prices of its steps, currency: bought less sold, and what the highest powers cost; what is
/// sent out above the limit earns nothing. Fixed charges are left out.
#[must_use]
pub fn measured_cur(scene: &Scene, run: &YearRun) -> f64 {
    measured_by_month_cur(scene, run).iter().sum()
}

/// The same by the months of the tariff's clock, January first.
#[must_use]
pub fn measured_by_month_cur(scene: &Scene, run: &YearRun) -> [f64; 12] {
    let mut months_cur = demand_by_month_cur(scene, run);
    let step_h = f64::from(scene.grid.step_s) / 3600.0;
    let limit_w = run.plant().limits.export_w;
    let prices = (scene.prices.buy_cur_per_kwh.iter()).zip(&scene.prices.sell_cur_per_kwh);
    for ((meter_w, (buy, sell)), time) in
        (run.flows.meter_w.iter().zip(prices)).zip(&scene.prices.time)
    {
        let (bought_w, sold_w) = (meter_w.max(0.0), (-meter_w).max(0.0).min(limit_w));
        if let Some(month_cur) = months_cur.get_mut(time.month) {
            *month_cur += (bought_w * buy - sold_w * sell) * step_h / 1000.0;
        }
    }
    months_cur
}

/// What the highest power of each month costs, currency.
fn demand_by_month_cur(scene: &Scene, run: &YearRun) -> [f64; 12] {
    let charges = &scene.tariff().demand;
    let mut months_cur = [0.0; 12];
    let months = run.figures.bill.iter().flat_map(|bill| &bill.months);
    for (month_cur, month) in months_cur.iter_mut().zip(months) {
        let of_charge =
            |(peak_w, charge): (&f64, &DemandCharge)| peak_w / 1000.0 * charge.cur_per_kw;
        *month_cur = month.peak_w.iter().zip(charges).map(of_charge).sum();
    }
    months_cur
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
