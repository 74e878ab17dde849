//! Strings: voltage in the cold and current.

use couplet_core::rules::{
    Awg, Column, Metal, breaker_at_least_a, cold_factor, continuous_basis_a, most_in_series,
    source_circuit_a, voltage_at_cell_v,
};
use couplet_tests::assert_near;

use super::NEC_2023;

/// NEC table 690.7(A): factor of each band by its warmest and its coldest whole degree (three public transcriptions agree).
#[test]
fn cold_factors_are_those_of_table_690_7() {
    for (warmest, coldest, factor) in [
        (24, 20, 1.02),
        (19, 15, 1.04),
        (14, 10, 1.06),
        (9, 5, 1.08),
        (4, 0, 1.10),
        (-1, -5, 1.12),
        (-6, -10, 1.14),
        (-11, -15, 1.16),
        (-16, -20, 1.18),
        (-21, -25, 1.20),
        (-26, -30, 1.21),
        (-31, -35, 1.23),
        (-36, -40, 1.25),
    ] {
        for degrees in coldest..=warmest {
            assert_eq!(
                cold_factor(f64::from(degrees)),
                Some(factor),
                "{degrees} °C"
            );
        }
    }
}

/// A module of 49.5 V and −0.27 %/°C: by coefficient at −10 °C 54.18 V, 14 in series 758.5 V, eleven within 600 V; at −20, −30 and
/// 0 °C 55.51, 56.85 and 52.84 V. By the table at −10 °C 56.43 V, 14 in series 790.0 V, ten within 600 V.
///
/// Source: public worked item (14 modules); the others by the same arithmetic.
#[test]
fn cold_strings_agree_with_the_worked_example() {
    let module_v = |low_c: f64| voltage_at_cell_v(49.5, -0.0027, low_c);
    assert_near(module_v(-10.0), 54.18, 0.005, "−10 °C");
    assert_near(14.0 * module_v(-10.0), 758.5, 0.05, "14 modules");
    assert_eq!(most_in_series(module_v(-10.0), 600.0), 11);
    for (low_c, expected_v, most) in [(-20.0, 55.51, 10), (-30.0, 56.85, 10), (0.0, 52.84, 11)] {
        assert_near(module_v(low_c), expected_v, 0.005, "coefficient");
        assert_eq!(most_in_series(module_v(low_c), 600.0), most);
    }
    let by_table_v = 49.5 * cold_factor(-10.0).unwrap();
    assert_near(by_table_v, 56.43, 0.005, "table");
    assert_near(14.0 * by_table_v, 790.0, 0.05, "14 modules by the table");
    assert_eq!(most_in_series(by_table_v, 600.0), 10);
}

/// One string of 10 A: 12.5 A highest, 15.63 A basis, 20 A device. Three strings of 9.6 A: 36 A and 45 A (public worked item).
#[test]
fn source_circuit_currents_agree_with_the_worked_examples() {
    assert_near(source_circuit_a(10.0, 1), 12.5, 1e-12, "highest");
    assert_near(continuous_basis_a(12.5), 15.625, 1e-12, "basis");
    assert_eq!(breaker_at_least_a(NEC_2023, 15.625), Some(20.0));
    assert_near(source_circuit_a(9.6, 3), 36.0, 1e-12, "three strings");
    assert_near(
        continuous_basis_a(source_circuit_a(9.6, 3)),
        45.0,
        1e-12,
        "basis",
    );
    // 48 A of battery output: 60 A device, and 6 AWG copper at 75 °C carries 65 A.
    assert_eq!(
        breaker_at_least_a(NEC_2023, continuous_basis_a(48.0)),
        Some(60.0)
    );
    assert_eq!(Awg::Awg6.ampacity_a(Metal::Copper, Column::C75), Some(65.0));
}
