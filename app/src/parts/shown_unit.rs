//! Typed numbers as they are shown and read: kW, kWh and % on the screen; W, Wh and shares behind it.

use couplet_core::limits::{Limit, Unit};
use couplet_core::units::{M_PER_FT, M2_PER_FT2};

use crate::format;
use crate::keep::UnitSystem;

/// Litres of a US liquid gallon of 231 cubic inches.
const L_PER_US_GALLON: f64 = 3.785_411_784;

/// A volume of fuel in the reader's unit.
pub(crate) fn fuel(fuel_l: f64, decimals: u8, system: UnitSystem) -> String {
    let (per_unit_l, unit) = fuel_unit(system);
    format!(
        "{}\u{a0}{unit}",
        format::number(fuel_l / per_unit_l, decimals)
    )
}

/// A difference of fuel to the whole unit, without it.
pub(crate) fn fuel_difference(fuel_l: f64, system: UnitSystem) -> String {
    format::difference(fuel_l / fuel_unit(system).0, 0)
}

fn fuel_unit(system: UnitSystem) -> (f64, &'static str) {
    match system {
        UnitSystem::Metric => (1.0, "L"),
        UnitSystem::Us => (L_PER_US_GALLON, "gal"),
    }
}

/// How a number is shown: `shown = kept / kept_per_shown + offset`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ShownUnit {
    /// Symbol behind the number; may be empty.
    pub(crate) symbol: String,
    kept_per_shown: f64,
    offset: f64,
}

impl ShownUnit {
    /// How numbers of this row are shown. Prices and charges carry the currency's code.
    pub(crate) fn of(limit: &Limit, system: UnitSystem, currency: &str) -> Self {
        Self::of_unit(limit.unit, limit.default, system, currency)
    }

    /// How numbers of this unit and about this size are shown.
    pub(crate) fn of_unit(unit: Unit, size: f64, system: UnitSystem, currency: &str) -> Self {
        let plain = |symbol: &str, kept_per_shown: f64| Self {
            symbol: symbol.to_owned(),
            kept_per_shown,
            offset: 0.0,
        };
        match (unit, system) {
            // What is a few watts by nature reads badly in kW.
            (Unit::W, _) if size.abs() < 500.0 => plain("W", 1.0),
            (Unit::W, _) => plain("kW", 1000.0),
            (Unit::Wh, _) => plain("kWh", 1000.0),
            (Unit::WhPerM2Day, _) => plain("kWh/m²", 1000.0),
            (Unit::Share, _) => plain("%", 0.01),
            // Data sheets state it per °C everywhere.
            (Unit::PerC, _) => plain("%/°C", 0.01),
            (Unit::C, UnitSystem::Us) => Self {
                symbol: "°F".to_owned(),
                kept_per_shown: 1.0 / 1.8,
                offset: 32.0,
            },
            (Unit::K, UnitSystem::Us) => plain("°F", 1.0 / 1.8),
            (Unit::M, UnitSystem::Us) => plain("ft", M_PER_FT),
            (Unit::M2, UnitSystem::Us) => plain("ft²", M2_PER_FT2),
            (Unit::PerHz, _) => plain("%/Hz", 0.01),
            (Unit::PerSecond, _) => plain("%/s", 0.01),
            (Unit::LPerHour, UnitSystem::Us) => plain("gal/h", L_PER_US_GALLON),
            (Unit::LPerKwh, UnitSystem::Us) => plain("gal/kWh", L_PER_US_GALLON),
            (Unit::CurPerKwh | Unit::CurPerKw | Unit::CurPerMonth | Unit::CurPerDay, _)
                if currency.is_empty() =>
            {
                plain(unit.symbol(), 1.0)
            }
            (Unit::CurPerL, UnitSystem::Us) => {
                plain(&format!("{currency}/gal"), 1.0 / L_PER_US_GALLON)
            }
            (Unit::CurPerL, _) => plain(&format!("{currency}/L"), 1.0),
            (Unit::CurPerKwh, _) => plain(&format!("{currency}/kWh"), 1.0),
            (Unit::CurPerKw, _) => plain(&format!("{currency}/kW and month"), 1.0),
            (Unit::CurPerMonth, _) => plain(&format!("{currency}/month"), 1.0),
            (Unit::CurPerDay, _) => plain(&format!("{currency}/day"), 1.0),
            (Unit::Cur, _) => plain(currency, 1.0),
            (Unit::CurPerYear, _) if !currency.is_empty() => {
                plain(&format!("{currency}/year"), 1.0)
            }
            (unit, _) => plain(unit.symbol(), 1.0),
        }
    }

