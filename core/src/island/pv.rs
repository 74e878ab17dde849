//! One PV inverter on the island: backing off, tripping, waiting, coming back.

use crate::coupling::{FrequencySettings, FrequencyTrip};

/// Time to 90 % of a change in time constants of a first-order lag: ln 10.
const TIME_CONSTANTS_TO_90_PERCENT: f64 = core::f64::consts::LN_10;

/// What a PV inverter is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PvState {
    /// It gives power.
    Running,
    /// It waits until it may come back.
    Waiting,
    /// The contactor before it is open.
    Disconnected,
}

/// Why a PV inverter tripped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum PvTrip {
    /// Frequency was too high for too long.
    OverFrequency,
    /// Frequency was too low for too long.
    UnderFrequency,
}

/// A PV inverter on the island, with its clocks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PvMachine {
    settings: FrequencySettings,
    rated_w: f64,
    /// Time constant of a change commanded by the storage inverter, s; none: it understands no command.
    command_lag_s: Option<f64>,
    state: PvState,
    /// Most power that droop and command leave it, W.
    cap_w: f64,
    /// Most power that its ramp leaves it after coming back, W.
    ramp_w: f64,
    /// Power that it gave as frequency passed the start of the droop, W; none: frequency is below.
    at_start_w: Option<f64>,
    /// Whether it is held at its lowest until frequency has come down.
    held: bool,
    /// Time beyond each trip limit without a break, s: over near, over far, under near, under far.
    beyond_s: [f64; 4],
    /// Time within the limits for coming back without a break, s.
    within_s: f64,
}

impl PvMachine {
    /// An inverter that runs at whatever the sun offers.
    #[must_use]
    pub fn running(
        settings: FrequencySettings,
        rated_w: f64,
        command_response_s: Option<f64>,
    ) -> Self {
        Self {
            settings,
            rated_w,
            command_lag_s: command_response_s.map(|s| s / TIME_CONSTANTS_TO_90_PERCENT),
            state: PvState::Running,
            cap_w: rated_w,
            ramp_w: rated_w,
            at_start_w: None,
            held: false,
            beyond_s: [0.0; 4],
            within_s: 0.0,
        }
    }

    /// What it is doing.
    #[must_use]
    pub fn state(&self) -> PvState {
        self.state
    }

    /// Rated AC power, W.
    #[must_use]
    pub fn rated_w(&self) -> f64 {
        self.rated_w
    }

    /// Whether it follows a command of the storage inverter.
    #[must_use]
    pub fn follows_command(&self) -> bool {
        self.command_lag_s.is_some()
    }

    /// AC power that it gives when the sun offers `offered_w`, W.
    #[must_use]
    pub fn power_w(&self, offered_w: f64) -> f64 {
        match self.state {
            PvState::Running => offered_w.min(self.cap_w).min(self.ramp_w).max(0.0),
            PvState::Waiting | PvState::Disconnected => 0.0,
        }
    }

    /// Power that it could give but for its ramp, droop and command, W: what it loses beyond its ramp is throttled.
    #[must_use]
    pub fn ramp_limited_w(&self, offered_w: f64) -> f64 {
        match self.state {
            PvState::Running => offered_w.min(self.ramp_w),
            PvState::Waiting | PvState::Disconnected => 0.0,
        }
    }

    /// Whether nothing about it changes while frequency stays where it is.
    #[must_use]
    pub fn is_settled(&self, frequency_hz: f64) -> bool {
        match self.state {
            PvState::Running => {
                self.at_start_w.is_none()
                    && self.cap_w >= self.rated_w
                    && self.ramp_w >= self.rated_w
                    && !self.is_beyond_droop(frequency_hz)
            }
            PvState::Waiting | PvState::Disconnected => true,
        }
    }

    fn is_beyond_droop(&self, frequency_hz: f64) -> bool {
        self.settings
            .droop
            .is_some_and(|droop| frequency_hz > droop.from_hz)
    }

    /// The bus went dark: it stops and will wait from the start.
    pub fn darken(&mut self) {
        if self.state == PvState::Running {
            self.state = PvState::Waiting;
        }
        self.within_s = 0.0;
        self.beyond_s = [0.0; 4];
    }

    /// Opens the contactor before it.
    pub fn disconnect(&mut self) {
        self.darken();
        self.state = PvState::Disconnected;
    }

    /// Closes the contactor before it: it waits as after a trip.
    pub fn reconnect(&mut self) {
        if self.state == PvState::Disconnected {
            self.state = PvState::Waiting;
            self.within_s = 0.0;
        }
    }

