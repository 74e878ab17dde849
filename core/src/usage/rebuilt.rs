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
    /// Energy that PV made, Wh.
    pub generation_wh: f64,
    /// Energy by which the meter sent out more than PV made, Wh: there the use is taken as 0.
    pub unexplained_wh: f64,
}

/// The use behind a net meter: what was bought, less what was sent out, plus what PV made.
///
/// - `generation_w`: AC power that the standing PV made, or makes in the model, W: equal steps over a year of 365 days. Where meter
///   and PV have intervals of different length, the use has those of the longer ones.
///
/// The model's weather is not that of the metered days, so with a modelled year single days are off by what the sky made of them;
/// only sums over weeks mean something. Where PV makes less than the meter sent out, the use would be negative: it is taken as 0 and
/// the energy is told as unexplained.
///
/// None: the file does not tell what was sent out, without which nothing can be said of the hours in which the meter stood
/// still; or the shorter intervals do not go into the longer ones.
#[must_use]
pub fn rebuilt_use(meter: &MeterYear, generation_w: &[f64]) -> Option<RebuiltUse> {
    let sold_w = meter.sold_w.as_ref()?;
    let count = meter.bought_w.len().min(generation_w.len());
    let bought_w = means(&meter.bought_w, count)?;
    let sold_w = means(sold_w, count)?;
    let made_w = means(generation_w, count)?;
    let (mut use_w, mut negative_w, mut generation_w) = (0.0, 0.0, 0.0);
    let power_w: Arc<[f64]> = bought_w
        .zip(sold_w)
        .zip(made_w)
        .map(|((bought_w, sold_w), made_w)| {
            let behind_w = bought_w - sold_w + made_w;
            generation_w += made_w;
            use_w += behind_w.max(0.0);
            negative_w += (-behind_w).max(0.0);
            behind_w.max(0.0)
        })
        .collect();
    let joined = u32::try_from(meter.bought_w.len().checked_div(count)?).ok()?;
    let interval_s = meter.interval_s.checked_mul(joined)?;
    let hours = f64::from(interval_s) / 3600.0;
    Some(RebuiltUse {
        intervals: IntervalUse {
            source: meter.source.clone(),
            interval_s,
            power_w,
        },
        use_wh: use_w * hours,
        generation_wh: generation_w * hours,
        unexplained_wh: negative_w * hours,
    })
}

/// Means over so many equal intervals; none: there are not as many, or a whole multiple of them.
fn means(power_w: &[f64], count: usize) -> Option<impl Iterator<Item = f64> + '_> {
    let each = power_w.len().checked_div(count)?;
    (each * count == power_w.len()).then(|| {
        #[expect(clippy::cast_precision_loss, reason = "a few steps")]
        let steps = each as f64;
        (power_w.chunks(each)).map(move |chunk| chunk.iter().sum::<f64>() / steps)
    })
}
