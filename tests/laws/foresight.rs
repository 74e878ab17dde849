//! Laws of the best possible of a household: whatever is run on the hardware, the optimum is not dearer.

use couplet_core::bill::{DayKind, DemandCharge, Export, Window};
use couplet_core::check::{Checked, check};
use couplet_core::coupling::{CouplingOption, DcOrder, Running, RunningRule};
use couplet_core::document::demo;
use couplet_core::foresight::{
    NoForesight, Optimum, candidates, day_ahead, foresight, measured_cur, optimum, without_storage,
};
use couplet_core::household::Household;
use couplet_core::running::{Aim, PriceRank};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::any::{any_household, any_running};
use couplet_tests::{assert_near, climate_grid, draws};
use proptest::prelude::*;

const HOUR_S: u32 = 3600;

fn laid(household: &Checked<Household>, step_s: u32) -> Scene {
    Scene::new(household, Some(&climate_grid()), step_s, None).expect("a climate")
}

/// A household that can be compared: a utility, storage in the first option, and no buying price below zero.
fn comparable() -> impl Strategy<Value = Household> {
    any_household().prop_filter_map("storage", |mut household| {
        household.service.utility = true;
        let tariff = &mut household.tariff;
        for tier in tariff
            .periods
            .iter_mut()
            .flat_map(|period| &mut period.tiers)
        {
            tier.cur_per_kwh = tier.cur_per_kwh.abs();
        }
        if matches!(tariff.export, Export::AllSold { .. }) {
            tariff.export = Export::Nothing;
        }
        (!household.options[0].storage.is_empty()).then_some(household)
    })
}

/// What summing costs in another order may come to, currency.
fn rounding_cur(scene: &Scene, run: &YearRun) -> f64 {
    let prices = &scene.prices;
    let turnover_cur: f64 = (run.flows.meter_w.iter())
        .zip(prices.buy_cur_per_kwh.iter().zip(&prices.sell_cur_per_kwh))
        .map(|(meter_w, (buy, sell))| meter_w.abs() / 1000.0 * buy.abs().max(sell.abs()))
        .sum();
    1e-9 * (1.0 + turnover_cur)
}

fn assert_not_beaten(scene: &Scene, optimum: &Optimum, run: &YearRun, what: &str) {
    let cost_cur = measured_cur(scene, run);
    assert!(
        optimum.cost_cur <= cost_cur + rounding_cur(scene, run),
        "{what}: {cost_cur} is below the optimum {}",
        optimum.cost_cur
    );
}

proptest! {
    #![proptest_config(draws(24))]

    #[test]
    fn no_run_of_the_hardware_beats_the_optimum(
        household in comparable(),
        others in proptest::collection::vec(any_running(), 3),
    ) {
        let Ok(household) = check(household) else { return Ok(()) };
        let scene = laid(&household, HOUR_S);
        let option = &household.options[0];
        let run = scene.run(option).expect("sound equipment");
        let found = match optimum(&scene, &run) {
            Ok(found) => found,
            Err(reason) => return Err(TestCaseError::fail(format!("no optimum: {reason}"))),
        };
        assert_not_beaten(&scene, &found, &run, "the rule");
        let planned = day_ahead(&scene, &run, |_| {}).expect("the same household");
        assert_not_beaten(&scene, &found, &planned, "day-ahead");
        for running in others {
            let mut other = option.clone();
            // The reserve is part of what the optimum keeps.
            other.running = Running { reserve_soc: option.running.reserve_soc, ..running };
            let run = scene.run(&other).expect("sound equipment");
            assert_not_beaten(&scene, &found, &run, &format!("{:?}", other.running));
        }
    }

    #[test]
    fn the_optimum_keeps_the_window_and_the_reserve(household in comparable()) {
        let Ok(household) = check(household) else { return Ok(()) };
        let scene = laid(&household, HOUR_S);
        let option = &household.options[0];
        let run = scene.run(option).expect("sound equipment");
        let found = optimum(&scene, &run).expect("a plan");
        let window = option.running.reserve_soc - 1e-9..=1.0 + 1e-9;
        prop_assert!(found.soc.iter().all(|soc| window.contains(soc)));
        let (charge_w, discharge_w) = option.storage.iter().fold((0.0, 0.0), |sum, unit| {
            (sum.0 + unit.battery.charge_w, sum.1 + unit.battery.discharge_w)
        });
        let limits = -charge_w - 1e-6..=discharge_w + 1e-6;
        prop_assert!(found.battery_w.iter().all(|power| limits.contains(power)));
        if household.service.export_limit_w == Some(0.0) {
            prop_assert_eq!(found.battery_export_wh, 0.0);
        }
    }

    #[test]
    fn a_day_ahead_run_keeps_the_reserve_as_rules_do(household in comparable()) {
        let Ok(household) = check(household) else { return Ok(()) };
        let scene = laid(&household, HOUR_S);
        let run = scene.run(&household.options[0]).expect("sound equipment");
        let planned = day_ahead(&scene, &run, |_| {}).expect("the same household");
        for (unit, flow) in planned.plant().units.iter().zip(&planned.flows.units) {
            for (stored_wh, battery_w) in flow.stored_wh.iter().zip(&flow.battery_w) {
                prop_assert!((0.0..=unit.battery.usable_wh() + 1e-6).contains(stored_wh));
                // A step that discharged ends at the reserve or above, but for a step's self-discharge.
                prop_assert!(*battery_w <= 0.0 || *stored_wh >= unit.reserve_wh * 0.999 - 1e-6);
            }
        }
    }
}