    /// Time until its next event while frequency moves from `from_hz` by `rate_hz_per_s`, s: a trip or coming back.
    ///
    /// Frequency is straight within the span asked for, so the instants are exact.
    #[must_use]
    pub fn next_event_s(&self, from_hz: f64, rate_hz_per_s: f64) -> f64 {
        match self.state {
            PvState::Running => self
                .trips()
                .into_iter()
                .zip(self.beyond_s)
                .map(|((trip, sign), beyond_s)| {
                    time_to_trip_s(trip, sign, beyond_s, from_hz, rate_hz_per_s)
                })
                .fold(f64::INFINITY, f64::min),
            PvState::Waiting => {
                let enter = &self.settings.enter_service;
                if (enter.from_hz..=enter.to_hz).contains(&from_hz) {
                    (enter.wait_s - self.within_s).max(0.0)
                } else {
                    f64::INFINITY
                }
            }
            PvState::Disconnected => f64::INFINITY,
        }
    }

    fn trips(&self) -> [(FrequencyTrip, f64); 4] {
        let settings = &self.settings;
        [
            (settings.over_near, 1.0),
            (settings.over_far, 1.0),
            (settings.under_near, -1.0),
            (settings.under_far, -1.0),
        ]
    }

    /// Goes on for `span_s` while frequency moves in a straight line from `from_hz` to `to_hz`. Returns what happened at the
    /// end of the span.
    ///
    /// - `offered_w`: AC power that the sun offers, W
    /// - `commanded_w`: power that the storage inverter commands, W; infinite: no limit
    pub fn advance(
        &mut self,
        span_s: f64,
        from_hz: f64,
        to_hz: f64,
        offered_w: f64,
        commanded_w: f64,
    ) -> Option<PvChange> {
        match self.state {
            PvState::Running => {
                self.follow(span_s, 0.5 * (from_hz + to_hz), offered_w, commanded_w);
                self.run_trip_clocks(span_s, from_hz, to_hz)
            }
            PvState::Waiting => {
                let enter = &self.settings.enter_service;
                let window = enter.from_hz..=enter.to_hz;
                if window.contains(&from_hz) && window.contains(&to_hz) {
                    self.within_s += span_s;
                } else {
                    self.within_s = 0.0;
                }
                (self.within_s >= enter.wait_s).then(|| {
                    self.come_back();
                    PvChange::CameBack
                })
            }
            PvState::Disconnected => None,
        }
    }

    fn come_back(&mut self) {
        self.state = PvState::Running;
        self.cap_w = self.rated_w;
        self.at_start_w = None;
        self.held = false;
        self.beyond_s = [0.0; 4];
        self.within_s = 0.0;
        self.ramp_w = if self.settings.enter_service.ramp_s > 0.0 {
            0.0
        } else {
            self.rated_w
        };
    }

    /// Moves the cap of droop and command, and the ramp.
    fn follow(&mut self, span_s: f64, frequency_hz: f64, offered_w: f64, commanded_w: f64) {
        let ramp_s = self.settings.enter_service.ramp_s;
        if self.ramp_w < self.rated_w {
            self.ramp_w = (self.ramp_w + self.rated_w * span_s / ramp_s).min(self.rated_w);
        }
        let mut lag_s = f64::INFINITY;
        let mut target_w = self.rated_w;
        if let Some(droop) = self.settings.droop {
            lag_s = droop.response_s / TIME_CONSTANTS_TO_90_PERCENT;
            if frequency_hz > droop.from_hz {
                let present_w = self.power_w(offered_w);
                let start_w = *self.at_start_w.get_or_insert(present_w);
                target_w = droop.given_w(self.rated_w, start_w, frequency_hz);
                // The cap begins where the power stands: what the sun did not offer is no room to fall through.
                self.cap_w = self.cap_w.min(start_w);
                self.held = droop.held_until_hz.is_some();
            } else if droop
                .held_until_hz
                .is_some_and(|until_hz| self.held && frequency_hz >= until_hz)
            {
                target_w = self.cap_w;
            } else {
                self.at_start_w = None;
            }
            if self.held {
                target_w = self.hold(target_w, frequency_hz, span_s, ramp_s, droop.held_until_hz);
            }
        }
        if let Some(command_lag_s) = self.command_lag_s {
            if commanded_w < target_w {
                (target_w, lag_s) = (commanded_w.max(0.0), command_lag_s);
            } else if self.at_start_w.is_none() {
                lag_s = command_lag_s;
            }
            self.cap_w = self.cap_w.min(offered_w.max(target_w));
        }
        if lag_s.is_finite() && lag_s > 0.0 {
            self.cap_w = target_w + (self.cap_w - target_w) * libm::exp(-span_s / lag_s);
            // An exponential never arrives; within a millionth it has.
            if (self.rated_w - self.cap_w).abs() < 1e-6 * self.rated_w && target_w >= self.rated_w {
                self.cap_w = self.rated_w;
            }
        } else {
            self.cap_w = target_w;
        }
    }

