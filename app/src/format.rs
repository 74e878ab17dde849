//! Numbers, amounts, dates and times as they are shown. In the browser the grouping and the decimal sign are those of its locale;
//! elsewhere thin spaces and a point.

/// A number with its unit, kept apart so that figures can stand in a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shown {
    /// The figure, with a true minus sign if negative.
    pub(crate) figure: String,
    /// The unit, such as `kWh`; empty for money, whose sign belongs to the figure.
    pub(crate) unit: &'static str,
}

impl Shown {
    /// Figure and unit on one line, held together.
    pub(crate) fn text(&self) -> String {
        if self.unit.is_empty() {
            self.figure.clone()
        } else {
            format!("{}\u{a0}{}", self.figure, self.unit)
        }
    }
}

/// What stands where there is no value.
pub(crate) const NONE: &str = "\u{2013}";

/// A number with a fixed number of decimals. What rounds to zero has no sign; what is not a number is shown as [`NONE`].
pub(crate) fn number(value: f64, decimals: u8) -> String {
    with_sign(value, decimals, "", |size| digits(size, decimals))
}

/// A difference: with `+` or a true minus, except for what rounds to zero.
pub(crate) fn difference(value: f64, decimals: u8) -> String {
    with_sign(value, decimals, "+", |size| digits(size, decimals))
}

/// Power in kW: two decimals below 10 kW, one from there on.
pub(crate) fn power(power_w: f64) -> Shown {
    let kw = power_w / 1000.0;
    Shown {
        figure: number(kw, if kw.abs() < 9.995 { 2 } else { 1 }),
        unit: "kW",
    }
}

/// A difference of powers, with the decimals of the power beside which it stands.
pub(crate) fn power_difference(power_w: f64, beside_w: f64) -> String {
    difference(
        power_w / 1000.0,
        if (beside_w / 1000.0).abs() < 9.995 {
            2
        } else {
            1
        },
    )
}

/// Energy in kWh, from 100 MWh on in MWh, with three significant digits or to the unit.
pub(crate) fn energy(energy_wh: f64) -> Shown {
    let (per_unit, unit, decimals) = energy_scale(energy_wh);
    Shown {
        figure: number(energy_wh / per_unit, decimals),
        unit,
    }
}

/// A difference of energies, in the unit of the energy beside which it stands, with the decimals of the larger of both.
pub(crate) fn energy_difference(energy_wh: f64, beside_wh: f64) -> String {
    let (per_unit, ..) = energy_scale(beside_wh);
    let (_, _, decimals) = energy_scale(beside_wh.abs().max(energy_wh.abs()));
    difference(energy_wh / per_unit, decimals)
}

fn energy_scale(energy_wh: f64) -> (f64, &'static str, u8) {
    let kwh = energy_wh.abs() / 1000.0;
    if kwh >= 99_999.5 {
        (1.0e6, "MWh", 0)
    } else if !(0.005..99.95).contains(&kwh) {
        (1000.0, "kWh", 0)
    } else if kwh >= 9.995 {
        (1000.0, "kWh", 1)
    } else {
        (1000.0, "kWh", 2)
    }
}

/// A share of 0 to 1 in percent.
pub(crate) fn percent(share: f64, decimals: u8) -> Shown {
    Shown {
        figure: number(share * 100.0, decimals),
        unit: "%",
    }
}

/// An amount in a currency named by its ISO 4217 code: without decimals from 100 on.
pub(crate) fn money(amount_cur: f64, currency: &str) -> String {
    let decimals = money_decimals(amount_cur);
    with_sign(amount_cur, decimals, "", |size| {
        money_digits(size, currency, decimals)
    })
}

/// A difference of amounts, without the currency's sign, with the decimals of the amount beside which it stands.
pub(crate) fn money_difference(amount_cur: f64, beside_cur: f64) -> String {
    difference(amount_cur, money_decimals(beside_cur))
}

fn money_decimals(amount_cur: f64) -> u8 {
    if amount_cur.abs() < 99.995 { 2 } else { 0 }
}

/// A price per kWh: two decimals, or three where two would round it.
pub(crate) fn price(price_cur_per_kwh: f64) -> String {
    let cents = price_cur_per_kwh * 100.0;
    let whole = (cents - cents.round()).abs() < 1e-6;
    number(price_cur_per_kwh, if whole { 2 } else { 3 })
}

