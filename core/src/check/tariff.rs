//! Checks of the tariff.

use iso_currency::Currency;

use super::Wrong;
use super::prices;
use super::walk::{
    MOST_DEMAND_CHARGES, MOST_HOLIDAYS, MOST_PERIODS, MOST_TIERS, MOST_WINDOWS, Walk,
};
use crate::bill::{
    CarryOver, Clock, DemandCharge, Export, ExportPrice, Holiday, Period, Tariff, Tier, Window,
};
use crate::limits::{self, Unit};
use crate::sky::days_of_month;

const HOURS_OF_A_YEAR: usize = 8_760;

impl Walk {
    pub(super) fn tariff(&mut self, tariff: &Tariff) {
        let Tariff {
            name,
            currency,
            clock_rule,
            holidays,
            fixed_cur_per_month,
            fixed_cur_per_day,
            minimum_cur_per_month,
            periods,
            tiers_by: _,
            demand,
            export,
            tax,
            tax_on: _,
        } = tariff;
        self.name("name", name);
        self.told_in = prices::told_in(currency);
        if Currency::from_code(currency).is_none() {
            let right = "give the three capital letters of a currency in ISO 4217, such as EUR";
            self.inconsistent("currency", "currency", quoted(currency), right);
        }
        if let Some(rule) = clock_rule
            .as_deref()
            .filter(|rule| Clock::by_rule(rule).is_err())
        {
            let right = "give a rule such as CET-1CEST,M3.5.0,M10.5.0/3, or none for standard time all year";
            self.inconsistent("clock_rule", "rule of summer time", quoted(rule), right);
        }
        self.each(
            "holidays",
            "holidays",
            holidays,
            MOST_HOLIDAYS,
            Self::holiday,
        );
        self.number(&limits::TARIFF_FIXED_CUR_PER_MONTH, *fixed_cur_per_month);
        self.number(&limits::TARIFF_FIXED_CUR_PER_DAY, *fixed_cur_per_day);
        self.number(
            &limits::TARIFF_MINIMUM_CUR_PER_MONTH,
            *minimum_cur_per_month,
        );
        if periods.is_empty() {
            self.field("periods", |walk| {
                walk.report(
                    "price periods",
                    0,
                    Wrong::Length,
                    "give at least one, for all hours",
                );
            });
        }
        self.each(
            "periods",
            "price periods",
            periods,
            MOST_PERIODS,
            Self::period,
        );
        self.only_the_last_always_holds(periods);
        self.each(
            "demand",
            "demand charges",
            demand,
            MOST_DEMAND_CHARGES,
            Self::demand_charge,
        );
        self.field("export", |walk| walk.export(export));
        self.number(&limits::TARIFF_TAX, *tax);
        self.told_in = None;
    }

    fn holiday(&mut self, holiday: &Holiday) {
        match holiday {
            Holiday::Date { month, day } => self.field("date", |walk| {
                walk.whole(&limits::HOLIDAY_MONTH, *month);
                walk.number(&limits::HOLIDAY_DAY, f64::from(*day));
                let days = days_of_month(*month);
                if limits::HOLIDAY_DAY.admits(f64::from(*day)) && (1..*day).contains(&days) {
                    let right = format!(
                        "give at most {days}, the days of that month; leap days are left out"
                    );
                    walk.inconsistent("day", limits::HOLIDAY_DAY.label, day, right);
                }
            }),
            Holiday::Nth {
                month,
                weekday,
                nth,
            } => self.field("nth", |walk| {
                walk.whole(&limits::HOLIDAY_NTH_MONTH, *month);
                walk.number(&limits::HOLIDAY_WEEKDAY, f64::from(*weekday));
                walk.number(&limits::HOLIDAY_NTH, f64::from(*nth));
            }),
        }
    }

    fn period(&mut self, period: &Period) {
        let Period {
            name,
            windows,
            tiers,
            sell_cur_per_kwh,
        } = period;
        self.name("name", name);
        self.windows(windows);
        if tiers.is_empty() {
            self.field("tiers", |walk| {
                walk.report(
                    "prices of the period",
                    0,
                    Wrong::Length,
                    "give at least one",
                );
            });
        }
        self.each("tiers", "tiers", tiers, MOST_TIERS, |walk, tier| {
            let Tier {
                up_to_wh,
                cur_per_kwh,
            } = tier;
            walk.optional(&limits::TIER_UP_TO_WH, *up_to_wh);
            walk.number(&limits::TIER_CUR_PER_KWH, *cur_per_kwh);
        });
        self.tiers_rise(tiers);
        self.number(&limits::PERIOD_SELL_CUR_PER_KWH, *sell_cur_per_kwh);
    }

