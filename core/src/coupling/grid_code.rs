//! Grid codes that a PV inverter is built to, as far as frequency is concerned.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The grid code that a PV inverter is built to. [`crate::island::settings`] gives what each asks for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum GridCode {
    /// The code in force where the supply has this frequency: IEEE 1547-2018 at 60 Hz, EN 50549-1 at 50 Hz.
    Present,
    /// Not known: the older rule of that frequency is taken, all or nothing.
    NotKnown,
    /// IEEE 1547-2003: all or nothing.
    Ieee1547Of2003,
    /// IEEE 1547a-2014: wider trip limits, no droop.
    Ieee1547aOf2014,
    /// UL 1741 Supplement A: trips that ride through, and a droop.
    Ul1741SupplementA,
    /// IEEE 1547-2018 (UL 1741 Supplement B) at its default settings.
    Ieee1547Of2018,
    /// EN 50549-1.
    En50549,
    /// VDE-AR-N 4105:2018.
    VdeArN4105,
    /// Engineering Recommendation G98/G99 of Great Britain.
    UkG99,
    /// AS/NZS 4777.2:2020, region Australia A.
    AsNzs4777,
    /// Settings of its own.
    Own(FrequencySettings),
}

/// How a PV inverter answers to frequency.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrequencySettings {
    /// How it backs off as frequency rises; none: not at all until it trips.
    pub droop: Option<FrequencyDroop>,
    /// The nearer over-frequency trip.
    pub over_near: FrequencyTrip,
    /// The farther over-frequency trip.
    pub over_far: FrequencyTrip,
    /// The nearer under-frequency trip.
    pub under_near: FrequencyTrip,
    /// The farther under-frequency trip.
    pub under_far: FrequencyTrip,
    /// How it comes back.
    pub enter_service: EnterService,
}

/// Backing off along a straight line as frequency rises.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrequencyDroop {
    /// Frequency above which it backs off, Hz.
    pub from_hz: f64,
    /// Power given up for each hertz above that, as a share of `of`, 1/Hz.
    pub slope_per_hz: f64,
    /// What the slope is a share of.
    pub of: DroopBase,
    /// Frequency below which it may rise again from the lowest power that it was brought to, Hz; none: it rises as it fell.
    pub held_until_hz: Option<f64>,
    /// Open-loop response time: time to 90 % of a change, s.
    pub response_s: f64,
}

impl FrequencyDroop {
    /// Power given up for each hertz above `from_hz`, W/Hz, by an inverter that gave `start_w` when frequency passed it.
    #[must_use]
    pub fn w_per_hz(&self, rated_w: f64, start_w: f64) -> f64 {
        let base_w = match self.of {
            DroopBase::Rating => rated_w,
            DroopBase::PowerAtStart => start_w,
        };
        self.slope_per_hz * base_w
    }

    /// What such an inverter gives at a frequency, W: `start_w` up to `from_hz`, then along the line, never below 0.
    ///
    /// Source: `p = p_pre − (f − f_start) · slope` (IEEE 1547-2018, table 24).
    #[must_use]
    pub fn given_w(&self, rated_w: f64, start_w: f64, frequency_hz: f64) -> f64 {
        let above_hz = (frequency_hz - self.from_hz).max(0.0);
        (start_w - self.w_per_hz(rated_w, start_w) * above_hz).max(0.0)
    }

    /// Frequency at which such an inverter has given up this much, Hz; without end where it gives nothing up.
    #[must_use]
    pub fn at_hz(&self, rated_w: f64, start_w: f64, given_up_w: f64) -> f64 {
        self.from_hz + given_up_w / self.w_per_hz(rated_w, start_w)
    }
}

/// What the slope of a droop is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DroopBase {
    /// Rated power.
    Rating,
    /// The power that it gave when frequency passed the start of the droop.
    PowerAtStart,
}

/// A trip limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrequencyTrip {
    /// Frequency beyond which the clock runs, Hz.
    pub at_hz: f64,
    /// Time beyond it without a break after which it trips, s.
    pub after_s: f64,
}

/// Coming back after a trip or a dark bus.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnterService {
    /// Lowest frequency at which it may wait and come back, Hz.
    pub from_hz: f64,
    /// Highest frequency at which it may wait and come back, Hz.
    pub to_hz: f64,
    /// Time within these limits without a break before it comes back, s.
    pub wait_s: f64,
    /// Time over which its output may then rise from nothing to its rating, s; 0: at once.
    pub ramp_s: f64,
}
