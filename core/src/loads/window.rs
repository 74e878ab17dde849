//! Hours of the day that may pass midnight.

/// Length of the window from `from_h` to `to_h`, h, above 0 to 24. Both are hours of the day, 0 to 24; a window that ends
/// before it begins, or where it begins, passes midnight.
#[must_use]
pub fn window_h(from_h: f64, to_h: f64) -> f64 {
    let from_h = if from_h >= 24.0 {
        from_h - 24.0
    } else {
        from_h
    };
    if to_h > from_h {
        to_h - from_h
    } else {
        to_h + 24.0 - from_h
    }
}

/// Share of the time from `start_h` to `end_h` of one day that lies in the window, 0 to 1.
#[must_use]
pub fn in_window(start_h: f64, end_h: f64, from_h: f64, to_h: f64) -> f64 {
    let from_h = if from_h >= 24.0 {
        from_h - 24.0
    } else {
        from_h
    };
    let until_h = from_h + window_h(from_h, to_h);
    let overlap_h =
        |shift_h: f64| (end_h.min(until_h - shift_h) - start_h.max(from_h - shift_h)).max(0.0);
    // The part that began today, and the part that began yesterday and passed midnight.
    ((overlap_h(0.0) + overlap_h(24.0)) / (end_h - start_h)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_may_pass_midnight() {
        assert_eq!(window_h(22.0, 6.0), 8.0);
        assert_eq!(window_h(0.0, 24.0), 24.0);
        assert_eq!(window_h(24.0, 6.0), 6.0);
        assert_eq!(window_h(18.0, 0.0), 6.0);
        assert_eq!(in_window(5.0, 6.0, 22.0, 6.0), 1.0);
        assert_eq!(in_window(6.0, 7.0, 22.0, 6.0), 0.0);
        assert_eq!(in_window(21.5, 22.5, 22.0, 6.0), 0.5);
        assert_eq!(in_window(0.0, 24.0, 22.0, 6.0), 8.0 / 24.0);
    }
}
