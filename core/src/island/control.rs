//! How the storage inverters steer frequency, so that AC PV gives no more than loads and batteries take.
//!
//! Proportional and integral action on the surplus, as a share of the storage inverters' rating. The ratio of both cancels
//! a response of 5 s to 90 % (IEEE 1547-2018, table 24), so that frequency goes to its new place without running past it as
//! long as AC PV is not much more than one and a half times the storage inverters' rating.

/// Integral action, Hz per second for a surplus of the whole rating. Chosen.
const INTEGRAL_HZ_PER_S: f64 = 0.9;

/// Time of the proportional action, s: 5 s / ln 10.
const PROPORTIONAL_S: f64 = 5.0 / core::f64::consts::LN_10;

/// Fastest change of frequency, Hz/s. Chosen within what IEEE 1547-2018, table 21 lets PV inverters ride through (0.5 Hz/s in category I,
/// 2 Hz/s in II, 3 Hz/s in III).
const FASTEST_HZ_PER_S: f64 = 1.0;

/// Part of the rating by which the batteries' acceptance is left unused while AC PV is held back. Chosen.
pub(super) const SPARE_SHARE: f64 = 0.02;

/// The frequency that the storage inverters hold, and how they got there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FrequencyControl {
    idle_hz: f64,
    rise_hz: f64,
    /// Frequency now, Hz.
    pub(super) frequency_hz: f64,
    integral_hz: f64,
}

impl FrequencyControl {
    pub(super) fn new(idle_hz: f64, rise_hz: f64) -> Self {
        Self {
            idle_hz,
            rise_hz,
            frequency_hz: idle_hz,
            integral_hz: 0.0,
        }
    }

    /// Back to the idle frequency at once: a bus that was dark starts so.
    pub(super) fn restart(&mut self) {
        (self.frequency_hz, self.integral_hz) = (self.idle_hz, 0.0);
    }

    /// Whether frequency is at rest and stays there with this surplus, a share of the rating.
    pub(super) fn is_idle(&self, surplus: f64) -> bool {
        surplus <= 0.0 && self.integral_hz <= 0.0 && self.frequency_hz == self.idle_hz
    }

    /// How fast frequency moves over the next `span_s` with this surplus, Hz/s.
    pub(super) fn rate_hz_per_s(&self, surplus: f64, span_s: f64) -> f64 {
        let integral_hz = self.integral_after_hz(surplus, span_s);
        let wanted_hz = self.idle_hz
            + (integral_hz + INTEGRAL_HZ_PER_S * PROPORTIONAL_S * surplus).clamp(0.0, self.rise_hz);
        ((wanted_hz - self.frequency_hz) / span_s).clamp(-FASTEST_HZ_PER_S, FASTEST_HZ_PER_S)
    }

    /// Frequency after `span_s` at this rate, Hz.
    pub(super) fn advance(&mut self, surplus: f64, rate_hz_per_s: f64, span_s: f64) {
        self.integral_hz = self.integral_after_hz(surplus, span_s);
        self.frequency_hz += rate_hz_per_s * span_s;
    }

    /// Frequency goes back to idle as fast as it may: the grid is to be joined, or a generator to be taken on.
    pub(super) fn homing_rate_hz_per_s(&self, span_s: f64) -> f64 {
        ((self.idle_hz - self.frequency_hz) / span_s).clamp(-FASTEST_HZ_PER_S, FASTEST_HZ_PER_S)
    }

    fn integral_after_hz(&self, surplus: f64, span_s: f64) -> f64 {
        // Beyond one rating the surplus says nothing more, and the integral does not run away.
        let change_hz = INTEGRAL_HZ_PER_S * surplus.clamp(-1.0, 1.0) * span_s;
        (self.integral_hz + change_hz).clamp(0.0, self.rise_hz)
    }
}
