//! Air temperature through the year and the day, from monthly figures.

use core::f64::consts::TAU;

use super::MonthlyClimate;
use super::clearness::correlated_scores;
use crate::maths::{Random, interpolate};
use crate::sky::{DAYS_PER_YEAR, days_of_month, first_day_of_month, month_of_day};

/// Correlation of a day's mean temperature with that of the day before. From memory: near 0.7 at most stations.
const DAY_TO_DAY: f64 = 0.7;

/// Mean temperature of every day of a year.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DailyTemperature {
    /// At noon of 365 days; between noons it runs straight.
    noon_c: Vec<f64>,
    range_k: [f64; 12],
}

impl DailyTemperature {
    /// The monthly means run smoothly into one another, and each day departs from them by a draw of its own; the departures
    /// of a month add up to nothing, so that its mean stays.
    pub(super) fn new(monthly: &MonthlyClimate, random: &mut Random) -> Self {
        let days = DAYS_PER_YEAR as usize;
        let smooth_c = smooth_year_c(&monthly.air_mean_c);
        let deviation_k = monthly_deviation_k(monthly);
        let scores = correlated_scores(random, days, DAY_TO_DAY);
        let mut noon_c = Vec::with_capacity(days);
        for (month, deviation_k) in deviation_k.iter().enumerate() {
            let first = first_day_of_month(month) as usize;
            let last = first + days_of_month(month) as usize;
            let of_month = scores.get(first..last).unwrap_or_default();
            let mean = of_month.iter().sum::<f64>() / of_month.len().max(1) as f64;
            for (score, smooth_c) in of_month.iter().zip(smooth_c.iter().skip(first)) {
                // A draw further out than any of thirty years would pass the records.
                let score = (score - mean).clamp(-2.5, 2.5);
                noon_c.push(smooth_c + deviation_k * score);
            }
        }
        Self {
            noon_c,
            range_k: monthly.air_range_k,
        }
    }

    /// Air temperature at an hour of a day, °C.
    ///
    /// - `day`: 0 is 1 January
    /// - `solar_h`: mean solar time, 0 to 24 h
    ///
    /// Source: Erbs, Klein & Beckman (1983), ASHRAE J. 25 (6), 60-65; Duffie & Beckman, 4th ed., equation 22.3.1.
    pub(super) fn at_c(&self, day: u32, solar_h: f64) -> f64 {
        let days = DAYS_PER_YEAR as usize;
        let day = day as usize % days;
        let noon_c = |day: usize| self.noon_c.get(day % days).copied().unwrap_or(0.0);
        let past_noon = solar_h / 24.0 - 0.5;
        let neighbour = if past_noon < 0.0 {
            day + days - 1
        } else {
            day + 1
        };
        let share = past_noon.abs();
        let mean_c = noon_c(day) * (1.0 - share) + noon_c(neighbour) * share;
        let month = month_of_day(u32::try_from(day).unwrap_or(0));
        let range_k = self.range_k.get(month).copied().unwrap_or(0.0);
        mean_c + range_k * daily_course(solar_h)
    }
}

/// Departure from the day's mean over the daily range: lowest near sunrise, highest in mid-afternoon.
fn daily_course(solar_h: f64) -> f64 {
    let t = TAU * (solar_h - 1.0) / 24.0;
    0.4632 * libm::cos(t - 3.805)
        + 0.0984 * libm::cos(2.0 * t - 0.360)
        + 0.0168 * libm::cos(3.0 * t - 0.822)
        + 0.0138 * libm::cos(4.0 * t - 3.513)
}

