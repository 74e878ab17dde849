//! A controller that knows no more than a house can know: yesterday's loads and what the sun gives at this time of the year.
//!
//! Every three hours it plans two days with [`crate::best`] from what the batteries hold, keeps the first three hours as aims, and
//! meets them as they come: every step is the same true step that running rules go through. So it shows how much of the optimum is foresight of
//! what a forecast can tell, and how much is knowledge that nobody has.

use super::optimum::{FLOWING_W, NoForesight, relaxed};
use super::relaxed::Relaxed;
use crate::best::{Meter, Plan, Steps, Store, best};
use crate::running::Aim;
use crate::year::{Scene, YearRun};

/// Days before and after a day whose sun makes its forecast.
const SUN_DAYS: usize = 15;
/// Plans made in a day. On the demonstration household a plan at midnight alone reaches 6 % less of the saving.
const PLANS_PER_DAY: usize = 8;
/// Days that are planned at once: the second keeps the first from using everything up.
const PLANNED_DAYS: usize = 2;
/// By so much, as a share, buying seems dearer at the start of a plan than at its end: of equally cheap plans the one is taken that
/// gives early, since what is stored may be needed less than foretold.
const IMPATIENCE: f64 = 1e-3;

/// Runs the option of a run under a day-ahead controller. `run` must be of `scene`, over whole days.
///
/// - `on_share`: told the share done, 0 to 1, at each plan
///
/// **Errors**: see [`NoForesight`].
pub fn day_ahead(
    scene: &Scene,
    run: &YearRun,
    mut on_share: impl FnMut(f64),
) -> Result<YearRun, NoForesight> {
    let relaxed = relaxed(scene, run)?;
    let per_day = scene.steps_per_day();
    let days = scene.grid.len() / per_day.max(1);
    let sun = SunForecast::new(&relaxed, per_day, days);
    let mut aims: Vec<Aim> = Vec::new();
    let per_plan = (per_day / PLANS_PER_DAY).max(1);
    let tell = |index: usize, stored_wh: &[f64]| {
        let of_plan = index % per_plan;
        if of_plan == 0 {
            aims = plan_from(
                scene,
                &relaxed,
                &sun,
                index,
                per_plan,
                stored_wh.iter().sum(),
            );
            #[expect(clippy::cast_precision_loss, reason = "steps of a year")]
            on_share(index as f64 / scene.grid.len().max(1) as f64);
        }
        aims.get(of_plan).copied().unwrap_or(Aim::MeterAtZero)
    };
    Ok(scene.run_told(&run.option, &[], tell)?)
}

/// Mean PV at each step of the days around a day, the day itself left out.
struct SunForecast {
    ac_pv_w: Vec<f64>,
    dc_pv_w: Vec<f64>,
}

impl SunForecast {
    fn new(relaxed: &Relaxed, per_day: usize, days: usize) -> Self {
        Self {
            ac_pv_w: mean_around(&relaxed.ac_pv_w, per_day, days),
            dc_pv_w: mean_around(&relaxed.dc_pv_w, per_day, days),
        }
    }
}

fn mean_around(series: &[f64], per_day: usize, days: usize) -> Vec<f64> {
    let reach = SUN_DAYS.min(days.saturating_sub(1) / 2);
    if reach == 0 {
        return series.to_vec();
    }
    let at = |day: usize, step: usize| {
        series
            .get(day % days * per_day + step)
            .copied()
            .unwrap_or(0.0)
    };
    let mut mean = vec![0.0; days * per_day];
    #[expect(clippy::cast_precision_loss, reason = "a few days")]
    let count = (2 * reach) as f64;
    for step in 0..per_day {
        let mut sum: f64 = (0..=2 * reach)
            .map(|day| at(days + day - reach, step))
            .sum();
        for day in 0..days {
            if let Some(mean) = mean.get_mut(day * per_day + step) {
                // A running sum of what is at least 0 may end just below it.
                *mean = ((sum - at(day, step)) / count).max(0.0);
            }
            sum += at(day + reach + 1, step) - at(days + day - reach, step);
        }
    }
    mean
}

