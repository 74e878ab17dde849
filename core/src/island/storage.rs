//! The storage units of an island together: what they share out among them, which of them are up, what they store.

use super::plant::{IslandDrive, PlacedUnit};
use super::record::Happening;
use super::recorder::Recorder;
use super::unit::{UnitClocks, UnitDown, UnitFlow, UnitRoom};

/// Time for which a unit that gave up under load rests before it tries again, s. Chosen.
const RETRY_S: f64 = 60.0;

/// All storage units of an island.
pub(super) struct Storage<'a> {
    placed: &'a [PlacedUnit],
    units: Vec<Unit>,
    stored_wh: Vec<f64>,
    flows: Vec<UnitFlow>,
}

/// A storage unit at an instant.
#[derive(Clone, Copy, Debug)]
struct Unit {
    state: UnitState,
    clocks: UnitClocks,
    room: UnitRoom,
    dc_pv_w: f64,
    full: bool,
}

/// Whether a storage unit is up.
#[derive(Clone, Copy, Debug, PartialEq)]
enum UnitState {
    Up,
    Down { why: UnitDown, since_s: f64 },
}

/// What the units that are up can do together, W.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Capacity {
    /// Most that they give.
    pub(super) give_w: f64,
    /// Most that they take.
    pub(super) take_w: f64,
    /// Their rating.
    pub(super) rated_w: f64,
}

impl<'a> Storage<'a> {
    pub(super) fn new(placed: &'a [PlacedUnit]) -> Self {
        let unit = Unit {
            state: UnitState::Up,
            clocks: UnitClocks::default(),
            room: UnitRoom::default(),
            dc_pv_w: 0.0,
            full: false,
        };
        Self {
            placed,
            units: vec![unit; placed.len()],
            stored_wh: placed.iter().map(|placed| placed.initial_wh).collect(),
            flows: vec![UnitFlow::default(); placed.len()],
        }
    }

    /// Energy in each unit, Wh.
    pub(super) fn stored_wh(&self) -> &[f64] {
        &self.stored_wh
    }

    /// What each unit does now.
    pub(super) fn flows(&self) -> &[UnitFlow] {
        &self.flows
    }

    /// State of charge of all batteries together.
    pub(super) fn soc(&self) -> f64 {
        let batteries = self.placed.iter().map(|placed| &placed.unit.battery);
        let usable_wh: f64 = batteries.map(|battery| battery.usable_wh()).sum();
        if usable_wh > 0.0 {
            self.stored_wh.iter().sum::<f64>() / usable_wh
        } else {
            0.0
        }
    }

    /// Whether any unit is up.
    pub(super) fn holds(&self) -> bool {
        self.units.iter().any(|unit| unit.state == UnitState::Up)
    }

    /// Takes the DC PV of a step of the drive.
    pub(super) fn begin_step(&mut self, drive: &IslandDrive, step: usize) {
        for ((unit, series), placed) in
            (self.units.iter_mut().zip(&drive.unit_dc_w)).zip(self.placed)
        {
            let on_bus_w = placed.unit.mppt_efficiency * series[step];
            unit.dc_pv_w = on_bus_w.min(placed.unit.mppt_rated_w);
        }
    }

    /// DC power that the MPPT inputs refuse in a step of the drive, at the array, W.
    pub(super) fn clipped_w(&self, drive: &IslandDrive, step: usize) -> f64 {
        (self.units.iter().zip(&drive.unit_dc_w))
            .zip(self.placed)
            .map(|((unit, series), placed)| {
                series[step] - unit.dc_pv_w / placed.unit.mppt_efficiency
            })
            .sum()
    }

    /// Looks at what each unit can do now; gives what those that are up can do together.
    pub(super) fn take_room(&mut self, air_c: f64) -> Capacity {
        let mut capacity = Capacity::default();
        for ((unit, placed), stored_wh) in
            (self.units.iter_mut().zip(self.placed)).zip(&self.stored_wh)
        {
            let battery_c = placed.place.battery_c(air_c);
            unit.room = placed.unit.room(*stored_wh, battery_c, unit.dc_pv_w);
            if unit.state == UnitState::Up {
                capacity.give_w += unit.room.give_w;
                capacity.take_w += unit.room.take_w;
                capacity.rated_w += placed.unit.law.rated_w;
            }
        }
        capacity
    }

    /// Shares the AC power that the units must give (negative: take) among those that are up: by what each can, and beyond
    /// that by rating. A unit that is down lets its DC PV charge its battery.
    pub(super) fn share_out(&mut self, net_w: f64, capacity: &Capacity) {
        let giving = net_w >= 0.0;
        let capacity_w = if giving {
            capacity.give_w
        } else {
            capacity.take_w
        };
        let beyond_w = (net_w.abs() - capacity_w).max(0.0);
        for ((flow, unit), placed) in (self.flows.iter_mut().zip(&self.units)).zip(self.placed) {
            *flow = if unit.state == UnitState::Up {
                let own_w = if giving {
                    unit.room.give_w
                } else {
                    unit.room.take_w
                };
                let within_w = if capacity_w > 0.0 {
                    (net_w.abs() - beyond_w) * own_w / capacity_w
                } else {
                    0.0
                };
                let rated_w = placed.unit.law.rated_w;
                let ac_w = within_w + beyond_w * rated_w / capacity.rated_w.max(f64::MIN_POSITIVE);
                (placed.unit).settle(ac_w.copysign(net_w), unit.dc_pv_w, &unit.room)
            } else {
                placed.unit.charge_alone(unit.dc_pv_w, &unit.room)
            };
        }
    }

