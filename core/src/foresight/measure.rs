//! What ways of running are measured by.

use crate::bill::{Export, Meter, MonthEnergy, Tariff, energy_cur, month_energies};
use crate::converter::FitProblem;
use crate::coupling::{CouplingOption, RunningRule};
use crate::year::{Scene, YearRun};

/// What the energy and the highest powers of a run cost by the tariff, currency: its tiers, the settlement of net metering, what sold
/// energy earns, and demand charges. What is sent out above the limit earns nothing. Not rounded to the minor unit.
///
/// Fixed charge, minimum charge, tax, and credit that is lost at the end of a year are not in it.
#[must_use]
pub fn measured_cur(scene: &Scene, run: &YearRun) -> f64 {
    let limit_w = run.plant().limits.export_w;
    let meter_w: Vec<f64> = (run.flows.meter_w.iter())
        .map(|meter_w| meter_w.max(-limit_w))
        .collect();
    let generation_w = match scene.tariff().export {
        Export::AllSold { .. } => run.flows.generation_w(),
        _ => Vec::new(),
    };
    let meter = Meter {
        meter_w: &meter_w,
        generation_w: &generation_w,
    };
    // A checked tariff has a clock.
    let months = month_energies(scene.tariff(), &scene.grid, &meter).unwrap_or_default();
    energy_cur(scene.tariff(), &months) + demand_cur(scene.tariff(), &months)
}

/// What the highest powers of the months cost, currency.
fn demand_cur(tariff: &Tariff, months: &[MonthEnergy]) -> f64 {
    months
        .iter()
        .map(|month| peaks_cur(tariff, &month.peak_w))
        .sum()
}

/// What the highest powers of a month cost, currency.
fn peaks_cur(tariff: &Tariff, peak_w: &[f64]) -> f64 {
    (peak_w.iter().zip(&tariff.demand))
        .map(|(peak_w, charge)| peak_w / 1000.0 * charge.cur_per_kw)
        .sum()
}

/// What passes the meter in each month of the tariff's clock at the prices of the steps, and what its highest powers cost, currency,
/// January first. Tiers count at their first price and nothing is settled, since that belongs to no month alone: it tells months apart
/// and is not the measure.
#[must_use]
pub(super) fn at_step_prices_by_month_cur(scene: &Scene, run: &YearRun) -> [f64; 12] {
    let mut months_cur = [0.0; 12];
    let months = run.figures.bill.iter().flat_map(|bill| &bill.months);
    for month in months {
        if let Some(month_cur) = months_cur.get_mut(month.month) {
            *month_cur = peaks_cur(scene.tariff(), &month.peak_w);
        }
    }
    let step_h = scene.grid.step_h();
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