    /// The number that is shown for a kept one.
    pub(crate) fn shown(&self, kept: f64) -> f64 {
        kept / self.kept_per_shown + self.offset
    }

    /// The number that is kept for a shown one.
    pub(crate) fn kept(&self, shown: f64) -> f64 {
        // Rounded to twelve digits, so that 7.2 kW is 7200 W and not a hair beside it.
        let kept = (shown - self.offset) * self.kept_per_shown;
        format!("{kept:.11e}").parse().unwrap_or(kept)
    }

    /// The digits of a kept number: six significant ones at most, with the decimal sign of the locale and no grouping.
    pub(crate) fn digits(&self, kept: f64) -> String {
        let shown = self.shown(kept);
        if !shown.is_finite() {
            return String::new();
        }
        let magnitude = if shown == 0.0 {
            0.0
        } else {
            shown.abs().log10().floor()
        };
        let decimals = (5.0 - magnitude).clamp(0.0, 6.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 6"
        )]
        let text = format!("{shown:.*}", decimals as usize);
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        let text = if text == "-0" { "0" } else { text };
        text.replace('-', "\u{2212}").replace('.', decimal_sign())
    }

    /// A kept number with its symbol, with four significant digits or to the unit.
    pub(crate) fn text_rounded(&self, kept: f64) -> String {
        self.text(self.rounded(kept))
    }

    /// The digits of a kept number, with four significant ones or to the unit.
    pub(crate) fn digits_rounded(&self, kept: f64) -> String {
        self.digits(self.rounded(kept))
    }

    fn rounded(&self, kept: f64) -> f64 {
        let shown = self.shown(kept);
        let decimals = match shown.abs() {
            size if size < 1.0 => 4,
            size if size < 10.0 => 3,
            size if size < 100.0 => 2,
            size if size < 1000.0 => 1,
            _ => 0,
        };
        let rounded = format!("{shown:.decimals$}").parse().unwrap_or(shown);
        self.kept(rounded)
    }

    /// A kept number with its symbol, such as `7.2 kW`.
    pub(crate) fn text(&self, kept: f64) -> String {
        let digits = self.digits(kept);
        match self.symbol.as_str() {
            "" => digits,
            "°" => format!("{digits}°"),
            symbol => format!("{digits}\u{a0}{symbol}"),
        }
    }

    /// The kept number that a typed text means: `7.2`, `7,2`, `7.2 kW` and `7200 W` are the same where kW are shown.
    pub(crate) fn read(&self, typed: &str) -> Option<f64> {
        let typed = typed.trim();
        let end = typed
            .char_indices()
            .rev()
            .find(|(_, c)| c.is_ascii_digit() || matches!(c, '.' | ','))
            .map(|(index, c)| index + c.len_utf8())?;
        let (number, symbol) = typed.split_at(end);
        let shown = match self.symbol.as_str() {
            "h" => time_typed(number).or_else(|| number_typed(number))?,
            _ => number_typed(number)?,
        };
        let symbol = symbol.trim();
        let same = |other: &str| symbol.to_lowercase() == other.to_lowercase();
        if symbol.is_empty() || same(&self.symbol) {
            return Some(self.kept(shown));
        }
        if self.symbol == "%/°C" {
            return match symbol.to_lowercase().as_str() {
                "%/k" | "%/c" | "%" => Some(self.kept(shown)),
                "/k" | "/°c" | "1/k" | "1/°c" => Some(shown),
                _ => None,
            };
        }
        // Another multiple of the same unit.
        let base = match self.symbol.as_str() {
            "kW" | "W" => "W",
            "kWh" => "Wh",
            _ => return None,
        };
        let multiple = [("", 1.0), ("k", 1e3), ("M", 1e6)]
            .into_iter()
            .find(|(prefix, _)| same(&format!("{prefix}{base}")))?
            .1;
        Some(shown * multiple)
    }

    /// The next round number above or below a kept one, in tenths of its size.
    pub(crate) fn step(&self, limit: &Limit, kept: f64, up: bool, large: bool) -> f64 {
        let shown = self.shown(kept);
        let least_step = match limit.unit {
            Unit::Count | Unit::Years => 1.0,
            Unit::Hours => 0.25,
            Unit::CurPerKwh => 0.01,
            _ => 0.1,
        };
        let size = if shown == 0.0 {
            1.0
        } else {
            10f64.powf(shown.abs().log10().floor() - 1.0)
        };
        let step = if limit.unit == Unit::Hours {
            0.5
        } else {
            size.max(least_step)
        };
        let step = if large { step * 10.0 } else { step };
        let places = (shown / step).round() + if up { 1.0 } else { -1.0 };
        self.kept(places * step).clamp(limit.least, limit.most)
    }
}

