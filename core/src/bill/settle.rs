//! What the energy of a month costs and earns, before it is rounded into the lines of a bill.

use super::energy::MonthEnergy;
use super::month::LineKind;
use super::tariff::{CarryOver, Export, ExportPrice, Tariff, Tier, TiersBy};

/// A line of energy, not rounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct EnergyLine {
    /// What it is for.
    pub(super) kind: LineKind,
    /// Energy, Wh.
    pub(super) energy_wh: f64,
    /// Amount, currency; negative in favour of the household.
    pub(super) cur: f64,
}

impl EnergyLine {
    fn new(kind: LineKind, energy_wh: f64, cur_per_kwh: f64) -> Self {
        Self {
            kind,
            energy_wh,
            cur: energy_wh / 1000.0 * cur_per_kwh,
        }
    }
}

/// What energy costs and earns in a year, currency: all lines of a bill that energy makes, not rounded. Fixed, minimum and demand
/// charges, tax, and what becomes of credit are not in it.
///
/// - `months`: what passed the meter in the months, January first; periods as in the tariff
#[must_use]
pub fn energy_cur(tariff: &Tariff, months: &[MonthEnergy]) -> f64 {
    let mut carried_wh = vec![0.0; tariff.periods.len()];
    (0..12)
        .filter_map(|place| Some((place, months.get((tariff.first_month() + place) % 12)?)))
        .map(|(place, energy)| {
            let bought_cur: f64 = (bought(tariff, energy, &mut carried_wh).iter())
                .map(|line| line.cur)
                .sum();
            let last = place == 11;
            let sold_cur: f64 = (sold(tariff, energy, &mut carried_wh, last).iter())
                .map(|line| line.cur)
                .sum();
            bought_cur + sold_cur
        })
        .sum()
}

/// The lines of what is bought. Under net metering what was carried is taken off, and what is left over is carried on.
pub(super) fn bought(
    tariff: &Tariff,
    energy: &MonthEnergy,
    carried_wh: &mut [f64],
) -> Vec<EnergyLine> {
    let mut billed_wh = energy.import_wh.clone();
    if let Export::NetMetering { .. } = &tariff.export {
        let sides = billed_wh.iter_mut().zip(&energy.export_wh);
        for ((billed_wh, export_wh), carried_wh) in sides.zip(carried_wh) {
            let net_wh = *billed_wh - export_wh - *carried_wh;
            *billed_wh = net_wh.max(0.0);
            *carried_wh = (-net_wh).max(0.0);
        }
    }
    let month_wh: f64 = billed_wh.iter().sum();
    let mut lines = Vec::new();
    for (period, (prices, billed_wh)) in tariff.periods.iter().zip(&billed_wh).enumerate() {
        let (counted_wh, share) = match tariff.tiers_by {
            TiersBy::EachPeriod => (*billed_wh, 1.0),
            TiersBy::WholeMonth if month_wh > 0.0 => (month_wh, billed_wh / month_wh),
            TiersBy::WholeMonth => (0.0, 0.0),
        };
        for (tier, wh, cur_per_kwh) in by_tier(&prices.tiers, counted_wh) {
            let kind = LineKind::Energy { period, tier };
            lines.push(EnergyLine::new(kind, share * wh, cur_per_kwh));
        }
    }
    lines
}

/// The lines of what is sold, and of what is left of net metering where it is paid out.
///
/// - `last`: whether the month is the last of the year that is settled
pub(super) fn sold(
    tariff: &Tariff,
    energy: &MonthEnergy,
    carried_wh: &mut [f64],
    last: bool,
) -> Vec<EnergyLine> {
    let each = energy.export_wh.iter().copied().enumerate();
    let line = |period: usize, wh: f64, cur_per_kwh: f64| {
        EnergyLine::new(LineKind::Export(period), wh, -cur_per_kwh)
    };
    match &tariff.export {
        Export::Nothing => Vec::new(),
        Export::AllSold { cur_per_kwh } => each
            .map(|(period, wh)| line(period, wh, *cur_per_kwh))
            .collect(),
        Export::NetMetering {
            carry_over,
            cash_out_cur_per_kwh,
        } => {
            if !last && *carry_over != CarryOver::Monthly {
                return Vec::new();
            }
            let left = carried_wh.iter_mut().enumerate();
            left.map(|(period, left_wh)| {
                let kind = LineKind::CashOut(period);
                EnergyLine::new(kind, std::mem::take(left_wh), -cash_out_cur_per_kwh)
            })
            .collect()
        }
        Export::NetBilling { price, .. } => match price {
            ExportPrice::Hourly { .. } => vec![EnergyLine {
                kind: LineKind::Export(0),
                energy_wh: energy.export_wh.iter().sum(),
                cur: -energy.hourly_credit_cur,
            }],
            ExportPrice::Flat { cur_per_kwh } => each
                .map(|(period, wh)| line(period, wh, *cur_per_kwh))
                .collect(),
            ExportPrice::ByPeriod => each
                .zip(&tariff.periods)
                .map(|((period, wh), prices)| line(period, wh, prices.sell_cur_per_kwh))
                .collect(),
        },
    }
}

/// Energy split by tier: place of the tier, Wh, price.
fn by_tier(tiers: &[Tier], wh: f64) -> impl Iterator<Item = (usize, f64, f64)> {
    let mut below_wh = 0.0;
    tiers.iter().enumerate().filter_map(move |(place, tier)| {
        let last = place + 1 == tiers.len();
        let to_wh = match tier.up_to_wh {
            Some(up_to_wh) if !last => wh.min(up_to_wh),
            _ => wh,
        };
        let within_wh = to_wh - below_wh;
        below_wh = to_wh.max(below_wh);
        (within_wh > 0.0).then_some((place, within_wh, tier.cur_per_kwh))
    })
}
