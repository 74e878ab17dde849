//! A day in seconds is the day that it was made from.

use couplet_core::check::check;
use couplet_core::document::demo;
use couplet_core::loads::LoadSeries;
use couplet_core::seconds::SecondsDay;
use couplet_core::sky::TimeGrid;
use couplet_core::year::Scene;
use couplet_tests::{assert_near, climate_grid};

const DAYS: [u32; 4] = [10, 100, 172, 290];

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Tolerance: rounding of sums of 60 and 900 numbers of some thousands.
#[test]
fn a_day_in_seconds_keeps_its_minutes_and_quarter_hours() {
    let household = check(demo()).expect("the demonstration is sound");
    let climate = climate_grid();
    let option = &household.options[2];
    for day in DAYS {
        let minutes = TimeGrid::days(day, 1, 60, Scene::utc_offset_s(&household));
        let scene = Scene::over(&household, Some(&climate), minutes, None).expect("a climate");
        let seconds =
            SecondsDay::new(&household, option, Some(&climate), day, 7).expect("a climate");
        assert_eq!(seconds.steps(), 86_400);
        for array in &option.arrays {
            let minute_w = scene.array_dc_w(array).expect("a plane");
            let second_w = seconds.array_dc_w(array.id).expect("an array");
            assert!(second_w.iter().all(|power_w| *power_w >= 0.0));
            for (minute, (expected_w, filled_w)) in
                minute_w.iter().zip(second_w.chunks(60)).enumerate()
            {
                assert_near(
                    mean(filled_w),
                    *expected_w,
                    1e-9,
                    &format!("day {day}, minute {minute}"),
                );
            }
        }
        let loads = LoadSeries::new(
            &household.loads,
            household.site.latitude_deg,
            &minutes,
            scene.air_c(),
        );
        for (filled_w, minute_w) in [
            (&seconds.base_grid_side_w, &loads.base_grid_side_w),
            (&seconds.base_backed_up_w, &loads.base_backed_up_w),
        ] {
            assert!(filled_w.iter().all(|power_w| *power_w >= 0.0));
            for (quarter, (seconds_w, minutes_w)) in
                filled_w.chunks(900).zip(minute_w.chunks(15)).enumerate()
            {
                assert_near(
                    mean(seconds_w),
                    mean(minutes_w),
                    1e-9,
                    &format!("day {day}, quarter {quarter}"),
                );
            }
        }
        // The air is a line through the minutes in between, so what follows it is met to a share of its swing in a minute.
        for (device, minutes) in seconds.devices.iter().zip(&loads.devices) {
            let expected_w = mean(&minutes.power_w);
            assert_near(
                mean(&device.power_w),
                expected_w,
                1e-4 * expected_w.max(1.0),
                "device",
            );
        }
    }
}

#[test]
fn clouds_pass_within_minutes_and_never_outshine_the_cloudless_sky() {
    let household = check(demo()).expect("the demonstration is sound");
    let climate = climate_grid();
    let option = &household.options[2];
    let mut edges = 0;
    for number in DAYS {
        let day =
            SecondsDay::new(&household, option, Some(&climate), number, 7).expect("a climate");
        for array in &option.arrays {
            let power_w = day.array_dc_w(array.id).expect("an array");
            let steps_w: Vec<f64> = power_w
                .windows(2)
                .map(|pair| (pair[1] - pair[0]).abs())
                .collect();
            let steepest_w = steps_w.iter().copied().fold(0.0, f64::max);
            let most_w = power_w.iter().copied().fold(0.0, f64::max);
            edges += steps_w
                .iter()
                .filter(|step_w| **step_w > 0.03 * array.peak_w)
                .count();
            // An edge takes seconds: no second changes by more than a third of the rating.
            assert!(
                steepest_w < array.peak_w / 3.0,
                "{steepest_w} of {}",
                array.peak_w
            );
            assert!(most_w < 1.1 * array.peak_w, "{most_w} of {}", array.peak_w);
        }
    }
    assert!(edges > 100, "{edges} seconds of steep edges");
}

#[test]
fn a_seed_decides_the_clouds_and_the_switching_of_all_options() {
    let household = check(demo()).expect("the demonstration is sound");
    let climate = climate_grid();
    let day = |option: usize, seed| {
        SecondsDay::new(
            &household,
            &household.options[option],
            Some(&climate),
            172,
            seed,
        )
        .expect("a climate")
    };
    assert_eq!(day(2, 1), day(2, 1));
    assert_eq!(day(1, 1).arrays, day(3, 1).arrays);
    assert_eq!(day(1, 1).starts, day(3, 1).starts);
    assert_ne!(day(2, 1).arrays, day(2, 2).arrays);
    assert_ne!(day(2, 1).base_backed_up_w, day(2, 2).base_backed_up_w);
}

#[test]
fn appliances_switch_and_the_pump_starts_hard() {
    let household = check(demo()).expect("the demonstration is sound");
    let climate = climate_grid();
    for day in DAYS {
        let seconds = SecondsDay::new(&household, &household.options[2], Some(&climate), day, 7)
            .expect("a climate");
        let drops = |power_w: &[f64]| {
            power_w
                .windows(2)
                .filter(|pair| pair[0] - pair[1] > 600.0)
                .count()
        };
        let all = drops(&seconds.base_grid_side_w) + drops(&seconds.base_backed_up_w);
        assert!(all > 5, "day {day}: {all} drops");
        let start = household.loads.base_start.expect("a start");
        let hard: Vec<_> = seconds
            .starts
            .iter()
            .filter(|start| start.device.is_none())
            .collect();
        assert!(!hard.is_empty());
        assert!(hard.iter().all(|one| one.inrush == start));
        assert!(
            seconds
                .starts
                .windows(2)
                .all(|pair| pair[0].at_s <= pair[1].at_s)
        );
    }
}
