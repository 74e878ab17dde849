//! Roof planes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::PlaneId;
use crate::array::Mounting;
use crate::sky::{Horizon, ShadeTable};

/// A plane that carries modules: a roof face, a wall or a rack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoofPlane {
    /// Names the plane.
    pub id: PlaneId,
    /// Name on the drawing.
    pub name: String,
    /// Slope from level, °, 0 to 90.
    pub tilt_deg: f64,
    /// Direction that the plane faces, ° clockwise from north, 0 to 360.
    pub azimuth_deg: f64,
    /// How the modules are held; it decides how warm they run.
    pub mounting: Mounting,
    /// What stands on the horizon as seen from the plane.
    pub horizon: Horizon,
    /// Share of the beam lost to near objects, by month and hour.
    pub shade: Option<ShadeTable>,
}
