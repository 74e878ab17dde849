//! The steps of runs as CSV (RFC 4180).

use std::fmt::Write;

use super::{DayTrace, Scene, YearRun};
use crate::csv_field::csv_field;
use crate::sky::{DAYS_PER_YEAR, first_day_of_month, month_of_day};

/// A column of numbers.
struct Column {
    /// Its heading, with its unit.
    heading: &'static str,
    /// What it holds of a day.
    of: fn(&DayTrace) -> &[f64],
    /// Values are rounded to so many parts of one.
    parts: f64,
}

const fn power(heading: &'static str, of: fn(&DayTrace) -> &[f64]) -> Column {
    let parts = 10.0;
    Column { heading, of, parts }
}

const fn number(heading: &'static str, of: fn(&DayTrace) -> &[f64]) -> Column {
    let parts = 1e6;
    Column { heading, of, parts }
}

/// Columns of a household with a utility.
const WITH_GRID: [Column; 16] = [
    power("load_w", |day| &day.load_w),
    power("base_grid_side_w", |day| &day.base_grid_side_w),
    power("base_backed_up_w", |day| &day.base_backed_up_w),
    power("import_w", |day| &day.import_w),
    power("export_w", |day| &day.export_w),
    power("unpermitted_export_w", |day| &day.unpermitted_w),
    power("transfer_w", |day| &day.transfer_w),
    power("ac_pv_w", |day| &day.ac_pv_w),
    power("dc_pv_w", |day| &day.dc_pv_w),
    power("from_battery_w", |day| &day.from_battery_w),
    power("to_battery_w", |day| &day.to_battery_w),
    power("throttled_w", |day| &day.throttled_w),
    power("loss_w", |day| &day.loss_w),
    number("soc", |day| &day.soc),
    number("buy_cur_per_kwh", |day| &day.buy_cur_per_kwh),
    number("sell_cur_per_kwh", |day| &day.sell_cur_per_kwh),
];

/// Columns of a household without.
const OFF_GRID: [Column; 11] = [
    power("load_w", |day| &day.load_w),
    power("unserved_w", |day| &day.unserved_w),
    power("generator_w", |day| &day.generator_w),
    power("ac_pv_w", |day| &day.ac_pv_w),
    power("dc_pv_w", |day| &day.dc_pv_w),
    power("from_battery_w", |day| &day.from_battery_w),
    power("to_battery_w", |day| &day.to_battery_w),
    power("throttled_w", |day| &day.throttled_w),
    power("loss_w", |day| &day.loss_w),
    number("soc", |day| &day.soc),
    number("dark_share", |day| &day.dark_share),
];

/// Every step of every run as CSV: a heading, then one row per option and step, in the order of the runs; lines end in CR
/// LF. Powers are means of the step; the state of charge is that at its end. Stamps are starts of steps in local standard
/// time of the reference year. Without a utility there are other columns than with one: see [`DayTrace`] for what each holds.
///
/// - `scene`: the scene in which the runs were made
#[must_use]
pub fn interval_csv<'r>(scene: &Scene, runs: impl IntoIterator<Item = &'r YearRun>) -> String {
    let columns: &[Column] = if scene.service.utility {
        &WITH_GRID
    } else {
        &OFF_GRID
    };
    let mut csv = "option,start_local_standard_time".to_owned();
    for column in columns {
        csv.push(',');
        csv.push_str(column.heading);
    }
    csv.push_str("\r\n");
    for run in runs {
        let name = csv_field(&run.option.name);
        for trace in (0..DAYS_PER_YEAR).filter_map(|day| run.day(scene, day)) {
            day_rows(&mut csv, columns, &name, scene.grid.year, &trace);
        }
    }
    csv
}

fn day_rows(csv: &mut String, columns: &[Column], option: &str, year: i32, trace: &DayTrace) {
    let month = month_of_day(trace.day);
    let (month, day) = (month + 1, trace.day - first_day_of_month(month) + 1);
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
        for column in columns {
            let value = (column.of)(trace).get(step).copied().unwrap_or(0.0);
            // Rounded first, so that no minus stands before a zero.
            let value = libm::round(column.parts * value) / column.parts + 0.0;
            let _ = write!(csv, ",{value}");
        }
        csv.push_str("\r\n");
        start_s += trace.step_s;
    }
}
