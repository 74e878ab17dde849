//! One row per typed number: what it is called, its unit, its range, its default and where the default comes from. The
//! check, the forms, the published schema and the random households of the tests all read these rows.

mod coupling;
mod electrical;
mod household;
mod money;

pub use coupling::*;
pub use electrical::*;
pub use household::*;
pub use money::*;

/// The row of one typed number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Type, variant and field that the row is for, such as `BaseUse.yearly.energy_wh`.
    pub field: &'static str,
    /// What the number is called on screen, in trade words, lower case.
    pub label: &'static str,
    /// Its unit.
    pub unit: Unit,
    /// Least permitted value.
    pub least: f64,
    /// Most permitted value.
    pub most: f64,
    /// Value of a field that nobody has opened yet.
    pub default: f64,
    /// Where the default comes from.
    pub source: &'static str,
}

impl Limit {
    /// Whether the value is a number within the range.
    #[must_use]
    pub fn admits(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }

    /// Name of the field in a saved file: the last part of [`Self::field`].
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.field.rsplit('.').next().unwrap_or(self.field)
    }

    /// The range in words, such as `100 Wh to 200000 Wh`.
    #[must_use]
    pub fn range(&self) -> String {
        format!(
            "{} to {}",
            self.unit.text(self.least),
            self.unit.text(self.most)
        )
    }

    /// Every row.
    pub fn all() -> impl Iterator<Item = &'static Self> {
        household::ROWS
            .iter()
            .chain(coupling::ROWS)
            .chain(electrical::ROWS)
            .chain(money::ROWS)
            .copied()
    }
}

/// Units of typed numbers, as they are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Power, W.
    W,
    /// Energy, Wh.
    Wh,
    /// A share, 0 to 1; screens show it as percent.
    Share,
    /// Angle, °.
    Deg,
    /// Temperature, °C.
    C,
    /// Temperature difference, K.
    K,
    /// Voltage, V.
    V,
    /// Current, A.
    A,
    /// Duration or time of day, h.
    Hours,
    /// Duration, s.
    Seconds,
    /// Frequency, Hz.
    Hz,
    /// Share for each hertz, 1/Hz.
    PerHz,
    /// Share of a rating in each second, 1/s.
    PerSecond,
    /// Fuel of an hour, L/h.
    LPerHour,
    /// Fuel of a kilowatt-hour, L/kWh.
    LPerKwh,
    /// Length, m.
    M,
    /// Area, m².
    M2,
    /// Section, mm².
    Mm2,
    /// Speed, m/s.
    MPerS,
    /// Irradiance, W/m².
    WPerM2,
    /// Insolation of a day, Wh/m².
    WhPerM2Day,
    /// Heat per temperature difference, W/K.
    WPerK,
    /// Relative change with temperature, per °C.
    PerC,
    /// Price of energy, currency per kWh.
    CurPerKwh,
    /// Price of power and month, currency per kW.
    CurPerKw,
    /// Price of fuel, currency per L.
    CurPerL,
    /// Charge per month, currency.
    CurPerMonth,
    /// Charge per day, currency.
    CurPerDay,
    /// Amount, currency.
    Cur,
    /// Amount per year, currency.
    CurPerYear,
    /// Duration, years.
    Years,
    /// A ratio, such as a coefficient of performance.
    Ratio,
    /// A whole number of things.
    Count,
}

impl Unit {
    /// Symbol of the unit; empty for shares, ratios and counts.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::W => "W",
            Self::Wh => "Wh",
            Self::Deg => "°",
            Self::C => "°C",
            Self::K => "K",
            Self::V => "V",
            Self::A => "A",
            Self::Hours => "h",
            Self::Seconds => "s",
            Self::Hz => "Hz",
            Self::PerHz => "1/Hz",
            Self::PerSecond => "1/s",
            Self::LPerHour => "L/h",
            Self::LPerKwh => "L/kWh",
            Self::M => "m",
            Self::M2 => "m²",
            Self::Mm2 => "mm²",
            Self::MPerS => "m/s",
            Self::WPerM2 => "W/m²",
            Self::WhPerM2Day => "Wh/m² a day",
            Self::WPerK => "W/K",
            Self::PerC => "per °C",
            Self::CurPerKwh => "per kWh",
            Self::CurPerKw => "per kW and month",
            Self::CurPerL => "per L",
            Self::CurPerMonth => "per month",
            Self::CurPerDay => "per day",
            Self::CurPerYear => "per year",
            Self::Years => "years",
            Self::Cur | Self::Share | Self::Ratio | Self::Count => "",
        }
    }

    /// A value with this unit, such as `3600 W`.
    #[must_use]
    pub fn text(self, value: f64) -> String {
        match self {
            Self::Cur | Self::Share | Self::Ratio | Self::Count => value.to_string(),
            Self::Deg => format!("{value}°"),
            _ => format!("{value} {}", self.symbol()),
        }
    }
}

/// Rows as a table: name, field, label, unit, least to most, default, source of the default.
macro_rules! rows {
    ($($name:ident: $field:literal, $label:literal, $unit:ident, $least:literal to $most:literal, $default:literal, $source:expr;)*) => {
        $(
            #[doc = concat!("`", $field, "`: ", $label, ".")]
            pub const $name: Limit = Limit {
                field: $field,
                label: $label,
                unit: Unit::$unit,
                least: $least,
                most: $most,
                default: $default,
                source: $source,
            };
        )*

        /// Every row of this file.
        pub(super) const ROWS: &[&Limit] = &[$(&$name),*];
    };
}
use rows;

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_row_is_sound() {
        let mut fields = BTreeSet::new();
        for row in Limit::all() {
            assert!(fields.insert(row.field), "{} stands twice", row.field);
            assert!(row.least < row.most, "{}", row.field);
            assert!(
                row.admits(row.default),
                "{}: default out of range",
                row.field
            );
            assert!(
                !row.admits(f64::NAN) && !row.admits(f64::INFINITY),
                "{}",
                row.field
            );
            assert!(
                !row.source.is_empty() && !row.label.is_empty(),
                "{}",
                row.field
            );
        }
    }

    #[test]
    fn a_range_is_told_with_its_unit() {
        assert_eq!(BATTERY_USABLE_WH.range(), "100 Wh to 1000000 Wh");
        assert_eq!(BATTERY_USABLE_WH.key(), "usable_wh");
        assert_eq!(PLANE_TILT_DEG.range(), "0° to 90°");
    }
}
