//! The generator of an island: when it is called, runs, rests.

use super::record::Happening;
use crate::coupling::Generator;

/// Time for which an overloaded generator rests, s. Chosen.
const REST_S: f64 = 300.0;

/// A generator, or the lack of one.
pub(super) struct Generating<'a> {
    generator: Option<&'a Generator>,
    state: State,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    Off,
    Starting { ready_s: f64 },
    Running,
    Resting { until_s: f64 },
}

/// What calls a generator and stops it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Need {
    /// State of charge of the batteries.
    pub(super) soc: f64,
    /// Whether the bus is held.
    pub(super) live: bool,
    /// Loads without inrush, W.
    pub(super) firm_w: f64,
    /// Most that storage and AC PV give, W.
    pub(super) others_w: f64,
}

impl<'a> Generating<'a> {
    pub(super) fn new(generator: Option<&'a Generator>) -> Self {
        Self {
            generator,
            state: State::Off,
        }
    }

    pub(super) fn runs(&self) -> bool {
        self.state == State::Running
    }

    /// Rating of the generator while it runs, W; else nothing.
    pub(super) fn rated_w(&self) -> f64 {
        match self.generator {
            Some(generator) if self.runs() => generator.rated_w,
            _ => 0.0,
        }
    }

    /// Time until it gives power, s.
    pub(super) fn next_event_s(&self, time_s: f64) -> f64 {
        match self.state {
            State::Starting { ready_s } => ready_s - time_s,
            State::Off | State::Running | State::Resting { .. } => f64::INFINITY,
        }
    }

    /// Goes on to what the present asks for.
    pub(super) fn work(&mut self, time_s: f64, need: &Need) -> Option<Happening> {
        let generator = self.generator?;
        match self.state {
            State::Off => {
                let short = need.firm_w > need.others_w;
                if need.soc <= generator.start_soc || !need.live || short {
                    self.state = State::Starting {
                        ready_s: time_s + generator.start_delay_s,
                    };
                }
                None
            }
            State::Starting { ready_s } => (time_s >= ready_s - 1e-9).then(|| {
                self.state = State::Running;
                Happening::GeneratorStarted
            }),
            State::Running if need.firm_w > generator.rated_w + need.others_w => {
                self.state = State::Resting {
                    until_s: time_s + REST_S,
                };
                Some(Happening::GeneratorOverloaded)
            }
            State::Running => (need.soc >= generator.stop_soc).then(|| {
                self.state = State::Off;
                Happening::GeneratorStopped
            }),
            State::Resting { until_s } => {
                if time_s >= until_s {
                    self.state = State::Off;
                }
                None
            }
        }
    }
}