    /// A droop that holds its lowest power: the target never rises until frequency has come down, and then along the ramp.
    fn hold(
        &mut self,
        target_w: f64,
        frequency_hz: f64,
        span_s: f64,
        ramp_s: f64,
        held_until_hz: Option<f64>,
    ) -> f64 {
        if held_until_hz.is_some_and(|until_hz| frequency_hz >= until_hz) {
            return target_w.min(self.cap_w);
        }
        self.held = false;
        if ramp_s > 0.0 {
            self.ramp_w = (self.cap_w + self.rated_w * span_s / ramp_s).min(self.rated_w);
        }
        self.cap_w = self.rated_w;
        self.rated_w
    }

    fn run_trip_clocks(&mut self, span_s: f64, from_hz: f64, to_hz: f64) -> Option<PvChange> {
        let mut change = None;
        let trips = self.trips();
        for ((trip, sign), beyond_s) in trips.into_iter().zip(&mut self.beyond_s) {
            let (before, after) = (sign * (from_hz - trip.at_hz), sign * (to_hz - trip.at_hz));
            *beyond_s = if after <= 0.0 {
                0.0
            } else if before > 0.0 {
                *beyond_s + span_s
            } else {
                // It passed the limit within the span.
                span_s * after / (after - before)
            };
            // The span was cut at this instant; what is missing is rounding.
            if after > 0.0 && *beyond_s >= trip.after_s - 1e-9 {
                change = Some(PvChange::Tripped(if sign > 0.0 {
                    PvTrip::OverFrequency
                } else {
                    PvTrip::UnderFrequency
                }));
            }
        }
        if change.is_some() {
            self.darken();
        }
        change
    }
}

/// What happened to a PV inverter at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PvChange {
    /// It tripped.
    Tripped(PvTrip),
    /// It came back after its wait.
    CameBack,
}

/// Time until a trip while frequency moves in a straight line, s; infinite: it does not come to it.
fn time_to_trip_s(
    trip: FrequencyTrip,
    sign: f64,
    beyond_s: f64,
    from_hz: f64,
    rate_hz_per_s: f64,
) -> f64 {
    let (above_hz, rate) = (sign * (from_hz - trip.at_hz), sign * rate_hz_per_s);
    if above_hz > 0.0 {
        let left_s = (trip.after_s - beyond_s).max(0.0);
        // It may come back below the limit first.
        return if rate < 0.0 && above_hz < -rate * left_s {
            f64::INFINITY
        } else {
            left_s
        };
    }
    if rate > 0.0 {
        // Just past the limit: an instant at the limit itself would not count as beyond.
        -above_hz / rate + trip.after_s.max(1e-6)
    } else {
        f64::INFINITY
    }
}

/// Lowest power that a droop can hold without tripping, W, when it gave `start_w` before: without end, at the nearer
/// over-frequency trip; and for less than that trip's time, at the farther one.
///
/// `most_hz` is the highest frequency that the storage inverters go to. An inverter without a droop holds all it gives.
///
/// Derived: [`crate::coupling::FrequencyDroop::given_w`] at the trip limit.
#[must_use]
pub fn droop_floor_w(
    settings: &FrequencySettings,
    rated_w: f64,
    start_w: f64,
    most_hz: f64,
) -> DroopFloor {
    let at = |limit_hz: f64| {
        settings.droop.map_or(start_w, |droop| {
            droop.given_w(rated_w, start_w, limit_hz.min(most_hz))
        })
    };
    DroopFloor {
        sustained_w: at(settings.over_near.at_hz),
        brief_w: at(settings.over_far.at_hz),
    }
}

/// Lowest powers that a droop can hold, W.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DroopFloor {
    /// Without end.
    pub sustained_w: f64,
    /// For less than the nearer trip's time.
    pub brief_w: f64,
}
