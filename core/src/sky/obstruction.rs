//! What stands between a plane and the sky.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How diffuse light is laid on a tilted plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SkyModel {
    /// Perez et al. (1990).
    Perez,
    /// Hay and Davies (1980).
    HayDavies,
    /// The same brightness everywhere.
    Isotropic,
}

/// Height of the horizon around a plane; no points: a level horizon.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Horizon(pub Vec<HorizonPoint>);

/// One point of a horizon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HorizonPoint {
    /// Direction, ° clockwise from north, 0 to 360.
    pub azimuth_deg: f64,
    /// Height above level, °, 0 to 90.
    pub elevation_deg: f64,
}

/// Share of the beam lost to near objects: twelve months, each with 24 hours of local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct ShadeTable(pub Vec<Vec<f64>>);