    /// Each tier must end above the one before it, and only the last has no end.
    fn tiers_rise(&mut self, tiers: &[Tier]) {
        let mut below_wh = 0.0;
        for (index, tier) in tiers.iter().enumerate() {
            let last = index + 1 == tiers.len();
            let (value, right) = match tier.up_to_wh {
                None if last => continue,
                Some(up_to_wh) if !last && (up_to_wh > below_wh || up_to_wh.is_nan()) => {
                    below_wh = up_to_wh;
                    continue;
                }
                Some(up_to_wh) if last => (
                    Unit::Wh.text(up_to_wh),
                    "leave it open: the last tier has no end".to_owned(),
                ),
                Some(up_to_wh) => (
                    Unit::Wh.text(up_to_wh),
                    format!("give more than {below_wh} Wh"),
                ),
                None => (
                    "open".to_owned(),
                    "give the energy up to which it holds: only the last tier has no end"
                        .to_owned(),
                ),
            };
            let row = &limits::TIER_UP_TO_WH;
            self.field("tiers", |walk| {
                walk.element(index, |walk| {
                    walk.inconsistent(row.key(), row.label, value, right)
                });
            });
        }
    }

    fn windows(&mut self, windows: &[Window]) {
        self.each("windows", "hours", windows, MOST_WINDOWS, Self::hours);
    }

    pub(super) fn hours(&mut self, window: &Window) {
        let Window {
            months: _,
            days: _,
            from_h,
            to_h,
        } = window;
        self.window(
            (&limits::WINDOW_FROM_H, *from_h),
            (&limits::WINDOW_TO_H, *to_h),
        );
    }

    /// A period without hours hides all that come after it; without such a one at the end some hours have no price.
    fn only_the_last_always_holds(&mut self, periods: &[Period]) {
        for (index, period) in periods.iter().enumerate() {
            let last = index + 1 == periods.len();
            if last == period.windows.is_empty() {
                continue;
            }
            let right = if last {
                "leave them open: the last period is for all hours that no other has"
            } else {
                "give at least one: only the last period is for all other hours"
            };
            let value = period.windows.len();
            self.field("periods", |walk| {
                walk.element(index, |walk| {
                    walk.inconsistent("windows", "hours", value, right)
                });
            });
        }
    }

    fn demand_charge(&mut self, demand: &DemandCharge) {
        let DemandCharge {
            name,
            windows,
            interval_s,
            cur_per_kw,
        } = demand;
        self.name("name", name);
        self.windows(windows);
        if !matches!(interval_s, 900 | 1_800 | 3_600) {
            self.inconsistent(
                "interval_s",
                "time over which power is averaged",
                Unit::Seconds.text(f64::from(*interval_s)),
                "give 900 s, 1800 s or 3600 s",
            );
        }
        self.number(&limits::DEMAND_CUR_PER_KW, *cur_per_kw);
    }

    fn export(&mut self, export: &Export) {
        match export {
            Export::Nothing => {}
            Export::NetMetering {
                carry_over,
                cash_out_cur_per_kwh,
            } => self.field("net_metering", |walk| {
                if let CarryOver::Yearly { first_month } = carry_over {
                    walk.field("carry_over", |walk| {
                        walk.field("yearly", |walk| {
                            walk.whole(&limits::EXPORT_YEAR_BEGINS, *first_month);
                        });
                    });
                }
                walk.number(&limits::EXPORT_CASH_OUT_CUR_PER_KWH, *cash_out_cur_per_kwh);
            }),
            Export::NetBilling { price, surplus: _ } => self.field("net_billing", |walk| {
                walk.field("price", |walk| match price {
                    ExportPrice::Flat { cur_per_kwh } => walk.field("flat", |walk| {
                        walk.number(&limits::EXPORT_FLAT_CUR_PER_KWH, *cur_per_kwh);
                    }),
                    ExportPrice::ByPeriod => {}
                    ExportPrice::Hourly { cur_per_kwh } => walk.field("hourly", |walk| {
                        let row = &limits::EXPORT_HOURLY_CUR_PER_KWH;
                        walk.series(row, HOURS_OF_A_YEAR, cur_per_kwh);
                    }),
                });
            }),
            Export::AllSold { cur_per_kwh } => self.field("all_sold", |walk| {
                walk.number(&limits::EXPORT_ALL_SOLD_CUR_PER_KWH, *cur_per_kwh);
            }),
        }
    }

    /// A whole number in the field that its row names.
    fn whole(&mut self, limit: &'static limits::Limit, value: usize) {
        self.number(limit, u32::try_from(value).map_or(f64::MAX, f64::from));
    }
}

/// The beginning of a text that was typed in, in quotes.
fn quoted(text: &str) -> String {
    let begin: String = text.chars().take(40).collect();
    format!("{begin:?}")
}
