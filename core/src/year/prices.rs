//! The tariff step by step.

use crate::bill::{Tariff, step_prices};
use crate::running::PriceRank;
use crate::sky::TimeGrid;

/// Prices of every step, and where each stands among the prices of its day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PriceYear {
    /// Price of bought energy, currency per kWh.
    pub buy_cur_per_kwh: Vec<f64>,
    /// Price of sold energy, currency per kWh.
    pub sell_cur_per_kwh: Vec<f64>,
    /// Rank of the buying price.
    pub rank: Vec<PriceRank>,
}

impl PriceYear {
    /// Lays a tariff on a time grid. A step has the price that holds at its middle by the clock, and its rank among the
    /// prices of that day by the clock.
    ///
    /// A tariff whose clock rule cannot be read has no prices; [`crate::check::check`] refuses it.
    #[must_use]
    pub fn new(tariff: &Tariff, grid: &TimeGrid) -> Self {
        let prices = step_prices(tariff, grid).unwrap_or_default();
        let mut rank = Vec::with_capacity(prices.day.len());
        let mut buy_cur_per_kwh = prices.buy_cur_per_kwh.as_slice();
        for of_day in prices.day.chunk_by(|a, b| a == b) {
            let (buy, later) = buy_cur_per_kwh
                .split_at_checked(of_day.len())
                .unwrap_or_default();
            buy_cur_per_kwh = later;
            let (least, most) = buy.iter().fold(
                (f64::INFINITY, f64::NEG_INFINITY),
                |(least, most), price| (least.min(*price), most.max(*price)),
            );
            rank.extend(buy.iter().map(|price| match *price {
                _ if least >= most => PriceRank::Flat,
                price if price >= most => PriceRank::Dear,
                price if price <= least => PriceRank::Cheap,
                _ => PriceRank::Middle,
            }));
        }
        Self {
            buy_cur_per_kwh: prices.buy_cur_per_kwh,
            sell_cur_per_kwh: prices.sell_cur_per_kwh,
            rank,
        }
    }
}
