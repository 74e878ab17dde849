//! Prices that were typed as a bill often states them: in hundredths of the currency.

use crate::limits::Unit;

/// Currencies of which a few make no kilowatt-hour: their unit is worth half to twice a US dollar. From memory.
const WORTH_ABOUT_A_DOLLAR: [&str; 8] = ["AUD", "CAD", "CHF", "EUR", "GBP", "NZD", "SGD", "USD"];

/// The currency, if it is one in which prices have a usual size.
pub(super) fn told_in(currency: &str) -> Option<&'static str> {
    (WORTH_ABOUT_A_DOLLAR.into_iter()).find(|known| *known == currency)
}

/// What no household pays in one of these currencies, and for what.
///
/// Source: common practice: a kilowatt-hour costs 0.05 to 1, a connection up to 2 a day or 60 a month, whatever is used.
pub(super) fn dearest(unit: Unit) -> Option<(f64, &'static str)> {
    match unit {
        Unit::CurPerKwh => Some((2.0, "kWh")),
        Unit::CurPerDay => Some((10.0, "day")),
        Unit::CurPerMonth => Some((300.0, "month")),
        _ => None,
    }
}
