//! Dates and times as meters write them.

use super::layout::DateOrder;

/// A time of the civil calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    /// Seconds since 1 January 1970 00:00 on the clock that wrote it.
    pub(super) clock_s: i64,
    /// Offset of that clock from UTC, s, if it stands after the time; `Z` is 0.
    pub(super) utc_offset_s: Option<i64>,
}

impl Stamp {
    /// The time as it is written, in one form for all files.
    pub(super) fn written(&self) -> String {
        let clock = words(self.clock_s);
        match self.utc_offset_s {
            None => clock,
            Some(offset_s) => format!("{clock} {}", offset_words(offset_s)),
        }
    }
}

/// An offset from UTC, s, east positive, in words, such as `UTC+5:30`.
#[must_use]
pub fn offset_words(utc_offset_s: i64) -> String {
    let sign = if utc_offset_s < 0 { '\u{2212}' } else { '+' };
    let minutes = utc_offset_s.unsigned_abs() / 60;
    match minutes {
        0 => "UTC".to_owned(),
        _ => format!("UTC{sign}{}:{:02}", minutes / 60, minutes % 60),
    }
}

/// A day of the civil calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Date {
    pub(super) year: i64,
    /// 1 to 12.
    pub(super) month: i64,
    /// 1 to 31.
    pub(super) day: i64,
}

const DAY_S: i64 = 86_400;

/// Reads a date and a time in one text. Dates: `2025-01-31`, `31.01.2025`, `1/31/2025`; times: `13:45`, `13:45:00`,
/// `1:45 PM`; after the time an offset from UTC may stand: `Z`, `+01:00`, `-0500`, `+2`.
pub(super) fn stamp(text: &str, order: DateOrder) -> Option<Stamp> {
    let text = text.trim();
    let date_end = text
        .find(|letter: char| letter == 'T' || letter.is_whitespace())
        .unwrap_or(text.len());
    let (date_text, time_text) = text.split_at_checked(date_end)?;
    let date = date(date_text, order)?;
    let time_text = time_text.trim_start_matches('T').trim();
    let (time_s, utc_offset_s) = if time_text.is_empty() {
        (0, None)
    } else {
        time(time_text)?
    };
    Some(Stamp {
        clock_s: days_since_1970(date) * DAY_S + time_s,
        utc_offset_s,
    })
}

/// The three numbers of a date, in the order in which they stand.
pub(super) fn date_numbers(text: &str) -> Option<[i64; 3]> {
    let mut parts = text.split(['-', '.', '/']);
    let mut next = || whole(parts.next()?);
    let numbers = [next()?, next()?, next()?];
    parts.next().is_none().then_some(numbers)
}

fn date(text: &str, order: DateOrder) -> Option<Date> {
    let [first, second, third] = date_numbers(text)?;
    let (year, month, day) = if first > 31 {
        (first, second, third)
    } else if order == DateOrder::DayFirst {
        (third, second, first)
    } else {
        (third, first, second)
    };
    let year = if year < 100 { 2_000 + year } else { year };
    let date = Date { year, month, day };
    let sound = (1900..=2200).contains(&year) && date_of(days_since_1970(date)) == date;
    sound.then_some(date)
}

/// Seconds after midnight, up to the whole day, and the offset from UTC that stands after it, s.
fn time(text: &str) -> Option<(i64, Option<i64>)> {
    let end = text
        .find(|letter: char| !letter.is_ascii_digit() && letter != ':' && letter != '.')
        .unwrap_or(text.len());
    let (clock, rest) = text.split_at_checked(end)?;
    let mut parts = clock.split(':');
    let hour = whole(parts.next()?)?;
    let minute = whole(parts.next()?)?;
    let second = match parts.next() {
        Some(second) => whole(second.split('.').next()?)?,
        None => 0,
    };
    let hour = match rest.trim().to_ascii_uppercase().as_str() {
        "PM" if hour < 12 => hour + 12,
        "AM" if hour == 12 => 0,
        _ => hour,
    };
    let time_s = hour * 3_600 + minute * 60 + second;
    let sound = parts.next().is_none() && minute < 60 && second < 60 && time_s <= DAY_S;
    sound.then(|| (time_s, offset_s(rest.trim())))
}

