//! Random valid costs, lives, rates, incentives and loans.

use couplet_core::coupling::{BatteryAgeing, BatteryCosts, ConverterCosts, OptionCosts, OtherCost};
use couplet_core::household::{Finance, GivenFor, IncentiveAmount, IncentiveTerms, LoanTerms};
use couplet_core::limits::{self, Limit};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::number::any_number;

/// Amounts of a household's size, and now and then any that the row admits.
fn any_cur(limit: &'static Limit) -> impl Strategy<Value = f64> + Clone {
    prop_oneof![
        9 => limit.least.max(0.0)..=30_000.0,
        1 => any_number(limit),
    ]
}

/// Costs of a converter.
pub fn any_converter_costs() -> impl Strategy<Value = ConverterCosts> {
    (
        option::of(any_cur(&limits::CONVERTER_FIRST_CUR)),
        option::of(any_cur(&limits::CONVERTER_AGAIN_CUR)),
        option::of(any_number(&limits::CONVERTER_LIFE_YEARS)),
    )
        .prop_map(|(first_cur, again_cur, life_years)| ConverterCosts {
            first_cur,
            again_cur,
            life_years,
        })
}

/// Costs of a battery.
pub fn any_battery_costs() -> impl Strategy<Value = BatteryCosts> {
    (
        option::of(any_cur(&limits::BATTERY_FIRST_CUR)),
        option::of(any_cur(&limits::BATTERY_AGAIN_CUR)),
    )
        .prop_map(|(first_cur, again_cur)| BatteryCosts {
            first_cur,
            again_cur,
        })
}

/// Ageing of a battery.
pub fn any_battery_ageing() -> impl Strategy<Value = BatteryAgeing> {
    (
        any_number(&limits::BATTERY_FULL_CYCLES),
        any_number(&limits::BATTERY_FIRST_YEAR_LOSS),
        any_number(&limits::BATTERY_END_OF_LIFE),
    )
        .prop_map(
            |(full_cycles, first_year_loss, end_of_life)| BatteryAgeing {
                full_cycles,
                first_year_loss,
                end_of_life,
            },
        )
}

/// Cost of an array.
pub fn any_array_cost() -> impl Strategy<Value = Option<f64>> {
    option::of(any_cur(&limits::ARRAY_FIRST_CUR))
}

/// Costs of an option beside its parts.
pub fn any_option_costs() -> impl Strategy<Value = OptionCosts> {
    (
        option::of(any_cur(&limits::OPTION_WORK_CUR)),
        option::of(any_cur(&limits::OPTION_UPKEEP_CUR_PER_YEAR)),
        vec(
            any_number(&limits::OTHER_FIRST_CUR).prop_map(|first_cur| OtherCost {
                name: "Other".to_owned(),
                first_cur,
            }),
            0..3,
        ),
    )
        .prop_map(|(work_cur, upkeep_cur_per_year, others)| OptionCosts {
            work_cur,
            upkeep_cur_per_year,
            others,
        })
}

/// What is assumed of money.
pub fn any_finance() -> impl Strategy<Value = Finance> {
    (
        1_u32..=40,
        any_number(&limits::FINANCE_DISCOUNT_RATE),
        any_number(&limits::FINANCE_ENERGY_PRICE_GROWTH),
        any_number(&limits::FINANCE_PRICE_GROWTH),
        any_number(&limits::FINANCE_ARRAY_FADE_PER_YEAR),
        vec(any_incentive(), 0..4),
        option::of(any_loan()),
    )
        .prop_map(
            |(
                years,
                discount_rate,
                energy_price_growth,
                price_growth,
                array_fade_per_year,
                incentives,
                loan,
            )| Finance {
                years,
                discount_rate,
                energy_price_growth,
                price_growth,
                array_fade_per_year,
                incentives,
                loan,
            },
        )
}

fn any_incentive() -> impl Strategy<Value = IncentiveTerms> {
    let amount = prop_oneof![
        any_cur(&limits::INCENTIVE_FIXED_CUR)
            .prop_map(|fixed_cur| IncentiveAmount::Fixed { fixed_cur }),
        (
            any_number(&limits::INCENTIVE_SHARE),
            option::of(any_cur(&limits::INCENTIVE_MOST_CUR)),
            0_u32..=40,
        )
            .prop_map(|(share, most_cur, year)| IncentiveAmount::Share {
                share,
                most_cur,
                year,
            }),
        (any_cur(&limits::INCENTIVE_YEARLY_CUR), 1_u32..=40)
            .prop_map(|(yearly_cur, years)| IncentiveAmount::Yearly { yearly_cur, years }),
    ];
    let given_for = select(vec![
        GivenFor::AnyCost,
        GivenFor::NewArrays,
        GivenFor::NewStorage,
    ]);
    (given_for, amount).prop_map(|(given_for, amount)| IncentiveTerms {
        name: "Incentive".to_owned(),
        given_for,
        amount,
    })
}

fn any_loan() -> impl Strategy<Value = LoanTerms> {
    (
        any_number(&limits::LOAN_SHARE),
        any_number(&limits::LOAN_RATE_PER_YEAR),
        1_u32..=40,
    )
        .prop_map(|(share, rate_per_year, years)| LoanTerms {
            share,
            rate_per_year,
            years,
        })
}
