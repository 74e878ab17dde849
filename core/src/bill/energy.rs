//! Energy and peaks of each month, told apart by the periods of a tariff.

use crate::sky::TimeGrid;

use super::clock::BadClock;
use super::month::Meter;
use super::prices::{holds, hourly};
use super::tariff::{Export, ExportPrice, Tariff};

/// What the meter counted in one month.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MonthEnergy {
    /// Bought in each period, Wh.
    pub import_wh: Vec<f64>,
    /// Sold in each period, Wh.
    pub export_wh: Vec<f64>,
    /// What export earns at hourly prices, currency.
    pub hourly_credit_cur: f64,
    /// Highest power under each demand charge, W.
    pub peak_w: Vec<f64>,
}

/// An interval over which power is averaged.
#[derive(Clone, Copy, Debug, Default)]
struct Interval {
    number: usize,
    month: usize,
    counted_wh: f64,
}

/// Sums a meter's year by month, January first, and period.
///
/// **Errors**: the clock rule cannot be read.
pub fn month_energies(
    tariff: &Tariff,
    grid: &TimeGrid,
    meter: &Meter<'_>,
) -> Result<Vec<MonthEnergy>, BadClock> {
    let mut months = vec![
        MonthEnergy {
            import_wh: vec![0.0; tariff.periods.len()],
            export_wh: vec![0.0; tariff.periods.len()],
            hourly_credit_cur: 0.0,
            peak_w: vec![0.0; tariff.demand.len()],
        };
        12
    ];
    let hourly_prices = match &tariff.export {
        Export::NetBilling {
            price: ExportPrice::Hourly { cur_per_kwh },
            ..
        } => cur_per_kwh,
        _ => [].as_slice(),
    };
    let step_h = grid.step_h();
    // Each demand charge has its own intervals; a step is never longer than one.
    let steps_per_interval = |charge: usize| {
        let interval_s = tariff
            .demand
            .get(charge)
            .map_or(0, |demand| demand.interval_s);
        (interval_s / grid.step_s.max(1)).max(1) as usize
    };
    let mut intervals = vec![Interval::default(); tariff.demand.len()];
    for (index, time) in tariff.step_times(grid)?.iter().enumerate() {
        let (import_w, export_w) = meter.at(index, &tariff.export);
        let Some(month) = months.get_mut(time.month) else {
            continue;
        };
        let period = tariff.period_at(time);
        if let (Some(import_wh), Some(export_wh)) = (
            month.import_wh.get_mut(period),
            month.export_wh.get_mut(period),
        ) {
            *import_wh += import_w * step_h;
            *export_wh += export_w * step_h;
        }
        if !hourly_prices.is_empty() {
            month.hourly_credit_cur +=
                export_w * step_h / 1000.0 * hourly(hourly_prices, grid, index);
        }
        for (charge, (demand, interval)) in tariff.demand.iter().zip(&mut intervals).enumerate() {
            let number = index / steps_per_interval(charge);
            if number != interval.number || time.month != interval.month {
                *interval = Interval {
                    number,
                    month: time.month,
                    counted_wh: 0.0,
                };
            }
            if holds(&demand.windows, time) {
                interval.counted_wh += import_w * step_h;
                #[expect(clippy::cast_precision_loss, reason = "a few steps")]
                let hours = steps_per_interval(charge) as f64 * step_h;
                if let Some(peak_w) = month.peak_w.get_mut(charge) {
                    *peak_w = peak_w.max(interval.counted_wh / hours);
                }
            }
        }
    }
    Ok(months)
}
