//! What is assumed of money: rates, years, incentives and a loan. They hold for every option alike.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::limits;

/// What is assumed of money.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Finance {
    /// Years looked at, 1 to 40.
    pub years: u32,
    /// What money could earn otherwise, share per year.
    pub discount_rate: f64,
    /// Growth of the prices of energy, share per year.
    pub energy_price_growth: f64,
    /// Growth of all other prices, share per year.
    pub price_growth: f64,
    /// Share of its power that an array loses in a year.
    pub array_fade_per_year: f64,
    /// Incentives, in the order in which they are reckoned; none is assumed.
    pub incentives: Vec<IncentiveTerms>,
    /// A loan; none: all is paid at the start.
    pub loan: Option<LoanTerms>,
}

impl Default for Finance {
    fn default() -> Self {
        Self {
            years: 20,
            discount_rate: limits::FINANCE_DISCOUNT_RATE.default,
            energy_price_growth: limits::FINANCE_ENERGY_PRICE_GROWTH.default,
            price_growth: limits::FINANCE_PRICE_GROWTH.default,
            array_fade_per_year: limits::FINANCE_ARRAY_FADE_PER_YEAR.default,
            incentives: Vec::new(),
            loan: None,
        }
    }
}

/// An incentive as it was typed in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IncentiveTerms {
    /// What it is.
    pub name: String,
    /// Which options get it.
    pub given_for: GivenFor,
    /// How much it is.
    pub amount: IncentiveAmount,
}

/// Which options get an incentive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GivenFor {
    /// Each one that costs something.
    AnyCost,
    /// Those with a new array.
    NewArrays,
    /// Those with a new storage unit.
    NewStorage,
}

/// How much an incentive is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum IncentiveAmount {
    /// An amount at the start, not more than what is still to pay.
    Fixed {
        /// Amount, currency.
        fixed_cur: f64,
    },
    /// A share of what is still to pay after the incentives before it.
    Share {
        /// The share, 0 to 1.
        share: f64,
        /// Most that is given, currency; none: no limit.
        most_cur: Option<f64>,
        /// Year at whose end it comes; 0 is the start.
        year: u32,
    },
    /// The same amount at the end of each of the first years.
    Yearly {
        /// Amount, currency per year.
        yearly_cur: f64,
        /// Number of years.
        years: u32,
    },
}

/// A loan as it was typed in. It is paid back in equal amounts each month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoanTerms {
    /// Share that is lent of what is to pay at the start, after the incentives of the start, 0 to 1.
    pub share: f64,
    /// Interest, share per year; a twelfth of it is due each month.
    pub rate_per_year: f64,
    /// Years in which it is paid back.
    pub years: u32,
}

impl Default for LoanTerms {
    fn default() -> Self {
        Self {
            share: limits::LOAN_SHARE.default,
            rate_per_year: limits::LOAN_RATE_PER_YEAR.default,
            years: 10,
        }
    }
}
