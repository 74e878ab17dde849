//! A tariff as data, as it stands in a household.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::money::MinorUnit;

/// What a household pays for electricity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tariff {
    /// Name of the tariff.
    pub name: String,
    /// ISO 4217 code of the currency.
    pub currency: String,
    /// Clock rule after POSIX, such as `EST5EDT,M3.2.0,M11.1.0`; none: hours are standard time all year.
    pub clock_rule: Option<String>,
    /// Days that count as holidays.
    pub holidays: Vec<Holiday>,
    /// Fixed charge, currency per month.
    pub fixed_cur_per_month: f64,
    /// Fixed charge, currency per day.
    pub fixed_cur_per_day: f64,
    /// Least charge before credits and tax, currency per month.
    pub minimum_cur_per_month: f64,
    /// Periods with prices of their own; the first that holds at a time counts, and the last one always holds.
    pub periods: Vec<Period>,
    /// What the tiers of the periods count.
    pub tiers_by: TiersBy,
    /// Charges on the highest power.
    pub demand: Vec<DemandCharge>,
    /// What becomes of energy sent out.
    pub export: Export,
    /// Tax, share.
    pub tax: f64,
    /// What the tax is taken on.
    pub tax_on: TaxOn,
}

/// What a tax in per cent is taken on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TaxOn {
    /// What is to pay in the end: what is sent out lowers it.
    #[default]
    ToPay,
    /// What is bought: fixed charges, energy, highest power and minimum. What is sent out does not lower it, as under value added
    /// tax, where a home sells and buys by two bills; energy that net metering takes off was never bought.
    Bought,
}

/// Times with a price of their own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Period {
    /// Name, such as "summer evening".
    pub name: String,
    /// When it holds; none: always.
    pub windows: Vec<Window>,
    /// Prices of bought energy by the energy of the month, in rising order; see [`TiersBy`].
    pub tiers: Vec<Tier>,
    /// Price of sold energy, where the export is priced by period, currency per kWh.
    pub sell_cur_per_kwh: f64,
}

/// Which energy of a month the ends of tiers are compared with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TiersBy {
    /// That of the period itself: every period fills tiers of its own.
    #[default]
    EachPeriod,
    /// That of all periods together: what is used in the month fills one set of tiers, and each period has the same share of
    /// every tier as it has of the month. The ends of its own tiers count for each period.
    WholeMonth,
}

/// A price up to an amount of energy.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tier {
    /// Energy of the month up to which it holds, Wh; none for the last, which has no end.
    pub up_to_wh: Option<f64>,
    /// Price, currency per kWh.
    pub cur_per_kwh: f64,
}

/// Months, days and hours, by the clock.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum DayKind {
    /// Every day.
    All,
    /// Monday to Friday, but not on holidays.
    Weekdays,
    /// Saturday, Sunday and holidays.
    WeekendsAndHolidays,
}

/// A day that counts as a holiday; months from 0, days from 1, weekdays from Monday as 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ExportPrice {
    /// One price.
    Flat {
        /// Price.
        cur_per_kwh: f64,
    },
    /// That of each period.
    ByPeriod,
    /// A price for each hour.
    Hourly {
        /// The prices of the 8,760 hours of standard time.
        cur_per_kwh: Arc<[f64]>,
    },
}

/// What becomes of a month with more credit than charges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Surplus {
    /// It is paid out with the bill.
    Paid,
    /// It is carried on to the next months and paid out at the end of the year.
    CarriedThenPaid,
    /// It is carried on to the next months and lost at the end of the year.
    CarriedThenLost,
}

impl Tariff {
    /// The tariff with its tax within its prices; bills under it are the same but for rounding. None: there is no tax, or what is
    /// sent out lowers it.
    #[must_use]
    pub fn with_tax_within(&self) -> Option<Self> {
        if self.tax == 0.0 || self.tax_on == TaxOn::ToPay {
            return None;
        }
        let factor = 1.0 + self.tax;
        let mut within = self.clone();
        within.tax = 0.0;
        within.fixed_cur_per_month *= factor;
        within.fixed_cur_per_day *= factor;
        within.minimum_cur_per_month *= factor;
        for tier in (within.periods.iter_mut()).flat_map(|period| &mut period.tiers) {
            tier.cur_per_kwh *= factor;
        }
        for demand in &mut within.demand {
            demand.cur_per_kw *= factor;
        }
        Some(within)
    }

    /// Decimals of the currency.
    #[must_use]
    pub fn minor_unit(&self) -> MinorUnit {
        MinorUnit::of(&self.currency)
    }
}

impl Period {
    /// A period in which every kilowatt-hour has the same price.
    #[must_use]
    pub fn at_one_price(name: &str, windows: Vec<Window>, buy_cur_per_kwh: f64) -> Self {
        Self {
            name: name.to_owned(),
            windows,
            tiers: vec![Tier {
                up_to_wh: None,
                cur_per_kwh: buy_cur_per_kwh,
            }],
            sell_cur_per_kwh: 0.0,
        }
    }
}
