//! Laws of the loads.

use couplet_core::household::{BaseUse, DeviceKind};
use couplet_core::loads::LoadSeries;
use couplet_core::sky::TimeGrid;
use couplet_tests::any::any_loads;
use couplet_tests::draws;
use proptest::prelude::*;

fn energy_wh(power_w: &[f64], step_s: u32) -> f64 {
    power_w.iter().sum::<f64>() * f64::from(step_s) / 3_600.0
}

/// Equal but for rounding.
fn same(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-9 * expected.abs().max(1.0)
}

/// A temperature that swings over day and year, °C.
fn air_c(grid: &TimeGrid) -> Vec<f64> {
    let day = |index| f64::from(grid.day(index)) / 365.0 * std::f64::consts::TAU;
    let hour = |index| grid.hour(index) / 24.0 * std::f64::consts::TAU;
    (0..grid.len())
        .map(|index| 12.0 - 22.0 * day(index).cos() - 6.0 * hour(index).cos())
        .collect()
}

proptest! {
    #![proptest_config(draws(24))]

    #[test]
    fn a_year_of_loads_has_the_energy_that_was_typed(
        loads in any_loads(),
        latitude_deg in -90.0..90.0_f64,
        step_s in prop::sample::select(vec![300_u32, 900, 1_800, 3_600]),
    ) {
        let grid = TimeGrid::whole_year(step_s, 0);
        let series = LoadSeries::new(&loads, latitude_deg, &grid, &air_c(&grid));
        let expected_wh = match &loads.base {
            BaseUse::Yearly { energy_wh, .. } => *energy_wh,
            BaseUse::Monthly { energy_wh, .. } => energy_wh.iter().sum(),
            BaseUse::Intervals(use_) => energy_wh(&use_.power_w, use_.interval_s),
        };
        let backed_up_wh = energy_wh(&series.base_backed_up_w, step_s);
        let base_wh = backed_up_wh + energy_wh(&series.base_grid_side_w, step_s);
        prop_assert!(same(base_wh, expected_wh), "{base_wh} {expected_wh}");
        prop_assert!(same(backed_up_wh, loads.backed_up_share * expected_wh));
        for (device, found) in loads.devices.iter().zip(&series.devices) {
            prop_assert_eq!(found.power_w.len(), grid.len());
            let (least_w, most_w) = found.power_w.iter().fold((0.0_f64, 0.0_f64), |(least, most), power| {
                (least.min(*power), most.max(*power))
            });
            let (rated_w, expected_wh) = match &device.kind {
                DeviceKind::Car { energy_wh_per_day, power_w, weekends, .. } => {
                    // 261 of 2026's days are Monday to Friday.
                    (*power_w, Some(if *weekends { 365.0 } else { 261.0 } * energy_wh_per_day))
                }
                DeviceKind::WaterHeater { energy_wh_per_day, power_w, .. } => {
                    (*power_w, Some(365.0 * energy_wh_per_day))
                }
                DeviceKind::HeatPump { power_w, .. }
                | DeviceKind::AirConditioner { power_w, .. }
                | DeviceKind::PoolPump { power_w, .. } => (*power_w, None),
            };
            prop_assert!(least_w >= 0.0 && most_w <= rated_w * (1.0 + 1e-9), "{least_w} {most_w} {rated_w}");
            if let Some(expected_wh) = expected_wh {
                let found_wh = energy_wh(&found.power_w, step_s);
                prop_assert!(same(found_wh, expected_wh), "{:?}: {found_wh} {expected_wh}", device.kind);
            }
        }
    }

    #[test]
    fn a_day_of_loads_is_the_same_alone_as_within_its_year(
        loads in any_loads(),
        day in 0..365_u32,
    ) {
        let year = TimeGrid::whole_year(900, 0);
        let air_c = air_c(&year);
        let all = LoadSeries::new(&loads, 50.0, &year, &air_c);
        let steps = day as usize * 96..(day as usize + 1) * 96;
        let alone = LoadSeries::new(&loads, 50.0, &TimeGrid::days(day, 1, 900, 0), &air_c[steps.clone()]);
        prop_assert_eq!(&alone.base_backed_up_w[..], &all.base_backed_up_w[steps.clone()]);
        for (alone, all) in alone.devices.iter().zip(&all.devices) {
            prop_assert_eq!(&alone.power_w[..], &all.power_w[steps.clone()]);
        }
    }
}
