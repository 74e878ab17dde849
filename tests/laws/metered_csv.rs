//! Laws of reading metered intervals.

use couplet_core::loads::csv::{
    CsvProblem, CsvWrong, FileTime, MeteredYear, SiteTime, preview, read_intervals,
};
use couplet_tests::draws;
use proptest::prelude::*;

fn site(utc_offset_h: f64) -> SiteTime<'static> {
    SiteTime {
        utc_offset_h,
        clock_rule: None,
    }
}

/// Days of 2025 and 2024 as (month, day), in order.
fn dates(leap: bool) -> Vec<(u32, u32)> {
    let february = if leap { 29 } else { 28 };
    let months = [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    (1..)
        .zip(months)
        .flat_map(|(month, days)| (1..=days).map(move |day| (month, day)))
        .collect()
}

/// An hourly file of a year, one line per hour: value = hour of the year in Wh.
fn hourly_lines(year: u32) -> Vec<String> {
    dates(year.is_multiple_of(4))
        .into_iter()
        .flat_map(|(month, day)| (0..24).map(move |hour| (month, day, hour)))
        .enumerate()
        .map(|(index, (month, day, hour))| {
            format!("{year}-{month:02}-{day:02} {hour:02}:00,{index}")
        })
        .collect()
}

fn read(lines: &[String]) -> Result<MeteredYear, Vec<CsvProblem>> {
    let text = format!("time,use Wh\n{}\n", lines.join("\n"));
    let layout = preview(&text).map_err(|problem| vec![problem])?.layout;
    read_intervals("meter.csv", &text, &layout, &site(1.0), FileTime::AsFound)
}

#[test]
fn a_clean_year_comes_back_value_by_value() {
    let year = read(&hourly_lines(2025)).unwrap();
    assert_eq!(year.intervals.interval_s, 3_600);
    assert_eq!(
        (year.filled, year.summer_time, year.older_rows),
        (0, false, 0)
    );
    let expected: Vec<f64> = (0..8_760).map(f64::from).collect();
    assert_eq!(*year.intervals.power_w, *expected);
}

#[test]
fn a_file_may_run_backwards() {
    let mut lines = hourly_lines(2025);
    lines.reverse();
    assert_eq!(
        read(&lines).unwrap().intervals,
        read(&hourly_lines(2025)).unwrap().intervals
    );
}

#[test]
fn the_leap_day_is_left_out() {
    let year = read(&hourly_lines(2024)).unwrap();
    assert_eq!(year.intervals.power_w.len(), 8_760);
    // 1 March follows 28 February: 24 hours are skipped.
    assert_eq!(year.intervals.power_w[59 * 24 - 1], 59.0 * 24.0 - 1.0);
    assert_eq!(year.intervals.power_w[59 * 24], 60.0 * 24.0);
}

#[test]
fn of_two_years_the_newer_counts() {
    let lines = [hourly_lines(2023), hourly_lines(2025)].concat();
    let year = read(&lines).unwrap();
    assert_eq!(year.older_rows, 8_760);
    assert_eq!(year.intervals, read(&hourly_lines(2025)).unwrap().intervals);
}

/// Central European rules of 2025: 30 March 02:00 is skipped, 26 October 02:00 is repeated.
#[test]
fn summer_time_is_set_back_to_standard_time() {
    let standard = hourly_lines(2025);
    let days = dates(false);
    let at = |date: (u32, u32), hour: usize| {
        days.iter().position(|day| *day == date).unwrap() * 24 + hour
    };
    let (spring, autumn) = (at((3, 30), 2), at((10, 26), 2));
    let clock: Vec<String> = (0..8_760)
        .map(|hour| {
            let value = standard[hour].split(',').nth(1).unwrap();
            let shown = if (spring..autumn).contains(&hour) {
                hour + 1
            } else {
                hour
            };
            let stamp = standard[shown].split(',').next().unwrap();
            format!("{stamp},{value}")
        })
        .collect();
    assert!(clock[spring].starts_with("2025-03-30 03:00"));
    assert!(clock[autumn].starts_with("2025-10-26 02:00"));
    let year = read(&clock).unwrap();
    assert!(year.summer_time);
    assert_eq!(year.intervals, read(&standard).unwrap().intervals);
}

#[test]
fn stamps_in_utc_are_moved_to_the_site() {
    let lines: Vec<String> = hourly_lines(2025)
        .iter()
        .map(|line| line.replace(",", "Z,"))
        .collect();
    let year = read(&lines).unwrap();
    // 00:00 UTC is 01:00 at UTC+1; the year is a ring.
    assert_eq!(year.intervals.power_w[1], 0.0);
    assert_eq!(year.intervals.power_w[0], 8_759.0);
}

#[test]
fn a_small_gap_is_filled_from_the_day_beside_it() {
    let mut lines = hourly_lines(2025);
    lines.drain(1_000..1_003);
    let year = read(&lines).unwrap();
    assert_eq!(year.filled, 3);
    assert_eq!(year.intervals.power_w[1_000], 976.0);
}

/// Common practice of meter exports: a blank or a word for what was not measured, and a sum under the table.
#[test]
fn what_was_not_measured_is_a_gap_and_a_sum_is_no_interval() {
    let mut lines = hourly_lines(2025);
    let mut short = lines.clone();
    for (index, blank) in [(100, ""), (2_000, "n/a"), (5_000, "NaN")] {
        let stamp = lines[index].split(',').next().unwrap().to_owned();
        lines[index] = format!("{stamp},{blank}");
    }
    for index in [5_000, 2_000, 100] {
        short.remove(index);
    }
    lines.push("Total,38364220".to_owned());
    let (found, expected) = (read(&lines).unwrap(), read(&short).unwrap());
    assert_eq!(found.filled, 3);
    assert_eq!(found.intervals, expected.intervals);
    // In the middle a row without a date is no remark.
    lines.insert(4_000, "Total,1".to_owned());
    let problems = read(&lines).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].line, Some(4_002));
}

