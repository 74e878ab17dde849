//! How fast the controls are, and how fast standards ask them to be.

use serde::{Deserialize, Serialize};

/// How fast the controls are that an option does not describe.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Controls {
    /// Lag of a storage inverter that holds the meter: time to 63 % of a change, s; 0: none.
    pub storage_lag_s: f64,
    /// How long export must exceed the limit before a relay drops, s.
    pub relay_delay_s: f64,
}

impl Controls {
    /// What is usual.
    ///
    /// Common practice: the loop of a hybrid inverter with its own meter answers in 0.1 s to 0.5 s. The relay's delay is the
    /// 2 s that some rules ask of non-export.
    pub const USUAL: Self = Self {
        storage_lag_s: 0.3,
        relay_delay_s: 2.0,
    };

    /// Controls without any lag.
    pub const INSTANT: Self = Self {
        storage_lag_s: 0.0,
        relay_delay_s: 0.0,
    };
}

/// How long an excursion above the export limit may last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Response {
    /// Non-export as some rules have it. From memory.
    NonExport,
    /// Export limitation under Engineering Recommendation G100 (United Kingdom). From memory.
    G100,
    /// A certified power control system (UL 1741 CRD for PCS, now UL 3141), open-loop response. From memory.
    CertifiedPcs,
}

impl Response {
    /// All, from the shortest time to the longest.
    pub const ALL: [Self; 3] = [Self::NonExport, Self::G100, Self::CertifiedPcs];

    /// Longest excursion, s.
    #[must_use]
    pub fn within_s(self) -> f64 {
        match self {
            Self::NonExport => 2.0,
            Self::G100 => 5.0,
            Self::CertifiedPcs => 30.0,
        }
    }
}
