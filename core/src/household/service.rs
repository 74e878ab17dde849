//! How the household is joined to the utility.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The service: voltage system, main breaker, transfer and what may be exported.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Voltage system.
    pub supply: Supply,
    /// Whether there is a utility. False: off-grid; there is the backed-up bus alone, what stands on the grid side is dark,
    /// and main breaker, transfer and export limit count for nothing.
    pub utility: bool,
    /// Main breaker per line conductor, A.
    pub main_breaker_a: f64,
    /// Rating of the busbar of the grid-side panel, A.
    pub busbar_a: f64,
    /// Rating of the transfer switch between grid-side and backed-up bus, A per line conductor.
    pub transfer_a: f64,
    /// Most power that may be sent to the utility at the meter, W; none: no limit; 0: zero export.
    pub export_limit_w: Option<f64>,
}

impl Service {
    /// Power that the main breaker carries at nominal voltage, W.
    #[must_use]
    pub fn import_limit_w(&self) -> f64 {
        self.supply.power_w(self.main_breaker_a)
    }

    /// Power that the transfer switch carries at nominal voltage, W.
    #[must_use]
    pub fn transfer_limit_w(&self) -> f64 {
        self.supply.power_w(self.transfer_a)
    }
}

/// Voltage system of the service.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Supply {
    /// Split-phase 120/240 V, 60 Hz.
    SplitPhase120V240V60Hz,
    /// Single-phase 230 V, 50 Hz.
    SinglePhase230V50Hz,
    /// Three-phase 230/400 V, 50 Hz.
    ThreePhase230V400V50Hz,
    /// Three-phase 120/208 V, 60 Hz.
    ThreePhase120V208V60Hz,
}

impl Supply {
    /// All systems, in the order in which they are offered.
    pub const ALL: [Self; 4] = [
        Self::SplitPhase120V240V60Hz,
        Self::SinglePhase230V50Hz,
        Self::ThreePhase230V400V50Hz,
        Self::ThreePhase120V208V60Hz,
    ];

    /// Active power at nominal voltage, unity power factor and balanced lines, W, for a current per line conductor, A.
    #[must_use]
    pub fn power_w(self, line_a: f64) -> f64 {
        match self {
            Self::SplitPhase120V240V60Hz => 240.0 * line_a,
            Self::SinglePhase230V50Hz => 230.0 * line_a,
            Self::ThreePhase230V400V50Hz => 3.0 * 230.0 * line_a,
            Self::ThreePhase120V208V60Hz => 3.0 * 120.0 * line_a,
        }
    }

    /// Nominal frequency, Hz.
    #[must_use]
    pub fn frequency_hz(self) -> f64 {
        match self {
            Self::SplitPhase120V240V60Hz | Self::ThreePhase120V208V60Hz => 60.0,
            Self::SinglePhase230V50Hz | Self::ThreePhase230V400V50Hz => 50.0,
        }
    }
}
