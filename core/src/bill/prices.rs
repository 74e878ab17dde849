//! Which price holds when.

use crate::calendar::hour_in_window;
use crate::sky::{TimeGrid, days_of_month, first_day_of_month};

use super::clock::{BadClock, Clock, StepTime};
use super::tariff::{DayKind, DemandCharge, Export, ExportPrice, Holiday, Tariff, Window};

/// Prices of every step, for running rules and for the best possible.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StepPrices {
    /// Price of bought energy in its first tier, currency per kWh.
    pub buy_cur_per_kwh: Vec<f64>,
    /// What sold energy earns, currency per kWh; under net metering the price of bought energy.
    pub sell_cur_per_kwh: Vec<f64>,
    /// Time by the clock.
    pub time: Vec<StepTime>,
    /// Period of the tariff.
    pub period: Vec<usize>,
}

/// Prices of every step of a run.
///
/// **Errors**: the clock rule cannot be read.
pub fn step_prices(tariff: &Tariff, grid: &TimeGrid) -> Result<StepPrices, BadClock> {
    let mut prices = StepPrices {
        time: tariff.step_times(grid)?,
        ..StepPrices::default()
    };
    for (index, time) in prices.time.iter().enumerate() {
        let place = tariff.period_at(time);
        let period = tariff.periods.get(place);
        let buy = period
            .and_then(|period| period.tiers.first())
            .map_or(0.0, |tier| tier.cur_per_kwh);
        prices.period.push(place);
        prices.buy_cur_per_kwh.push(buy);
        prices.sell_cur_per_kwh.push(match &tariff.export {
            Export::Nothing => 0.0,
            Export::NetMetering { .. } => buy,
            Export::AllSold { cur_per_kwh } => *cur_per_kwh,
            Export::NetBilling { price, .. } => match price {
                ExportPrice::Flat { cur_per_kwh } => *cur_per_kwh,
                ExportPrice::ByPeriod => period.map_or(0.0, |period| period.sell_cur_per_kwh),
                ExportPrice::Hourly { cur_per_kwh } => hourly(cur_per_kwh, grid, index),
            },
        });
    }
    Ok(prices)
}

/// Which steps a demand charge looks at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DemandSteps {
    /// Month of every step by the clock, 0 is January.
    pub month: Vec<usize>,
    /// Whether power counts in the step.
    pub counts: Vec<bool>,
}

/// Which steps of a run a demand charge looks at.
///
/// **Errors**: the clock rule cannot be read.
pub fn demand_steps(
    tariff: &Tariff,
    charge: &DemandCharge,
    grid: &TimeGrid,
) -> Result<DemandSteps, BadClock> {
    let mut steps = DemandSteps::default();
    for time in &tariff.step_times(grid)? {
        steps.month.push(time.month);
        steps.counts.push(holds(&charge.windows, time));
    }
    Ok(steps)
}

impl Tariff {
    /// Time of every step of a run by the tariff's clock, with its holidays.
    ///
    /// **Errors**: the clock rule cannot be read.
    pub fn step_times(&self, grid: &TimeGrid) -> Result<Vec<StepTime>, BadClock> {
        let clock = self
            .clock_rule
            .as_deref()
            .map_or_else(|| Ok(Clock::standard()), Clock::by_rule)?;
        let holidays = self.holiday_calendar();
        let mut times = clock.times(grid);
        for time in &mut times {
            time.holiday = holidays.get(time.day as usize).copied().unwrap_or(false);
        }
        Ok(times)
    }

    /// The period that holds at a time.
    pub(super) fn period_at(&self, time: &StepTime) -> usize {
        self.periods
            .iter()
            .position(|period| holds(&period.windows, time))
            .unwrap_or(self.periods.len().saturating_sub(1))
    }

    /// Whether each day of the year is a holiday.
    fn holiday_calendar(&self) -> Vec<bool> {
        let mut calendar = vec![false; 365];
        for holiday in &self.holidays {
            if let Some(day) = holiday
                .day_of_year()
                .and_then(|day| calendar.get_mut(day as usize))
            {
                *day = true;
            }
        }
        calendar
    }
}

impl Holiday {
    /// Day of the run's year, from 0; none: there is no such day.
    fn day_of_year(self) -> Option<u32> {
        match self {
            Self::Date { month, day } => (1..=days_of_month(month))
                .contains(&day)
                .then(|| first_day_of_month(month) + day - 1),
            Self::Nth {
                month,
                weekday,
                nth,
            } => {
                let first = first_day_of_month(month);
                let days = first..first + days_of_month(month);
                let mut such = days.filter(|day| crate::calendar::weekday(*day) == weekday);
                if nth > 4 {
                    such.next_back()
                } else {
                    such.nth(nth.saturating_sub(1) as usize)
                }
            }
        }
    }
}

/// Whether one of the windows holds; without windows time never matters.
pub(super) fn holds(windows: &[Window], time: &StepTime) -> bool {
    windows.is_empty() || windows.iter().any(|window| window.holds(time))
}

impl Window {
    /// Whether it holds at a time.
    #[must_use]
    pub fn holds(&self, time: &StepTime) -> bool {
        self.months.get(time.month).copied().unwrap_or(false)
            && match self.days {
                DayKind::All => true,
                DayKind::Weekdays => !time.is_free(),
                DayKind::WeekendsAndHolidays => time.is_free(),
            }
            && hour_in_window(time.hour, self.from_h, self.to_h)
    }
}

/// Price of a step out of a list of hours of standard time; hours that the list lacks have price 0.
pub(super) fn hourly(prices: &[f64], grid: &TimeGrid, index: usize) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "hours of a day, 0 to 24"
    )]
    let hour = grid.hour(index) as usize;
    prices
        .get(grid.day(index) as usize * 24 + hour)
        .copied()
        .unwrap_or(0.0)
}
