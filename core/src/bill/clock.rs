//! What a clock on the wall shows at each step of a run, summer time included.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::calendar::weekday;
use crate::sky::{DAYS_PER_YEAR, TimeGrid, month_of_day};

const DAY_S: i64 = 86_400;
/// 1 January 2026, the year of a run's calendar (see [`crate::sky::REFERENCE_YEAR`]), s since 1970 in UTC.
const YEAR_BEGIN_S: i64 = 1_767_225_600;

/// A clock rule that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadClock(pub String);

/// How clocks are set.
#[derive(Clone, Debug)]
pub struct Clock {
    zone: Option<TimeZone>,
}

/// Clock time at the middle of a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepTime {
    /// Day of the year, 0 is 1 January, to 364.
    pub day: u32,
    /// Month, 0 is January.
    pub month: usize,
    /// Weekday, 0 is Monday.
    pub weekday: u32,
    /// Whether the day is a holiday of the tariff; a clock alone knows none.
    pub holiday: bool,
    /// Hours after midnight.
    pub hour: f64,
}

impl Clock {
    /// Clocks that show standard time all year.
    #[must_use]
    pub fn standard() -> Self {
        Self { zone: None }
    }

    /// Clocks after a rule such as `EST5EDT,M3.2.0,M11.1.0` or `CET-1CEST,M3.5.0,M10.5.0/3`.
    ///
    /// **Errors**: not such a rule.
    ///
    /// Source: POSIX.1-2024, section 8.3, environment variable TZ.
    pub fn by_rule(rule: &str) -> Result<Self, BadClock> {
        TimeZone::posix(rule)
            .map(|zone| Self { zone: Some(zone) })
            .map_err(|_| BadClock(rule.to_owned()))
    }

    /// Clock time of every step of a run. The run's own offset from UTC says where its steps lie; a step that the clock puts
    /// before or after the year counts on the day at the other end of it.
    #[must_use]
    pub fn times(&self, grid: &TimeGrid) -> Vec<StepTime> {
        let mut of_day = None;
        (0..grid.len())
            .map(|index| {
                let (day, hour) = (grid.day(index), grid.hour(index));
                let advance = match of_day {
                    Some((known, Some(advance_s))) if known == day => advance_s,
                    Some((known, None)) if known == day => self.advance_s(grid, day, hour),
                    _ => {
                        let (begin, end) = (
                            self.advance_s(grid, day, 0.0),
                            self.advance_s(grid, day, 24.0),
                        );
                        let whole = (begin == end).then_some(begin);
                        of_day = Some((day, whole));
                        whole.unwrap_or_else(|| self.advance_s(grid, day, hour))
                    }
                };
                StepTime::new(day, hour + advance / 3600.0)
            })
            .collect()
    }

    /// How far the clock is ahead of the run's standard time, s.
    fn advance_s(&self, grid: &TimeGrid, day: u32, hour: f64) -> f64 {
        let Some(zone) = &self.zone else {
            return 0.0;
        };
        #[expect(
            clippy::cast_possible_truncation,
            reason = "seconds of a day, 0 to 86,400"
        )]
        let of_day_s = (hour * 3600.0) as i64;
        let utc_s = YEAR_BEGIN_S + i64::from(day) * DAY_S + of_day_s - i64::from(grid.utc_offset_s);
        Timestamp::from_second(utc_s).map_or(0.0, |time| {
            f64::from(zone.to_offset(time).seconds() - grid.utc_offset_s)
        })
    }
}

impl StepTime {
    /// Whether the day is a Saturday, a Sunday or a holiday.
    #[must_use]
    pub fn is_free(&self) -> bool {
        self.holiday || self.weekday >= 5
    }

    /// Clock time, the hour may pass midnight either way.
    fn new(day: u32, hour: f64) -> Self {
        let (day, hour) = if hour >= 24.0 {
            ((day + 1) % DAYS_PER_YEAR, hour - 24.0)
        } else if hour < 0.0 {
            ((day + DAYS_PER_YEAR - 1) % DAYS_PER_YEAR, hour + 24.0)
        } else {
            (day, hour)
        };
        Self {
            day,
            month: month_of_day(day),
            weekday: weekday(day),
            holiday: false,
            hour,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hours of a year at which the clock is ahead: in 2026 US clocks change on 8 March and 1 November at 2:00, clocks of the
    /// European Union on 29 March and 25 October at 1:00 UTC (Directive 2000/84/EC: the last Sundays), those of New South
    /// Wales on 5 April and 4 October.
    #[test]
    fn clocks_change_on_the_days_of_the_rule() {
        for (rule, offset_h, first, last) in [
            ("EST5EDT,M3.2.0,M11.1.0", -5, (66, 2), (304, 1)),
            ("CET-1CEST,M3.5.0,M10.5.0/3", 1, (87, 2), (297, 2)),
        ] {
            let grid = TimeGrid::whole_year(3600, offset_h * 3600);
            let times = Clock::by_rule(rule).unwrap().times(&grid);
            let ahead =
                |index: &usize| (times[*index].hour - grid.hour(*index)).rem_euclid(24.0) == 1.0;
            let summer: Vec<usize> = (0..grid.len()).filter(ahead).collect();
            let (begin, after) = (first.0 * 24 + first.1, last.0 * 24 + last.1);
            assert_eq!(
                (summer[0], summer[summer.len() - 1] + 1),
                (begin, after),
                "{rule}"
            );
            assert_eq!(summer.len(), after - begin, "{rule}");
        }
        let south = TimeGrid::whole_year(3600, 10 * 3600);
        let times = Clock::by_rule("AEST-10AEDT,M10.1.0,M4.1.0/3")
            .unwrap()
            .times(&south);
        // The last hour of the year is already 1 January there.
        assert_eq!(
            (times[0].hour, times[8759].day, times[8759].hour),
            (1.5, 0, 0.5)
        );
        assert_eq!(times[94 * 24 + 1].hour, 2.5);
        assert_eq!(times[94 * 24 + 2].hour, 2.5);
    }

    #[test]
    fn what_is_no_rule_is_refused() {
        assert_eq!(
            Clock::by_rule("half past").unwrap_err(),
            BadClock("half past".into())
        );
        assert!(Clock::by_rule("").is_err());
    }
}
