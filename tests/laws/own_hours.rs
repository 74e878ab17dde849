//! Laws of a running rule with hours of its own.

use couplet_core::bill::{DayKind, Holiday, StepTime, Window, example_tariffs};
use couplet_core::check::{Checked, check, problems};
use couplet_core::coupling::{OwnHours, RunningRule, WindowAim};
use couplet_core::document::demo;
use couplet_core::household::Household;
use couplet_core::running::{Aim, own_hours_like};
use couplet_core::year::{Scene, YearRun};
use couplet_tests::any::any_own_hours;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;
use proptest::sample::select;

const HOUR_S: u32 = 3600;
/// What remains of a converter's loss law and its inverse, W, and in an hour Wh.
const ROUNDING_W: f64 = 1e-6;
const US_EAST: &str = "EST5EDT,M3.2.0,M11.1.0";

fn laid(household: &Checked<Household>, step_s: u32) -> Scene {
    Scene::new(household, Some(&climate_grid()), step_s, None).expect("a climate")
}

/// The demonstration household with one option, which has storage, under this rule.
fn home(rule: RunningRule) -> Household {
    let mut household = demo();
    let mut option = household.options[1].clone();
    option.running.rule = rule;
    household.options = vec![option];
    household
}

fn run(household: Household, step_s: u32) -> (Scene, YearRun) {
    let household = check(household).expect("sound");
    let scene = laid(&household, step_s);
    let run = scene.run(&household.options[0]).expect("sound");
    (scene, run)
}

fn own(months: [bool; 12], (from_h, to_h): (f64, f64), aim: WindowAim) -> OwnHours {
    OwnHours {
        window: Window {
            months,
            days: DayKind::All,
            from_h,
            to_h,
        },
        aim,
    }
}

/// What the first window that holds says; none: outside all of them.
fn aim_at(windows: &[OwnHours], time: &StepTime) -> Option<WindowAim> {
    let first = windows.iter().find(|own| own.window.holds(time));
    first.map(|own| own.aim)
}

fn time_of_use() -> impl Strategy<Value = RunningRule> {
    (any::<bool>(), prop::option::of(0.0..=1.0), any::<bool>()).prop_map(
        |(discharge_in_middle_hours, grid_charge_to_soc, sell_from_battery)| {
            RunningRule::TimeOfUse {
                discharge_in_middle_hours,
                grid_charge_to_soc,
                sell_from_battery,
            }
        },
    )
}

proptest! {
    #![proptest_config(draws(12))]

    /// Summer time, holidays and seasons among them.
    #[test]
    fn own_hours_that_say_the_tariff_s_hours_give_the_same_flows(
        rule in time_of_use(),
        tariff in select((0..6).collect::<Vec<usize>>()),
        summer_time in any::<bool>(),
        season in 0..12_usize,
    ) {
        let mut by_price = home(rule.clone());
        if let Some(tariff) = tariff.checked_sub(1) {
            let mut examples = example_tariffs("EUR", None);
            let place = tariff % examples.len();
            by_price.tariff = examples.swap_remove(place);
        } else if let Some(window) = by_price.tariff.periods[0].windows.first_mut() {
            window.months[season] = false;
        }
        by_price.tariff.clock_rule = summer_time.then(|| US_EAST.to_owned());
        by_price.tariff.holidays = vec![Holiday::Nth { month: 8, weekday: 0, nth: 1 }];
        let mut own_hours = by_price.clone();
        own_hours.options[0].running.rule = RunningRule::OwnHours {
            windows: own_hours_like(&rule, &by_price.tariff),
        };
        let (by_price, own_hours) = (run(by_price, HOUR_S).1, run(own_hours, HOUR_S).1);
        prop_assert!(by_price.flows == own_hours.flows);
    }

    #[test]
    fn the_grid_charges_in_its_windows_up_to_their_level_and_nothing_is_given_but_where_it_may(rule in any_own_hours()) {
        let RunningRule::OwnHours { windows } = &rule else { unreachable!() };
        let mut household = home(rule.clone());
        let option = &mut household.options[0];
        // Without PV what comes into a battery comes from the grid.
        option.arrays.clear();
        let (scene, run) = run(household, HOUR_S);
        for (unit, flow) in run.plant().units.iter().zip(&run.flows.units) {
            let usable_wh = unit.battery.usable_wh();
            let mut before_wh = unit.initial_wh;
            for (index, time) in scene.prices.time.iter().enumerate() {
                let after_wh = flow.stored_wh[index];
                match aim_at(windows, time) {
                    Some(WindowAim::Charge { to_soc }) => {
                        let most_wh = before_wh.max(to_soc * usable_wh);
                        prop_assert!(after_wh <= most_wh + 1e-6, "{time:?}: {after_wh} above {most_wh}");
                        prop_assert!(flow.battery_w[index] <= ROUNDING_W);
                    }
                    Some(WindowAim::Hold) => {
                        prop_assert!(flow.battery_w[index].abs() <= ROUNDING_W, "{time:?}");
                    }
                    _ => prop_assert!(after_wh <= before_wh + ROUNDING_W, "{time:?}: charged outside its hours"),
                }
                before_wh = after_wh;
            }
        }
    }

    #[test]
    fn nothing_is_given_in_hours_that_hold_or_charge_with_pv_either(rule in any_own_hours()) {
        let RunningRule::OwnHours { windows } = &rule else { unreachable!() };
        let (scene, run) = run(home(rule.clone()), HOUR_S);
        for flow in &run.flows.units {
            for (time, battery_w) in scene.prices.time.iter().zip(&flow.battery_w) {
                if let Some(WindowAim::Hold | WindowAim::Charge { .. }) = aim_at(windows, time) {
                    prop_assert!(*battery_w <= ROUNDING_W, "{time:?}: {battery_w} W");
                }
            }
        }
        prop_assert!(run.ledger.worst_step_gap < 1e-9);
    }
}