/// The demonstration household, quarter-hourly: every option with storage, every candidate.
#[test]
fn shares_of_the_demonstration_are_in_order() {
    let household = check(demo()).expect("sound");
    let scene = laid(&household, 900);
    let (mut compared, mut own_hours) = (0, 0);
    for option in household.options.iter() {
        let run = scene.run(option).expect("sound");
        let mut last = 0.0;
        let found = foresight(&scene, &run, |share| {
            assert!((last..=1.0 + 1e-9).contains(&share), "{share} after {last}");
            last = share;
        });
        let found = match found {
            Ok(found) => found,
            Err(reason) => {
                assert_eq!(reason, NoForesight::NoStorage, "{}", option.name);
                continue;
            }
        };
        compared += 1;
        let share = |reached: couplet_core::foresight::Reached| {
            reached.share.expect("storage saves something here")
        };
        assert!(share(found.rule) <= share(found.simple.reached));
        let own_use = Running {
            rule: RunningRule::SelfConsumption,
            ..option.running.clone()
        };
        let own_use = scene.run(&with(option, &own_use)).expect("sound");
        assert!(found.simple.reached.cost_cur <= measured_cur(&scene, &own_use) + 1e-6);
        // What is said of the rule and of its reserves is what runs of them cost.
        let simple = &found.simple;
        let again = scene.run(&with(option, &simple.running)).expect("sound");
        let said_cur = simple.reached.cost_cur;
        assert_near(
            measured_cur(&scene, &again),
            said_cur,
            1e-6,
            "the best rule",
        );
        assert!(share(simple.without_new_hours) <= share(simple.reached));
        let now = simple
            .at_reserves
            .iter()
            .find(|at| at.reserve_soc == option.running.reserve_soc);
        assert_near(
            now.expect("0.2 is one").cost_cur,
            said_cur,
            1e-6,
            "the same reserve",
        );
        assert!(
            simple
                .at_reserves
                .is_sorted_by(|a, b| a.reserve_soc < b.reserve_soc)
        );
        let hours = matches!(simple.running.rule, RunningRule::OwnHours { .. });
        assert!(hours == (simple.reached != simple.without_new_hours));
        own_hours += usize::from(hours);
        // Whoever takes the rule is told that it is the best.
        if compared == 1 {
            let taken = foresight(&scene, &again, |_| {}).expect("the same household");
            assert_eq!(taken.simple.running, simple.running);
        }
        assert!(share(found.simple.reached) <= 1.0 && share(found.day_ahead) <= 1.0);
        // What is bounded is small: a household whose tariff is known reaches most of it by a rule.
        assert!(share(found.simple.reached) > 0.5, "{}", option.name);
        assert_eq!(found.optimum.soc.len(), scene.grid.len());
        let last = found.optimum.day(364).expect("the last day");
        assert_eq!(last.soc.last(), found.optimum.soc.last());
        assert_eq!(
            (last.step_at(0.0), last.step_at(899.0), last.step_at(900.0)),
            (0, 0, 1)
        );
        assert!(found.optimum.day(365).is_none());
    }
    assert!(compared >= 2);
    // Nights to charge in and winters in which it pays: hours of its own are better than any by price alone.
    assert!(own_hours > 0);
}

fn with(option: &CouplingOption, running: &Running) -> CouplingOption {
    CouplingOption {
        running: running.clone(),
        ..option.clone()
    }
}

/// Between two prices the grid charges only where the price is the low one.
#[test]
fn the_best_hours_charge_at_the_low_price_only() {
    let mut household = demo();
    household.tariff.periods.remove(0);
    household.tariff.periods[1].tiers[0].cur_per_kwh = 0.36;
    let household = check(household).expect("sound");
    let scene = laid(&household, 900);
    let mut charging = 0;
    for option in &household.options {
        let run = scene.run(option).expect("sound");
        let Ok(found) = foresight(&scene, &run, |_| {}) else {
            continue;
        };
        for index in 0..scene.grid.len() {
            if let Aim::GridCharge { .. } = scene.prices.aim(&found.simple.running.rule, index) {
                let (rank, time) = (scene.prices.rank[index], scene.prices.time[index]);
                assert_eq!(rank, PriceRank::Cheap, "{}: {time:?}", option.name);
                charging += 1;
            }
        }
    }
    assert!(charging > 0, "no option charges at night");
}

