//! A tariff as data.

use crate::calendar::hour_in_window;
use crate::money::MinorUnit;
use crate::sky::{TimeGrid, days_of_month, first_day_of_month};

use super::clock::{BadClock, Clock, StepTime};

/// What a household pays for electricity.
#[derive(Clone, Debug, PartialEq)]
pub struct Tariff {
    /// Decimals of the currency.
    pub minor_unit: MinorUnit,
    /// Clock rule after POSIX, such as `EST5EDT,M3.2.0,M11.1.0`; none: hours are standard time all year.
    pub clock_rule: Option<String>,
    /// Days that count as holidays.
    pub holidays: Vec<Holiday>,
    /// Fixed charge, currency per month.
    pub fixed_cur_per_month: f64,
    /// Least charge before credits and tax, currency per month.
    pub minimum_cur_per_month: f64,
    /// Periods with prices of their own; the first that holds at a time counts, and the last one always holds.
    pub periods: Vec<Period>,
    /// Charges on the highest power.
    pub demand: Vec<DemandCharge>,
    /// What becomes of energy sent out.
    pub export: Export,
    /// Tax on what is to pay, share.
    pub tax: f64,
}

/// Times with a price of their own.
#[derive(Clone, Debug, PartialEq)]
pub struct Period {
    /// Name, such as "summer evening".
    pub name: String,
    /// When it holds; none: always.
    pub windows: Vec<Window>,
    /// Prices of bought energy by the energy bought in this period in a month, in rising order.
    pub tiers: Vec<Tier>,
    /// Price of sold energy, where the export is priced by period, currency per kWh.
    pub sell_cur_per_kwh: f64,
}

/// A price up to an amount of energy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tier {
    /// Energy of the month up to which it holds, Wh; infinite for the last. What is above the last tier has its price.
    pub up_to_wh: f64,
    /// Price, currency per kWh.
    pub cur_per_kwh: f64,
}

/// Months, days and hours, by the clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Months, January first.
    pub months: [bool; 12],
    /// Kind of day.
    pub days: DayKind,
    /// Hour at which it begins, 0 to 24.
    pub from_h: f64,
    /// Hour at which it ends; at or before `from_h`: it passes midnight, and each hour counts by the day on which it lies.
    pub to_h: f64,
}

/// Kinds of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayKind {
    /// Every day.
    All,
    /// Monday to Friday, but not on holidays.
    Weekdays,
    /// Saturday, Sunday and holidays.
    WeekendsAndHolidays,
}

/// A day that counts as a holiday; months from 0, days from 1, weekdays from Monday as 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holiday {
    /// The same date every year.
    Date {
        /// Month.
        month: usize,
        /// Day of the month.
        day: u32,
    },
    /// Such as the fourth Thursday of November.
    Nth {
        /// Month.
        month: usize,
        /// Weekday.
        weekday: u32,
        /// 1 for the first to 4; 5 and more: the last.
        nth: u32,
    },
}

/// A charge on the highest mean power bought in a month.
#[derive(Clone, Debug, PartialEq)]
pub struct DemandCharge {
    /// Name.
    pub name: String,
    /// When power counts; none: always.
    pub windows: Vec<Window>,
    /// Time over which power is averaged, s: 900, 1800 or 3600. Steps that are longer count as they are.
    pub interval_s: u32,
    /// Price, currency per kW and month.
    pub cur_per_kw: f64,
}

/// What becomes of energy sent out.
#[derive(Clone, Debug, PartialEq)]
pub enum Export {
    /// It earns nothing.
    Nothing,
    /// Each period's export of a month is taken off its import; only the difference is billed.
    NetMetering {
        /// What becomes of more export than import.
        carry_over: CarryOver,
        /// Price of energy that is paid out in the end, currency per kWh.
        cash_out_cur_per_kwh: f64,
    },
    /// Import is paid in full, export is credited at its own price.
    NetBilling {
        /// Its price.
        price: ExportPrice,
        /// What becomes of more credit than charges.
        surplus: Surplus,
    },
    /// All that PV generates is sold at this price, currency per kWh, and all that is used is bought.
    AllSold {
        /// Price.
        cur_per_kwh: f64,
    },
}

