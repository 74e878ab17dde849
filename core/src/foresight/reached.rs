//! Ways of running side by side: what each costs and how much of the possible saving it reaches.

use serde::{Deserialize, Serialize};

use super::day_ahead::day_ahead;
use super::measure::{measured_cur, without_storage};
use super::optimum::{NoForesight, Optimum, optimum};
use super::simple_rules::{candidates, simple_rules};
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
}

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

/// Compares the rule of a run, the best simple rule, a day-ahead controller and the optimum. `run` must be of `scene`.
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
    const OPTIMUM: f64 = 0.1;
    const DAY_AHEAD: f64 = 0.3;
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
    let tried = candidates(&run.option, &optimum);
    let costs_cur = simple_rules(scene, &run.option, &tried, |share| {
        on_share(OPTIMUM + DAY_AHEAD + share * (1.0 - OPTIMUM - DAY_AHEAD));
    })?;
    // The rule in use comes first and stays where no other is cheaper by more than rounding.
    let mut simple = SimpleRule {
        running: run.option.running.clone(),
        reached: rule,
        tried: tried.len(),
    };
    for (running, cost_cur) in tried.into_iter().zip(costs_cur) {
        if cost_cur < simple.reached.cost_cur - 1e-9 * rule.cost_cur.abs() {
            simple.running = running;
            simple.reached = reached(cost_cur);
        }
    }
    Ok(Foresight {
        without_storage_cur,
        rule,
        simple,
        day_ahead,
        optimum,
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
