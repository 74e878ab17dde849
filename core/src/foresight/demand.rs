//! The demand charges of a tariff in the terms of the optimum.

use crate::best::Demand;
use crate::bill::{DemandCharge, demand_steps};
use crate::year::Scene;

/// Seconds of an hour.
const HOUR_S: u32 = 3600;

/// Demand charges that the optimum minds, in means of whole hours.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HourlyDemand {
    /// Steps in an hour.
    pub(super) per_hour: usize,
    /// Price of bought energy of each hour, currency per kWh.
    pub(super) buy_cur_per_kwh: Vec<f64>,
    /// Price of sold energy of each hour, currency per kWh.
    pub(super) sell_cur_per_kwh: Vec<f64>,
    /// One charge for each month.
    pub(super) charges: Vec<Demand>,
    /// Whether power counts in the hour.
    pub(super) counts: Vec<bool>,
    /// Whether charges at other hours are left out.
    pub(super) others: bool,
}

impl HourlyDemand {
    /// Of a scene; none if nothing is charged on power, or if its steps do not make hours of one price.
    ///
    /// An interval over which power is averaged is an hour or shorter, so that its highest mean in an hour is not below the hour's.
    /// Charges that count at the same hours are one; of several groups the dearest is minded, and leaving out the others only makes
    /// the optimum cheaper.
    pub(super) fn of(scene: &Scene) -> Option<Self> {
        let step_s = scene.grid.step_s;
        let per_hour = usize::try_from(HOUR_S.checked_div(step_s)?).ok()?;
        if !HOUR_S.is_multiple_of(step_s) || !scene.grid.len().is_multiple_of(per_hour.max(1)) {
            return None;
        }
        let charged = || {
            let demand = scene.tariff().demand.iter();
            demand.filter(|charge| charge.cur_per_kw > 0.0)
        };
        let group_cur = |one: &DemandCharge| -> f64 {
            let alike = charged().filter(|charge| charge.windows == one.windows);
            alike.map(|charge| charge.cur_per_kw).sum()
        };
        let dearest = charged().max_by(|a, b| group_cur(a).total_cmp(&group_cur(b)))?;
        let cur_per_kw = group_cur(dearest);
        let steps = demand_steps(scene.tariff(), dearest, &scene.grid).ok()?;
        let month: Vec<usize> = (steps.month.chunks(per_hour))
            .filter_map(|hour| hour.first().copied())
            .collect();
        let counts = steps
            .counts
            .chunks(per_hour)
            .zip(steps.month.chunks(per_hour))
            .map(|(counts, months)| {
                counts.iter().all(|counts| *counts) && months.windows(2).all(|two| two[0] == two[1])
            })
            .collect();
        Some(Self {
            per_hour,
            buy_cur_per_kwh: hourly(&scene.prices.buy_cur_per_kwh, per_hour)?,
            sell_cur_per_kwh: hourly(&scene.prices.sell_cur_per_kwh, per_hour)?,
            charges: charges(&month, cur_per_kw),
            counts,
            others: charged().any(|charge| charge.windows != dearest.windows),
        })
    }
}

/// The price of each hour; none if one changes within an hour.
fn hourly(series: &[f64], per_hour: usize) -> Option<Vec<f64>> {
    series
        .chunks(per_hour.max(1))
        .map(|hour| {
            let first = *hour.first()?;
            hour.iter().all(|price| *price == first).then_some(first)
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
    fn prices_that_change_within_an_hour_make_no_hours() {
        assert_eq!(hourly(&[0.1, 0.1, 0.2, 0.2], 2), Some(vec![0.1, 0.2]));
        assert_eq!(hourly(&[0.1, 0.2, 0.2, 0.2], 2), None);
    }
}
