//! Checks of costs, lives, rates, incentives and a loan.

use super::walk::{MOST_INCENTIVES, MOST_OTHER_COSTS, Walk};
use crate::coupling::{BatteryAgeing, BatteryCosts, ConverterCosts, OptionCosts, OtherCost};
use crate::household::{Finance, IncentiveAmount, IncentiveTerms, LoanTerms};
use crate::limits;

impl Walk {
    pub(super) fn converter_costs(&mut self, costs: &ConverterCosts) {
        let ConverterCosts {
            first_cur,
            again_cur,
            life_years,
        } = costs;
        self.optional(&limits::CONVERTER_FIRST_CUR, *first_cur);
        self.optional(&limits::CONVERTER_AGAIN_CUR, *again_cur);
        self.optional(&limits::CONVERTER_LIFE_YEARS, *life_years);
    }

    pub(super) fn battery_costs(&mut self, costs: &BatteryCosts) {
        let BatteryCosts {
            first_cur,
            again_cur,
        } = costs;
        self.optional(&limits::BATTERY_FIRST_CUR, *first_cur);
        self.optional(&limits::BATTERY_AGAIN_CUR, *again_cur);
    }

    pub(super) fn battery_ageing(&mut self, ageing: &BatteryAgeing) {
        let BatteryAgeing {
            full_cycles,
            first_year_loss,
            end_of_life,
        } = ageing;
        self.number(&limits::BATTERY_FULL_CYCLES, *full_cycles);
        self.number(&limits::BATTERY_FIRST_YEAR_LOSS, *first_year_loss);
        self.number(&limits::BATTERY_END_OF_LIFE, *end_of_life);
    }

    pub(super) fn option_costs(&mut self, costs: &OptionCosts) {
        let OptionCosts {
            work_cur,
            upkeep_cur_per_year,
            others,
        } = costs;
        self.optional(&limits::OPTION_WORK_CUR, *work_cur);
        self.optional(&limits::OPTION_UPKEEP_CUR_PER_YEAR, *upkeep_cur_per_year);
        self.each(
            "others",
            "other costs",
            others,
            MOST_OTHER_COSTS,
            |walk, other| {
                let OtherCost { name, first_cur } = other;
                walk.name("name", name);
                walk.number(&limits::OTHER_FIRST_CUR, *first_cur);
            },
        );
    }

    pub(super) fn finance(&mut self, finance: &Finance) {
        let Finance {
            years,
            discount_rate,
            energy_price_growth,
            price_growth,
            array_fade_per_year,
            incentives,
            loan,
        } = finance;
        self.number(&limits::FINANCE_YEARS, f64::from(*years));
        self.number(&limits::FINANCE_DISCOUNT_RATE, *discount_rate);
        self.number(&limits::FINANCE_ENERGY_PRICE_GROWTH, *energy_price_growth);
        self.number(&limits::FINANCE_PRICE_GROWTH, *price_growth);
        self.number(&limits::FINANCE_ARRAY_FADE_PER_YEAR, *array_fade_per_year);
        self.each(
            "incentives",
            "incentives",
            incentives,
            MOST_INCENTIVES,
            Self::incentive,
        );
        if let Some(LoanTerms {
            share,
            rate_per_year,
            years,
        }) = loan
        {
            self.field("loan", |walk| {
                walk.number(&limits::LOAN_SHARE, *share);
                walk.number(&limits::LOAN_RATE_PER_YEAR, *rate_per_year);
                walk.number(&limits::LOAN_YEARS, f64::from(*years));
            });
        }
    }

    fn incentive(&mut self, incentive: &IncentiveTerms) {
        let IncentiveTerms {
            name,
            given_for: _,
            amount,
        } = incentive;
        self.name("name", name);
        self.field("amount", |walk| match amount {
            IncentiveAmount::Fixed { fixed_cur } => walk.field("fixed", |walk| {
                walk.number(&limits::INCENTIVE_FIXED_CUR, *fixed_cur);
            }),
            IncentiveAmount::Share {
                share,
                most_cur,
                year,
            } => walk.field("share", |walk| {
                walk.number(&limits::INCENTIVE_SHARE, *share);
                walk.optional(&limits::INCENTIVE_MOST_CUR, *most_cur);
                walk.number(&limits::INCENTIVE_YEAR, f64::from(*year));
            }),
            IncentiveAmount::Yearly { yearly_cur, years } => walk.field("yearly", |walk| {
                walk.number(&limits::INCENTIVE_YEARLY_CUR, *yearly_cur);
                walk.number(&limits::INCENTIVE_YEARS, f64::from(*years));
            }),
        });
    }
}
