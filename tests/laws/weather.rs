//! Laws of the weather: readers, and the year made from monthly means.

use couplet_core::climate::{MonthlyClimate, MonthlySums, WeatherFile, synthetic_year};
use couplet_core::sky::{
    ClearAir, DELTA_T_S, Location, Observer, SunTable, TimeGrid, absolute_air_mass, days_of_month,
    standard_pressure_pa,
};
use couplet_tests::{climate_grid, draws, test_data_path};
use proptest::prelude::*;

fn location() -> impl Strategy<Value = Location> {
    (-89.0..89.0_f64, -180.0..180.0_f64, 0.0..4000.0_f64).prop_map(
        |(latitude_deg, longitude_deg, elevation_m)| Location {
            latitude_deg,
            longitude_deg,
            elevation_m,
        },
    )
}

fn suns(location: &Location, step_s: u32) -> SunTable {
    let hours = (location.longitude_deg / 15.0).round();
    let utc_offset_s = (-12..=12)
        .find(|offset| f64::from(*offset) == hours)
        .unwrap_or(0)
        * 3600;
    let grid = TimeGrid::whole_year(step_s, utc_offset_s);
    SunTable::new(&Observer::in_standard_air(*location), grid, DELTA_T_S)
}

/// Monthly sums of a series, Wh/m² per day of the month.
fn daily_means(suns: &SunTable, series: &[f64]) -> [f64; 12] {
    let mut sums = [0.0; 12];
    for (index, value) in series.iter().enumerate() {
        sums[suns.grid.month(index)] += value * suns.grid.step_h();
    }
    core::array::from_fn(|month| sums[month] / f64::from(days_of_month(month)))
}

