//! Days of the week and windows of hours.

/// Weekday of 1 January: 2026, the year in which a run's sun stands, begins on a Thursday. 0 is Monday.
const FIRST_WEEKDAY: u32 = 3;

/// Weekday of a day of the year (0 is 1 January): 0 is Monday, 6 is Sunday.
#[must_use]
pub fn weekday(day: u32) -> u32 {
    (day % 7 + FIRST_WEEKDAY) % 7
}

/// Whether an hour of the day lies in a window that may pass midnight; equal ends mean the whole day.
#[must_use]
pub fn hour_in_window(hour: f64, from_h: f64, to_h: f64) -> bool {
    if from_h < to_h {
        (from_h..to_h).contains(&hour)
    } else {
        hour >= from_h || hour < to_h
    }
}
