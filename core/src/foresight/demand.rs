//! The demand charges of a tariff in the terms of the optimum.

use crate::best::Demand;
use crate::bill::{DemandCharge, demand_steps};
use crate::year::Scene;

/// Demand charges that the optimum minds, in means of the interval over which power is averaged.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct MeteredDemand {
    /// Steps in an interval.
    pub(super) per_interval: usize,
    /// One charge for each month.
    pub(super) charges: Vec<Demand>,
    /// Whether power counts in the interval.
    pub(super) counts: Vec<bool>,
    /// Whether charges at other hours are left out.
    pub(super) others: bool,
}

impl MeteredDemand {
    /// Of a scene; none if nothing is charged on power, or if its steps do not make intervals.
    ///
    /// Charges that count at the same hours are one, over the longest of their intervals: the highest mean of a shorter one is not below
    /// it. Of several groups the dearest is minded, and leaving out the others only makes the optimum cheaper.
    pub(super) fn of(scene: &Scene) -> Option<Self> {
        let step_s = scene.grid.step_s;
        let charged = || {
            let demand = scene.tariff().demand.iter();
            demand.filter(|charge| charge.cur_per_kw > 0.0)
        };
        let alike = |one: &DemandCharge| {
            charged().filter({
                let windows = one.windows.clone();
                move |charge| charge.windows == windows
            })
        };
        let group_cur =
            |one: &DemandCharge| -> f64 { alike(one).map(|charge| charge.cur_per_kw).sum() };
        let dearest = charged().max_by(|a, b| group_cur(a).total_cmp(&group_cur(b)))?;
        let cur_per_kw = group_cur(dearest);
        let longest_s = alike(dearest)
            .map(|charge| charge.interval_s)
            .max()?
            .max(step_s);
        let per_interval = usize::try_from(longest_s.checked_div(step_s)?).ok()?.max(1);
        if !longest_s.is_multiple_of(step_s) || !scene.grid.len().is_multiple_of(per_interval) {
            return None;
        }
        let steps = demand_steps(scene.tariff(), dearest, &scene.grid).ok()?;
        let month: Vec<usize> = (steps.month.chunks(per_interval))
            .filter_map(|interval| interval.first().copied())
            .collect();
        let counts = steps
            .counts
            .chunks(per_interval)
            .zip(steps.month.chunks(per_interval))
            .map(|(counts, months)| {
                counts.iter().all(|counts| *counts) && months.windows(2).all(|two| two[0] == two[1])
            })
            .collect();
        Some(Self {
            per_interval,
            charges: charges(&month, cur_per_kw),
            counts,
            others: charged().any(|charge| charge.windows != dearest.windows),
        })
    }
}

/// What holds in each run of so many steps; none if it changes within one.
pub(super) fn in_runs_of<T: Copy + PartialEq>(steps: usize, series: &[T]) -> Option<Vec<T>> {
    series
        .chunks(steps.max(1))
        .map(|run| {
            let first = *run.first()?;
            run.iter().all(|value| *value == first).then_some(first)
        })
        .collect()
}

/// A charge for the longest stretch of each month. By the clock an hour at one end of the year may belong to the month at its other
/// end; two charges for one month would cost more than one, so that the hour is left out.
fn charges(month: &[usize], cur_per_kw: f64) -> Vec<Demand> {
    let mut stretches: Vec<(usize, Demand)> = Vec::new();
    let mut first = 0;
    for stretch in month.chunk_by(|a, b| a == b) {
        let after = first + stretch.len();
        if let Some(of) = stretch.first() {
            stretches.push((
                *of,
                Demand {
                    first,
                    after,
                    cur_per_kw,
                },
            ));
        }
        first = after;
    }
    let longest = |of: usize| {
        let same = stretches.iter().filter(|(month, _)| *month == of);
        same.map(|(_, charge)| charge.after - charge.first).max()
    };
    stretches
        .iter()
        .filter(|(of, charge)| Some(charge.after - charge.first) == longest(*of))
        .map(|(_, charge)| *charge)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_hour_of_another_year_s_month_is_not_charged_apart() {
        let month = [11, 0, 0, 0, 1, 1, 11, 11, 11];
        let found = charges(&month, 8.0);
        let ends: Vec<(usize, usize)> = (found.iter())
            .map(|charge| (charge.first, charge.after))
            .collect();
        assert_eq!(ends, [(1, 4), (4, 6), (6, 9)]);
    }

    #[test]
    fn what_changes_within_an_interval_does_not_hold_in_it() {
        assert_eq!(in_runs_of(2, &[0.1, 0.1, 0.2, 0.2]), Some(vec![0.1, 0.2]));
        assert_eq!(in_runs_of(2, &[0.1, 0.2, 0.2, 0.2]), None);
    }
}