/// A time of day as people type it, such as `6:30`, in hours.
fn time_typed(typed: &str) -> Option<f64> {
    let (hours, minutes) = typed.trim().split_once(':')?;
    let (hours, minutes): (u8, u8) = (hours.parse().ok()?, minutes.parse().ok()?);
    (minutes < 60).then(|| f64::from(hours) + f64::from(minutes) / 60.0)
}

/// A number as people type it: point or comma as decimal sign, spaces or apostrophes or the other sign between groups. Where one sign
/// alone could be either, as in `9,600`, it is what it is in the reader's locale.
pub(crate) fn number_typed(typed: &str) -> Option<f64> {
    number_by(typed, decimal_sign())
}

fn number_by(typed: &str, readers_sign: &str) -> Option<f64> {
    let text: String = typed
        .chars()
        .filter(|c| {
            !c.is_whitespace() && !matches!(c, '\'' | '\u{2019}' | '\u{a0}' | '\u{202f}' | '_')
        })
        .map(|c| {
            if matches!(c, '\u{2212}' | '\u{2013}') {
                '-'
            } else {
                c
            }
        })
        .collect();
    let points = text.matches('.').count();
    let commas = text.matches(',').count();
    let decimal = match (text.rfind('.'), text.rfind(',')) {
        (Some(point), Some(comma)) => Some(if point > comma { '.' } else { ',' }),
        (Some(_), None) => (points == 1).then_some('.'),
        (None, Some(_)) => (commas == 1).then_some(','),
        (None, None) => None,
    };
    let decimal = decimal.filter(|sign| {
        let both = points > 0 && commas > 0;
        both || readers_sign.starts_with(*sign) || !parts_a_group(&text, *sign)
    });
    let plain: String = text
        .chars()
        .filter(|c| !matches!(c, '.' | ',') || Some(*c) == decimal)
        .map(|c| if Some(c) == decimal { '.' } else { c })
        .collect();
    plain.parse().ok().filter(|value: &f64| value.is_finite())
}

/// Whether a sign stands where thousands are parted from the rest: three digits follow, and one to three that do not begin with 0
/// come before.
fn parts_a_group(text: &str, sign: char) -> bool {
    let digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
    text.split_once(sign).is_some_and(|(before, after)| {
        let before = before.trim_start_matches(['-', '+']);
        let leads = (1..=3).contains(&before.len()) && !before.starts_with('0');
        leads && digits(before) && after.len() == 3 && digits(after)
    })
}