/// Standard deviation of the daily means within each month, K.
///
/// Derived: among some ninety correlated days of the cold season the coldest lies about 2.2 standard deviations below the mean, and
/// its night half a daily range lower: that is the mean yearly minimum. The 2 % of hours at the hot end lie in the afternoons,
/// 0.45 of a daily range above the day's mean, of days one standard deviation above the hottest month's. Between, in proportion to
/// the months' means. Held between 0.5 and 9 K.
fn monthly_deviation_k(monthly: &MonthlyClimate) -> [f64; 12] {
    let months = || monthly.air_mean_c.iter().zip(&monthly.air_range_k);
    let coldest = months().min_by(|a, b| a.0.total_cmp(b.0));
    let hottest = months().max_by(|a, b| a.0.total_cmp(b.0));
    let (Some((&cold_c, &cold_range_k)), Some((&hot_c, &hot_range_k))) = (coldest, hottest) else {
        return [0.5; 12];
    };
    let held = |deviation_k: f64| {
        if deviation_k.is_finite() {
            deviation_k.clamp(0.5, 9.0)
        } else {
            0.5
        }
    };
    let in_cold_k = held((cold_c - 0.5 * cold_range_k - monthly.yearly_low_c) / 2.2);
    let in_heat_k = held(monthly.yearly_high_c - hot_c - 0.45 * hot_range_k);
    monthly.air_mean_c.map(|mean_c| {
        let warmth = if hot_c > cold_c {
            (mean_c - cold_c) / (hot_c - cold_c)
        } else {
            0.5
        };
        in_cold_k + (in_heat_k - in_cold_k) * warmth
    })
}

/// A temperature for each of 365 days that runs straight from mid-month to mid-month and has the means of the months.
fn smooth_year_c(mean_c: &[f64; 12]) -> Vec<f64> {
    let days = f64::from(DAYS_PER_YEAR);
    let middle =
        |month: usize| f64::from(first_day_of_month(month)) + 0.5 * f64::from(days_of_month(month));
    // December before January and January after December close the year.
    let mut middles = vec![middle(11) - days];
    middles.extend((0..12).map(middle));
    middles.push(middle(0) + days);
    let mut at_middle_c = *mean_c;
    let mut year_c = Vec::new();
    // Each round takes away three quarters of what the means are off.
    for _ in 0..40 {
        let mut values = vec![at_middle_c[11]];
        values.extend(at_middle_c);
        values.push(at_middle_c[0]);
        year_c = (0..DAYS_PER_YEAR)
            .map(|day| interpolate(f64::from(day) + 0.5, &middles, &values))
            .collect();
        for (month, (at_middle_c, mean_c)) in at_middle_c.iter_mut().zip(mean_c).enumerate() {
            let first = first_day_of_month(month) as usize;
            let count = days_of_month(month);
            let sum: f64 = year_c.iter().skip(first).take(count as usize).sum();
            *at_middle_c += mean_c - sum / f64::from(count.max(1));
        }
    }
    year_c
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smooth_year_has_the_means_of_its_months() {
        let mean_c = [
            -5.0, -3.0, 2.0, 9.0, 14.0, 18.0, 21.0, 20.0, 15.0, 9.0, 3.0, -2.0,
        ];
        let year_c = smooth_year_c(&mean_c);
        for (month, mean_c) in mean_c.iter().enumerate() {
            let first = first_day_of_month(month) as usize;
            let count = days_of_month(month) as usize;
            let of_month = year_c[first..first + count].iter().sum::<f64>() / count as f64;
            assert!((of_month - mean_c).abs() < 1e-9);
        }
    }

    /// Erbs et al. (1983): the average day has its range between lowest and highest, lowest near sunrise, highest in the afternoon.
    #[test]
    fn the_daily_course_spans_one_range_and_has_no_mean() {
        let course: Vec<f64> = (0..240)
            .map(|i| daily_course(f64::from(i) / 10.0))
            .collect();
        let (low, high) = course
            .iter()
            .fold((0.0_f64, 0.0_f64), |(low, high), &value| {
                (low.min(value), high.max(value))
            });
        assert!((high - low - 1.0).abs() < 0.05, "{}", high - low);
        assert!((course.iter().sum::<f64>() / 240.0).abs() < 1e-12);
        let at = |value: f64| course.iter().position(|&v| v == value).unwrap() / 10;
        assert!((4..=7).contains(&at(low)) && (14..=16).contains(&at(high)));
    }
}
