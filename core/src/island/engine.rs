//! The run of an island, second by second and finer where something moves.
//!
//! A step of the drive is cut at every instant at which something happens (a trip, a return, an inverter that gives up, a
//! battery that is empty), so what follows begins at its own time and not at the next step. While a surplus is being steered
//! away, spans are no longer than the pace says; where nothing moves, or the loop is in balance, a whole step is one span.

use super::control::{FrequencyControl, SPARE_SHARE};
use super::plant::{IslandDrive, IslandPlant};
use super::pv::{PvChange, PvMachine, PvState};
use super::record::{Happening, IslandRun};
use super::recorder::{Recorder, Span};
use super::unit::{UnitClocks, UnitDown, UnitFlow, UnitRoom};
use crate::coupling::{Generator, IslandMeans};

/// How fine a run is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Longest span while something moves, s.
    pub control_s: f64,
    /// Most spans of the trace.
    pub trace_spans: usize,
}

impl Default for Pace {
    fn default() -> Self {
        Self {
            control_s: 0.25,
            trace_spans: 4_320,
        }
    }
}

/// Time for which a unit that gave up under load rests before it tries again, s. Chosen.
const RETRY_S: f64 = 60.0;
/// Time for which a shed load stays off at least, and a contactor stays open at least, s. Chosen.
const LEAST_OFF_S: f64 = 60.0;
/// Charge above `shed_soc` at which shed loads may come back. Chosen.
const SHED_RETURN_SOC: f64 = 0.05;
/// Time of surplus after which a contactor is opened, s. Chosen.
const CONTACTOR_AFTER_S: f64 = 1.0;
/// Time for which an overloaded generator rests, s. Chosen.
const GENERATOR_REST_S: f64 = 300.0;
/// Difference of frequency at which a bus may be joined with the utility, Hz.
///
/// Source: IEEE 1547-2018, 4.10.4, table 5, up to 500 kVA. From memory.
const JOIN_WITHIN_HZ: f64 = 0.3;
/// Surplus, share of the storage inverters' rating, below which the control is in balance. Chosen: the loop's time constant is
/// some seconds, so that steps of 1 s follow such a surplus.
const CALM_SURPLUS: f64 = 0.005;
/// Spans of no length in a row after which time moves on in any case.
const MOST_STANDSTILLS: u32 = 64;

/// Runs an island. It ends with the drive, or when it is joined with the utility again.
#[must_use]
pub fn run(plant: &IslandPlant, drive: &IslandDrive, pace: &Pace) -> IslandRun {
    let mut island = Island::new(plant, drive, pace);
    for step in 0..drive.steps() {
        island.begin_step(step);
        let mut left_s = drive.step_s;
        while left_s > 1e-9 && !island.joined {
            left_s -= island.advance(step, left_s);
        }
        island.end_step(step, drive.step_s - left_s);
        if island.joined {
            break;
        }
    }
    island.recorder.finish()
}

