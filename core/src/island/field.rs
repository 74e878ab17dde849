//! The PV inverters of an island together, with the contactors before them and the commands to them.

use super::plant::{IslandDrive, IslandInverter};
use super::pv::{PvChange, PvMachine, PvState};
use super::record::Happening;
use super::recorder::Recorder;
use crate::coupling::IslandMeans;

/// Time of surplus after which a contactor is opened, s. Chosen.
const CONTACTOR_AFTER_S: f64 = 1.0;
/// Time for which a contactor stays open at least, s. Chosen.
const LEAST_OPEN_S: f64 = 60.0;

/// All PV inverters of an island.
pub(super) struct PvField<'a> {
    inverters: &'a [IslandInverter],
    machines: Vec<PvMachine>,
    contactors: Vec<Contactor>,
    offered_w: Vec<f64>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Contactor {
    opened_s: f64,
    surplus_s: f64,
}

/// AC PV of an instant, W.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct AcPv {
    /// What it gives.
    pub(super) power_w: f64,
    /// Of that, inverters that follow a command.
    pub(super) commanded_w: f64,
    /// What the sun offers.
    pub(super) offered_w: f64,
    /// What droop and command hold back.
    pub(super) throttled_w: f64,
}

/// What moves AC PV over a span.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steering {
    /// Length of the span, s.
    pub(super) span_s: f64,
    /// Frequency at its beginning, Hz.
    pub(super) from_hz: f64,
    /// Frequency at its end, Hz.
    pub(super) to_hz: f64,
    /// AC PV beyond what loads and batteries take, W.
    pub(super) over_w: f64,
    /// State of charge of the batteries.
    pub(super) soc: f64,
}

impl<'a> PvField<'a> {
    pub(super) fn new(inverters: &'a [IslandInverter]) -> Self {
        let machine = |one: &IslandInverter| {
            let response_s = match one.means {
                IslandMeans::Command { response_s } => Some(response_s),
                IslandMeans::Frequency | IslandMeans::Contactor { .. } => None,
            };
            PvMachine::running(one.settings, one.law.rated_w, response_s)
        };
        Self {
            inverters,
            machines: inverters.iter().map(machine).collect(),
            contactors: vec![Contactor::default(); inverters.len()],
            offered_w: vec![0.0; inverters.len()],
        }
    }

    /// Takes what the sun offers in a step of the drive.
    pub(super) fn begin_step(&mut self, drive: &IslandDrive, step: usize) {
        for (offered_w, series) in self.offered_w.iter_mut().zip(&drive.inverter_ac_w) {
            *offered_w = series[step];
        }
    }

    /// Each inverter with what the sun offers through it, W.
    pub(super) fn each(&self) -> impl Iterator<Item = (&PvMachine, f64)> {
        self.machines.iter().zip(self.offered_w.iter().copied())
    }

    pub(super) fn sum(&self) -> AcPv {
        let mut sum = AcPv::default();
        for (machine, offered_w) in self.each() {
            let power_w = machine.power_w(offered_w);
            sum.power_w += power_w;
            sum.offered_w += offered_w;
            sum.throttled_w += machine.ramp_limited_w(offered_w) - power_w;
            if machine.follows_command() {
                sum.commanded_w += power_w;
            }
        }
        sum
    }

    /// Whether no inverter changes while frequency stays where it is.
    pub(super) fn is_settled(&self, frequency_hz: f64) -> bool {
        (self.machines.iter()).all(|machine| machine.is_settled(frequency_hz))
    }

    /// Time until a trip, a return or a contactor while frequency moves at this rate, s.
    pub(super) fn next_event_s(&self, frequency_hz: f64, rate_hz_per_s: f64, over_w: f64) -> f64 {
        let machines =
            (self.machines.iter()).map(|machine| machine.next_event_s(frequency_hz, rate_hz_per_s));
        let contactors = (self.contactors.iter().zip(self.inverters))
            .filter(|(_, one)| over_w > 0.0 && matches!(one.means, IslandMeans::Contactor { .. }))
            .map(|(contactor, _)| CONTACTOR_AFTER_S - contactor.surplus_s);
        machines.chain(contactors).fold(f64::INFINITY, f64::min)
    }

    /// Moves all inverters on over a span that ends at `time_s`.
    pub(super) fn advance(
        &mut self,
        time_s: f64,
        steering: &Steering,
        sum: &AcPv,
        recorder: &mut Recorder,
    ) {
        let commanded = (self.machines.iter()).filter(|machine| machine.follows_command());
        let commanded_rated_w: f64 = commanded.map(PvMachine::rated_w).sum();
        let allowed_w = (sum.commanded_w - steering.over_w).max(0.0);
        for (number, machine) in self.machines.iter_mut().enumerate() {
            let commanded_w = if machine.follows_command() && commanded_rated_w > 0.0 {
                allowed_w * machine.rated_w() / commanded_rated_w
            } else {
                f64::INFINITY
            };
            let change = machine.advance(
                steering.span_s,
                steering.from_hz,
                steering.to_hz,
                self.offered_w[number],
                commanded_w,
            );
            match change {
                Some(PvChange::Tripped(why)) => {
                    recorder.event(time_s, Happening::PvTripped(number, why));
                }
                Some(PvChange::CameBack) => recorder.event(time_s, Happening::PvBack(number)),
                None => {}
            }
        }
        self.work_contactors(time_s, steering, recorder);
    }

    fn work_contactors(&mut self, time_s: f64, steering: &Steering, recorder: &mut Recorder) {
        for (number, machine) in self.machines.iter_mut().enumerate() {
            let IslandMeans::Contactor {
                open_soc,
                close_soc,
            } = self.inverters[number].means
            else {
                continue;
            };
            let contactor = &mut self.contactors[number];
            contactor.surplus_s = if steering.over_w > 0.0 {
                contactor.surplus_s + steering.span_s
            } else {
                0.0
            };
            let open = machine.state() == PvState::Disconnected;
            let gives = machine.power_w(self.offered_w[number]) > 0.0;
            let pressed = gives && contactor.surplus_s >= CONTACTOR_AFTER_S - 1e-9;
            if !open && (steering.soc >= open_soc || pressed) {
                contactor.opened_s = time_s;
                machine.disconnect();
                recorder.event(time_s, Happening::ContactorOpened(number));
            } else if open
                && steering.soc <= close_soc
                && time_s - contactor.opened_s >= LEAST_OPEN_S
            {
                machine.reconnect();
                recorder.event(time_s, Happening::ContactorClosed(number));
            }
        }
    }

    /// The bus is dark, or a generator holds it: all stop and will wait from the start.
    pub(super) fn darken(&mut self) {
        self.machines.iter_mut().for_each(PvMachine::darken);
    }
}
