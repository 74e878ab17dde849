//! Laws of the clocks of meter files: one year, written by any clock, comes back as the same year in standard time.
//!
//! Clocks of Central Europe in 2025 go from 2:00 to 3:00 on 30 March and from 3:00 back to 2:00 on 26 October (Directive 2000/84/EC: the
//! last Sundays, at 1:00 UTC), so that those days have 23 and 25 hours.

use couplet_core::loads::csv::{FileTime, SiteTime};
use couplet_core::usage::{MeterYear, read_meter_file};

const SITE: SiteTime<'_> = SiteTime {
    utc_offset_h: 1.0,
    clock_rule: Some("CET-1CEST,M3.5.0,M10.5.0/3"),
};
/// 1 January 2025 00:00 at the site, s since 1970 in UTC.
const BEGIN_UTC_S: i64 = 1_735_689_600 - 3600;
/// Hours of standard time of the year at which summer time begins and ends.
const SUMMER: std::ops::Range<i64> = (88 * 24 + 2)..(298 * 24 + 2);

/// Energy of a quarter hour of the year, Wh: each its own.
fn energy_wh(quarter: i64) -> i64 {
    100 + quarter % 96 + quarter / 96
}

/// Hours by which the wall clock is ahead at a quarter hour.
fn ahead(quarter: i64) -> i64 {
    i64::from(SUMMER.contains(&quarter.div_euclid(4)))
}

fn date(clock_s: i64) -> String {
    let days = clock_s.div_euclid(86_400) - 20_089;
    let day = |days: i64| {
        let days = u32::try_from(days.rem_euclid(365)).expect("a day of the year");
        let month = couplet_core::sky::month_of_day(days);
        (
            month + 1,
            days - couplet_core::sky::first_day_of_month(month) + 1,
        )
    };
    let year = 2025 + days.div_euclid(365);
    let (month, of_month) = day(days);
    let of_day_s = clock_s.rem_euclid(86_400);
    format!(
        "{year}-{month:02}-{of_month:02} {:02}:{:02}",
        of_day_s / 3600,
        of_day_s / 60 % 60
    )
}

/// A table of quarter hours, each stamped `by` hours from UTC, with what `tail` puts after the time.
fn table(by: impl Fn(i64) -> i64, tail: impl Fn(i64) -> String) -> String {
    let rows = (0..35_040).map(|quarter| {
        let clock_s = BEGIN_UTC_S + quarter * 900 + by(quarter) * 3600;
        format!(
            "{}{},{}\n",
            date(clock_s),
            tail(quarter),
            energy_wh(quarter)
        )
    });
    std::iter::once("time,Wh\n".to_owned())
        .chain(rows)
        .collect()
}

/// A feed whose times are `by` hours from UTC.
fn feed(by: impl Fn(i64) -> i64) -> String {
    let readings: String = (0..35_040)
        .map(|quarter| {
            format!(
                "<IntervalReading><timePeriod><duration>900</duration><start>{}</start></timePeriod><value>{}</value></IntervalReading>\n",
                BEGIN_UTC_S + quarter * 900 + by(quarter) * 3600,
                energy_wh(quarter)
            )
        })
        .collect();
    format!(
        "<feed><entry><content><IntervalBlock>{readings}</IntervalBlock></content></entry></feed>"
    )
}

fn read(text: &str, time: FileTime) -> MeterYear {
    read_meter_file("meter", text, None, &SITE, time).expect("it can be read")
}

/// Every quarter hour is where it was.
fn assert_right(found: &MeterYear, what: &str) {
    assert_eq!((found.interval_s, found.filled), (900, 0), "{what}");
    for (quarter, power_w) in (0..).zip(found.bought_w.iter()) {
        #[expect(clippy::cast_precision_loss, reason = "a few hundred Wh")]
        let expected_w = 4.0 * energy_wh(quarter) as f64;
        assert_eq!(*power_w, expected_w, "{what}: quarter {quarter}");
    }
}

fn rows_of(text: &str, day: &str) -> usize {
    text.lines().filter(|line| line.starts_with(day)).count()
}

#[test]
fn a_year_by_the_wall_clock_comes_back_whether_found_or_told() {
    let text = table(|quarter| 1 + ahead(quarter), |_| String::new());
    assert_eq!(
        (rows_of(&text, "2025-03-30"), rows_of(&text, "2025-10-26")),
        (23 * 4, 25 * 4)
    );
    for time in [FileTime::AsFound, FileTime::WallClock] {
        let found = read(&text, time);
        assert!(found.summer_time);
        assert_right(&found, &format!("{time:?}"));
        // The first of July is shown, an hour back.
        assert_eq!(found.beginnings[3].written, "2025-07-01 01:00");
        assert_eq!(found.beginnings[3].standard, "2025-07-01 00:00");
    }
}