/// Whether a storage unit is up.
#[derive(Clone, Copy, Debug, PartialEq)]
enum UnitState {
    Up,
    Down { why: UnitDown, since_s: f64 },
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum GeneratorState {
    Off,
    Starting { ready_s: f64 },
    Running,
    Resting { until_s: f64 },
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Contactor {
    opened_s: f64,
    surplus_s: f64,
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct LoadState {
    shed: bool,
    since_s: f64,
    /// Inrush on top of what runs, W, until the time beside it.
    inrush_w: f64,
    inrush_until_s: f64,
}

struct Island<'a> {
    plant: &'a IslandPlant,
    drive: &'a IslandDrive,
    pace: &'a Pace,
    time_s: f64,
    control: FrequencyControl,
    pv: Vec<PvMachine>,
    contactors: Vec<Contactor>,
    units: Vec<UnitState>,
    clocks: Vec<UnitClocks>,
    stored_wh: Vec<f64>,
    full: Vec<bool>,
    loads: Vec<LoadState>,
    next_start: usize,
    generator: GeneratorState,
    live: bool,
    holding: bool,
    grid_back: bool,
    joined: bool,
    standstills: u32,
    offered_w: Vec<f64>,
    dc_pv_w: Vec<f64>,
    rooms: Vec<UnitRoom>,
    flows: Vec<UnitFlow>,
    recorder: Recorder,
}

/// What all loads, sources and limits come to at an instant, W.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    /// Loads that are switched on, with their inrush.
    load_w: f64,
    /// The same without inrush.
    firm_w: f64,
    /// Loads that the shed order has switched off.
    shed_w: f64,
    /// AC PV.
    pv_w: f64,
    /// AC PV of inverters that follow a command.
    commanded_w: f64,
    /// Most that the units that are up give.
    give_w: f64,
    /// Most that they take.
    take_w: f64,
    /// Rating of the units that are up.
    rated_w: f64,
}

/// AC PV that loads and batteries take, less some room for control, W. A sink that is hardly larger than this room keeps half of
/// it: else PV could never give little enough.
fn allowed_pv_w(sums: &Sums) -> f64 {
    let sink_w = sums.load_w + sums.take_w;
    (sink_w - SPARE_SHARE * sums.rated_w).max(0.5 * sink_w)
}

impl<'a> Island<'a> {
    fn new(plant: &'a IslandPlant, drive: &'a IslandDrive, pace: &'a Pace) -> Self {
        let idle_hz = plant.nominal_hz + plant.running.idle_offset_hz;
        let pv = plant
            .inverters
            .iter()
            .map(|one| {
                let response_s = match one.means {
                    IslandMeans::Command { response_s } => Some(response_s),
                    IslandMeans::Frequency | IslandMeans::Contactor { .. } => None,
                };
                PvMachine::running(one.settings, one.law.rated_w, response_s)
            })
            .collect::<Vec<_>>();
        let units = plant.units.len();
        let stored_wh: Vec<f64> = plant.units.iter().map(|unit| unit.initial_wh).collect();
        Self {
            plant,
            drive,
            pace,
            time_s: 0.0,
            control: FrequencyControl::new(idle_hz, plant.running.rise_hz),
            contactors: vec![Contactor::default(); pv.len()],
            units: vec![UnitState::Up; units],
            clocks: vec![UnitClocks::default(); units],
            full: vec![false; units],
            loads: vec![LoadState::default(); drive.loads.len()],
            next_start: 0,
            generator: GeneratorState::Off,
            live: units > 0,
            holding: false,
            grid_back: false,
            joined: false,
            standstills: 0,
            offered_w: vec![0.0; pv.len()],
            dc_pv_w: vec![0.0; units],
            rooms: vec![UnitRoom::default(); units],
            flows: vec![UnitFlow::default(); units],
            recorder: Recorder::new(plant, drive, pace, &stored_wh),
            stored_wh,
            pv,
        }
    }

    fn happened(&mut self, what: Happening) {
        self.recorder.event(self.time_s, what);
    }

    fn begin_step(&mut self, step: usize) {
        for (offered_w, series) in self.offered_w.iter_mut().zip(&self.drive.inverter_ac_w) {
            *offered_w = series[step];
        }
        for ((dc_pv_w, series), placed) in self
            .dc_pv_w
            .iter_mut()
            .zip(&self.drive.unit_dc_w)
            .zip(&self.plant.units)
        {
            *dc_pv_w = (placed.unit.mppt_efficiency * series[step]).min(placed.unit.mppt_rated_w);
        }
        if step == 0 && !self.live {
            self.recorder.dark(self.time_s);
        }
        self.notice_edges(step);
    }

    /// Books what the MPPT inputs refused over the part of the step that was run, and ends the step.
    fn end_step(&mut self, step: usize, run_s: f64) {
        for ((dc_pv_w, series), placed) in self
            .dc_pv_w
            .iter()
            .zip(&self.drive.unit_dc_w)
            .zip(&self.plant.units)
        {
            let clipped_w = series[step] - dc_pv_w / placed.unit.mppt_efficiency;
            self.recorder.clipped(clipped_w * run_s / 3600.0);
        }
        self.recorder.end_step(&self.stored_wh);
    }

