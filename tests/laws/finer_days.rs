//! A day at another step is the same day.

use couplet_core::check::check;
use couplet_core::document::demo;
use couplet_core::year::{DayTrace, Scene};
use couplet_tests::{Tolerance, assert_within, climate_grid};

fn energy_wh(trace: &DayTrace, series: &[f64]) -> f64 {
    series.iter().sum::<f64>() * trace.step_s / 3600.0
}

/// Load profiles give means of an hour, so the loads agree to rounding. The sun is taken in the middle of each step, and what
/// converters and batteries do is not proportional: the rest agrees to a few per cent.
#[test]
fn a_day_in_minutes_has_the_energies_of_the_day_in_quarter_hours() {
    let household = check(demo()).expect("the demonstration is sound");
    let climate = climate_grid();
    let scene = Scene::new(&household, Some(&climate), 900, None).expect("a climate");
    let run = scene.run(&household.options[2]).expect("sound equipment");
    for day in [0, 100, 172, 364] {
        let coarse = run.day(&scene, day).expect("a day of the year");
        for step_s in [300, 60] {
            let fine = scene
                .day_at(&household, Some(&climate), &run, day, step_s)
                .expect("a climate")
                .expect("a day of the year");
            assert_eq!(fine.load_w.len(), 86_400 / usize::try_from(step_s).unwrap());
            let what = format!("day {day} at {step_s} s");
            let near = |fine_w: &[f64], coarse_w: &[f64], tolerance: Tolerance| {
                assert_within(
                    energy_wh(&fine, fine_w),
                    energy_wh(&coarse, coarse_w),
                    tolerance,
                    &what,
                );
            };
            near(
                &fine.base_grid_side_w,
                &coarse.base_grid_side_w,
                Tolerance::relative(1e-9),
            );
            near(
                &fine.dc_pv_w,
                &coarse.dc_pv_w,
                Tolerance::either(0.03, 200.0),
            );
            near(
                &fine.ac_pv_w,
                &coarse.ac_pv_w,
                Tolerance::either(0.03, 200.0),
            );
            near(
                &fine.import_w,
                &coarse.import_w,
                Tolerance::either(0.05, 500.0),
            );
            assert!(
                (fine.soc[fine.soc.len() - 1] - coarse.soc[coarse.soc.len() - 1]).abs() < 0.05,
                "{what}"
            );
        }
    }
}
