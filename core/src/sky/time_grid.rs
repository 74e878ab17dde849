//! The steps of a run.

/// The year in which a run's sun stands: 2026, half-way between two leap years, so that the sun's declination on each
/// date is near its mean over the four-year cycle. It has no leap day and begins on a Thursday.
pub const REFERENCE_YEAR: i32 = 2026;

/// Days of a run's year; leap days are dropped.
pub const DAYS_PER_YEAR: u32 = 365;

const DAYS_PER_MONTH: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const SECONDS_PER_DAY: i64 = 86_400;
const HALF_SECONDS_PER_DAY: i64 = 2 * SECONDS_PER_DAY;
const LEAP_DAY: i64 = 59;

/// Equal steps of local standard time. Values belong to the middle of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TimeGrid {
    /// Calendar year of the sun's positions; a leap day in it is passed over.
    pub year: i32,
    /// Day of the year on which the first step begins at midnight: 0 is 1 January, to 364.
    pub first_day: u32,
    /// Length of a step, s, at least 1; a day should hold a whole number of steps.
    pub step_s: u32,
    /// Number of steps; the run goes on into 1 January of the same year where they pass 31 December.
    pub steps: u32,
    /// Offset of local standard time from UTC, s, east positive.
    pub utc_offset_s: i32,
}

impl TimeGrid {
    /// All 365 days of the reference year.
    #[must_use]
    pub fn whole_year(step_s: u32, utc_offset_s: i32) -> Self {
        Self::days(0, DAYS_PER_YEAR, step_s, utc_offset_s)
    }

    /// Some whole days of the reference year, from `first_day` on.
    #[must_use]
    pub fn days(first_day: u32, days: u32, step_s: u32, utc_offset_s: i32) -> Self {
        let step_s = step_s.max(1);
        Self {
            year: REFERENCE_YEAR,
            first_day,
            step_s,
            steps: days.saturating_mul(86_400 / step_s),
            utc_offset_s,
        }
    }

    /// Number of steps, for the length of series.
    #[must_use]
    pub fn len(&self) -> usize {
        self.steps as usize
    }

    /// Whether there is no step.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.steps == 0
    }

    /// Length of a step, h.
    #[must_use]
    pub fn step_h(&self) -> f64 {
        f64::from(self.step_s) / 3600.0
    }

    /// Day of the year in which the middle of step `index` lies, 0 is 1 January, to 364.
    #[must_use]
    pub fn day(&self, index: usize) -> u32 {
        let days = self.mid_half_s(index).div_euclid(HALF_SECONDS_PER_DAY);
        u32::try_from(days.rem_euclid(i64::from(DAYS_PER_YEAR))).unwrap_or(0)
    }

    /// Month in which the middle of step `index` lies, 0 is January, to 11.
    #[must_use]
    pub fn month(&self, index: usize) -> usize {
        month_of_day(self.day(index))
    }

    /// Local standard time at the middle of step `index`, h after midnight, 0 to 24.
    #[must_use]
    pub fn hour(&self, index: usize) -> f64 {
        hours(self.mid_half_s(index).rem_euclid(HALF_SECONDS_PER_DAY))
    }

    /// Time at the middle of step `index`, half seconds of local standard time since 1 January, leap day left out.
    fn mid_half_s(&self, index: usize) -> i64 {
        let index = i64::try_from(index).unwrap_or(i64::MAX / 200_000);
        i64::from(self.first_day) * HALF_SECONDS_PER_DAY
            + (2 * index + 1) * i64::from(self.step_s.max(1))
    }

    /// Universal time at the middle of step `index`, half seconds since the start of 1 January of `year`.
    pub(super) fn universal_half_s(&self, index: usize) -> i64 {
        let in_year = self
            .mid_half_s(index)
            .rem_euclid(i64::from(DAYS_PER_YEAR) * HALF_SECONDS_PER_DAY);
        let leap = is_leap_year(self.year) && in_year >= LEAP_DAY * HALF_SECONDS_PER_DAY;
        in_year - 2 * i64::from(self.utc_offset_s) + i64::from(leap) * HALF_SECONDS_PER_DAY
    }
}

/// Month of a day of the year, both from 0.
#[must_use]
pub fn month_of_day(day: u32) -> usize {
    let mut last = 0;
    DAYS_PER_MONTH
        .iter()
        .position(|days| {
            last += days;
            day < last
        })
        .unwrap_or(11)
}

/// Number of days of a month, 0 is January; February has 28.
#[must_use]
pub fn days_of_month(month: usize) -> u32 {
    DAYS_PER_MONTH.get(month).copied().unwrap_or(0)
}

/// Day of the year, from 0, on which a month begins.
#[must_use]
pub fn first_day_of_month(month: usize) -> u32 {
    DAYS_PER_MONTH.iter().take(month).sum()
}

pub(super) fn is_leap_year(year: i32) -> bool {
    year.rem_euclid(4) == 0 && (year.rem_euclid(100) != 0 || year.rem_euclid(400) == 0)
}

fn hours(half_s: i64) -> f64 {
    #[expect(
        clippy::cast_precision_loss,
        reason = "half seconds of a day are small"
    )]
    let half_s = half_s as f64;
    half_s / 7200.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_of_quarter_hours_has_35040_steps_that_end_in_december() {
        let grid = TimeGrid::whole_year(900, -5 * 3600);
        assert_eq!(grid.len(), 35_040);
        assert_eq!((grid.day(0), grid.month(0), grid.hour(0)), (0, 0, 0.125));
        let last = grid.len() - 1;
        assert_eq!(
            (grid.day(last), grid.month(last), grid.hour(last)),
            (364, 11, 23.875)
        );
        assert_eq!(grid.universal_half_s(0), 2 * 450 + 2 * 5 * 3600);
    }

    #[test]
    fn steps_beyond_december_are_those_of_january() {
        let grid = TimeGrid::days(364, 2, 3600, 0);
        assert_eq!((grid.day(23), grid.day(24)), (364, 0));
        assert_eq!(grid.universal_half_s(24), 3600);
    }

    #[test]
    fn a_leap_day_is_passed_over() {
        let leap = TimeGrid {
            year: 2024,
            ..TimeGrid::whole_year(3600, 0)
        };
        let plain = TimeGrid::whole_year(3600, 0);
        let (feb_28, mar_1) = (58 * 24, 59 * 24);
        assert_eq!(
            leap.universal_half_s(feb_28),
            plain.universal_half_s(feb_28)
        );
        assert_eq!(
            leap.universal_half_s(mar_1) - plain.universal_half_s(mar_1),
            HALF_SECONDS_PER_DAY
        );
        assert_eq!((leap.day(mar_1), leap.month(mar_1)), (59, 2));
    }

    #[test]
    fn months_begin_and_end_where_the_calendar_says() {
        assert_eq!(month_of_day(0), 0);
        assert_eq!(month_of_day(30), 0);
        assert_eq!(month_of_day(31), 1);
        assert_eq!(month_of_day(364), 11);
        assert_eq!(first_day_of_month(2), 59);
        assert_eq!((0..12).map(days_of_month).sum::<u32>(), DAYS_PER_YEAR);
    }
}
