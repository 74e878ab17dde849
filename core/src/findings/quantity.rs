//! Lengths, temperatures and resistances as the texts of findings tell them.

use super::Details;
use super::finding::figure;
use crate::rules::Code;
use crate::units::{M_PER_FT, M_PER_IN, UnitSystem, fahrenheit};

impl Details {
    /// The same details, told to who reads in these units. Only the NEC is told in feet and °F: the IEC is metric everywhere.
    #[must_use]
    pub fn told_in(self, units: UnitSystem) -> Self {
        let units = match self.code {
            Code::Nec(_) => units,
            Code::Iec => UnitSystem::Metric,
        };
        Self { units, ..self }
    }
}

/// A number as findings tell it, for drawings and lists that stand beside them: at most this many decimals, a half rounded up.
pub(crate) fn shown_figure(value: f64, decimals: usize) -> String {
    figure(value, decimals)
}

/// A length, such as `15 m` or `49.2 ft`.
pub(super) fn length(units: UnitSystem, length_m: f64, decimals: usize) -> String {
    match units {
        UnitSystem::Metric => format!("{} m", figure(length_m, decimals)),
        UnitSystem::Us => format!("{} ft", figure(length_m / M_PER_FT, 1)),
    }
}

/// A short length, such as `0.76 m` or `30 in`.
pub(super) fn short_length(units: UnitSystem, length_m: f64) -> String {
    match units {
        UnitSystem::Metric => format!("{} m", figure(length_m, 2)),
        UnitSystem::Us => format!("{} in", figure(length_m / M_PER_IN, 0)),
    }
}

/// A temperature, such as `30 °C` or `86 °F`.
pub(super) fn temperature(units: UnitSystem, celsius: f64, decimals: usize) -> String {
    match units {
        UnitSystem::Metric => format!("{} °C", figure(celsius, decimals)),
        UnitSystem::Us => format!("{} °F", figure(fahrenheit(celsius), decimals)),
    }
}

/// A resistance over length, such as `4.068 Ω/km` or `1.24 Ω/kft`.
pub(super) fn resistance(units: UnitSystem, ohm_per_m: f64) -> String {
    match units {
        UnitSystem::Metric => format!("{} Ω/km", figure(1000.0 * ohm_per_m, 3)),
        UnitSystem::Us => format!("{} Ω/kft", figure(1000.0 * M_PER_FT * ohm_per_m, 4)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 3 ft are 0.9144 m by definition; −40 is the same on both scales; 12 AWG copper is 1.98 Ω per 1000 ft.
    #[test]
    fn quantities_are_told_in_the_readers_units() {
        use UnitSystem::{Metric, Us};
        assert_eq!(length(Us, 0.914, 2), "3 ft");
        assert_eq!(length(Metric, 0.914, 2), "0.91 m");
        assert_eq!(short_length(Us, 0.76), "30 in");
        assert_eq!(temperature(Us, -40.0, 1), "−40 °F");
        assert_eq!(temperature(Us, 30.0, 0), "86 °F");
        assert_eq!(resistance(Us, 1.98 / 304.8), "1.98 Ω/kft");
        assert_eq!(resistance(Metric, 1.98 / 304.8), "6.496 Ω/km");
    }
}
