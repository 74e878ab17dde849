//! The prices of a day by season, as a household reads them off its tariff sheet.

use super::clock::StepTime;
use super::tariff::Tariff;

/// Parts of a day that are told apart: half hours.
const PARTS: u32 = 48;

/// Months in which the same prices hold at the same hours.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// The months, 0 is January, in rising order.
    pub months: Vec<usize>,
    /// Monday to Friday.
    pub weekday: Vec<PriceRun>,
    /// Saturday, Sunday and holidays.
    pub weekend: Vec<PriceRun>,
}

/// Hours in a row at which one period holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PriceRun {
    /// Hour at which they begin, by the clock.
    pub from_h: f64,
    /// Hour at which they end, to 24.
    pub to_h: f64,
    /// Place of the period in the tariff.
    pub period: usize,
    /// Price of bought energy in its first tier, currency per kWh.
    pub buy_cur_per_kwh: f64,
}

/// The seasons of a tariff, in the order in which they first come in a year. Hours are told to the half hour.
#[must_use]
pub fn seasons(tariff: &Tariff) -> Vec<Season> {
    let mut seasons: Vec<Season> = Vec::new();
    for month in 0..12 {
        let (weekday, weekend) = (day(tariff, month, 0), day(tariff, month, 6));
        let known = seasons
            .iter_mut()
            .find(|season| season.weekday == weekday && season.weekend == weekend);
        match known {
            Some(season) => season.months.push(month),
            None => seasons.push(Season {
                months: vec![month],
                weekday,
                weekend,
            }),
        }
    }
    seasons
}

fn day(tariff: &Tariff, month: usize, weekday: u32) -> Vec<PriceRun> {
    let mut runs: Vec<PriceRun> = Vec::new();
    for part in 0..PARTS {
        let (from_h, to_h) = (f64::from(part) / 2.0, f64::from(part + 1) / 2.0);
        let time = StepTime {
            day: 0,
            month,
            weekday,
            holiday: false,
            hour: from_h + 0.25,
        };
        let period = tariff.period_at(&time);
        match runs.last_mut() {
            Some(run) if run.period == period => run.to_h = to_h,
            _ => runs.push(PriceRun {
                from_h,
                to_h,
                period,
                buy_cur_per_kwh: tariff.first_price(period),
            }),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    #[test]
    fn a_tariff_without_seasons_has_one_and_weekends_lack_the_peak() {
        let seasons = seasons(&demo().tariff);
        assert_eq!(seasons.len(), 1);
        assert_eq!(seasons[0].months.len(), 12);
        let hours = |runs: &[PriceRun]| -> Vec<(f64, f64, f64)> {
            runs.iter()
                .map(|run| (run.from_h, run.to_h, run.buy_cur_per_kwh))
                .collect()
        };
        assert_eq!(
            hours(&seasons[0].weekday),
            [
                (0.0, 6.0, 0.10),
                (6.0, 16.0, 0.17),
                (16.0, 21.0, 0.36),
                (21.0, 23.0, 0.17),
                (23.0, 24.0, 0.10)
            ]
        );
        assert_eq!(
            hours(&seasons[0].weekend),
            [(0.0, 6.0, 0.10), (6.0, 23.0, 0.17), (23.0, 24.0, 0.10)]
        );
    }

    #[test]
    fn summer_months_are_a_season_of_their_own() {
        let mut tariff = demo().tariff;
        for month in [0, 1, 2, 3, 4, 9, 10, 11] {
            tariff.periods[0].windows[0].months[month] = false;
        }
        let seasons = seasons(&tariff);
        assert_eq!(seasons.len(), 2);
        assert_eq!(seasons[1].months, [5, 6, 7, 8]);
    }
}
