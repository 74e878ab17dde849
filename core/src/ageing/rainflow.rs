//! Cycles in a series of states.

/// A cycle, or half of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle {
    /// From its lowest to its highest value, in the unit of the series, above 0.
    pub range: f64,
    /// Half-way between both.
    pub mean: f64,
    /// 1 for a whole cycle, 0.5 for a half.
    pub count: f64,
}

/// Rainflow counting of a series, such as states of charge.
///
/// Only turning points matter, so the series may have any steps. What is left at the end is counted as half cycles. Values
/// that are not numbers are passed over; a series that never moves has no cycle.
///
/// Source: ASTM E1049-85 (2017), section 5.4.4.
#[must_use]
pub fn cycles(series: impl IntoIterator<Item = f64>) -> Vec<Cycle> {
    let mut counted = Vec::new();
    let mut open: Vec<f64> = Vec::new();
    for point in turning_points(series) {
        open.push(point);
        // X is the range under consideration, Y the one before it (the standard's names).
        while let [.., before, start, end] = open[..] {
            let (x, y) = ((end - start).abs(), (start - before).abs());
            if x < y {
                break;
            }
            if open.len() == 3 {
                // Y holds the starting point: half a cycle, and the start moves on.
                counted.push(Cycle::between(before, start, 0.5));
                open.remove(0);
            } else {
                counted.push(Cycle::between(before, start, 1.0));
                open.truncate(open.len() - 3);
                open.push(end);
            }
        }
    }
    for pair in open.windows(2) {
        if let [from, to] = *pair {
            counted.push(Cycle::between(from, to, 0.5));
        }
    }
    counted
}

impl Cycle {
    fn between(from: f64, to: f64, count: f64) -> Self {
        Self {
            range: (to - from).abs(),
            mean: 0.5 * (from + to),
            count,
        }
    }
}

/// First value, every value at which the series turns, last value.
fn turning_points(series: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut points: Vec<f64> = Vec::new();
    for value in series.into_iter().filter(|value| value.is_finite()) {
        match points[..] {
            [.., last] if value == last => {}
            [.., before, last] if (last > before) == (value > last) => {
                points.pop();
                points.push(value);
            }
            _ => points.push(value),
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_series_has_no_cycle_and_a_rise_is_half_of_one() {
        assert_eq!(cycles([0.5; 6]), []);
        assert_eq!(cycles([]), []);
        assert_eq!(
            cycles([0.25, 0.5, f64::NAN, 0.5, 0.75]),
            [Cycle {
                range: 0.5,
                mean: 0.5,
                count: 0.5
            }]
        );
    }
}
