//! How modules are held.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How modules are held; it decides how warm they run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Mounting {
    /// On an open rack, wind behind it.
    OpenRack,
    /// On a sloped roof with a gap behind the modules.
    RoofStandOff,
    /// Close to the roof or part of it.
    CloseToRoof,
}
