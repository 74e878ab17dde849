//! Ways of running side by side: what each costs and how much of the possible saving it reaches.

use serde::{Deserialize, Serialize};

use super::day_ahead::day_ahead;
use super::measure::{measured_cur, without_storage};
use super::optimum::{NoForesight, Optimum, optimum};
use super::own_hours::{best_own_hours, most_runs};
use super::simple_rules::{candidates, simple_rules};
use crate::converter::FitProblem;
use crate::coupling::Running;
use crate::year::{Scene, YearRun};

/// A way of running.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reached {
    /// What it costs by the measure, currency.
    pub cost_cur: f64,
    /// Share of the saving that any controller could make, at most 1; negative: it costs more than no storage at all. None: storage
    /// can save nothing here.
    pub share: Option<f64>,
}

/// The best of the simple rules that were tried.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SimpleRule {
    /// The rule; that in use, if none is cheaper.
    pub running: Running,
    /// What it reaches.
    pub reached: Reached,
    /// How many rules were tried, that in use among them.
    pub tried: usize,
    /// What the best rule reaches without new hours of its own: by the tariff's hours, or the one in use.
    pub without_new_hours: Reached,
    /// What the rule costs with other reserves, in rising order.
    pub at_reserves: Vec<AtReserve>,
}

/// What a rule costs with a reserve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct AtReserve {
    /// State of charge kept for outages, 0 to 1.
    pub reserve_soc: f64,
    /// What it costs by the measure, currency.
    pub cost_cur: f64,
}

/// Reserves to be compared.
const RESERVES: [f64; 5] = [0.0, 0.1, 0.2, 0.3, 0.5];
/// New hours, a season and a window must each save at least this share of the possible saving: less is not worth a rule that is harder
/// to remember.
const WORTH: f64 = 0.003;

/// How near an option's running comes to the best possible.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Foresight {
    /// Cost without batteries by the measure, currency.
    pub without_storage_cur: f64,
    /// The rule in use.
    pub rule: Reached,
    /// The best simple rule.
    pub simple: SimpleRule,
    /// A controller that plans each day from a forecast.
    pub day_ahead: Reached,
    /// What no controller could beat.
    pub optimum: Optimum,
}

/// Share of the possible saving that a cost reaches, at most 1; none if storage can save nothing, or if the cost is below the least
/// one, which is then no least one.
#[must_use]
pub fn reached_share(without_cur: f64, cost_cur: f64, least_cur: f64) -> Option<f64> {
    /// Savings below this share of the cost are rounding.
    const ROUNDING: f64 = 1e-6;
    let possible_cur = without_cur - least_cur;
    let share = (without_cur - cost_cur) / possible_cur;
    (possible_cur > ROUNDING * without_cur.abs() && share <= 1.0 + ROUNDING).then(|| share.min(1.0))
}

/// Compares the rule of a run, the best simple rule, a day-ahead controller and the optimum. `run` must be of `scene`. A tax on what is
/// bought is within the prices; a tax on what is to pay is left out, which changes no share.
///
/// - `on_share`: told the share done, 0 to 1, now and then
///
/// **Errors**: see [`NoForesight`].
pub fn foresight(
    scene: &Scene,
    run: &YearRun,
    mut on_share: impl FnMut(f64),
) -> Result<Foresight, NoForesight> {
    // About how long each part takes, measured on the demonstration household.
    const OPTIMUM: f64 = 0.05;
    const DAY_AHEAD: f64 = 0.15;
    const SIMPLE: f64 = 1.0 - OPTIMUM - DAY_AHEAD;
    let with_tax = scene.with_tax_within();
    let scene = with_tax.as_ref().unwrap_or(scene);
    let optimum = optimum(scene, run)?;
    on_share(OPTIMUM);
    let without_storage_cur = measured_cur(scene, &without_storage(scene, &run.option)?);
    let reached = |cost_cur| Reached {
        cost_cur,
        share: reached_share(without_storage_cur, cost_cur, optimum.cost_cur),
    };
    let rule = reached(measured_cur(scene, run));
    let planned = day_ahead(scene, run, |share| on_share(OPTIMUM + share * DAY_AHEAD))?;
    let day_ahead = reached(measured_cur(scene, &planned));
    let worth_cur = WORTH * (without_storage_cur - optimum.cost_cur).max(0.0);
    let simple = best_simple_rule(scene, run, &optimum, (worth_cur, &reached), |share| {
        on_share(OPTIMUM + DAY_AHEAD + share * SIMPLE);
    })?;
    Ok(Foresight {
        without_storage_cur,
        rule,
        simple,
        day_ahead,
        optimum,
    })
}

/// Tries rules by the tariff's hours, then hours of their own; the best of them, with other reserves.
///
/// - `worth_cur`: what new hours, a season and a window must save, currency; `reached`: what a cost comes to
fn best_simple_rule(
    scene: &Scene,
    run: &YearRun,
    optimum: &Optimum,
    (worth_cur, reached): (f64, &impl Fn(f64) -> Reached),
    mut on_share: impl FnMut(f64),
) -> Result<SimpleRule, FitProblem> {
    let mut option = run.option.clone();
    let candidates = candidates(&option, optimum);
    let (named, own) = (candidates.len(), most_runs(&option, scene, optimum));
    let mut on_run = |runs: usize| {
        #[expect(clippy::cast_precision_loss, reason = "a few hundred runs")]
        on_share(runs as f64 / (named + own + RESERVES.len()) as f64);
    };
    let costs_cur = simple_rules(scene, &option, &candidates, &mut on_run)?;
    // The rule in use comes first and stays where no other is cheaper by more than rounding.
    let mut cost_cur = costs_cur.first().copied().unwrap_or(f64::INFINITY);
    for (running, other_cur) in candidates.into_iter().zip(costs_cur) {
        if other_cur < cost_cur - 1e-9 * cost_cur.abs() {
            (option.running, cost_cur) = (running, other_cur);
        }
    }
    let without_new_hours = reached(cost_cur);
    let found = best_own_hours(scene, &option, optimum, worth_cur, |runs| {
        on_run(named + runs)
    })?;
    let mut tried = named;
    if let Some(found) = found {
        tried += found.tried;
        if found.cost_cur < cost_cur - worth_cur {
            (option.running, cost_cur) = (found.running, found.cost_cur);
        }
    }
    let running = option.running.clone();
    let mut at_reserves = Vec::with_capacity(RESERVES.len());
    for reserve_soc in RESERVES {
        option.running.reserve_soc = reserve_soc;
        let cost_cur = measured_cur(scene, &scene.run(&option)?);
        at_reserves.push(AtReserve {
            reserve_soc,
            cost_cur,
        });
        on_run(named + own + at_reserves.len());
    }
    Ok(SimpleRule {
        running,
        reached: reached(cost_cur),
        tried,
        without_new_hours,
        at_reserves,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_of_the_possible_saving_and_never_above_one() {
        assert_eq!(reached_share(100.0, 60.0, 50.0), Some(0.8));
        assert_eq!(reached_share(100.0, 110.0, 50.0), Some(-0.2));
        assert_eq!(reached_share(-10.0, -15.0, -20.0), Some(0.5));
        assert_eq!(reached_share(100.0, 100.0, 100.0), None);
        assert_eq!(reached_share(100.0, 100.0, 101.0), None);
        assert_eq!(reached_share(100.0, 50.0 - 1e-9, 50.0), Some(1.0));
        assert_eq!(reached_share(100.0, 40.0, 50.0), None);
    }
}
