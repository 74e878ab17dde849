//! The use behind a meter that PV has been hiding.

use std::sync::Arc;

use super::meter_year::MeterYear;
use crate::household::IntervalUse;

/// The use of a home with PV, rebuilt from its meter.
#[derive(Clone, Debug, PartialEq)]
pub struct RebuiltUse {
    /// The use.
    pub intervals: IntervalUse,
    /// Its energy of the year, Wh.
    pub use_wh: f64,
    /// Energy that PV made in the model, Wh.
    pub generation_wh: f64,
    /// Energy by which the meter sent out more than the model made, Wh: there the use is taken as 0.
    pub unexplained_wh: f64,
}

/// The use behind a net meter: what was bought, less what was sent out, plus what PV made.
///
/// - `generation_w`: AC power that the standing PV makes in the model, equal steps over a year of 365 days; steps of the meter's
///   intervals or whole fractions of them
///
/// The model's weather is not that of the metered days, so single days are off by what the sky made of them; only sums over
/// weeks mean something. Where the model makes less than the meter sent out, the use would be negative: it is taken as 0 and the
/// energy is told as unexplained.
///
/// None: the file does not tell what was sent out, without which nothing can be said of the hours in which the meter stood
/// still; or the steps do not go into the intervals.
#[must_use]
pub fn rebuilt_use(meter: &MeterYear, generation_w: &[f64]) -> Option<RebuiltUse> {
    let sold_w = meter.sold_w.as_ref()?;
    let count = meter.bought_w.len();
    let per_interval = generation_w.len().checked_div(count)?;
    if per_interval == 0 || per_interval * count != generation_w.len() {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "a few steps")]
    let steps = per_interval as f64;
    let (mut use_w, mut negative_w, mut made_w) = (0.0, 0.0, 0.0);
    let power_w: Arc<[f64]> = meter
        .bought_w
        .iter()
        .zip(sold_w.iter())
        .zip(generation_w.chunks(per_interval))
        .map(|((bought_w, sold_w), made)| {
            let mean_w = made.iter().sum::<f64>() / steps;
            let behind_w = bought_w - sold_w + mean_w;
            made_w += mean_w;
            use_w += behind_w.max(0.0);
            negative_w += (-behind_w).max(0.0);
            behind_w.max(0.0)
        })
        .collect();
    let hours = f64::from(meter.interval_s) / 3600.0;
    Some(RebuiltUse {
        intervals: IntervalUse {
            source: meter.source.clone(),
            interval_s: meter.interval_s,
            power_w,
        },
        use_wh: use_w * hours,
        generation_wh: made_w * hours,
        unexplained_wh: negative_w * hours,
    })
}
