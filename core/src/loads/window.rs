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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_may_pass_midnight() {
        assert_eq!(window_h(22.0, 6.0), 8.0);
        assert_eq!(window_h(0.0, 24.0), 24.0);
        assert_eq!(window_h(24.0, 6.0), 6.0);
        assert_eq!(window_h(18.0, 0.0), 6.0);
    }
}