#[test]
fn no_hours_of_its_own_is_self_consumption() {
    let (_, none) = run(home(RunningRule::OwnHours { windows: vec![] }), HOUR_S);
    let (_, own_use) = run(home(RunningRule::SelfConsumption), HOUR_S);
    assert!(none.flows == own_use.flows);
}

/// In 2026 clocks of the eastern US leap over 2:00 to 3:00 on 8 March and show 1:00 to 2:00 twice on 1 November.
#[test]
fn on_the_days_of_clock_changes_hours_are_those_that_the_clock_shows() {
    let steps_with = |hours: (f64, f64), day: u32| {
        let hold = own([true; 12], hours, WindowAim::Hold);
        let rule = RunningRule::OwnHours {
            windows: vec![hold],
        };
        let mut household = home(rule.clone());
        household.tariff.clock_rule = Some(US_EAST.to_owned());
        household.site.utc_offset_h = -5.0;
        let scene = laid(&check(household).expect("sound"), 900);
        (0..scene.grid.len())
            .filter(|index| scene.prices.time[*index].day == day)
            .filter(|index| scene.prices.aim(&rule, *index) == Aim::Hold)
            .count()
    };
    let (march, november, usual) = (66, 304, 10);
    assert_eq!(steps_with((2.0, 3.0), usual), 4);
    assert_eq!(steps_with((2.0, 3.0), march), 0);
    assert_eq!(steps_with((1.0, 2.0), november), 8);
    // Past midnight: an hour before it and the hours of the same day's beginning.
    assert_eq!(steps_with((23.0, 3.0), usual), 16);
    assert_eq!(steps_with((23.0, 3.0), march), 12);
    assert_eq!(steps_with((23.0, 3.0), november), 20);
}

/// A window past midnight counts each hour by the day on which it lies: of January it holds on the morning of the 1st, and no longer
/// on that of 1 February.
#[test]
fn hours_past_midnight_are_of_the_month_on_which_they_lie() {
    let mut january = [false; 12];
    january[0] = true;
    let rule = RunningRule::OwnHours {
        windows: vec![own(january, (22.0, 4.0), WindowAim::Hold)],
    };
    let (scene, _) = run(home(rule.clone()), HOUR_S);
    let holds = |day: usize, hour: usize| scene.prices.aim(&rule, day * 24 + hour) == Aim::Hold;
    assert!(holds(0, 1) && holds(30, 23) && !holds(30, 12));
    assert!(!holds(31, 1) && !holds(364, 23));
}

#[test]
fn wrong_hours_are_named_with_what_would_be_right() {
    let charge = |to_soc: f64| WindowAim::Charge { to_soc };
    let found = |windows: Vec<OwnHours>| {
        let household = home(RunningRule::OwnHours { windows });
        let problems = problems(&household);
        assert_eq!(problems.len(), 1, "{problems:?}");
        (problems[0].path.clone(), problems[0].to_string())
    };
    let (path, said) = found(vec![own([true; 12], (1.0, 5.0), charge(1.2))]);
    assert_eq!(
        path,
        "options[0].running.rule.own_hours.windows[0].aim.charge.to_soc"
    );
    assert!(
        said.contains("out of range") && said.contains("0 to 1"),
        "{said}"
    );
    let (path, said) = found(vec![own([true; 12], (5.0, 5.0), WindowAim::Hold)]);
    assert_eq!(
        path,
        "options[0].running.rule.own_hours.windows[0].window.to_h"
    );
    assert!(said.contains("another hour"), "{said}");
    let (path, said) = found(vec![own([true; 12], (1.0, 5.0), WindowAim::Sell); 25]);
    assert_eq!(path, "options[0].running.rule.own_hours.windows");
    assert!(said.contains("24"), "{said}");
}