#[test]
fn a_large_gap_is_told_with_its_line_and_date() {
    let mut lines = hourly_lines(2025);
    lines.drain(31 * 24..59 * 24);
    let problems = read(&lines).unwrap_err();
    assert_eq!(
        problems,
        [CsvProblem {
            line: Some(31 * 24 + 1),
            wrong: CsvWrong::Missing {
                from: "02-01 00:00".to_owned(),
                intervals: 28 * 24
            },
        }]
    );
}

#[test]
fn every_bad_row_is_told_with_its_line() {
    let mut lines = hourly_lines(2025);
    lines[10] = "2025-01-01 10:00,abc".to_owned();
    lines[20] = "20:00,5".to_owned();
    let lines_of: Vec<_> = read(&lines)
        .unwrap_err()
        .iter()
        .map(|problem| problem.line)
        .collect();
    assert_eq!(lines_of, [Some(12), Some(22)]);
    let mut lines = hourly_lines(2025);
    lines[30] = lines[29].clone();
    lines[40] = "2025-01-02 16:00,-7".to_owned();
    let problems = read(&lines).unwrap_err();
    assert!(
        matches!(problems[0].wrong, CsvWrong::Duplicate(_)),
        "{problems:?}"
    );
    assert_eq!(problems[1].line, Some(42));
    assert!(
        matches!(problems[1].wrong, CsvWrong::OutOfRange(_)),
        "{problems:?}"
    );
}

#[test]
fn five_minutes_of_energy_become_quarter_hours_of_power() {
    let mut text = "Datum;Bezug kWh\n".to_owned();
    for (month, day) in dates(false) {
        for slot in 0..288 {
            let (hour, minute) = (slot / 12, slot % 12 * 5);
            let kwh = if slot % 3 == 0 { "0,3" } else { "0,0" };
            text.push_str(&format!(
                "{day:02}.{month:02}.2025 {hour:02}:{minute:02};{kwh}\n"
            ));
        }
    }
    let layout = preview(&text).unwrap().layout;
    let year = read_intervals("meter.csv", &text, &layout, &site(0.0), FileTime::AsFound).unwrap();
    assert_eq!(year.intervals.interval_s, 900);
    assert_eq!(year.intervals.power_w.len(), 35_040);
    // 0.3 kWh in a quarter of an hour are 1200 W.
    assert!(
        year.intervals
            .power_w
            .iter()
            .all(|power_w| (power_w - 1_200.0).abs() < 1e-9)
    );
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn random_bytes_are_refused_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let text = String::from_utf8_lossy(&bytes);
        if let Ok(found) = preview(&text) {
            let _ = read_intervals("x", &text, &found.layout, &site(0.0), FileTime::AsFound);
        }
    }

    #[test]
    fn random_tables_are_refused_without_a_panic(
        rows in prop::collection::vec("[0-9]{1,4}[-./][0-9]{1,4}[-./][0-9]{1,4}[T ]?[0-9]{0,2}:?[0-9]{0,2}(Z| PM|)[,;\t]-?[0-9]{0,9}[.,]?[0-9]{0,4}", 0..40),
        utc_offset_h in any::<f64>(),
    ) {
        let text = rows.join("\n");
        if let Ok(found) = preview(&text) {
            let problems = read_intervals("x", &text, &found.layout, &site(utc_offset_h), FileTime::AsFound).unwrap_err();
            prop_assert!(!problems.is_empty() && problems.len() <= 51);
            for problem in problems {
                prop_assert!(problem.to_string().len() > 10);
            }
        }
    }
}
