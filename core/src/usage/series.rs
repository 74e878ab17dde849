//! Energy counted by a meter in one direction.

/// Which way the energy went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// From the grid to the household.
    Bought,
    /// From the household to the grid.
    Sold,
}

/// Energy of an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Begin, s since 1970 in UTC.
    pub begin_utc_s: i64,
    /// Length, s, above 0.
    pub length_s: i64,
    /// Energy, Wh.
    pub energy_wh: f64,
}

/// All intervals of one direction in rising order of their begin, none of which is there twice.
#[derive(Clone, Debug, PartialEq)]
pub struct MeterSeries {
    /// Which way.
    pub direction: Direction,
    /// Intervals.
    pub intervals: Vec<Interval>,
    /// How many intervals were left out because one with the same begin was there already.
    pub repeated: usize,
}

impl MeterSeries {
    /// Mean power of equal steps, W; none where the intervals do not cover the whole step.
    ///
    /// - `from_utc_s`: begin of the first step, s since 1970 in UTC, so that clock changes play no part
    /// - `step_s`: length of a step, s, above 0
    ///
    /// An interval that reaches over several steps counts evenly in all of them. Where two overlap the earlier one holds.
    #[must_use]
    pub fn mean_w(&self, from_utc_s: i64, step_s: i64, steps: usize) -> Vec<Option<f64>> {
        let mut energy_wh = vec![0.0; steps];
        let mut covered_s = vec![0_i64; steps];
        if step_s <= 0 {
            return vec![None; steps];
        }
        let mut free_from_s = i64::MIN;
        for interval in &self.intervals {
            let end_s = interval.begin_utc_s.saturating_add(interval.length_s);
            let mut at_s = interval.begin_utc_s.max(free_from_s).max(from_utc_s);
            free_from_s = free_from_s.max(end_s);
            while at_s < end_s {
                let Ok(step) = usize::try_from(at_s.saturating_sub(from_utc_s) / step_s) else {
                    break;
                };
                let (Some(energy_wh), Some(covered_s)) =
                    (energy_wh.get_mut(step), covered_s.get_mut(step))
                else {
                    break;
                };
                let step_end_s = (at_s - (at_s - from_utc_s) % step_s).saturating_add(step_s);
                let part_s = end_s.min(step_end_s) - at_s;
                #[expect(clippy::cast_precision_loss, reason = "seconds of an interval")]
                let share = part_s as f64 / interval.length_s as f64;
                *energy_wh += interval.energy_wh * share;
                *covered_s += part_s;
                at_s += part_s;
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "seconds of a step")]
        let step_h = step_s as f64 / 3600.0;
        energy_wh
            .into_iter()
            .zip(covered_s)
            .map(|(energy_wh, covered_s)| (covered_s == step_s).then_some(energy_wh / step_h))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_spread_over_steps_and_gaps_stay_open() {
        let interval = |begin_utc_s, length_s, energy_wh| Interval {
            begin_utc_s,
            length_s,
            energy_wh,
        };
        let series = MeterSeries {
            direction: Direction::Bought,
            intervals: vec![
                interval(0, 3600, 400.0),
                interval(2700, 900, 999.0),
                interval(3600, 900, 50.0),
                interval(5400, 450, 25.0),
            ],
            repeated: 0,
        };
        assert_eq!(
            series.mean_w(900, 900, 6),
            [
                Some(400.0),
                Some(400.0),
                Some(400.0),
                Some(200.0),
                None,
                None
            ]
        );
        assert_eq!(series.mean_w(0, 3600, 1), [Some(400.0)]);
        assert_eq!(series.mean_w(0, 0, 1), [None]);
    }
}
