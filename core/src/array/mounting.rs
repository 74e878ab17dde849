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

/// How a module gives its heat away (Faiman): W per m² and K, without wind and per m/s of wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatLoss {
    /// Without wind, W/(m² K).
    pub still_w_m2_k: f64,
    /// More for each m/s of wind at the module, W s/(m³ K).
    pub wind_w_s_m3_k: f64,
}

impl Mounting {
    /// Heat given away by a module held so.
    ///
    /// Sources: open rack: Faiman (2008), Prog. Photovolt. 16, 307-315, doi:10.1002/pip.813, mean of seven modules. Close to the
    /// roof: Derived: the line through 1 and 5 m/s of the "close roof mount" of King, Boyson & Kratochvil (2004),
    /// SAND2004-3535, table 1 (a = −2.98, b = −0.0471, ΔT = 1 K), at 1000 W/m². Roof with a gap: Derived: half-way between.
    #[must_use]
    pub fn heat_loss(self) -> HeatLoss {
        let (still_w_m2_k, wind_w_s_m3_k) = match self {
            Self::OpenRack => (25.0, 6.84),
            Self::RoofStandOff => (22.1, 3.93),
            Self::CloseToRoof => (19.2, 1.02),
        };
        HeatLoss {
            still_w_m2_k,
            wind_w_s_m3_k,
        }
    }
}
