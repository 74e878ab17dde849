//! The tariff step by step.

use crate::bill::{StepTime, Tariff, step_prices};
use crate::coupling::RunningRule;
use crate::running::{Aim, PriceRank};
use crate::sky::TimeGrid;

/// Prices of every step, where each stands among the prices of its day, and what the clock shows: all that a running rule goes by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PriceYear {
    /// Price of bought energy, currency per kWh.
    pub buy_cur_per_kwh: Vec<f64>,
    /// Price of sold energy, currency per kWh.
    pub sell_cur_per_kwh: Vec<f64>,
    /// Rank of the buying price.
    pub rank: Vec<PriceRank>,
    /// Time by the tariff's clock.
    pub time: Vec<StepTime>,
}

impl PriceYear {
    /// Lays a tariff on a time grid. A step has the price that holds at its middle by the clock, and its rank among the
    /// prices of that day by the clock.
    ///
    /// A tariff whose clock rule cannot be read has no prices; [`crate::check::check`] refuses it.
    #[must_use]
    pub fn new(tariff: &Tariff, grid: &TimeGrid) -> Self {
        let prices = step_prices(tariff, grid).unwrap_or_default();
        let mut rank = Vec::with_capacity(prices.time.len());
        let mut buy_cur_per_kwh = prices.buy_cur_per_kwh.as_slice();
        for of_day in prices.time.chunk_by(|a, b| a.day == b.day) {
            let (buy, later) = buy_cur_per_kwh
                .split_at_checked(of_day.len())
                .unwrap_or_default();
            buy_cur_per_kwh = later;
            let (least, most) = buy.iter().fold(
                (f64::INFINITY, f64::NEG_INFINITY),
                |(least, most), price| (least.min(*price), most.max(*price)),
            );
            rank.extend((buy.iter()).map(|price| PriceRank::among(*price, least, most)));
        }
        Self {
            buy_cur_per_kwh: prices.buy_cur_per_kwh,
            sell_cur_per_kwh: prices.sell_cur_per_kwh,
            rank,
            time: prices.time,
        }
    }

    /// What a running rule aims at in a step; where there are no prices the meter reads zero.
    #[must_use]
    pub fn aim(&self, rule: &RunningRule, index: usize) -> Aim {
        match (self.rank.get(index), self.time.get(index)) {
            (Some(rank), Some(time)) => Aim::of(rule, *rank, time),
            _ => Aim::MeterAtZero,
        }
    }
}
