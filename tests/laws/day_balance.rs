//! A day's sources add up to its uses.

use couplet_core::check::check;
use couplet_core::document::demo;
use couplet_core::year::{DayBalance, Flow, Scene};
use couplet_tests::climate_grid;

/// Every option of the demonstration, every step of a year. Powers are some kW, so rounding stays below a microwatt.
#[test]
fn what_supplies_equals_what_uses_at_every_step_of_a_year() {
    let household = check(demo()).expect("the demonstration is sound");
    let scene = Scene::new(&household, Some(&climate_grid()), 900, None).expect("a climate");
    for option in &household.options {
        let run = scene.run(option).expect("sound equipment");
        for day in 0..365 {
            let trace = run.day(&scene, day).expect("a day of the year");
            let balance = DayBalance::of(&trace);
            for step in 0..trace.load_w.len() {
                let gap_w = balance.supplied_w(step) - balance.used_w(step);
                let what = format!("{}, day {day}, step {step}: {gap_w} W", option.name);
                assert!(gap_w.abs() < 1e-6, "{what}");
            }
            assert!(are_positive(&balance.sources) && are_positive(&balance.uses));
        }
    }
}

fn are_positive<Party>(flows: &[Flow<Party>]) -> bool {
    let mut powers_w = flows.iter().flat_map(|flow| &flow.power_w);
    powers_w.all(|power_w| *power_w >= 0.0)
}
