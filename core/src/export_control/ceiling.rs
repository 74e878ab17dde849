//! A PV inverter under control: what it may give, and how that moves.

use crate::coupling::PowerLimiting;

/// Commands are given this long after a whole second, or half a poll where that is shorter: loads and light change at whole
/// seconds here, and so the wait for the next command is half a poll in the mean, as it is for changes at any time.
const COMMAND_OFFSET_S: f64 = 0.5;

/// Times nearer than this are the same time, s.
pub(super) const SAME_TIME_S: f64 = 1e-9;

/// A PV inverter under control.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ceiling {
    limiting: PowerLimiting,
    pub(super) rated_w: f64,
    pub(super) backed_up: bool,
    /// AC power that it could give now, W.
    pub(super) offered_w: f64,
    /// Most that it gives now, W.
    ceiling_w: f64,
    /// Where the last command sends the ceiling, W.
    command_w: f64,
    /// A relay is open until then, s.
    open_until_s: f64,
}

impl Ceiling {
    pub(super) fn new(limiting: PowerLimiting, rated_w: f64, backed_up: bool) -> Self {
        Self {
            limiting,
            rated_w,
            backed_up,
            offered_w: 0.0,
            ceiling_w: rated_w,
            command_w: rated_w,
            open_until_s: 0.0,
        }
    }

    pub(super) fn is_commanded(&self) -> bool {
        matches!(self.limiting, PowerLimiting::Commanded { .. })
    }

    pub(super) fn is_relay(&self) -> bool {
        matches!(self.limiting, PowerLimiting::Relay { .. })
    }

    /// Margin kept below the limit, W.
    pub(super) fn margin_w(&self) -> f64 {
        match self.limiting {
            PowerLimiting::Commanded { margin_w, .. } => margin_w,
            _ => 0.0,
        }
    }

    /// AC power given at a time, W.
    pub(super) fn given_w(&self, at_s: f64) -> f64 {
        match self.limiting {
            PowerLimiting::None => self.offered_w,
            PowerLimiting::Commanded { .. } => self.offered_w.min(self.ceiling_w),
            PowerLimiting::Relay { .. } if self.open_until_s > at_s + SAME_TIME_S => 0.0,
            PowerLimiting::Relay { .. } => self.offered_w,
        }
    }

    /// How fast the given power changes now, W/s.
    pub(super) fn slope_w_per_s(&self) -> f64 {
        if !self.is_commanded() || self.ceiling_w == self.command_w {
            return 0.0;
        }
        if self.command_w < self.ceiling_w {
            if self.ceiling_w <= self.offered_w {
                -self.ramp_w_per_s()
            } else {
                0.0
            }
        } else if self.ceiling_w < self.offered_w {
            self.ramp_w_per_s()
        } else {
            0.0
        }
    }

    fn ramp_w_per_s(&self) -> f64 {
        match self.limiting {
            PowerLimiting::Commanded { ramp_per_s, .. } => ramp_per_s * self.rated_w,
            _ => f64::INFINITY,
        }
    }

    /// When the inverter is next told a command that differs from its last one, or comes back, or its ceiling meets what is
    /// offered or commanded, s; infinite: nothing comes.
    pub(super) fn next_event_s(&self, at_s: f64, wanted_w: f64) -> f64 {
        match self.limiting {
            PowerLimiting::None => f64::INFINITY,
            PowerLimiting::Relay { .. } => {
                if self.open_until_s > at_s + SAME_TIME_S {
                    self.open_until_s
                } else {
                    f64::INFINITY
                }
            }
            PowerLimiting::Commanded { poll_s, .. } => {
                let told_s = if wanted_w == self.command_w {
                    f64::INFINITY
                } else {
                    next_poll_s(at_s, poll_s)
                };
                let (low_w, high_w) = (
                    self.ceiling_w.min(self.command_w),
                    self.ceiling_w.max(self.command_w),
                );
                let way_w = if self.offered_w > low_w && self.offered_w < high_w {
                    (self.offered_w - self.ceiling_w).abs()
                } else {
                    high_w - low_w
                };
                let met_s = if way_w > 0.0 {
                    at_s + way_w / self.ramp_w_per_s()
                } else {
                    f64::INFINITY
                };
                told_s.min(met_s)
            }
        }
    }

    /// Takes the command if the time has come.
    ///
    /// An inverter follows a command from what it gives: a ceiling above that comes down to it at once.
    pub(super) fn listen(&mut self, at_s: f64, wanted_w: f64) {
        let PowerLimiting::Commanded { poll_s, .. } = self.limiting else {
            return;
        };
        if wanted_w == self.command_w || next_poll_s(at_s, poll_s) > at_s + SAME_TIME_S {
            return;
        }
        self.command_w = wanted_w;
        if self.ceiling_w > wanted_w {
            self.ceiling_w = self.ceiling_w.min(self.offered_w.max(wanted_w));
        }
        if !self.ramp_w_per_s().is_finite() {
            self.ceiling_w = wanted_w;
        }
    }

    /// Stands at a command as if it had long been given.
    pub(super) fn stand_at(&mut self, command_w: f64) {
        if self.is_commanded() {
            (self.ceiling_w, self.command_w) = (command_w, command_w);
        }
    }

    /// Lets time pass: the ceiling moves toward its command.
    pub(super) fn pass(&mut self, length_s: f64) {
        let way_w = self.command_w - self.ceiling_w;
        if way_w == 0.0 {
            return;
        }
        let most_w = self.ramp_w_per_s() * length_s;
        // What is left to rounding is no way any more: without this a ceiling could come to its goal in ever smaller steps.
        let near_w = 1e-9 * self.rated_w.max(1.0);
        if way_w.abs() <= most_w + near_w {
            self.ceiling_w = self.command_w;
        } else {
            self.ceiling_w += most_w.copysign(way_w);
            if (self.ceiling_w - self.offered_w).abs() < near_w {
                self.ceiling_w = self.offered_w;
            }
        }
    }

    /// Opens the relay if the inverter has one and gives power; says whether it did.
    pub(super) fn drop_out(&mut self, at_s: f64) -> bool {
        match self.limiting {
            PowerLimiting::Relay { reconnect_s } if self.given_w(at_s) > 0.0 => {
                self.open_until_s = at_s + reconnect_s;
                true
            }
            _ => false,
        }
    }
}

/// The first command at or after a time, s.
fn next_poll_s(at_s: f64, poll_s: f64) -> f64 {
    if poll_s <= 0.0 {
        return at_s;
    }
    let offset_s = COMMAND_OFFSET_S.min(0.5 * poll_s);
    let polls = ((at_s - offset_s) / poll_s - SAME_TIME_S).ceil().max(0.0);
    offset_s + polls * poll_s
}
