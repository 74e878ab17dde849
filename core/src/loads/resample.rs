//! From values at one interval to means at another, keeping the energy.

use crate::sky::TimeGrid;

const YEAR_S: u64 = 31_536_000;

/// Means of equal intervals from 1 January 00:00 on; they repeat every year.
pub(super) struct Cells<'v> {
    /// One value per interval.
    pub(super) values: &'v [f64],
    /// Length of an interval, s, at least 1.
    pub(super) cell_s: u32,
}

impl<'v> Cells<'v> {
    /// Hourly means of a year.
    pub(super) fn hourly(values: &'v [f64]) -> Self {
        Self {
            values,
            cell_s: 3_600,
        }
    }

    fn value(&self, cell: u64) -> f64 {
        let cells = (YEAR_S / u64::from(self.cell_s.max(1))).max(1);
        usize::try_from(cell % cells)
            .ok()
            .and_then(|index| self.values.get(index))
            .copied()
            .unwrap_or(0.0)
    }
}

/// Means of the steps of a grid: each interval counts by the seconds that it shares with the step, so that steps that
/// cover a whole number of intervals have their energy.
pub(super) fn step_means(cells: &Cells<'_>, grid: &TimeGrid) -> Vec<f64> {
    let (cell_s, step_s) = (
        u64::from(cells.cell_s.max(1)),
        u64::from(grid.step_s.max(1)),
    );
    let first_s = u64::from(grid.first_day) * 86_400;
    (0..u64::from(grid.steps))
        .map(|step| {
            let (from_s, to_s) = (first_s + step * step_s, first_s + (step + 1) * step_s);
            let (first, last) = (from_s / cell_s, (to_s - 1) / cell_s);
            if first == last {
                return cells.value(first);
            }
            let sum: f64 = (first..=last)
                .map(|cell| {
                    let shared_s = to_s.min((cell + 1) * cell_s) - from_s.max(cell * cell_s);
                    cells.value(cell) * seconds(shared_s)
                })
                .sum();
            sum / seconds(step_s)
        })
        .collect()
}

#[expect(
    clippy::cast_precision_loss,
    reason = "seconds of a year are far below 2^53"
)]
pub(super) fn seconds(seconds: u64) -> f64 {
    seconds as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn energy_is_kept_from_any_interval_to_any_step() {
        for cell_s in [900_u32, 1_800, 3_600] {
            let values: Vec<f64> = (0..31_536_000 / cell_s)
                .map(|index| f64::from(index * 37 % 101))
                .collect();
            let energy_wh = values.iter().sum::<f64>() * f64::from(cell_s) / 3_600.0;
            for step_s in [300, 900, 1_800, 3_600] {
                let cells = Cells {
                    values: &values,
                    cell_s,
                };
                let grid = TimeGrid::whole_year(step_s, 0);
                let means = step_means(&cells, &grid);
                let kept_wh = means.iter().sum::<f64>() * grid.step_h();
                assert!(
                    (kept_wh - energy_wh).abs() < 1e-12 * energy_wh,
                    "{cell_s} {step_s}"
                );
            }
        }
    }

    #[test]
    fn a_day_is_the_same_alone_as_within_the_year() {
        let values: Vec<f64> = (0..8_760).map(f64::from).collect();
        let year = step_means(&Cells::hourly(&values), &TimeGrid::whole_year(900, 0));
        let day = step_means(&Cells::hourly(&values), &TimeGrid::days(200, 1, 900, 0));
        assert_eq!(day, year[200 * 96..201 * 96]);
    }
}