/// A time of day, 24 hours: `13:45`. 1440 is `24:00`.
pub(crate) fn time(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// Days before each month of a year without a leap day, and the length of that year.
pub(crate) const MONTH_STARTS: [u32; 13] =
    [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];

/// A day of the year without the year, in words: `21 June`.
pub(crate) fn date(day: u32) -> String {
    platform::date(day.min(364))
}

/// The first letter or letters of a month (0 to 11), for a narrow axis.
pub(crate) fn month_initial(month: usize) -> String {
    platform::month(month, true)
}

/// The short name of a month (0 to 11).
pub(crate) fn month_short(month: usize) -> String {
    platform::month(month, false)
}

fn with_sign(value: f64, decimals: u8, plus: &str, shown: impl Fn(f64) -> String) -> String {
    if !value.is_finite() {
        return NONE.to_owned();
    }
    let size = value.abs();
    let rounds_to_zero = size * 10f64.powi(i32::from(decimals)) < 0.5;
    let sign = match (rounds_to_zero, value < 0.0) {
        (true, _) => "",
        (false, true) => "\u{2212}",
        (false, false) => plus,
    };
    format!("{sign}{}", shown(if rounds_to_zero { 0.0 } else { size }))
}

fn digits(size: f64, decimals: u8) -> String {
    platform::digits(size, decimals)
}

fn money_digits(size: f64, currency: &str, decimals: u8) -> String {
    // A code that is not three letters would be refused by the browser's formatter.
    if currency.len() == 3 && currency.bytes().all(|byte| byte.is_ascii_alphabetic()) {
        platform::money(size, currency, decimals)
    } else {
        platform::digits(size, decimals)
    }
}

#[cfg(target_arch = "wasm32")]
mod platform {
    use std::cell::RefCell;
    use std::collections::HashMap;

    use js_sys::{Array, Date, Intl, Object, Reflect};
    use wasm_bindgen::{JsCast, JsValue};

    thread_local! {
        // Making a formatter takes far longer than using it.
        static NUMBERS: RefCell<HashMap<(String, u8), js_sys::Function>> = RefCell::default();
        static DATES: RefCell<HashMap<&'static str, js_sys::Function>> = RefCell::default();
    }

    fn options(pairs: &[(&str, JsValue)]) -> Object {
        let options = Object::new();
        for (key, value) in pairs {
            // Setting a property of a fresh object cannot fail.
            let _ = Reflect::set(&options, &JsValue::from_str(key), value);
        }
        options
    }

    fn called(function: &js_sys::Function, value: &JsValue) -> Option<String> {
        function.call1(&JsValue::UNDEFINED, value).ok()?.as_string()
    }

    fn formatted(size: f64, currency: &str, decimals: u8) -> String {
        let shown = NUMBERS.with_borrow_mut(|numbers| {
            let format = numbers
                .entry((currency.to_owned(), decimals))
                .or_insert_with(|| {
                    let mut pairs = vec![
                        ("minimumFractionDigits", JsValue::from(decimals)),
                        ("maximumFractionDigits", JsValue::from(decimals)),
                    ];
                    if !currency.is_empty() {
                        pairs.push(("style", JsValue::from_str("currency")));
                        pairs.push(("currency", JsValue::from_str(currency)));
                        pairs.push(("currencyDisplay", JsValue::from_str("narrowSymbol")));
                    }
                    Intl::NumberFormat::new(&Array::new(), options(&pairs).unchecked_ref()).format()
                });
            called(format, &JsValue::from_f64(size))
        });
        shown.unwrap_or_else(|| format!("{size:.*}", usize::from(decimals)))
    }

    pub(super) fn digits(size: f64, decimals: u8) -> String {
        formatted(size, "", decimals)
    }

    pub(super) fn money(size: f64, currency: &str, decimals: u8) -> String {
        formatted(size, currency, decimals)
    }

    /// Noon of 1 January 2023 in UTC, ms since 1970: the first day of a year without a leap day.
    const FIRST_NOON_MS: f64 = 1_672_574_400_000.0;
    const DAY_MS: f64 = 86_400_000.0;

    /// A day of a year without a leap day, 0 is 1 January, in the given form.
    fn dated(form: &'static str, day: u32) -> Option<String> {
        DATES.with_borrow_mut(|dates| {
            let format = dates.entry(form).or_insert_with(|| {
                let mut pairs = vec![("timeZone", JsValue::from_str("UTC"))];
                match form {
                    "date" => pairs.extend([
                        ("day", JsValue::from_str("numeric")),
                        ("month", JsValue::from_str("long")),
                    ]),
                    month => pairs.push(("month", JsValue::from_str(month))),
                }
                Intl::DateTimeFormat::new(&Array::new(), options(&pairs).unchecked_ref()).format()
            });
            let moment = Date::new(&JsValue::from_f64(FIRST_NOON_MS + f64::from(day) * DAY_MS));
            called(format, &moment)
        })
    }

    pub(super) fn date(day: u32) -> String {
        dated("date", day).unwrap_or_default()
    }

    pub(super) fn month(month: usize, narrow: bool) -> String {
        let form = if narrow { "narrow" } else { "short" };
        let first = super::MONTH_STARTS.get(month).copied().unwrap_or(0);
        dated(form, first).unwrap_or_default()
    }
}

#[cfg(not(target_arch = "wasm32"))]
mod platform {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];

    /// Month (0 to 11) and day of the month (from 1) of a day of the year, 0 is 1 January; later days count as 31 December.
    pub(super) fn month_and_day(day: u32) -> (usize, u32) {
        let day = day.min(364);
        let month = super::MONTH_STARTS
            .iter()
            .rposition(|start| *start <= day)
            .unwrap_or(0);
        let start = super::MONTH_STARTS.get(month).copied().unwrap_or(0);
        (month, day - start + 1)
    }

    pub(super) fn digits(size: f64, decimals: u8) -> String {
        let plain = format!("{size:.*}", usize::from(decimals));
        let (whole, fraction) = plain.split_once('.').unwrap_or((&plain, ""));
        let mut grouped = String::new();
        for (place, digit) in whole.chars().enumerate() {
            if place > 0 && (whole.len() - place).is_multiple_of(3) {
                grouped.push('\u{202f}');
            }
            grouped.push(digit);
        }
        if fraction.is_empty() {
            grouped
        } else {
            format!("{grouped}.{fraction}")
        }
    }

    pub(super) fn money(size: f64, currency: &str, decimals: u8) -> String {
        format!("{}\u{a0}{currency}", digits(size, decimals))
    }

    pub(super) fn date(day: u32) -> String {
        let (month, day) = month_and_day(day);
        format!("{day} {}", MONTHS.get(month).copied().unwrap_or_default())
    }

    pub(super) fn month(month: usize, narrow: bool) -> String {
        let name = MONTHS.get(month).copied().unwrap_or_default();
        name.chars().take(if narrow { 1 } else { 3 }).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_follow_the_size_of_the_energy() {
        assert_eq!(energy(3_140_400.0).text(), "3\u{202f}140\u{a0}kWh");
        assert_eq!(energy(23_456.0).text(), "23.5\u{a0}kWh");
        assert_eq!(energy(1_234.0).text(), "1.23\u{a0}kWh");
        assert_eq!(energy(0.0).text(), "0\u{a0}kWh");
        assert_eq!(energy(2.0).text(), "0\u{a0}kWh");
        assert_eq!(energy(123_456_789.0).text(), "123\u{a0}MWh");
    }

    #[test]
    fn a_difference_has_the_decimals_of_its_neighbour_and_a_true_minus() {
        assert_eq!(
            energy_difference(-2_910_000.0, 3_140_000.0),
            "\u{2212}2\u{202f}910"
        );
        assert_eq!(energy_difference(2_910.0, 23_000.0), "+2.9");
        assert_eq!(energy_difference(-4_820.0, 0.0), "\u{2212}4.82");
        assert_eq!(difference(-0.04, 1), "0.0");
        assert_eq!(difference(0.05, 1), "+0.1");
        assert_eq!(money_difference(-743.2, 612.0), "\u{2212}743");
    }

    #[test]
    fn what_is_not_a_number_is_a_dash() {
        assert_eq!(number(f64::NAN, 2), NONE);
        assert_eq!(difference(f64::INFINITY, 0), NONE);
    }

    #[test]
    fn money_names_its_currency_if_the_code_is_one() {
        assert_eq!(money(-1234.6, "EUR"), "\u{2212}1\u{202f}235\u{a0}EUR");
        assert_eq!(money(1.5, "not a code"), "1.50");
    }

    #[test]
    fn prices_show_a_third_decimal_only_if_it_says_something() {
        assert_eq!(price(0.38), "0.38");
        assert_eq!(price(0.285), "0.285");
    }

    #[test]
    fn days_of_the_year_fall_in_their_months() {
        assert_eq!(platform::month_and_day(0), (0, 1));
        assert_eq!(platform::month_and_day(58), (1, 28));
        assert_eq!(platform::month_and_day(59), (2, 1));
        assert_eq!(platform::month_and_day(364), (11, 31));
        assert_eq!(platform::month_and_day(4000), (11, 31));
        assert_eq!(date(171), "21 June");
        assert_eq!(month_short(5), "Jun");
        assert_eq!(month_initial(5), "J");
    }

    #[test]
    fn times_have_two_digits_each() {
        assert_eq!(time(0), "00:00");
        assert_eq!(time(825), "13:45");
        assert_eq!(time(1440), "24:00");
    }
}