    /// Time until a unit gives up, is empty or comes back, s; `generating`: none runs empty.
    pub(super) fn next_event_s(&self, time_s: f64, generating: bool) -> f64 {
        let units =
            (self.units.iter().zip(self.placed)).zip(self.flows.iter().zip(&self.stored_wh));
        units
            .map(|((unit, placed), (flow, stored_wh))| match unit.state {
                UnitState::Up => {
                    let gives_up_s = (unit.clocks.left_s(&placed.unit, flow))
                        .map_or(f64::INFINITY, |(left_s, _)| left_s);
                    if flow.discharge_w > 0.0 && !generating {
                        gives_up_s.min(until_empty_s(placed, flow, *stored_wh))
                    } else {
                        gives_up_s
                    }
                }
                UnitState::Down {
                    why: UnitDown::Empty,
                    ..
                } => until_charged_s(placed, flow, *stored_wh),
                UnitState::Down { since_s, .. } if since_s + RETRY_S > time_s => {
                    since_s + RETRY_S - time_s
                }
                UnitState::Down { .. } => f64::INFINITY,
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Stores what the batteries took and gave over a span that begins at `time_s`, and runs the units' clocks.
    pub(super) fn advance(&mut self, time_s: f64, span_s: f64, recorder: &mut Recorder) {
        for (number, (unit, placed)) in self.units.iter_mut().zip(self.placed).enumerate() {
            let (flow, battery) = (&self.flows[number], &placed.unit.battery);
            let before_wh = self.stored_wh[number];
            let after = battery.over(before_wh, flow.charge_w, flow.discharge_w, span_s);
            self.stored_wh[number] = after.stored_wh;
            recorder.battery(&after, span_s);
            let full = after.stored_wh >= 0.999 * battery.usable_wh();
            if full && !unit.full && before_wh < after.stored_wh {
                recorder.event(time_s, Happening::BatteryFull(number));
            }
            // Full again counts only after some charge was drawn.
            unit.full = full || unit.full && after.stored_wh > 0.98 * battery.usable_wh();
            if unit.state == UnitState::Up {
                unit.clocks.advance(&placed.unit, flow, span_s);
            }
        }
    }

    /// Units that are empty, or have borne what they bear, go down.
    pub(super) fn give_up(&mut self, time_s: f64, generating: bool, recorder: &mut Recorder) {
        for (number, (unit, placed)) in self.units.iter_mut().zip(self.placed).enumerate() {
            if unit.state != UnitState::Up {
                continue;
            }
            let flow = &self.flows[number];
            let empty = flow.discharge_w > 0.0
                && !generating
                && self.stored_wh[number] <= placed.unit.shut_down_wh + 1e-9;
            let given_up = (unit.clocks.left_s(&placed.unit, flow))
                .filter(|(left_s, _)| *left_s <= 1e-9)
                .map(|(_, why)| why);
            if let Some(why) = given_up.or(empty.then_some(UnitDown::Empty)) {
                unit.state = UnitState::Down {
                    why,
                    since_s: time_s,
                };
                unit.clocks = UnitClocks::default();
                recorder.event(time_s, Happening::UnitWentDown(number, why));
            }
        }
    }

    /// Units that are charged or rested come back; beside a generator that runs, all of them.
    pub(super) fn come_back(&mut self, time_s: f64, generating: bool, recorder: &mut Recorder) {
        for (number, (unit, placed)) in self.units.iter_mut().zip(self.placed).enumerate() {
            let UnitState::Down { why, since_s } = unit.state else {
                continue;
            };
            let stored_wh = self.stored_wh[number];
            let ready = match why {
                UnitDown::Empty => stored_wh >= placed.unit.restart_wh,
                UnitDown::InverterOverload | UnitDown::BatteryOverload => {
                    time_s - since_s >= RETRY_S - 1e-9 && stored_wh > placed.unit.shut_down_wh
                }
            };
            if ready || generating {
                unit.state = UnitState::Up;
                recorder.event(time_s, Happening::UnitUp(number));
            }
        }
    }
}

fn until_empty_s(placed: &PlacedUnit, flow: &UnitFlow, stored_wh: f64) -> f64 {
    let taken_w = flow.discharge_w / placed.unit.battery.discharge_efficiency();
    let above_wh = stored_wh - placed.unit.shut_down_wh;
    (above_wh * 3600.0 / taken_w).max(0.0)
}

/// Time until a unit that is down for want of charge has enough to start again, s.
fn until_charged_s(placed: &PlacedUnit, flow: &UnitFlow, stored_wh: f64) -> f64 {
    let missing_wh = placed.unit.restart_wh - stored_wh;
    if flow.charge_w <= 0.0 || missing_wh <= 0.0 {
        return f64::INFINITY;
    }
    let stored_w = flow.charge_w * placed.unit.battery.charge_efficiency();
    // A moment more, so that rounding and self-discharge do not leave it just below.
    missing_wh * 3600.0 / stored_w + 1e-6
}