/// Aims of the next steps, from what is stored.
fn plan_from(
    scene: &Scene,
    relaxed: &Relaxed,
    sun: &SunForecast,
    today: usize,
    kept: usize,
    stored_wh: f64,
) -> Vec<Aim> {
    let (per_day, all) = (scene.steps_per_day(), scene.grid.len());
    let ahead = PLANNED_DAYS * per_day;
    let from = |series: &[f64], first: usize, index: usize| {
        series
            .get((first + index) % all.max(1))
            .copied()
            .unwrap_or(0.0)
    };
    let yesterday = (today + all - per_day) % all.max(1);
    let forecast = |series: &[f64]| -> Vec<f64> {
        (0..ahead).map(|index| from(series, today, index)).collect()
    };
    let (ac_pv_w, dc_pv_w) = (forecast(&sun.ac_pv_w), forecast(&sun.dc_pv_w));
    let net_load_w: Vec<f64> = ac_pv_w
        .iter()
        .enumerate()
        .map(|(index, pv_w)| from(&relaxed.load_w, yesterday, index % per_day) - pv_w)
        .collect();
    let mut buy_cur_per_kwh = forecast(&scene.prices.buy_cur_per_kwh);
    for (index, buy) in buy_cur_per_kwh.iter_mut().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "steps of a few days")]
        let left = (ahead - index) as f64 / ahead as f64;
        *buy *= 1.0 + IMPATIENCE * left;
    }
    let steps = Steps {
        step_s: relaxed.step_s,
        net_load_w: &net_load_w,
        throttleable_w: &ac_pv_w,
        dc_pv_w: &dc_pv_w,
        buy_cur_per_kwh: &buy_cur_per_kwh,
        sell_cur_per_kwh: &forecast(&scene.prices.sell_cur_per_kwh),
        demand_counts: &[],
    };
    let store = Store {
        start_wh: stored_wh.clamp(relaxed.store.least_wh, relaxed.store.most_wh),
        ..relaxed.store
    };
    // Two days say little of a month's highest power, so where that is charged the plan adds nothing to it.
    let meter = Meter {
        grid_charge: scene.tariff().demand.is_empty(),
        ..relaxed.meter
    };
    match best(&steps, &store, &meter, &[]) {
        Ok(found) => (0..kept)
            .map(|index| aim(&found.plan, &steps, &store, index, relaxed.usable_wh))
            .collect(),
        // A forecast that no plan meets tells nothing: the day is run as self-consumption.
        Err(_) => Vec::new(),
    }
}

/// What the plan of a step asks of the storage, in the terms of a running rule, so that it still makes sense when loads and sun
/// come otherwise.
fn aim(plan: &Plan, steps: &Steps<'_>, store: &Store, index: usize, usable_wh: f64) -> Aim {
    let at = |series: &[f64]| series.get(index).copied().unwrap_or(0.0);
    let (net_w, dc_pv_w) = (at(steps.net_load_w), at(steps.dc_pv_w));
    let missing_w = net_w - store.inverter_out_efficiency * dc_pv_w;
    let (import_w, battery_w) = (at(&plan.import_w), at(&plan.battery_w));
    let stored_wh = at(&plan.stored_wh);
    if import_w > FLOWING_W && at(&plan.inverter_ac_w) < -FLOWING_W {
        let to_soc = if usable_wh > 0.0 {
            stored_wh / usable_wh
        } else {
            0.0
        };
        return Aim::GridCharge { to_soc };
    }
    if battery_w > FLOWING_W && at(&plan.export_w) > (-missing_w).max(0.0) + FLOWING_W {
        return Aim::Sell;
    }
    if at(&plan.export_w) > FLOWING_W {
        return Aim::SellSurplus {
            export_w: at(&plan.export_w),
        };
    }
    let keeps = stored_wh > store.least_wh + FLOWING_W && battery_w < 0.5 * missing_w;
    if missing_w > FLOWING_W && keeps {
        Aim::Hold
    } else {
        Aim::MeterAtZero
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sun_of_a_day_is_foretold_by_the_days_around_it() {
        // Each day gives its own number; those around day 3 of 7 are all others.
        let series: Vec<f64> = (0..14).map(|index| f64::from(index / 2)).collect();
        let mean = mean_around(&series, 2, 7);
        assert_eq!(mean.len(), 14);
        assert!((mean[6] - 3.0).abs() < 1e-12, "{mean:?}");
        // Around day 0: 1, 2, 3 and, across the new year, 4, 5, 6.
        assert!((mean[0] - 3.5).abs() < 1e-12, "{mean:?}");
        assert_eq!(mean_around(&series[..2], 2, 1), series[..2]);
    }
}
