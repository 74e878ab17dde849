//! Invented meter files of the years 2025 and 2026 at a quarter hour.

use std::fmt::Write;

use couplet_core::sky::{DAYS_PER_YEAR, first_day_of_month, month_of_day};

const PER_DAY: u32 = 96;
/// 1 January 2025 0:00 five hours west of UTC, s since 1970.
const BEGIN_S: i64 = 1_735_707_600;

/// A table with date and time, energy bought and energy sent out.
pub(super) fn table() -> String {
    let mut text = String::from("time,import kWh\n");
    for (days, quarter) in quarters() {
        let (year, day) = (2025 + days / DAYS_PER_YEAR, days % DAYS_PER_YEAR);
        let month = month_of_day(day);
        let date = day - first_day_of_month(month) + 1;
        let _ = writeln!(
            text,
            "{year}-{:02}-{date:02} {:02}:{:02},0.{:03}",
            month + 1,
            quarter / 4,
            quarter % 4 * 15,
            energy_wh(days, quarter)
        );
    }
    text
}

/// A feed of one block.
pub(super) fn feed() -> String {
    let mut text = String::from("<feed><entry><content><IntervalBlock>\n");
    for (days, quarter) in quarters() {
        let start_s = BEGIN_S + i64::from(days * PER_DAY + quarter) * 900;
        let _ = writeln!(
            text,
            "<IntervalReading><timePeriod><duration>900</duration><start>{start_s}</start></timePeriod><value>{}</value></IntervalReading>",
            energy_wh(days, quarter)
        );
    }
    text.push_str("</IntervalBlock></content></entry></feed>");
    text
}

/// Each quarter hour of two years: day, and quarter hour of the day.
fn quarters() -> impl Iterator<Item = (u32, u32)> {
    (0..2 * DAYS_PER_YEAR).flat_map(|day| (0..PER_DAY).map(move |quarter| (day, quarter)))
}

fn energy_wh(day: u32, quarter: u32) -> u32 {
    100 + (day * 7 + quarter * 13) % 400
}
