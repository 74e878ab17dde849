//! Monthly means of a climate.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Monthly means of a climate, January first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MonthlyClimate {
    /// Mean daily global irradiation on the level, Wh/m².
    pub ghi_wh_m2_day: [f64; 12],
    /// Mean air temperature, °C.
    pub air_mean_c: [f64; 12],
    /// Mean daily range of air temperature, K.
    pub air_range_k: [f64; 12],
    /// Mean yearly minimum of air temperature, °C.
    pub yearly_low_c: f64,
    /// Air temperature that 2 % of the hours of a year exceed, °C.
    pub yearly_high_c: f64,
}
