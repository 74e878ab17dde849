//! By which clock a file was written.

use jiff::Timestamp;
use jiff::tz::TimeZone;

const HOUR_S: i64 = 3_600;

/// By which clock the times of a file are meant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum FileTime {
    /// As the file itself tells: by offsets from UTC beside its times, by its kind, by skipped and repeated hours; else standard time.
    #[default]
    AsFound,
    /// Standard time of the site all year.
    Standard,
    /// The clock on the wall at the site, summer time included.
    WallClock,
    /// A clock that stays at one offset from UTC, s, east positive; 0 is UTC.
    Offset {
        /// The offset.
        utc_offset_s: i64,
    },
}

/// What the clocks at the site show.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SiteTime<'a> {
    /// Offset of local standard time from UTC, h, east positive.
    pub utc_offset_h: f64,
    /// Rule of summer time after POSIX; none: standard time all year.
    pub clock_rule: Option<&'a str>,
}

impl SiteTime<'_> {
    /// Offset of local standard time from UTC, s.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "an offset is clamped to a day"
    )]
    pub(crate) fn utc_offset_s(&self) -> i64 {
        (self.utc_offset_h.clamp(-24.0, 24.0) * 3_600.0) as i64
    }
}

/// Sets times of a clock on the wall, in the order in which they passed, to standard time.
///
/// What comes twice is first summer time and then standard time; a time that the clock skips is taken as standard time.
#[derive(Debug)]
pub(crate) struct WallClock {
    zone: Option<TimeZone>,
    utc_offset_s: i64,
    last_s: i64,
}

impl WallClock {
    /// The clock of a site; without a rule that can be read it shows standard time.
    pub(crate) fn of(site: &SiteTime<'_>) -> Self {
        Self {
            zone: site.clock_rule.and_then(|rule| TimeZone::posix(rule).ok()),
            utc_offset_s: site.utc_offset_s(),
            last_s: i64::MIN,
        }
    }

    /// Standard time of a time on the wall, both in s since 1 January 1970 00:00 of their clocks.
    pub(crate) fn standard_s(&mut self, wall_s: i64) -> i64 {
        // In most places an hour; found on whichever side of a change the clock then stands.
        let ahead_s = (self.advance_s(wall_s)).max(self.advance_s(wall_s.saturating_sub(HOUR_S)));
        let summer_s = wall_s.saturating_sub(ahead_s);
        let in_summer = ahead_s > 0 && self.advance_s(summer_s) == ahead_s;
        let in_winter = self.advance_s(wall_s) == 0;
        let standard_s = if in_summer && (!in_winter || summer_s > self.last_s) {
            summer_s
        } else {
            wall_s
        };
        self.last_s = standard_s;
        standard_s
    }

    /// How far the clock is ahead of standard time, s.
    fn advance_s(&self, standard_s: i64) -> i64 {
        let utc = Timestamp::from_second(standard_s.saturating_sub(self.utc_offset_s));
        match (&self.zone, utc) {
            (Some(zone), Ok(utc)) => i64::from(zone.to_offset(utc).seconds()) - self.utc_offset_s,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard times of a day, of times on the wall, both in multiples of a unit.
    fn standard(clock: &mut WallClock, day_s: i64, unit_s: i64, wall: &[i64]) -> Vec<i64> {
        (wall.iter())
            .map(|time| (clock.standard_s(day_s + time * unit_s) - day_s) / unit_s)
            .collect()
    }

    /// In 2025 clocks of Central Europe go from 2:00 to 3:00 on 30 March and from 3:00 back to 2:00 on 26 October (Directive
    /// 2000/84/EC: the last Sundays, at 1:00 UTC).
    #[test]
    fn the_hour_that_comes_twice_is_summer_time_first() {
        let mut clock = WallClock::of(&SiteTime {
            utc_offset_h: 1.0,
            clock_rule: Some("CET-1CEST,M3.5.0,M10.5.0/3"),
        });
        let (march_s, october_s) = (1_743_292_800, 1_761_436_800);
        let mut hours = |day_s, wall: &[i64]| standard(&mut clock, day_s, HOUR_S, wall);
        assert_eq!(hours(march_s, &[0, 1, 3, 4]), [0, 1, 2, 3]);
        assert_eq!(hours(october_s, &[0, 1, 2, 2, 3]), [-1, 0, 1, 2, 3]);
    }

    /// On Lord Howe Island clocks go from 2:00 to 2:30 on the first Sunday of October and from 2:00 back to 1:30 on that of April
    /// (time zone database, `Australia/Lord_Howe`): 5 April and 4 October 2026.
    #[test]
    fn a_clock_that_goes_ahead_by_half_an_hour_comes_back_by_as_much() {
        let mut clock = WallClock::of(&SiteTime {
            utc_offset_h: 10.5,
            clock_rule: Some("<+1030>-10:30<+11>-11,M10.1.0,M4.1.0"),
        });
        let (april_s, october_s) = (1_775_347_200, 1_791_072_000);
        let mut minutes = |day_s, wall: &[i64]| standard(&mut clock, day_s, 60, wall);
        let april = minutes(april_s, &[60, 90, 105, 90, 105, 120]);
        assert_eq!(april, [30, 60, 75, 90, 105, 120]);
        let october = minutes(october_s, &[90, 105, 150, 180]);
        assert_eq!(october, [90, 105, 120, 150]);
    }
}
