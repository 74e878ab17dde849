//! The tariff step by step.

use crate::calendar::{hour_in_window, weekday};
use crate::household::{Days, Tariff};
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
    /// Lays a tariff on a time grid. A step has the price that holds at its middle.
    #[must_use]
    pub fn new(tariff: &Tariff, grid: &TimeGrid) -> Self {
        let steps = grid.len();
        let (mut buy, mut sell, mut day_of_step) = (
            Vec::with_capacity(steps),
            Vec::with_capacity(steps),
            Vec::with_capacity(steps),
        );
        for index in 0..steps {
            let (day, month, hour) = (grid.day(index), grid.month(index), grid.hour(index));
            let period = tariff.periods.iter().find(|period| {
                period.months.get(month).copied().unwrap_or(false)
                    && period.days.contains(weekday(day))
                    && hour_in_window(hour, period.from_h, period.to_h)
            });
            buy.push(period.map_or(tariff.buy_cur_per_kwh, |period| period.buy_cur_per_kwh));
            sell.push(period.map_or(tariff.sell_cur_per_kwh, |period| period.sell_cur_per_kwh));
            day_of_step.push(day);
        }
        let mut rank = Vec::with_capacity(steps);
        let mut first = 0;
        while first < steps {
            let after = (first..steps)
                .find(|index| day_of_step[*index] != day_of_step[first])
                .unwrap_or(steps);
            let (least, most) = buy[first..after].iter().fold(
                (f64::INFINITY, f64::NEG_INFINITY),
                |(least, most), price| (least.min(*price), most.max(*price)),
            );
            rank.extend(buy[first..after].iter().map(|price| match *price {
                _ if least >= most => PriceRank::Flat,
                price if price >= most => PriceRank::Dear,
                price if price <= least => PriceRank::Cheap,
                _ => PriceRank::Middle,
            }));
            first = after;
        }
        Self {
            buy_cur_per_kwh: buy,
            sell_cur_per_kwh: sell,
            rank,
        }
    }
}

impl Days {
    /// Whether a weekday is one of these days; 0 is Monday, 6 is Sunday.
    #[must_use]
    pub fn contains(self, weekday: u32) -> bool {
        match self {
            Self::All => true,
            Self::Weekdays => weekday < 5,
            Self::Weekends => weekday >= 5,
        }
    }
}
