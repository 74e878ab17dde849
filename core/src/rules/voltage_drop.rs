//! Voltage lost along a run, and the section that a short circuit asks for.

use super::{LoadedConductors, Metal, MetricInsulation};

/// Voltage lost along a run, V.
///
/// - `current_a`: current, A
/// - `one_way_m`: length one way, m
/// - `ohm_per_m`: resistance of one conductor at its temperature, Ω/m; for power factors below 1 see [`effective_ohm_per_m`]
///
/// While an inverter sends power out the same figure is the **rise** at its terminals.
///
/// Source: 2 I L R, for three phases √3 I L R (IEC 60364-5-52 annex G; handbooks).
#[must_use]
pub fn voltage_drop_v(
    current_a: f64,
    one_way_m: f64,
    ohm_per_m: f64,
    loaded: LoadedConductors,
) -> f64 {
    let conductors = match loaded {
        LoadedConductors::Two => 2.0,
        LoadedConductors::Three => libm::sqrt(3.0),
    };
    conductors * current_a * one_way_m * ohm_per_m
}

/// Resistance and reactance as they act on the voltage at a power factor, Ω/m: R cos φ + X sin φ.
#[must_use]
pub fn effective_ohm_per_m(ohm_per_m: f64, reactance_ohm_per_m: f64, power_factor: f64) -> f64 {
    let sine = libm::sqrt((1.0 - power_factor * power_factor).max(0.0));
    ohm_per_m * power_factor + reactance_ohm_per_m * sine
}

/// Factor of a conductor in a short circuit, A √s/mm²: how much current a square millimetre bears for a second.
///
/// Source: IEC 60364-4-43 table 43A: 143 by public text, 115, 94 and 76 from memory; 126 for PV cable, from 120 °C to 250 °C, derived
/// by the formula of IEC 60364-5-54 annex A, which gives the others too.
#[must_use]
pub fn short_circuit_k(metal: Metal, insulation: MetricInsulation) -> f64 {
    match (metal, insulation) {
        (Metal::Copper, MetricInsulation::Pvc) => 115.0,
        (Metal::Copper, MetricInsulation::Xlpe) => 143.0,
        (Metal::Copper, MetricInsulation::PvCable) => 126.0,
        (Metal::Aluminium, MetricInsulation::Pvc) => 76.0,
        (Metal::Aluminium, MetricInsulation::Xlpe | MetricInsulation::PvCable) => 94.0,
    }
}

/// Least section that bears a short circuit until it is cleared, mm².
///
/// - `fault_a`: highest current of the short circuit, A
/// - `clearing_s`: until the device has cleared it, s, 5 s at most: beyond, heat that leaves the conductor counts
/// - `k`: see [`short_circuit_k`]
///
/// Source: IEC 60364-4-43, 434.5.2: I² t ≤ k² S².
#[must_use]
pub fn short_circuit_section_mm2(fault_a: f64, clearing_s: f64, k: f64) -> f64 {
    fault_a * libm::sqrt(clearing_s.max(0.0)) / k
}