/// An offset from UTC, s, east positive.
fn offset_s(text: &str) -> Option<i64> {
    if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
        return Some(0);
    }
    let sign = match text.chars().next()? {
        '+' => 1,
        '-' | '\u{2212}' => -1,
        _ => return None,
    };
    let digits = text.trim_start_matches(['+', '-', '\u{2212}']);
    let (hours, minutes) = match digits.split_once(':') {
        Some(parts) => parts,
        None if digits.len() > 2 => digits.split_at_checked(digits.len() - 2)?,
        None => (digits, "0"),
    };
    let (hours, minutes) = (whole(hours)?, whole(minutes)?);
    (hours <= 14 && minutes < 60).then_some(sign * (hours * 3_600 + minutes * 60))
}

/// A whole number of one to four digits.
fn whole(text: &str) -> Option<i64> {
    let digits = !text.is_empty() && text.len() <= 4 && text.bytes().all(|b| b.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

/// Days since 1 January 1970 of a date of the Gregorian calendar.
///
/// Derived: years counted from March, so that the leap day comes last; 146,097 days in 400 years.
pub(super) fn days_since_1970(date: Date) -> i64 {
    let from_march = (date.month + 9).rem_euclid(12);
    let year = date.year - i64::from(date.month <= 2);
    let (era, year_of_era) = (year.div_euclid(400), year.rem_euclid(400));
    let day_of_year = (153 * from_march + 2) / 5 + date.day - 1;
    era * 146_097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year - 719_468
}

/// The date of a day that counts from 1 January 1970.
pub(super) fn date_of(days: i64) -> Date {
    let days = days + 719_468;
    let (era, day_of_era) = (days.div_euclid(146_097), days.rem_euclid(146_097));
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let from_march = (5 * day_of_year + 2) / 153;
    let month = (from_march + 2) % 12 + 1;
    Date {
        year: era * 400 + year_of_era + i64::from(month <= 2),
        month,
        day: day_of_year - (153 * from_march + 2) / 5 + 1,
    }
}

/// A clock time in words, such as `2025-01-31 13:45`.
pub(crate) fn words(clock_s: i64) -> String {
    let Date { year, month, day } = date_of(clock_s.div_euclid(DAY_S));
    let time_s = clock_s.rem_euclid(DAY_S);
    format!(
        "{year}-{month:02}-{day:02} {:02}:{:02}",
        time_s / 3_600,
        time_s / 60 % 60
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<String> {
        stamp(text, DateOrder::DayFirst).map(|stamp| words(stamp.clock_s))
    }

    #[test]
    fn stamps_are_read_as_meters_write_them() {
        for text in [
            "2025-01-31 13:45",
            "2025-01-31T13:45:00+01:00",
            "31.01.2025 13:45",
            "31/1/2025 1:45:00 PM",
            "31.01.25 13:45:00.000",
        ] {
            assert_eq!(read(text).as_deref(), Some("2025-01-31 13:45"), "{text}");
        }
        assert_eq!(
            read("2025-12-31 24:00").as_deref(),
            Some("2026-01-01 00:00")
        );
        assert!(
            stamp("2025-01-31T13:45Z", DateOrder::DayFirst)
                .is_some_and(|stamp| stamp.utc_offset_s == Some(0))
        );
        for (text, offset_s) in [
            ("2025-01-31T13:45:00+01:00", Some(3_600)),
            ("2025-01-31 13:45 -0530", Some(-19_800)),
            ("2025-01-31 13:45 +2", Some(7_200)),
            ("31/1/2025 1:45:00 PM", None),
            ("2025-01-31 13:45", None),
        ] {
            let found = stamp(text, DateOrder::DayFirst).and_then(|stamp| stamp.utc_offset_s);
            assert_eq!(found, offset_s, "{text}");
        }
        let american = stamp("01/31/2025 00:15", DateOrder::MonthFirst).map(|at| words(at.clock_s));
        assert_eq!(american.as_deref(), Some("2025-01-31 00:15"));
    }

    #[test]
    fn what_is_no_date_is_refused() {
        for text in [
            "",
            "13:45",
            "2025-02-29 00:00",
            "2025-13-01",
            "0.25",
            "31/31/2025",
            "2025-1-1 25:00",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn days_and_dates_are_each_others_inverse() {
        assert_eq!(
            days_since_1970(Date {
                year: 1970,
                month: 1,
                day: 1
            }),
            0
        );
        assert_eq!(
            days_since_1970(Date {
                year: 2000,
                month: 3,
                day: 1
            }),
            11_017
        );
        for days in -30_000..30_000 {
            assert_eq!(days_since_1970(date_of(days)), days);
        }
    }
}