    /// Names what the drive itself does: loads that fall away at once, and clouds.
    fn notice_edges(&mut self, step: usize) {
        let rated_w = self.plant.storage_rated_w().max(1.0);
        if let Some(before) = step.checked_sub(1) {
            let sum_w = |step: usize| -> f64 {
                let powers = self.drive.loads.iter().map(|load| load.power_w[step]);
                powers.sum()
            };
            let dropped_w = sum_w(before) - sum_w(step);
            if dropped_w > 0.2 * rated_w {
                self.happened(Happening::LoadDropped(dropped_w));
            }
        }
        self.recorder
            .cloud_edge(self.time_s, step, self.drive, self.plant);
    }

    /// Goes on by one span, at most `left_s`; returns its length.
    fn advance(&mut self, step: usize, left_s: f64) -> f64 {
        self.begin_starts(step);
        self.notice_grid();
        if self.joined {
            return 0.0;
        }
        if !self.live {
            return self.advance_dark(step, left_s);
        }
        self.take_room(step);
        let sums = self.shed_until_carried(step);
        let generator_w = self.generator_w(&sums);
        let net_w = sums.load_w - sums.pv_w - generator_w;
        self.share_out(net_w, &sums);

        let generating = self.generator == GeneratorState::Running;
        let over_w = sums.pv_w - allowed_pv_w(&sums);
        // What commanded inverters can give up is no matter of frequency, and without AC PV there is nothing to hold back.
        let surplus = if generating || sums.rated_w <= 0.0 || sums.pv_w <= 0.0 {
            -1.0
        } else {
            (over_w - sums.commanded_w) / sums.rated_w
        };
        let frequency_hz = self.control.frequency_hz;
        let settled = self.control.is_idle(surplus)
            && (over_w <= 0.0 || sums.commanded_w <= 0.0)
            && self.pv.iter().all(|pv| pv.is_settled(frequency_hz));
        // A loop in balance that only follows the sun needs no finer steps than the sun has.
        let calm = surplus.abs() < CALM_SURPLUS && over_w.abs() < CALM_SURPLUS * sums.rated_w;
        let longest_s = if settled || calm {
            left_s
        } else {
            left_s.min(self.pace.control_s)
        };
        let homing = self.grid_back || generating;
        let rate = if homing {
            self.control.homing_rate_hz_per_s(longest_s)
        } else {
            self.control.rate_hz_per_s(surplus, longest_s)
        };
        let span_s = self.until_next(longest_s, rate, over_w, generating);

        self.record(span_s, &sums, generator_w, rate, over_w);
        self.move_on(span_s, surplus, rate, over_w, &sums, generating, homing);
        self.after_span(step, &sums);
        span_s
    }

    /// Starts whose time has come add their inrush.
    fn begin_starts(&mut self, step: usize) {
        while let Some(start) = self.drive.starts.get(self.next_start) {
            if start.at_s > self.time_s + 1e-9 {
                break;
            }
            self.next_start += 1;
            let runs = self
                .drive
                .loads
                .get(start.load)
                .is_some_and(|load| load.power_w[step] > 0.0);
            let Some(load) = self.loads.get_mut(start.load) else {
                continue;
            };
            if self.live && runs && !load.shed {
                load.inrush_w = start.power_w;
                load.inrush_until_s = start.at_s + start.duration_s;
                self.recorder.event(
                    self.time_s,
                    Happening::LoadStarted(start.load, start.power_w),
                );
            }
        }
        for load in &mut self.loads {
            if load.inrush_w > 0.0 && self.time_s >= load.inrush_until_s - 1e-9 {
                load.inrush_w = 0.0;
            }
        }
    }

