//! The steps of runs as CSV (RFC 4180).

use std::fmt::Write;

use super::{DayTrace, Scene, YearRun};
use crate::csv_field::csv_field;
use crate::sky::{DAYS_PER_YEAR, first_day_of_month, month_of_day};

/// Headings, each with its unit; one row per option and step.
const HEADINGS: [&str; 18] = [
    "option",
    "start_local_standard_time",
    "load_w",
    "base_grid_side_w",
    "base_backed_up_w",
    "import_w",
    "export_w",
    "unpermitted_export_w",
    "transfer_w",
    "ac_pv_w",
    "dc_pv_w",
    "from_battery_w",
    "to_battery_w",
    "throttled_w",
    "loss_w",
    "soc",
    "buy_cur_per_kwh",
    "sell_cur_per_kwh",
];

/// Every step of every run as CSV: a heading, then one row per option and step, in the order of the runs; lines end in CR
/// LF. Powers are means of the step; the state of charge is that at its end. Stamps are starts of steps in local standard
/// time of the reference year.
///
/// - `scene`: the scene in which the runs were made
#[must_use]
pub fn interval_csv<'r>(scene: &Scene, runs: impl IntoIterator<Item = &'r YearRun>) -> String {
    let mut csv = HEADINGS.join(",");
    csv.push_str("\r\n");
    for run in runs {
        let name = csv_field(&run.option.name);
        for trace in (0..DAYS_PER_YEAR).filter_map(|day| run.day(scene, day)) {
            day_rows(&mut csv, &name, scene.grid.year, &trace);
        }
    }
    csv
}

fn day_rows(csv: &mut String, option: &str, year: i32, trace: &DayTrace) {
    let month = month_of_day(trace.day);
    let (month, day) = (month + 1, trace.day - first_day_of_month(month) + 1);
    let powers = [
        &trace.load_w,
        &trace.base_grid_side_w,
        &trace.base_backed_up_w,
        &trace.import_w,
        &trace.export_w,
        &trace.unpermitted_w,
        &trace.transfer_w,
        &trace.ac_pv_w,
        &trace.dc_pv_w,
        &trace.from_battery_w,
        &trace.to_battery_w,
        &trace.throttled_w,
        &trace.loss_w,
    ];
    let shares = [&trace.soc, &trace.buy_cur_per_kwh, &trace.sell_cur_per_kwh];
    let mut start_s = 0.0;
    for step in 0..trace.load_w.len() {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "seconds of a day"
        )]
        let second = start_s as u32;
        let (hour, minute, second) = (second / 3_600, second / 60 % 60, second % 60);
        // Writing into a text cannot fail.
        let _ = write!(
            csv,
            "{option},{year}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}"
        );
        for series in powers {
            let value = series.get(step).copied().unwrap_or(0.0);
            // Rounded first, so that no minus stands before a zero.
            let value = libm::round(10.0 * value) / 10.0 + 0.0;
            let _ = write!(csv, ",{value}");
        }
        for series in shares {
            let value = series.get(step).copied().unwrap_or(0.0);
            let value = libm::round(1e6 * value) / 1e6 + 0.0;
            let _ = write!(csv, ",{value}");
        }
        csv.push_str("\r\n");
        start_s += trace.step_s;
    }
}
