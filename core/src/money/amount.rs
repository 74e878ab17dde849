//! Amounts of money.

use iso_currency::Currency;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An amount in whole minor units of its currency (cents).
///
/// Integers, because a bill and a cash flow are tables that someone adds up: a sum of integers is the same in every order and
/// is what a reader gets by hand, which neither binary nor decimal fractions with hidden digits give. Prices, shares and
/// rates stay `f64`; a product is rounded once, where it becomes a line, half away from zero as on a bill.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
pub struct Money(i64);

/// How many decimals the minor unit of a currency has: 2 for cents, 0 where there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MinorUnit {
    /// Decimals, 0 to 4; more count as 4.
    pub decimals: u8,
}

impl Default for MinorUnit {
    fn default() -> Self {
        Self { decimals: 2 }
    }
}

impl MinorUnit {
    /// The minor unit of a currency by its ISO 4217 code; two decimals for what is no currency.
    ///
    /// Source: ISO 4217, list one, column "minor unit".
    #[must_use]
    pub fn of(currency: &str) -> Self {
        Currency::from_code(currency)
            .and_then(Currency::exponent)
            .and_then(|decimals| u8::try_from(decimals).ok())
            .map_or_else(Self::default, |decimals| Self { decimals })
    }

    /// Minor units per unit of the currency.
    fn per_cur(self) -> f64 {
        match self.decimals {
            0 => 1.0,
            1 => 10.0,
            2 => 100.0,
            3 => 1000.0,
            _ => 10_000.0,
        }
    }

    /// An amount in currency, rounded to the minor unit, half away from zero. Not a number counts as 0; amounts beyond what
    /// can be counted stop there.
    #[must_use]
    pub fn round(self, cur: f64) -> Money {
        let minor = cur * self.per_cur();
        // 0.285 currency is 28.499999999999996 cents in binary: what is within rounding of a half is a half.
        let half_away = (minor.abs() * (1.0 + 4.0 * f64::EPSILON) + 0.5).floor();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a cast to integer saturates, and not a number becomes 0"
        )]
        let counted = half_away.copysign(minor) as i64;
        Money(counted)
    }

    /// An amount in currency, to calculate on with and to show.
    #[must_use]
    pub fn cur(self, money: Money) -> f64 {
        #[expect(
            clippy::cast_precision_loss,
            reason = "exact up to 2^53 minor units, 90 million million with cents"
        )]
        let minor = money.0 as f64;
        minor / self.per_cur()
    }
}

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many minor units.
    #[must_use]
    pub fn from_minor(minor: i64) -> Self {
        Self(minor)
    }

    /// In minor units.
    #[must_use]
    pub fn minor(self) -> i64 {
        self.0
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Self::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_rounded_half_away_from_zero_and_add_up_exactly() {
        let cents = MinorUnit::default();
        for (cur, minor) in [
            (0.285, 29),
            (-0.285, -29),
            (1.005, 101),
            (0.284_999, 28),
            (0.0, 0),
            (f64::NAN, 0),
            (f64::INFINITY, i64::MAX),
        ] {
            assert_eq!(cents.round(cur).minor(), minor, "{cur}");
        }
        assert_eq!(MinorUnit { decimals: 0 }.round(12.5).minor(), 13);
        let tenths: Money = (0..1000).map(|_| cents.round(0.1)).sum();
        assert_eq!(cents.cur(tenths), 100.0);
    }
}