#[test]
fn a_year_in_standard_time_comes_back_whether_found_or_told() {
    let text = table(|_| 1, |_| String::new());
    assert_eq!(
        (rows_of(&text, "2025-03-30"), rows_of(&text, "2025-10-26")),
        (24 * 4, 24 * 4)
    );
    for time in [FileTime::AsFound, FileTime::Standard] {
        assert_right(&read(&text, time), &format!("{time:?}"));
    }
}

#[test]
fn a_year_at_another_offset_comes_back_where_that_is_told() {
    for hours in [0, -5, 3] {
        let text = table(|_| hours, |_| String::new());
        let time = FileTime::Offset {
            utc_offset_s: hours * 3600,
        };
        assert_right(&read(&text, time), &format!("UTC {hours}"));
    }
    // Told wrongly, everything lies an hour off.
    let text = table(|_| 0, |_| String::new());
    let found = read(&text, FileTime::Standard);
    assert_eq!(
        found.bought_w[4],
        read(&text, FileTime::Offset { utc_offset_s: 0 }).bought_w[8]
    );
}

#[test]
fn offsets_beside_the_times_tell_all() {
    let tail = |quarter: i64| format!("+0{}:00", 1 + ahead(quarter));
    let text = table(|quarter| 1 + ahead(quarter), tail);
    let found = read(&text, FileTime::AsFound);
    assert!(found.offsets && !found.summer_time);
    assert_right(&found, "offsets");
    assert_eq!(found.beginnings[0].written, "2025-01-01 00:00 UTC+1:00");
    let utc = table(|_| 0, |_| "Z".to_owned());
    assert_right(&read(&utc, FileTime::AsFound), "Z");
}

/// Where the meter puts both of the autumn's hours into one, the hour after it is missing and is filled from a day nearby; all other
/// hours are right. That is only known if the clock is told.
#[test]
fn an_autumn_hour_that_is_there_once_leaves_one_gap() {
    let whole = table(|quarter| 1 + ahead(quarter), |_| String::new());
    let (mut seen, mut text) = (0, String::new());
    for line in whole.lines() {
        if line.starts_with("2025-10-26 02:") {
            seen += 1;
            if seen > 4 {
                continue;
            }
        }
        text += line;
        text.push('\n');
    }
    assert_right_but_for_a_gap(&read(&text, FileTime::WallClock));
    // In a feed both of the hours have the same time, and the second one counts as repeated.
    let local = read(&feed(|quarter| 1 + ahead(quarter)), FileTime::WallClock);
    assert_eq!(local.repeated, 4);
    assert_right_but_for_a_gap(&local);
}

fn assert_right_but_for_a_gap(found: &MeterYear) {
    assert_eq!(found.filled, 4);
    for (quarter, power_w) in (0..).zip(found.bought_w.iter()) {
        if quarter / 4 == SUMMER.end {
            continue;
        }
        #[expect(clippy::cast_precision_loss, reason = "a few hundred Wh")]
        let expected_w = 4.0 * energy_wh(quarter) as f64;
        assert_eq!(*power_w, expected_w, "quarter {quarter}");
    }
}

/// Green Button times are UTC (NAESB REQ.21); some files hold local times as if they were.
#[test]
fn a_feed_in_utc_or_by_a_local_clock_comes_back() {
    assert_right(&read(&feed(|_| 0), FileTime::AsFound), "UTC");
    assert_right(
        &read(&feed(|_| 0), FileTime::Offset { utc_offset_s: 0 }),
        "UTC told",
    );
    assert_right(&read(&feed(|_| 1), FileTime::Standard), "standard time");
    assert_right(
        &read(
            &feed(|_| 3),
            FileTime::Offset {
                utc_offset_s: 10_800,
            },
        ),
        "UTC+3",
    );
}

#[test]
fn a_row_that_is_there_twice_is_left_out_once_and_summer_time_is_still_found() {
    let text = table(|quarter| 1 + ahead(quarter), |_| String::new());
    let line = text.lines().nth(5_000).expect("a row");
    let twice = text.replacen(line, &format!("{line}\n{line}"), 1);
    let found = read(&twice, FileTime::AsFound);
    assert_eq!((found.repeated, found.summer_time), (1, true));
    assert_right(&found, "a row twice");
    let unlike = text.replacen(line, &format!("{line}\n{line}9"), 1);
    let refused = read_meter_file("meter", &unlike, None, &SITE, FileTime::WallClock).unwrap_err();
    assert!(
        refused[0].starts_with("line 500") && refused[0].contains("twice"),
        "{refused:?}"
    );
}
