//! A whole hourly year of weather that the user gave.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An hourly year: 8,760 values each, means of the hour that ends at the stamp, local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeatherFile {
    /// Name of the station or file.
    pub name: String,
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Longitude, °, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Offset of the file's standard time from UTC, h, east positive.
    pub utc_offset_h: f64,
    /// Global irradiance on the level, W/m².
    pub ghi_w_m2: Arc<[f64]>,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: Arc<[f64]>,
    /// Diffuse irradiance on the level, W/m².
    pub dhi_w_m2: Arc<[f64]>,
    /// Air temperature, °C.
    pub air_c: Arc<[f64]>,
    /// Wind speed, m/s.
    pub wind_m_s: Arc<[f64]>,
}