/// What becomes of a month in which a period sends out more than it draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CarryOver {
    /// It is paid out each month.
    Monthly,
    /// It is carried on within its period, and what is left is paid out at the end of twelve months.
    Yearly {
        /// Month with which the twelve months begin, 0 is January.
        first_month: usize,
    },
}

/// Price of exported energy, currency per kWh.
#[derive(Clone, Debug, PartialEq)]
pub enum ExportPrice {
    /// One price.
    Flat(f64),
    /// That of each period.
    ByPeriod,
    /// One price for each of the 8,760 hours of standard time.
    Hourly(Vec<f64>),
}

/// What becomes of a month with more credit than charges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surplus {
    /// It is paid out with the bill.
    Paid,
    /// It is carried on to the next months and paid out at the end of the year.
    CarriedThenPaid,
    /// It is carried on to the next months and lost at the end of the year.
    CarriedThenLost,
}

/// Prices of every step, for running rules and for the best possible.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StepPrices {
    /// Price of bought energy in its first tier, currency per kWh.
    pub buy_cur_per_kwh: Vec<f64>,
    /// What sold energy earns, currency per kWh; under net metering the price of bought energy.
    pub sell_cur_per_kwh: Vec<f64>,
}

impl Tariff {
    pub(super) fn clock(&self) -> Result<Clock, BadClock> {
        self.clock_rule
            .as_deref()
            .map_or_else(|| Ok(Clock::standard()), Clock::by_rule)
    }

    /// The period that holds at a time.
    pub(super) fn period_at(&self, time: &StepTime, holiday: bool) -> usize {
        self.periods
            .iter()
            .position(|period| holds(&period.windows, time, holiday))
            .unwrap_or(self.periods.len().saturating_sub(1))
    }

    /// Whether each day of the year is a holiday.
    pub(super) fn holiday_calendar(&self) -> Vec<bool> {
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
pub(super) fn holds(windows: &[Window], time: &StepTime, holiday: bool) -> bool {
    windows.is_empty() || windows.iter().any(|window| window.holds(time, holiday))
}

impl Window {
    fn holds(&self, time: &StepTime, holiday: bool) -> bool {
        let free = holiday || time.weekday >= 5;
        self.months.get(time.month).copied().unwrap_or(false)
            && match self.days {
                DayKind::All => true,
                DayKind::Weekdays => !free,
                DayKind::WeekendsAndHolidays => free,
            }
            && hour_in_window(time.hour, self.from_h, self.to_h)
    }
}

/// Prices of every step of a run.
///
/// **Errors**: the clock rule cannot be read.
pub fn step_prices(tariff: &Tariff, grid: &TimeGrid) -> Result<StepPrices, BadClock> {
    let holidays = tariff.holiday_calendar();
    let mut prices = StepPrices::default();
    for (index, time) in tariff.clock()?.times(grid).iter().enumerate() {
        let holiday = holidays.get(time.day as usize).copied().unwrap_or(false);
        let period = tariff.periods.get(tariff.period_at(time, holiday));
        let buy = period
            .and_then(|period| period.tiers.first())
            .map_or(0.0, |tier| tier.cur_per_kwh);
        prices.buy_cur_per_kwh.push(buy);
        prices.sell_cur_per_kwh.push(match &tariff.export {
            Export::Nothing => 0.0,
            Export::NetMetering { .. } => buy,
            Export::AllSold { cur_per_kwh } => *cur_per_kwh,
            Export::NetBilling { price, .. } => match price {
                ExportPrice::Flat(price) => *price,
                ExportPrice::ByPeriod => period.map_or(0.0, |period| period.sell_cur_per_kwh),
                ExportPrice::Hourly(prices) => hourly(prices, grid, index),
            },
        });
    }
    Ok(prices)
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
