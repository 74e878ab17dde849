//! What uses energy in the household.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::DeviceId;

/// All loads: the use that the bill or the meter tells, and devices added on top of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Loads {
    /// The household's use without the devices below.
    pub base: BaseUse,
    /// Share of the base use that is wired to the backed-up panel, 0 to 1.
    pub backed_up_share: f64,
    /// The hardest start within the base use, such as a compressor or a pump; none: nothing in it starts hard.
    pub base_start: Option<Start>,
    /// Devices that come on top.
    pub devices: Vec<Device>,
}

/// The use that the bill or the meter tells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum BaseUse {
    /// Energy of a year, shaped by a standard load profile.
    #[serde(rename_all = "snake_case")]
    Yearly {
        /// Energy of the year, Wh.
        energy_wh: f64,
        /// Shape over the day and the year.
        profile: LoadProfile,
    },
    /// Energy of each month, shaped by a standard load profile within the month.
    #[serde(rename_all = "snake_case")]
    Monthly {
        /// Energy of each month, Wh, January first.
        energy_wh: [f64; 12],
        /// Shape over the day.
        profile: LoadProfile,
    },
    /// Metered power, one value per interval of the year.
    Intervals(IntervalUse),
}

/// Metered use of one year at a fixed interval, in local standard time from 1 January 00:00, leap day dropped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IntervalUse {
    /// Where it came from, such as the name of the file.
    pub source: String,
    /// Length of an interval, s: 900, 1800 or 3600.
    pub interval_s: u32,
    /// Mean power in each interval, W; a whole year of 365 days.
    pub power_w: Arc<[f64]>,
}

/// A standard load profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LoadProfile {
    /// BDEW H0 (1999): three seasons and three kinds of day.
    BdewH0,
    /// BDEW H25 (2025): twelve months and three kinds of day.
    BdewH25,
    /// The same power at every hour.
    Steady,
}

/// A device on top of the base use.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Device {
    /// Names the device.
    pub id: DeviceId,
    /// Name on the drawing.
    pub name: String,
    /// Whether it is wired to the backed-up panel.
    pub backed_up: bool,
    /// Whether it is added now to a dwelling that stands.
    pub is_added: bool,
    /// Place in the order in which devices are switched off when an island cannot carry them all, from 1; none: never.
    pub shed_order: Option<u32>,
    /// How it starts; none: it starts with its running power.
    pub start: Option<Start>,
    /// What it is and how it runs.
    pub kind: DeviceKind,
}

/// A start that takes more than running does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Start {
    /// Power on top of what runs, while it starts, W.
    pub power_w: f64,
    /// How long the start lasts, s.
    pub duration_s: f64,
}

/// What a device is and how it runs. Hours are local standard time; a window may pass midnight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum DeviceKind {
    /// A car that is charged at home.
    Car {
        /// Energy taken from the socket on each day that it is charged, Wh.
        energy_wh_per_day: f64,
        /// Charging power, W.
        power_w: f64,
        /// Hour at which charging may begin, 0 to 24.
        from_h: f64,
        /// Hour at which it must end, 0 to 24.
        to_h: f64,
        /// Whether it is charged on Saturday and Sunday as well.
        weekends: bool,
    },
    /// A heat pump whose heat demand follows the outdoor temperature.
    HeatPump {
        /// Heat that the house loses per kelvin below `heating_limit_c`, W/K.
        heat_loss_w_per_k: f64,
        /// Outdoor temperature above which nothing is heated, °C.
        heating_limit_c: f64,
        /// Coefficient of performance at 7 °C outdoors.
        cop_at_7c: f64,
        /// Most electric power, W.
        power_w: f64,
    },
    /// An air conditioner whose cooling demand follows the outdoor temperature.
    AirConditioner {
        /// Heat that comes in per kelvin above `cooling_limit_c`, W/K.
        heat_gain_w_per_k: f64,
        /// Outdoor temperature below which nothing is cooled, °C.
        cooling_limit_c: f64,
        /// Coefficient of performance at 35 °C outdoors.
        cop_at_35c: f64,
        /// Most electric power, W.
        power_w: f64,
    },
    /// A pool pump on a timer.
    PoolPump {
        /// Power, W.
        power_w: f64,
        /// Hour at which it starts, 0 to 24.
        from_h: f64,
        /// Hour at which it stops, 0 to 24.
        to_h: f64,
        /// Months in which it runs, January first.
        months: [bool; 12],
    },
    /// A tank water heater that makes up its daily energy from a set hour on.
    WaterHeater {
        /// Energy of a day, Wh.
        energy_wh_per_day: f64,
        /// Power, W.
        power_w: f64,
        /// Hour at which it starts, 0 to 24.
        from_h: f64,
    },
}

impl DeviceKind {
    /// Most electric power while it runs, W.
    #[must_use]
    pub fn power_w(&self) -> f64 {
        match self {
            Self::Car { power_w, .. }
            | Self::HeatPump { power_w, .. }
            | Self::AirConditioner { power_w, .. }
            | Self::PoolPump { power_w, .. }
            | Self::WaterHeater { power_w, .. } => *power_w,
        }
    }
}
