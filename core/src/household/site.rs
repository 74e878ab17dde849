//! Where the household stands and what sky it has.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::climate::{MonthlyClimate, WeatherFile};
use crate::sky::SkyModel;

/// The place, its climate and how the sky is modelled.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Name of the place, as people there would say it.
    pub place: String,
    /// Latitude, °, north positive, −90 to 90.
    pub latitude_deg: f64,
    /// Longitude, °, east positive, −180 to 180.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Offset of local standard time from UTC, h, east positive, −12 to 14.
    pub utc_offset_h: f64,
    /// IANA name of the time zone; empty if not known.
    pub time_zone: String,
    /// Where the weather of the year comes from.
    pub climate: ClimateSource,
    /// Seed of the synthetic year: the same seed gives the same year.
    pub seed: u32,
    /// How diffuse light is laid on a tilted plane.
    pub sky_model: SkyModel,
    /// Share of sunlight that the ground around reflects, 0 to 1.
    pub ground_albedo: f64,
    /// Share of light lost to dirt on the modules in each month, January first, 0 to 1.
    pub soiling_share: [f64; 12],
    /// Lowest temperature on record, °C; not given: the climate's estimate less 7 K is used and said to be an estimate.
    pub record_low_c: Option<f64>,
}

/// Where the weather of the year comes from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(
    clippy::large_enum_variant,
    reason = "a household has one; the sizes differ that much only where pointers are short"
)]
pub enum ClimateSource {
    /// The built-in world grid: monthly means made into a synthetic year.
    Grid,
    /// Monthly means that the user typed in, made into a synthetic year.
    Monthly(MonthlyClimate),
    /// A whole hourly year that the user gave.
    File(WeatherFile),
}