    fn notice_grid(&mut self) {
        let Some(back_s) = self.drive.grid_back_s else {
            return;
        };
        if !self.grid_back && self.time_s >= back_s - 1e-9 {
            self.grid_back = true;
            self.happened(Happening::GridBack);
        }
        let off_hz = self.control.frequency_hz - self.plant.nominal_hz;
        if self.grid_back && (!self.live || off_hz.abs() <= JOIN_WITHIN_HZ) {
            self.joined = true;
            self.happened(Happening::GridJoined);
            if !self.live {
                self.recorder.live(self.time_s, false);
            }
        }
    }

    fn take_room(&mut self, step: usize) {
        let air_c = self.drive.air_c[step];
        for (number, placed) in self.plant.units.iter().enumerate() {
            self.rooms[number] = placed.unit.room(
                self.stored_wh[number],
                placed.place.battery_c(air_c),
                self.dc_pv_w[number],
            );
        }
    }

    fn is_up(&self, number: usize) -> bool {
        self.units[number] == UnitState::Up
    }

    fn sums(&self, step: usize) -> Sums {
        let mut sums = Sums::default();
        for (load, state) in self.drive.loads.iter().zip(&self.loads) {
            let power_w = load.power_w[step];
            if state.shed {
                sums.shed_w += power_w;
            } else {
                sums.firm_w += power_w;
                sums.load_w += power_w + state.inrush_w;
            }
        }
        for (pv, offered_w) in self.pv.iter().zip(&self.offered_w) {
            let power_w = pv.power_w(*offered_w);
            sums.pv_w += power_w;
            if pv.follows_command() {
                sums.commanded_w += power_w;
            }
        }
        for (number, placed) in self.plant.units.iter().enumerate() {
            if self.is_up(number) {
                sums.give_w += self.rooms[number].give_w;
                sums.take_w += self.rooms[number].take_w;
                sums.rated_w += placed.unit.law.rated_w;
            }
        }
        sums
    }

    /// Switches loads off in their order while what runs cannot be carried, or charge is low.
    fn shed_until_carried(&mut self, step: usize) -> Sums {
        loop {
            let sums = self.sums(step);
            let generator_w = match (&self.plant.generator, self.generator) {
                (Some(generator), GeneratorState::Running) => generator.rated_w,
                _ => 0.0,
            };
            let short = sums.firm_w > sums.give_w + sums.pv_w + generator_w;
            let low = generator_w <= 0.0 && self.soc() < self.plant.running.shed_soc;
            if !(short || low) {
                return sums;
            }
            let next = self
                .drive
                .loads
                .iter()
                .enumerate()
                .filter(|(number, load)| load.power_w[step] > 0.0 && !self.loads[*number].shed)
                .filter_map(|(number, load)| Some((load.shed_order?, number)))
                .min();
            let Some((_, number)) = next else {
                return sums;
            };
            self.loads[number] = LoadState {
                shed: true,
                since_s: self.time_s,
                ..LoadState::default()
            };
            self.happened(Happening::LoadShed(number));
        }
    }

    /// State of charge of all batteries together.
    fn soc(&self) -> f64 {
        let usable_wh: f64 = self
            .plant
            .units
            .iter()
            .map(|placed| placed.unit.battery.usable_wh())
            .sum();
        if usable_wh > 0.0 {
            self.stored_wh.iter().sum::<f64>() / usable_wh
        } else {
            0.0
        }
    }

    /// Power of the generator: it carries the loads and charges the batteries with what is left of its rating, W.
    fn generator_w(&self, sums: &Sums) -> f64 {
        match (&self.plant.generator, self.generator) {
            (Some(generator), GeneratorState::Running) => {
                (sums.load_w - sums.pv_w + sums.take_w).clamp(0.0, generator.rated_w)
            }
            _ => 0.0,
        }
    }