/// A charge on the highest power of each month is paid by all, and foresight keeps the power down.
#[test]
fn a_demand_charge_is_minded_by_the_optimum() {
    let mut household = demo();
    let costs = |household: &Household| {
        let household = check(household.clone()).expect("sound");
        let scene = laid(&household, 900);
        let run = scene.run(&household.options[1]).expect("sound");
        let found = optimum(&scene, &run).expect("a plan");
        let peak_cur: f64 = (run.figures.bill.iter().flat_map(|bill| &bill.months))
            .flat_map(|month| &month.peak_w)
            .map(|peak_w| 10.0 * peak_w / 1000.0)
            .sum();
        (measured_cur(&scene, &run), found, peak_cur)
    };
    let (rule_cur, free, _) = costs(&household);
    household.tariff.demand = vec![DemandCharge {
        name: "Peak".to_owned(),
        windows: Vec::new(),
        interval_s: 900,
        cur_per_kw: 10.0,
    }];
    let (charged_cur, minded, peak_cur) = costs(&household);
    assert_near(
        charged_cur,
        rule_cur + peak_cur,
        1e-6,
        "what the rule costs",
    );
    assert!(minded.cost_cur > free.cost_cur && minded.cost_cur < charged_cur);
    assert!(minded.cost_cur - free.cost_cur < peak_cur);
    // Power is averaged over 15 min, and so is the optimum.
    assert_eq!(minded.step_s, 900.0);
    // Free nights leave less to mind than all hours.
    household.tariff.demand[0].windows = vec![Window {
        months: [true; 12],
        days: DayKind::Weekdays,
        from_h: 16.0,
        to_h: 21.0,
    }];
    let (_, evening, _) = costs(&household);
    assert!(evening.cost_cur <= minded.cost_cur + 1e-6 && evening.cost_cur >= free.cost_cur - 5.0);
}

#[test]
fn what_cannot_be_compared_says_why() {
    let mut household = demo();
    household.tariff.periods[1].tiers[0].cur_per_kwh = -0.1;
    let reason = |household: Household| {
        let household = check(household).expect("sound");
        let scene = laid(&household, HOUR_S);
        let option = household
            .options
            .iter()
            .find(|option| !option.storage.is_empty())
            .expect("one with storage");
        optimum(&scene, &scene.run(option).expect("sound")).unwrap_err()
    };
    assert_eq!(reason(household), NoForesight::BuyingBelowZero);
    let mut household = demo();
    household.tariff.export = Export::AllSold { cur_per_kwh: 0.1 };
    assert_eq!(reason(household), NoForesight::AllSold);
    let mut household = demo();
    household.service.utility = false;
    assert_eq!(reason(household), NoForesight::NoUtility);
}

/// A battery of no losses under one price and no feed-in pay: what is sold without it is what it can save, so self-consumption
/// reaches nearly all there is.
#[test]
fn under_one_price_self_consumption_reaches_nearly_all() {
    let mut household = demo();
    household.tariff.periods.drain(..2);
    household.tariff.export = Export::Nothing;
    for option in &mut household.options {
        option.running = Running {
            rule: RunningRule::SelfConsumption,
            reserve_soc: 0.0,
            dc_order: DcOrder::LoadsBatteryGrid,
        };
    }
    let household = check(household).expect("sound");
    let scene = laid(&household, 900);
    let option = household
        .options
        .iter()
        .find(|option| !option.storage.is_empty())
        .expect("one with storage");
    let run = scene.run(option).expect("sound");
    let found = foresight(&scene, &run, |_| {}).expect("a plan");
    let share = found.rule.share.expect("storage saves something");
    assert!(share > 0.93, "{share}");
    assert!(found.optimum.grid_charge_wh < 1.0 && found.optimum.battery_export_wh < 1.0);
    let bare = without_storage(&scene, option).expect("sound");
    assert!(
        bare.flows
            .units
            .iter()
            .all(|unit| unit.battery_w.iter().all(|power| *power == 0.0))
    );
    // Nothing to charge for under one price.
    let charges = |index: usize| {
        let aim = scene.prices.aim(&found.simple.running.rule, index);
        matches!(aim, Aim::GridCharge { .. })
    };
    assert!(!(0..scene.grid.len()).any(charges));
    // Without grid charging or selling in the optimum no candidate asks for either.
    assert!(
        candidates(option, &found.optimum)
            .iter()
            .all(|running| !matches!(
                running.rule,
                RunningRule::TimeOfUse {
                    grid_charge_to_soc: Some(_),
                    ..
                } | RunningRule::TimeOfUse {
                    sell_from_battery: true,
                    ..
                }
            ))
    );
}
