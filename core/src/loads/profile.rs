//! Standard load profiles as hours of a year.

use super::bdew::{H0, H25, Week};
use crate::calendar::weekday;
use crate::household::LoadProfile;
use crate::sky::{DAYS_PER_YEAR, first_day_of_month, month_of_day};

/// Hourly means of a year in the shape of a profile, W.
///
/// - `energy_wh`: energy of the whole year (one value) or of each month (twelve), Wh; each is met to rounding
/// - `latitude_deg`: south of the equator the seasons of the profile come half a year later
pub(super) fn hourly_w(profile: LoadProfile, energy_wh: &[f64], latitude_deg: f64) -> Vec<f64> {
    let later = if latitude_deg < 0.0 { HALF_YEAR } else { 0 };
    let mut power_w: Vec<f64> = (0..DAYS_PER_YEAR)
        .flat_map(|day| day_shape(profile, weekday(day), (day + later) % DAYS_PER_YEAR))
        .collect();
    if let [energy_wh] = energy_wh {
        scale(&mut power_w, *energy_wh);
        return power_w;
    }
    for (month, energy_wh) in energy_wh.iter().enumerate() {
        let (from, to) = (first_hour_of_month(month), first_hour_of_month(month + 1));
        if let Some(power_w) = power_w.get_mut(from..to) {
            scale(power_w, *energy_wh);
        }
    }
    power_w
}

/// Days between the same season north and south of the equator.
const HALF_YEAR: u32 = 182;

fn first_hour_of_month(month: usize) -> usize {
    usize::try_from(first_day_of_month(month)).unwrap_or(0) * 24
}

/// Scales hours so that their sum is this energy.
fn scale(power_w: &mut [f64], energy_wh: f64) {
    let sum_wh: f64 = power_w.iter().sum();
    let factor = energy_wh / sum_wh;
    for power_w in power_w {
        *power_w *= factor;
    }
}

/// The 24 hours of a day in a profile's own scale, all above 0.
///
/// - `weekday`: 0 is Monday, 6 is Sunday
/// - `season_day`: day of the year from 0 as the seasons of the northern hemisphere count
fn day_shape(profile: LoadProfile, weekday: u32, season_day: u32) -> [f64; 24] {
    match profile {
        LoadProfile::Steady => [1.0; 24],
        LoadProfile::BdewH25 => of_week(H25.get(month_of_day(season_day)), weekday),
        LoadProfile::BdewH0 => {
            let factor = h0_day_factor(season_day);
            of_week(H0.get(h0_season(season_day)), weekday).map(|power_w| factor * power_w)
        }
    }
}

fn of_week(week: Option<&Week>, weekday: u32) -> [f64; 24] {
    let kind = match weekday {
        5 => 1,
        6 => 2,
        _ => 0,
    };
    week.and_then(|week| week.get(kind))
        .copied()
        .unwrap_or([1.0; 24])
}

/// Season of H0: 0 winter (1 November to 20 March), 1 transition, 2 summer (15 May to 14 September).
fn h0_season(day: u32) -> usize {
    match day {
        0..=78 | 304.. => 0,
        134..=256 => 2,
        _ => 1,
    }
}

/// Factor by which H0 changes over the year; the day counts from 0.
///
/// From memory: BDEW (VDEW 1999), `F(t) = −3.92e-10 t⁴ + 3.20e-7 t³ − 7.02e-5 t² + 2.10e-3 t + 1.24` with t = 1 on 1 January.
fn h0_day_factor(day: u32) -> f64 {
    let t = f64::from(day + 1);
    (((-3.92e-10 * t + 3.20e-7) * t - 7.02e-5) * t + 2.10e-3) * t + 1.24
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The profiles are published for 1,000 kWh a year; a year's calendar moves that by a few per mille.
    #[test]
    fn a_year_of_each_profile_is_about_1000_kwh_before_it_is_scaled() {
        for profile in [LoadProfile::BdewH0, LoadProfile::BdewH25] {
            let sum_wh: f64 = (0..DAYS_PER_YEAR)
                .flat_map(|day| day_shape(profile, weekday(day), day))
                .sum();
            assert!((sum_wh - 1e6).abs() < 4e3, "{profile:?}: {sum_wh} Wh");
        }
    }

    #[test]
    fn seasons_of_h0_change_on_their_dates() {
        let day = |month: usize, day: u32| first_day_of_month(month - 1) + day - 1;
        assert_eq!((h0_season(day(3, 20)), h0_season(day(3, 21))), (0, 1));
        assert_eq!((h0_season(day(5, 14)), h0_season(day(5, 15))), (1, 2));
        assert_eq!((h0_season(day(9, 14)), h0_season(day(9, 15))), (2, 1));
        assert_eq!((h0_season(day(10, 31)), h0_season(day(11, 1))), (1, 0));
    }

    #[test]
    fn each_month_has_its_energy() {
        let energy_wh: Vec<f64> = (1..=12).map(|month| 1e5 * f64::from(month)).collect();
        for profile in [
            LoadProfile::BdewH0,
            LoadProfile::BdewH25,
            LoadProfile::Steady,
        ] {
            let power_w = hourly_w(profile, &energy_wh, 50.0);
            for (month, energy_wh) in energy_wh.iter().enumerate() {
                let hours = first_hour_of_month(month)..first_hour_of_month(month + 1);
                let sum_wh: f64 = power_w[hours].iter().sum();
                assert!((sum_wh - energy_wh).abs() < 1e-9 * energy_wh);
            }
        }
    }

    #[test]
    fn south_of_the_equator_winter_is_in_july() {
        let energy_of = |latitude_deg: f64, month: usize| {
            let power_w = hourly_w(LoadProfile::BdewH0, &[1e6], latitude_deg);
            let hours = first_hour_of_month(month)..first_hour_of_month(month + 1);
            power_w[hours].iter().sum::<f64>()
        };
        let (north, south) = (energy_of(50.0, 0), energy_of(-50.0, 6));
        assert!((north - south).abs() < 0.02 * north, "{north} {south}");
        assert!(energy_of(-50.0, 0) < 0.85 * south);
    }
}
