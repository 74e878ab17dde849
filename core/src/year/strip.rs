//! The picture of a year: one value per hour of one quantity.

use serde::{Deserialize, Serialize};

use crate::household::OptionId;

/// What a year strip shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum StripQuantity {
    /// All PV that is used: AC PV at AC and DC PV at the DC bus, W.
    Pv,
    /// Bought at the meter, W.
    Import,
    /// Sold at the meter, W.
    Export,
    /// PV cut, dropped or throttled, W.
    Throttled,
    /// Stored energy at the end of the hour, share of the usable energy, 0 to 1.
    Soc,
}

impl StripQuantity {
    /// All quantities, in the order in which they are offered.
    pub const ALL: [Self; 5] = [
        Self::Pv,
        Self::Import,
        Self::Export,
        Self::Throttled,
        Self::Soc,
    ];
}

/// 365 days of 24 hourly values, from 1 January 00:00 local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct YearStrip {
    /// The option.
    pub option: OptionId,
    /// What the values are.
    pub quantity: StripQuantity,
    /// 8,760 hourly means (for the state of charge: values at the end of the hour).
    pub values: Vec<f32>,
}