proptest! {
    #![proptest_config(draws(24))]

    #[test]
    fn a_year_from_the_grid_keeps_its_means_and_stays_within_what_nature_does(
        location in location(),
        seed in any::<u64>(),
    ) {
        let monthly = climate_grid().at(&location);
        let suns = suns(&location, 3600);
        let weather = synthetic_year(&monthly, &location, &suns, seed, MonthlySums::Met);
        let means = daily_means(&suns, &weather.ghi_w_m2);
        for (month, (mean, wanted)) in means.iter().zip(&monthly.ghi_wh_m2_day).enumerate() {
            let sun_rises = *mean > 0.0;
            prop_assert!(
                (mean - wanted).abs() <= 1e-9 * wanted || (!sun_rises && *wanted < 50.0),
                "month {month}: {mean} for {wanted}"
            );
        }
        let year_c = weather.air_c.iter().sum::<f64>() / weather.air_c.len() as f64;
        let mean_c = (0..12)
            .map(|month| monthly.air_mean_c[month] * f64::from(days_of_month(month)) / 365.0)
            .sum::<f64>();
        prop_assert!((year_c - mean_c).abs() < 0.1, "{year_c} for {mean_c}");
        let range_k = monthly.air_range_k.iter().copied().fold(0.0, f64::max);
        for &air_c in &weather.air_c {
            prop_assert!(air_c > monthly.yearly_low_c - 15.0 - 0.5 * range_k);
            prop_assert!(air_c < monthly.yearly_high_c + 20.0 + 0.5 * range_k);
        }
    }

    #[test]
    fn a_year_that_clouds_dim_is_nowhere_brighter_than_a_cloudless_sky(
        latitude_deg in -60.0..60.0_f64,
        cloudless_share in 0.1..0.9_f64,
        seed in any::<u64>(),
    ) {
        let location = Location { latitude_deg, longitude_deg: 0.0, elevation_m: 100.0 };
        let suns = suns(&location, 900);
        let cleanest = ClearAir::new(2.0, location.elevation_m);
        let pressure_pa = standard_pressure_pa(location.elevation_m);
        let cloudless: Vec<f64> = suns
            .suns
            .iter()
            .map(|sun| {
                let air_mass = absolute_air_mass(sun.relative_air_mass, pressure_pa);
                cleanest.ghi_w_m2(sun.direction.up, air_mass, sun.extraterrestrial_normal_w_m2)
            })
            .collect();
        let monthly = MonthlyClimate {
            ghi_wh_m2_day: daily_means(&suns, &cloudless).map(|wh_m2| cloudless_share * wh_m2),
            air_mean_c: [10.0; 12],
            air_range_k: [8.0; 12],
            yearly_low_c: -5.0,
            yearly_high_c: 25.0,
        };
        let weather = synthetic_year(&monthly, &location, &suns, seed, MonthlySums::Met);
        for (index, sun) in suns.suns.iter().enumerate() {
            let ghi_w_m2 = weather.ghi_w_m2[index];
            prop_assert!(ghi_w_m2 >= 0.0 && ghi_w_m2 <= cloudless[index] + 1e-9);
            let above_w_m2 = sun.extraterrestrial_normal_w_m2 * sun.cos_zenith.max(0.0);
            prop_assert!(ghi_w_m2 <= above_w_m2 + 1e-9);
            let beam_w_m2 = weather.dni_w_m2[index] * sun.cos_zenith.max(0.0);
            prop_assert!((beam_w_m2 + weather.dhi_w_m2[index] - ghi_w_m2).abs() < 1e-9);
        }
        let again = synthetic_year(&monthly, &location, &suns, seed, MonthlySums::Met);
        prop_assert_eq!(&again, &weather);
        let other = synthetic_year(&monthly, &location, &suns, seed ^ 1, MonthlySums::Met);
        prop_assert_ne!(&other.ghi_w_m2, &weather.ghi_w_m2);
    }

    #[test]
    fn a_year_from_any_numbers_does_not_panic(
        ghi in proptest::array::uniform12(proptest::num::f64::ANY),
        air in proptest::array::uniform12(proptest::num::f64::ANY),
        edge in proptest::array::uniform5(proptest::num::f64::ANY),
        seed in any::<u64>(),
    ) {
        let location = Location {
            latitude_deg: edge[0],
            longitude_deg: edge[1],
            elevation_m: edge[2],
        };
        let monthly = MonthlyClimate {
            ghi_wh_m2_day: ghi,
            air_mean_c: air,
            air_range_k: air,
            yearly_low_c: edge[3],
            yearly_high_c: edge[4],
        };
        let grid = TimeGrid::days(300, 70, 3600, 0);
        let suns = SunTable::new(&Observer::in_standard_air(location), grid, DELTA_T_S);
        let weather = synthetic_year(&monthly, &location, &suns, seed, MonthlySums::Drawn);
        prop_assert_eq!(weather.ghi_w_m2.len(), grid.len());
        let _ = climate_grid().at(&location);
    }
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn random_bytes_are_no_weather_file_and_no_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let text = String::from_utf8_lossy(&bytes);
        let error = WeatherFile::read(&text).unwrap_err();
        prop_assert!(!error.expected.is_empty());
        let begun = format!("LOCATION,{text}");
        prop_assert!(WeatherFile::read(&begun).is_err());
    }
}

proptest! {
    #![proptest_config(draws(48))]

    #[test]
    fn a_damaged_weather_file_is_refused_with_a_place_or_read(
        at in any::<prop::sample::Index>(),
        put in "[0-9a-z\",:/\n.-]{0,4}",
        cut in 0..6_usize,
    ) {
        let path = test_data_path("723170TYA_greensboro_nc_tmy3.csv");
        let mut text = std::fs::read_to_string(path).unwrap();
        let from = at.index(text.len() - 6);
        text.replace_range(from..from + cut, &put);
        if let Err(error) = WeatherFile::read(&text) {
            prop_assert!(!error.expected.is_empty());
            prop_assert!(error.line <= text.lines().count());
        }
    }
}
