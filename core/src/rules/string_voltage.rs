//! Voltage of a string in the cold and in the heat.

use super::Code;
use crate::array::Mounting;

/// Cell temperature of standard test conditions, °C.
pub const STC_CELL_C: f64 = 25.0;

/// Voltage at a cell temperature by a temperature coefficient, V.
///
/// - `stc_v`: voltage at standard test conditions, V
/// - `coefficient_per_c`: relative change per °C, negative; an absolute one in V/°C is divided by `stc_v` first
///
/// For the cold check the cell is as cold as the air: at dawn it has not been warmed yet. Not below 0.
///
/// Source: NEC 690.7(A)(1); IEC 62548.
#[must_use]
pub fn voltage_at_cell_v(stc_v: f64, coefficient_per_c: f64, cell_c: f64) -> f64 {
    (stc_v * (1.0 + coefficient_per_c * (cell_c - STC_CELL_C))).max(0.0)
}

/// Lower end of each band of [`cold_factor`], °C, with its factor.
///
/// Source: NEC table 690.7(A), crystalline and multicrystalline silicon (three public transcriptions agree).
pub const COLD_FACTORS: [(f64, f64); 13] = [
    (20.0, 1.02),
    (15.0, 1.04),
    (10.0, 1.06),
    (5.0, 1.08),
    (0.0, 1.10),
    (-5.0, 1.12),
    (-10.0, 1.14),
    (-15.0, 1.16),
    (-20.0, 1.18),
    (-25.0, 1.20),
    (-30.0, 1.21),
    (-35.0, 1.23),
    (-40.0, 1.25),
];

/// Factor on the open-circuit voltage of crystalline modules at the lowest expected air temperature.
///
/// A fraction of a degree counts as the colder degree. 1 from 25 °C on; none below −40 °C, where the table ends.
#[must_use]
pub fn cold_factor(lowest_c: f64) -> Option<f64> {
    let lowest_c = libm::floor(lowest_c);
    if lowest_c >= STC_CELL_C {
        return Some(1.0);
    }
    COLD_FACTORS
        .iter()
        .find(|(from_c, _)| lowest_c >= *from_c)
        .map(|(_, factor)| *factor)
}

/// Most modules in series whose voltages together do not pass a limit.
#[must_use]
pub fn most_in_series(module_v: f64, limit_v: f64) -> u32 {
    let most = libm::floor(limit_v / module_v * (1.0 + 1e-12));
    if most.is_finite() && most > 0.0 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a positive whole number; what is too large is the largest"
        )]
        let most = most as u32;
        most
    } else {
        0
    }
}

/// Fewest modules in series whose voltages together reach a limit; 0 if a module has no voltage.
#[must_use]
pub fn fewest_in_series(module_v: f64, limit_v: f64) -> u32 {
    let below = most_in_series(module_v, limit_v);
    if module_v > 0.0 && f64::from(below) * module_v < limit_v * (1.0 - 1e-12) {
        below.saturating_add(1)
    } else {
        below
    }
}

/// How much warmer than the air a cell is in full sun on a hot day, K.
///
/// Source: common practice: 20 K to 25 K on a rack, 30 K on a roof with a gap, 35 K close to it.
#[must_use]
pub fn hot_cell_rise_k(mounting: Mounting) -> f64 {
    match mounting {
        Mounting::OpenRack => 25.0,
        Mounting::RoofStandOff => 30.0,
        Mounting::CloseToRoof => 35.0,
    }
}

/// Highest DC voltage of PV on a home, V.
///
/// Source: NEC 690.7: 600 V on one- and two-family dwellings. IEC 60364-7-712: 1000 V on buildings (from memory; several
/// countries ask for less).
#[must_use]
pub fn dwelling_limit_v(code: Code) -> f64 {
    match code {
        Code::Nec(_) => 600.0,
        Code::Iec => 1000.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_of_a_degree_counts_as_the_colder_degree() {
        assert_eq!(cold_factor(-10.0), Some(1.14));
        assert_eq!(cold_factor(-10.2), Some(1.16));
        assert_eq!(cold_factor(24.9), Some(1.02));
        assert_eq!(cold_factor(25.0), Some(1.0));
        assert_eq!(cold_factor(-40.0), Some(1.25));
        assert_eq!(cold_factor(-40.1), None);
        assert_eq!(cold_factor(f64::NAN), None);
    }

    #[test]
    fn a_string_that_just_meets_a_limit_is_within_it() {
        assert_eq!(most_in_series(50.0, 600.0), 12);
        assert_eq!(most_in_series(50.1, 600.0), 11);
        assert_eq!(fewest_in_series(50.0, 600.0), 12);
        assert_eq!(fewest_in_series(49.9, 600.0), 13);
        assert_eq!(most_in_series(0.0, 600.0), 0);
        assert_eq!(fewest_in_series(0.0, 600.0), 0);
        assert_eq!(most_in_series(f64::NAN, 600.0), 0);
    }
}