    /// Shares the AC power that the units must give or take among those that are up: by what each can, and beyond that by
    /// rating.
    fn share_out(&mut self, net_w: f64, sums: &Sums) {
        let capacity_w = if net_w >= 0.0 {
            sums.give_w
        } else {
            sums.take_w
        };
        let beyond_w = (net_w.abs() - capacity_w).max(0.0);
        for (number, placed) in self.plant.units.iter().enumerate() {
            let (room, dc_pv_w) = (&self.rooms[number], self.dc_pv_w[number]);
            self.flows[number] = if self.units[number] == UnitState::Up {
                let own_w = if net_w >= 0.0 {
                    room.give_w
                } else {
                    room.take_w
                };
                let within_w = if capacity_w > 0.0 {
                    (net_w.abs() - beyond_w) * own_w / capacity_w
                } else {
                    0.0
                };
                let rated_w = placed.unit.law.rated_w;
                let ac_w = within_w + beyond_w * rated_w / sums.rated_w.max(f64::MIN_POSITIVE);
                placed.unit.settle(ac_w.copysign(net_w), dc_pv_w, room)
            } else {
                placed.unit.charge_alone(dc_pv_w, room)
            };
        }
    }

    /// Length of the span: `longest_s`, or less if something happens before.
    fn until_next(&mut self, longest_s: f64, rate: f64, over_w: f64, generating: bool) -> f64 {
        let mut span_s = longest_s;
        let mut at = |time_s: f64| span_s = span_s.min(time_s.max(0.0));
        if let Some(start) = self.drive.starts.get(self.next_start) {
            at(start.at_s - self.time_s);
        }
        for load in self.loads.iter().filter(|load| load.inrush_w > 0.0) {
            at(load.inrush_until_s - self.time_s);
        }
        if let (Some(back_s), false) = (self.drive.grid_back_s, self.grid_back) {
            at(back_s - self.time_s);
        }
        if let GeneratorState::Starting { ready_s: time_s } = self.generator {
            at(time_s - self.time_s);
        }
        for (number, placed) in self.plant.units.iter().enumerate() {
            let flow = &self.flows[number];
            match self.units[number] {
                UnitState::Up => {
                    if let Some((left_s, _)) = self.clocks[number].left_s(&placed.unit, flow) {
                        at(left_s);
                    }
                    if flow.discharge_w > 0.0 && !generating {
                        at(self.until_empty_s(number));
                    }
                }
                UnitState::Down { why, since_s } => {
                    if why != UnitDown::Empty && since_s + RETRY_S > self.time_s {
                        at(since_s + RETRY_S - self.time_s);
                    }
                }
            }
        }
        if !generating {
            for pv in &self.pv {
                at(pv.next_event_s(self.control.frequency_hz, rate));
            }
            for (contactor, inverter) in self.contactors.iter().zip(&self.plant.inverters) {
                if matches!(inverter.means, IslandMeans::Contactor { .. }) && over_w > 0.0 {
                    at(CONTACTOR_AFTER_S - contactor.surplus_s);
                }
            }
        }
        if span_s > 1e-9 {
            self.standstills = 0;
            return span_s;
        }
        self.standstills += 1;
        if self.standstills > MOST_STANDSTILLS {
            self.standstills = 0;
            return longest_s.min(self.pace.control_s);
        }
        span_s
    }

    fn until_empty_s(&self, number: usize) -> f64 {
        let unit = &self.plant.units[number].unit;
        let taken_w = self.flows[number].discharge_w / unit.battery.discharge_efficiency();
        let above_wh = self.stored_wh[number] - unit.shut_down_wh;
        (above_wh * 3600.0 / taken_w).max(0.0)
    }

