//! The hours of a tariff as hours of the household's own.

use super::PriceRank;
use crate::bill::{DayKind, PriceRun, Tariff, Window, seasons};
use crate::coupling::{OwnHours, RunningRule, WindowAim};

/// Windows that do what a rule does at the hours of a tariff, told to the half hour as [`seasons`] does.
///
/// A rule that has windows already keeps them; self-consumption needs none.
#[must_use]
pub fn own_hours_like(rule: &RunningRule, tariff: &Tariff) -> Vec<OwnHours> {
    let RunningRule::TimeOfUse {
        discharge_in_middle_hours,
        grid_charge_to_soc,
        sell_from_battery,
    } = rule
    else {
        return match rule {
            RunningRule::OwnHours { windows } => windows.clone(),
            _ => Vec::new(),
        };
    };
    let aim = |rank: PriceRank| match rank {
        PriceRank::Flat => None,
        PriceRank::Dear => sell_from_battery.then_some(WindowAim::Sell),
        PriceRank::Middle => (!discharge_in_middle_hours).then_some(WindowAim::Hold),
        PriceRank::Cheap => Some(match *grid_charge_to_soc {
            Some(to_soc) => WindowAim::Charge { to_soc },
            None => WindowAim::Hold,
        }),
    };
    let own = |(rank, window)| aim(rank).map(|aim| OwnHours { window, aim });
    rank_windows(tariff).into_iter().filter_map(own).collect()
}

/// When the hours of a tariff have each price rank, told to the half hour as [`seasons`] does.
#[must_use]
pub fn rank_windows(tariff: &Tariff) -> Vec<(PriceRank, Window)> {
    let of_season = seasons(tariff).into_iter().flat_map(|season| {
        let mut months = [false; 12];
        for month in season.months {
            if let Some(holds) = months.get_mut(month) {
                *holds = true;
            }
        }
        let (weekday, weekend) = (ranks(&season.weekday), ranks(&season.weekend));
        by_kind_of_day(&weekday, &weekend, months)
    });
    joined(of_season)
}

/// Hours of weekdays and of weekends as windows of these months; hours of both are of every day.
pub(crate) fn by_kind_of_day<T: Copy + PartialEq>(
    weekday: &[(T, f64, f64)],
    weekend: &[(T, f64, f64)],
    months: [bool; 12],
) -> Vec<(T, Window)> {
    let window = |days: DayKind, (what, from_h, to_h): (T, f64, f64)| {
        let window = Window {
            months,
            days,
            from_h,
            to_h,
        };
        (what, window)
    };
    let on_weekdays = weekday.iter().map(|hours| match weekend.contains(hours) {
        true => window(DayKind::All, *hours),
        false => window(DayKind::Weekdays, *hours),
    });
    let other = weekend.iter().filter(|hours| !weekday.contains(hours));
    let at_weekends = other.map(|hours| window(DayKind::WeekendsAndHolidays, *hours));
    on_weekdays.chain(at_weekends).collect()
}

/// Makes one window of those that differ by their months only.
pub(crate) fn joined<T: PartialEq>(
    windows: impl IntoIterator<Item = (T, Window)>,
) -> Vec<(T, Window)> {
    let mut joined: Vec<(T, Window)> = Vec::new();
    for (what, window) in windows {
        let alike = joined.iter_mut().find(|(other, known)| {
            let months = window.months;
            *other == what && Window { months, ..*known } == window
        });
        match alike {
            Some((_, known)) => {
                for (month, more) in known.months.iter_mut().zip(window.months) {
                    *month |= more;
                }
            }
            None => joined.push((what, window)),
        }
    }
    joined
}

/// The rank of each run of prices of a day; neighbours of one rank are one run, over midnight too.
fn ranks(runs: &[PriceRun]) -> Vec<(PriceRank, f64, f64)> {
    let prices = || runs.iter().map(|run| run.buy_cur_per_kwh);
    let least = prices().fold(f64::INFINITY, f64::min);
    let most = prices().fold(f64::NEG_INFINITY, f64::max);
    let ranked = runs.iter().map(|run| {
        let rank = PriceRank::among(run.buy_cur_per_kwh, least, most);
        (rank, run.from_h, run.to_h)
    });
    in_runs(ranked)
}

/// Joins neighbours of one kind, over midnight too; the hours must be in rising order.
pub(crate) fn in_runs<T: Copy + PartialEq>(
    hours: impl IntoIterator<Item = (T, f64, f64)>,
) -> Vec<(T, f64, f64)> {
    let mut runs: Vec<(T, f64, f64)> = Vec::new();
    for (what, from_h, to_h) in hours {
        match runs.last_mut() {
            Some((last, _, end_h)) if *last == what && *end_h == from_h => *end_h = to_h,
            _ => runs.push((what, from_h, to_h)),
        }
    }
    if let [(first, 0.0, end_h), .., (last, from_h, 24.0)] = *runs.as_slice()
        && first == last
    {
        runs.pop();
        if let Some(over_midnight) = runs.first_mut() {
            *over_midnight = (first, from_h, end_h);
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::demo;

    /// Weekdays have three prices, weekends two: their dear hours are those that are in the middle on other days.
    #[test]
    fn the_nights_of_all_days_are_one_window() {
        let windows = rank_windows(&demo().tariff);
        let told: Vec<_> = (windows.iter())
            .map(|(rank, window)| (*rank, window.days, window.from_h, window.to_h))
            .collect();
        assert_eq!(
            told,
            [
                (PriceRank::Cheap, DayKind::All, 23.0, 6.0),
                (PriceRank::Middle, DayKind::Weekdays, 6.0, 16.0),
                (PriceRank::Dear, DayKind::Weekdays, 16.0, 21.0),
                (PriceRank::Middle, DayKind::Weekdays, 21.0, 23.0),
                (PriceRank::Dear, DayKind::WeekendsAndHolidays, 6.0, 23.0),
            ]
        );
    }

    #[test]
    fn windows_that_differ_by_months_are_one() {
        let of_month = |month: usize| {
            let mut months = [false; 12];
            months[month] = true;
            Window {
                months,
                days: DayKind::All,
                from_h: 1.0,
                to_h: 2.0,
            }
        };
        let joined = joined([("a", of_month(0)), ("b", of_month(1)), ("a", of_month(2))]);
        assert_eq!(joined.len(), 2);
        assert!(joined[0].1.months[0] && joined[0].1.months[2] && !joined[0].1.months[1]);
    }
}
