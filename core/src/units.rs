//! The units that readers choose between, and what turns one into the other.

use serde::{Deserialize, Serialize};

/// Metres of a foot.
pub const M_PER_FT: f64 = 0.3048;
/// Metres of an inch.
pub const M_PER_IN: f64 = 0.0254;
/// Square metres of a square foot.
pub const M2_PER_FT2: f64 = M_PER_FT * M_PER_FT;

/// Units in which lengths, temperatures and volumes are told. Everything is kept and calculated in metric units.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    /// °C and m.
    #[default]
    Metric,
    /// °F and ft.
    Us,
}

/// Degrees Fahrenheit of degrees Celsius.
#[must_use]
pub fn fahrenheit(celsius: f64) -> f64 {
    1.8 * celsius + 32.0
}