    fn record(&mut self, span_s: f64, sums: &Sums, generator_w: f64, rate: f64, over_w: f64) {
        let from_hz = self.control.frequency_hz;
        let offered_w: f64 = self.offered_w.iter().sum();
        let sink_w = sums.load_w + sums.take_w;
        let throttled_w: f64 = self
            .pv
            .iter()
            .zip(&self.offered_w)
            .map(|(pv, offered_w)| pv.ramp_limited_w(*offered_w) - pv.power_w(*offered_w))
            .sum();
        let span = Span {
            span_s,
            live: true,
            from_hz,
            to_hz: from_hz + rate * span_s,
            served_w: sums.load_w,
            unserved_w: sums.shed_w,
            shed_w: sums.shed_w,
            generator_w,
        };
        self.recorder
            .span(&span, self.plant, (&self.pv, &self.offered_w), &self.flows);
        let idle_hz = self.plant.nominal_hz + self.plant.running.idle_offset_hz;
        let pv_rated_w = self.plant.pv_rated_w();
        let raised_hz = from_hz - idle_hz;
        let holds = raised_hz > 0.02 || throttled_w > 0.02 * pv_rated_w;
        let rests = raised_hz < 0.005 && throttled_w < 0.005 * pv_rated_w;
        if holds && !self.holding {
            self.holding = true;
            self.happened(Happening::HoldingBack);
        } else if rests && self.holding && over_w <= 0.0 {
            self.holding = false;
            self.happened(Happening::HoldingEnded);
        }
        if self.holding || over_w > 0.0 && sums.pv_w > 0.0 {
            self.recorder.sink(sink_w, offered_w);
        }
    }