/// The decimal sign of the reader's locale.
fn decimal_sign() -> &'static str {
    #[cfg(target_arch = "wasm32")]
    {
        thread_local! {
            static COMMA: bool = js_sys::Number::from(1.5).to_locale_string("default").as_string().is_some_and(|text| text.contains(','));
        }
        if COMMA.with(|comma| *comma) { "," } else { "." }
    }
    #[cfg(not(target_arch = "wasm32"))]
    {
        "."
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::limits;

    fn kw() -> ShownUnit {
        ShownUnit::of(&limits::ARRAY_PEAK_W, UnitSystem::Metric, "EUR")
    }

    #[test]
    fn a_power_is_read_however_it_is_typed() {
        for typed in [
            "7.2",
            "7,2",
            " 7.20 kW",
            "7200 W",
            "7'200 W",
            "0.0072 MW",
            "7.200 kw",
        ] {
            assert_eq!(kw().read(typed), Some(7200.0), "{typed}");
        }
        for typed in ["", "abc", "7.2 kWh", "7 furlongs", "--7", "NaN", "inf"] {
            assert_eq!(kw().read(typed), None, "{typed}");
        }
    }

    #[test]
    fn fuel_is_read_in_the_reader_s_gallons_or_litres() {
        let shown = |system| ShownUnit::of(&limits::GENERATOR_IDLE_FUEL_L_PER_H, system, "EUR");
        assert_eq!(shown(UnitSystem::Metric).text(0.5), "0.5\u{a0}L/h");
        assert_eq!(
            shown(UnitSystem::Us).text(2.0 * L_PER_US_GALLON),
            "2\u{a0}gal/h"
        );
        let price = |system| ShownUnit::of(&limits::GENERATOR_FUEL_CUR_PER_L, system, "USD");
        assert_eq!(price(UnitSystem::Us).text(1.0), "3.78541\u{a0}USD/gal");
        let slope = ShownUnit::of(&limits::DROOP_SLOPE_PER_HZ, UnitSystem::Metric, "EUR");
        assert_eq!(slope.read("40 %/Hz"), Some(0.4));
    }

    #[test]
    fn a_coefficient_is_read_in_the_units_of_data_sheets() {
        let shown = ShownUnit::of(&limits::MODULE_VOC_PER_C, UnitSystem::Us, "USD");
        for typed in ["-0.27", "\u{2212}0.27 %/K", "-0.27 %/°C", "-0.0027 /K"] {
            assert_eq!(shown.read(typed), Some(-0.0027), "{typed}");
        }
        assert_eq!(shown.read("-130 mV/K"), None);
    }

    #[test]
    fn groups_and_decimals_are_told_apart_by_the_last_sign() {
        assert_eq!(number_typed("1,234.5"), Some(1234.5));
        assert_eq!(number_typed("1.234,5"), Some(1234.5));
        assert_eq!(number_typed("1 234 567"), Some(1_234_567.0));
        assert_eq!(number_typed("\u{2212}12,5"), Some(-12.5));
    }

    #[test]
    fn a_sign_that_could_part_thousands_is_what_it_is_where_the_reader_lives() {
        for (typed, with_points, with_commas) in [
            ("9,600", 9_600.0, 9.6),
            ("9.600", 9.6, 9_600.0),
            ("-12,345", -12_345.0, -12.345),
            ("0,125", 0.125, 0.125),
            ("0.125", 0.125, 0.125),
            ("12,5", 12.5, 12.5),
            ("1234,567", 1234.567, 1234.567),
            ("1,234,567", 1_234_567.0, 1_234_567.0),
        ] {
            assert_eq!(number_by(typed, "."), Some(with_points), "{typed}");
            assert_eq!(number_by(typed, ","), Some(with_commas), "{typed}");
        }
    }

    #[test]
    fn hours_are_read_as_a_clock_shows_them() {
        let shown = ShownUnit::of(&limits::WINDOW_FROM_H, UnitSystem::Metric, "EUR");
        for (typed, hours) in [
            ("6:30", 6.5),
            ("06:30", 6.5),
            ("6.5 h", 6.5),
            ("24:00", 24.0),
        ] {
            assert_eq!(shown.read(typed), Some(hours), "{typed}");
        }
        assert_eq!(shown.read("6:75"), None);
    }

    #[test]
    fn what_is_shown_is_read_back_as_it_was() {
        for limit in limits::Limit::all() {
            for system in [UnitSystem::Metric, UnitSystem::Us] {
                let unit = ShownUnit::of(limit, system, "EUR");
                let read = unit.read(&unit.text(limit.default)).unwrap();
                assert!(
                    (read - limit.default).abs() <= 1e-5 * limit.default.abs().max(1e-3),
                    "{}",
                    limit.field
                );
            }
        }
    }

    #[test]
    fn fuel_is_told_in_the_unit_of_the_reader() {
        let fuel_l = 100.0 * L_PER_US_GALLON;
        assert_eq!(fuel(fuel_l, 0, UnitSystem::Us), "100\u{a0}gal");
        assert_eq!(fuel(fuel_l, 1, UnitSystem::Metric), "378.5\u{a0}L");
    }

    #[test]
    fn a_step_goes_to_a_round_number_and_stays_in_the_range() {
        assert_eq!(
            kw().step(&limits::ARRAY_PEAK_W, 7230.0, true, false),
            7300.0
        );
        assert_eq!(kw().step(&limits::ARRAY_PEAK_W, 10.0, false, true), 10.0);
        let degrees = ShownUnit::of(&limits::PLANE_TILT_DEG, UnitSystem::Metric, "EUR");
        assert_eq!(
            degrees.step(&limits::PLANE_TILT_DEG, 30.0, true, false),
            31.0
        );
    }
}
