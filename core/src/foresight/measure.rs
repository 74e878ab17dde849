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
    (months.iter())
        .flat_map(|month| month.peak_w.iter().zip(&tariff.demand))
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