    /// Moves every state on by the span; what happens at its end is noted.
    #[allow(
        clippy::too_many_arguments,
        reason = "all of it is the state of one instant"
    )]
    fn move_on(
        &mut self,
        span_s: f64,
        surplus: f64,
        rate: f64,
        over_w: f64,
        sums: &Sums,
        generating: bool,
        homing: bool,
    ) {
        self.store(span_s);
        for (number, placed) in self.plant.units.iter().enumerate() {
            if self.is_up(number) {
                self.clocks[number].advance(&placed.unit, &self.flows[number], span_s);
            }
        }
        let from_hz = self.control.frequency_hz;
        let held_surplus = if homing { -1.0 } else { surplus };
        self.control.advance(held_surplus, rate, span_s);
        let to_hz = self.control.frequency_hz;
        self.time_s += span_s;
        let commanded_rated_w: f64 = self
            .pv
            .iter()
            .filter(|pv| pv.follows_command())
            .map(PvMachine::rated_w)
            .sum();
        let allowed_w = (sums.commanded_w - over_w).max(0.0);
        for number in 0..self.pv.len() {
            if generating {
                self.pv[number].darken();
                continue;
            }
            let pv = &mut self.pv[number];
            let commanded_w = if pv.follows_command() && commanded_rated_w > 0.0 {
                allowed_w * pv.rated_w() / commanded_rated_w
            } else {
                f64::INFINITY
            };
            let change = pv.advance(span_s, from_hz, to_hz, self.offered_w[number], commanded_w);
            match change {
                Some(PvChange::Tripped(why)) => self.happened(Happening::PvTripped(number, why)),
                Some(PvChange::CameBack) => self.happened(Happening::PvBack(number)),
                None => {}
            }
        }
        self.work_contactors(span_s, over_w);
    }

    /// Stores what the batteries took and gave.
    fn store(&mut self, span_s: f64) {
        for (number, placed) in self.plant.units.iter().enumerate() {
            let flow = &self.flows[number];
            let before_wh = self.stored_wh[number];
            let after =
                placed
                    .unit
                    .battery
                    .over(before_wh, flow.charge_w, flow.discharge_w, span_s);
            self.stored_wh[number] = after.stored_wh;
            self.recorder.battery(&after, span_s);
            let usable_wh = placed.unit.battery.usable_wh();
            let full = after.stored_wh >= 0.999 * usable_wh;
            if full && !self.full[number] && before_wh < after.stored_wh {
                self.happened(Happening::BatteryFull(number));
            }
            // Full again counts only after some charge was drawn.
            self.full[number] = full || self.full[number] && after.stored_wh > 0.98 * usable_wh;
        }
    }

    fn work_contactors(&mut self, span_s: f64, over_w: f64) {
        let soc = self.soc();
        for number in 0..self.pv.len() {
            let IslandMeans::Contactor {
                open_soc,
                close_soc,
            } = self.plant.inverters[number].means
            else {
                continue;
            };
            let contactor = &mut self.contactors[number];
            contactor.surplus_s = if over_w > 0.0 {
                contactor.surplus_s + span_s
            } else {
                0.0
            };
            let open = self.pv[number].state() == PvState::Disconnected;
            let gives = self.pv[number].power_w(self.offered_w[number]) > 0.0;
            if !open
                && (soc >= open_soc || gives && contactor.surplus_s >= CONTACTOR_AFTER_S - 1e-9)
            {
                contactor.opened_s = self.time_s;
                self.pv[number].disconnect();
                self.happened(Happening::ContactorOpened(number));
            } else if open && soc <= close_soc && self.time_s - contactor.opened_s >= LEAST_OFF_S {
                self.pv[number].reconnect();
                self.happened(Happening::ContactorClosed(number));
            }
        }
    }

    /// What the end of a span brings: units that give up or come back, loads that return, the generator.
    fn after_span(&mut self, step: usize, sums: &Sums) {
        let generating = self.generator == GeneratorState::Running;
        for (number, placed) in self.plant.units.iter().enumerate() {
            if !self.is_up(number) {
                continue;
            }
            let flow = self.flows[number];
            let empty = flow.discharge_w > 0.0
                && !generating
                && self.stored_wh[number] <= placed.unit.shut_down_wh + 1e-9;
            let given_up = self.clocks[number]
                .left_s(&placed.unit, &flow)
                .filter(|(left_s, _)| *left_s <= 1e-9)
                .map(|(_, why)| why);
            if let Some(why) = given_up.or(empty.then_some(UnitDown::Empty)) {
                self.units[number] = UnitState::Down {
                    why,
                    since_s: self.time_s,
                };
                self.clocks[number] = UnitClocks::default();
                self.recorder
                    .event(self.time_s, Happening::UnitWentDown(number, why));
            }
        }
        self.bring_units_back();
        self.bring_loads_back(step, sums);
        self.work_generator(sums);
        let held = self.generator == GeneratorState::Running || self.units.contains(&UnitState::Up);
        if self.live && !held {
            self.go_dark();
        }
    }

    fn go_dark(&mut self) {
        self.live = false;
        self.holding = false;
        self.pv.iter_mut().for_each(PvMachine::darken);
        self.control.restart();
        self.loads.iter_mut().for_each(|load| load.inrush_w = 0.0);
        self.happened(Happening::BusDark);
        self.recorder.dark(self.time_s);
    }

    fn bring_units_back(&mut self) {
        for (number, placed) in self.plant.units.iter().enumerate() {
            let UnitState::Down { why, since_s } = self.units[number] else {
                continue;
            };
            let stored_wh = self.stored_wh[number];
            let ready = match why {
                UnitDown::Empty => stored_wh >= placed.unit.restart_wh,
                UnitDown::InverterOverload | UnitDown::BatteryOverload => {
                    self.time_s - since_s >= RETRY_S - 1e-9 && stored_wh > placed.unit.shut_down_wh
                }
            };
            if ready || self.generator == GeneratorState::Running {
                self.units[number] = UnitState::Up;
                self.recorder.event(self.time_s, Happening::UnitUp(number));
            }
        }
    }

    fn bring_loads_back(&mut self, step: usize, sums: &Sums) {
        let generating = self.generator == GeneratorState::Running;
        let charged =
            generating || self.soc() >= (self.plant.running.shed_soc + SHED_RETURN_SOC).min(1.0);
        if !charged || sums.shed_w <= 0.0 && !self.loads.iter().any(|load| load.shed) {
            return;
        }
        let rated_w = match (&self.plant.generator, generating) {
            (Some(generator), true) => generator.rated_w,
            _ => 0.0,
        };
        let spare_w = sums.give_w + sums.pv_w + rated_w - sums.firm_w;
        let ready = self
            .drive
            .loads
            .iter()
            .enumerate()
            .filter(|(number, load)| {
                let state = &self.loads[*number];
                state.shed
                    && self.time_s - state.since_s >= LEAST_OFF_S
                    && load.power_w[step] <= 0.9 * spare_w
            })
            .filter_map(|(number, load)| Some((load.shed_order?, number)))
            .max();
        if let Some((_, number)) = ready {
            self.loads[number].shed = false;
            self.happened(Happening::LoadBack(number));
        }
    }

    fn work_generator(&mut self, sums: &Sums) {
        let Some(generator) = &self.plant.generator else {
            return;
        };
        let soc = self.soc();
        match self.generator {
            GeneratorState::Off => {
                let short = sums.firm_w > sums.give_w + sums.pv_w;
                if soc <= generator.start_soc || !self.live || short {
                    self.generator = GeneratorState::Starting {
                        ready_s: self.time_s + generator.start_delay_s,
                    };
                }
            }
            GeneratorState::Starting { ready_s } => {
                if self.time_s >= ready_s - 1e-9 {
                    self.start_generator();
                }
            }
            GeneratorState::Running => self.keep_or_stop(generator, sums, soc),
            GeneratorState::Resting { until_s } => {
                if self.time_s >= until_s {
                    self.generator = GeneratorState::Off;
                }
            }
        }
    }

    fn keep_or_stop(&mut self, generator: &Generator, sums: &Sums, soc: f64) {
        if sums.firm_w > generator.rated_w + sums.give_w {
            self.generator = GeneratorState::Resting {
                until_s: self.time_s + GENERATOR_REST_S,
            };
            self.happened(Happening::GeneratorOverloaded);
        } else if soc >= generator.stop_soc {
            self.generator = GeneratorState::Off;
            self.happened(Happening::GeneratorStopped);
        }
    }

    fn start_generator(&mut self) {
        self.generator = GeneratorState::Running;
        self.pv.iter_mut().for_each(PvMachine::darken);
        self.control.restart();
        self.happened(Happening::GeneratorStarted);
        if !self.live {
            self.come_alive();
        }
        self.bring_units_back();
    }

    fn come_alive(&mut self) {
        self.live = true;
        self.control.restart();
        self.happened(Happening::BusLive);
        self.recorder.live(self.time_s, true);
    }

    /// One span of a dark bus: DC PV charges what is down, and nothing else moves.
    fn advance_dark(&mut self, step: usize, left_s: f64) -> f64 {
        self.take_room(step);
        let mut span_s = left_s;
        let mut at = |time_s: f64| span_s = span_s.min(time_s.max(0.0));
        for (number, placed) in self.plant.units.iter().enumerate() {
            let flow = placed
                .unit
                .charge_alone(self.dc_pv_w[number], &self.rooms[number]);
            self.flows[number] = flow;
            if let UnitState::Down { why, since_s } = self.units[number] {
                let missing_wh = placed.unit.restart_wh - self.stored_wh[number];
                if why == UnitDown::Empty && flow.charge_w > 0.0 && missing_wh > 0.0 {
                    let stored_w = flow.charge_w * placed.unit.battery.charge_efficiency();
                    at(missing_wh * 3600.0 / stored_w + 1e-6);
                } else if why != UnitDown::Empty && since_s + RETRY_S > self.time_s {
                    at(since_s + RETRY_S - self.time_s);
                }
            }
        }
        if let GeneratorState::Starting { ready_s: time_s } = self.generator {
            at(time_s - self.time_s);
        }
        if let (Some(back_s), false) = (self.drive.grid_back_s, self.grid_back) {
            at(back_s - self.time_s);
        }
        let span_s = span_s.max(1e-6).min(left_s);
        let wanted_w: f64 = self.drive.loads.iter().map(|load| load.power_w[step]).sum();
        let span = Span {
            span_s,
            live: false,
            from_hz: 0.0,
            to_hz: 0.0,
            served_w: 0.0,
            unserved_w: wanted_w,
            shed_w: 0.0,
            generator_w: 0.0,
        };
        self.recorder
            .span(&span, self.plant, (&self.pv, &self.offered_w), &self.flows);
        self.store(span_s);
        self.time_s += span_s;
        self.bring_units_back();
        self.work_generator(&Sums::default());
        if !self.live && self.units.contains(&UnitState::Up) {
            self.come_alive();
        }
        span_s
    }
}
