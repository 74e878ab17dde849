//! Comparison of a computed number with an expected one.

/// How far a computed number may be from the expected one: the larger of both bounds counts.
#[derive(Clone, Copy, Debug)]
pub struct Tolerance {
    /// Share of the expected magnitude.
    pub relative: f64,
    /// In the unit of the number itself.
    pub absolute: f64,
}

impl Tolerance {
    /// Only a share of the expected magnitude.
    pub const fn relative(relative: f64) -> Self {
        Self {
            relative,
            absolute: 0.0,
        }
    }

    /// Only a distance in the unit of the number.
    pub const fn absolute(absolute: f64) -> Self {
        Self {
            relative: 0.0,
            absolute,
        }
    }

    /// Either bound is enough.
    pub const fn either(relative: f64, absolute: f64) -> Self {
        Self { relative, absolute }
    }

    /// Whether `actual` is near enough to `expected`. An undefined expectation is met only by an undefined number,
    /// an infinite one only by the same infinity.
    pub fn holds(self, actual: f64, expected: f64) -> bool {
        if expected.is_nan() {
            return actual.is_nan();
        }
        if expected.is_infinite() {
            return actual == expected;
        }
        (actual - expected).abs() <= self.absolute.max(self.relative * expected.abs())
    }
}

/// Stops the test unless `actual` is within `absolute` of `expected`; `what` names the case in the message.
#[track_caller]
pub fn assert_near(actual: f64, expected: f64, absolute: f64, what: &str) {
    assert_within(actual, expected, Tolerance::absolute(absolute), what);
}

/// Stops the test unless `actual` is within `tolerance` of `expected`; `what` names the case in the message.
#[track_caller]
pub fn assert_within(actual: f64, expected: f64, tolerance: Tolerance, what: &str) {
    assert!(
        tolerance.holds(actual, expected),
        "{what}: computed {actual:e}, expected {expected:e}, difference {:e}, allowed {tolerance:?}",
        actual - expected,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_distance_beyond_both_bounds_is_refused() {
        let tolerance = Tolerance::either(1e-3, 1e-2);
        assert!(tolerance.holds(100.09, 100.0));
        assert!(!tolerance.holds(100.11, 100.0));
        assert!(tolerance.holds(0.009, 0.0));
        assert!(!tolerance.holds(0.011, 0.0));
    }

    #[test]
    fn undefined_and_infinite_expectations_are_met_only_by_themselves() {
        let tolerance = Tolerance::absolute(1e9);
        assert!(tolerance.holds(f64::NAN, f64::NAN));
        assert!(!tolerance.holds(0.0, f64::NAN));
        assert!(!tolerance.holds(f64::NAN, 0.0));
        assert!(tolerance.holds(f64::INFINITY, f64::INFINITY));
        assert!(!tolerance.holds(1e300, f64::INFINITY));
    }
}
