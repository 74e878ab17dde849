//! The run of an island, second by second and finer where something moves.
//!
//! A step of the drive is cut at every instant at which something happens (a trip, a return, an inverter that gives up, a
//! battery that is empty), so what follows begins at its own time and not at the next step. While a surplus is being steered
//! away, spans are no longer than the pace says; where nothing moves, or the loop is in balance, a whole step is one span.

use super::control::{FrequencyControl, SPARE_SHARE};
use super::field::{AcPv, PvField, Steering};
use super::generating::{Generating, Need};
use super::panel::{Demand, Panel};
use super::plant::{IslandDrive, IslandPlant};
use super::record::{Happening, IslandRun};
use super::recorder::{Recorder, Span};
use super::storage::{Capacity, Storage};

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

/// Charge above `shed_soc` at which shed loads may come back. Chosen.
const SHED_RETURN_SOC: f64 = 0.05;
/// Fall of the loads within a step that is named, share of the storage inverters' rating. Chosen.
const LOAD_DROP_SHARE: f64 = 0.2;
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

struct Island<'a> {
    plant: &'a IslandPlant,
    drive: &'a IslandDrive,
    pace: &'a Pace,
    time_s: f64,
    control: FrequencyControl,
    field: PvField<'a>,
    storage: Storage<'a>,
    panel: Panel<'a>,
    generating: Generating<'a>,
    live: bool,
    holding: bool,
    grid_back: bool,
    joined: bool,
    standstills: u32,
    recorder: Recorder,
}

/// How sources and loads stand against each other at an instant.
#[derive(Clone, Copy, Debug)]
struct Balance {
    demand: Demand,
    pv: AcPv,
    capacity: Capacity,
    /// Power of the generator, W.
    generator_w: f64,
    /// AC PV beyond what loads and batteries take, W.
    over_w: f64,
    /// What frequency must steer away, share of the rating of the storage inverters that are up.
    surplus: f64,
}

impl Balance {
    /// Most that loads and batteries could take, W.
    fn sink_w(&self) -> f64 {
        self.demand.load_w + self.capacity.take_w
    }

    /// Most that storage and AC PV give, W.
    fn others_w(&self) -> f64 {
        self.capacity.give_w + self.pv.power_w
    }
}

impl<'a> Island<'a> {
    fn new(plant: &'a IslandPlant, drive: &'a IslandDrive, pace: &'a Pace) -> Self {
        let idle_hz = plant.nominal_hz + plant.running.idle_offset_hz;
        let storage = Storage::new(&plant.units);
        Self {
            plant,
            drive,
            pace,
            time_s: 0.0,
            control: FrequencyControl::new(idle_hz, plant.running.rise_hz),
            field: PvField::new(&plant.inverters),
            panel: Panel::new(drive),
            generating: Generating::new(plant.generator.as_ref()),
            live: storage.holds(),
            holding: false,
            grid_back: false,
            joined: false,
            standstills: 0,
            recorder: Recorder::new(plant, drive, pace, storage.stored_wh()),
            storage,
        }
    }

    fn happened(&mut self, what: Happening) {
        self.recorder.event(self.time_s, what);
    }

    fn begin_step(&mut self, step: usize) {
        self.field.begin_step(self.drive, step);
        self.storage.begin_step(self.drive, step);
        match step.checked_sub(1) {
            None if !self.live => self.recorder.dark(self.time_s),
            // On a dark bus nothing is served that could fall.
            Some(before) if self.live => {
                let dropped_w = self.panel.wanted_w(before) - self.panel.wanted_w(step);
                if dropped_w > LOAD_DROP_SHARE * self.plant.storage_rated_w().max(1.0) {
                    self.happened(Happening::LoadDropped(dropped_w));
                }
            }
            _ => {}
        }
        self.recorder
            .cloud_edge(self.time_s, step, self.drive, self.plant);
    }

    /// Books what the MPPT inputs refused over the part of the step that was run, and ends the step.
    fn end_step(&mut self, step: usize, run_s: f64) {
        let clipped_w = self.storage.clipped_w(self.drive, step);
        self.recorder.clipped(clipped_w * run_s / 3600.0);
        self.recorder.end_step(self.storage.stored_wh());
    }

    /// Goes on by one span, at most `left_s`; returns its length.
    fn advance(&mut self, step: usize, left_s: f64) -> f64 {
        (self.panel).begin_starts(step, self.time_s, self.live, &mut self.recorder);
        self.notice_grid();
        if self.joined {
            return 0.0;
        }
        let capacity = self.storage.take_room(self.drive.air_c[step]);
        if self.live {
            self.advance_live(step, left_s, capacity)
        } else {
            self.advance_dark(step, left_s, &capacity)
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

    /// One span of a bus that is held.
    fn advance_live(&mut self, step: usize, left_s: f64, capacity: Capacity) -> f64 {
        let balance = self.balance(step, capacity);
        let net_w = balance.demand.load_w - balance.pv.power_w - balance.generator_w;
        self.storage.share_out(net_w, &balance.capacity);

        let longest_s = if self.needs_no_care(&balance) {
            left_s
        } else {
            left_s.min(self.pace.control_s)
        };
        // To join the grid, or beside a generator, frequency goes home whatever the surplus.
        let homing = self.grid_back || self.generating.runs();
        let steered = if homing { -1.0 } else { balance.surplus };
        let rate_hz_per_s = if homing {
            self.control.homing_rate_hz_per_s(longest_s)
        } else {
            self.control.rate_hz_per_s(steered, longest_s)
        };
        let span_s = self.until_next(longest_s, rate_hz_per_s, &balance);

        self.record(span_s, rate_hz_per_s, &balance);
        self.storage
            .advance(self.time_s, span_s, &mut self.recorder);
        let from_hz = self.control.frequency_hz;
        self.control.advance(steered, rate_hz_per_s, span_s);
        self.time_s += span_s;
        if self.generating.runs() {
            self.field.darken();
        } else {
            let steering = Steering {
                span_s,
                from_hz,
                to_hz: self.control.frequency_hz,
                over_w: balance.over_w,
                soc: self.storage.soc(),
            };
            (self.field).advance(self.time_s, &steering, &balance.pv, &mut self.recorder);
        }
        self.end_span(step, &balance);
        span_s
    }

    /// Sources and loads of this instant, once the shed order has done what it can.
    fn balance(&mut self, step: usize, capacity: Capacity) -> Balance {
        let pv = self.field.sum();
        let generator_rated_w = self.generating.rated_w();
        let low = !self.generating.runs() && self.storage.soc() < self.plant.running.shed_soc;
        let mut demand = self.panel.demand(step);
        while (low || demand.firm_w > capacity.give_w + pv.power_w + generator_rated_w)
            && self.panel.shed_next(step, self.time_s, &mut self.recorder)
        {
            demand = self.panel.demand(step);
        }
        let over_w = pv.power_w - allowed_pv_w(&demand, &capacity);
        Balance {
            demand,
            pv,
            capacity,
            // It carries the loads and charges the batteries with what is left of its rating.
            generator_w: (demand.load_w - pv.power_w + capacity.take_w)
                .clamp(0.0, generator_rated_w),
            over_w,
            // What commanded inverters can give up is no matter of frequency, and without AC PV there is nothing to hold back.
            surplus: if self.generating.runs() || capacity.rated_w <= 0.0 || pv.power_w <= 0.0 {
                -1.0
            } else {
                (over_w - pv.commanded_w) / capacity.rated_w
            },
        }
    }

    /// Whether nothing moves, or a loop in balance only follows the sun: then no finer steps are needed than the sun has.
    fn needs_no_care(&self, balance: &Balance) -> bool {
        let settled = self.control.is_idle(balance.surplus)
            && (balance.over_w <= 0.0 || balance.pv.commanded_w <= 0.0)
            && self.field.is_settled(self.control.frequency_hz);
        let calm = balance.surplus.abs() < CALM_SURPLUS
            && balance.over_w.abs() < CALM_SURPLUS * balance.capacity.rated_w;
        settled || calm
    }

    /// Length of the span: `longest_s`, or less if something happens before.
    fn until_next(&mut self, longest_s: f64, rate_hz_per_s: f64, balance: &Balance) -> f64 {
        let mut next_s = self.next_outside_s();
        if !self.generating.runs() {
            let frequency_hz = self.control.frequency_hz;
            let field_s = self
                .field
                .next_event_s(frequency_hz, rate_hz_per_s, balance.over_w);
            next_s = next_s.min(field_s);
        }
        let span_s = longest_s.min(next_s.max(0.0));
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

    /// Time until something happens that is no matter of AC PV, s.
    fn next_outside_s(&self) -> f64 {
        let grid_s = match self.drive.grid_back_s {
            Some(back_s) if !self.grid_back => back_s - self.time_s,
            _ => f64::INFINITY,
        };
        grid_s
            .min(self.panel.next_event_s(self.time_s))
            .min(self.generating.next_event_s(self.time_s))
            .min((self.storage).next_event_s(self.time_s, self.generating.runs()))
    }

    fn record(&mut self, span_s: f64, rate_hz_per_s: f64, balance: &Balance) {
        let from_hz = self.control.frequency_hz;
        let span = Span {
            span_s,
            live: true,
            from_hz,
            to_hz: from_hz + rate_hz_per_s * span_s,
            served_w: balance.demand.load_w,
            unserved_w: balance.demand.shed_w,
            shed_w: balance.demand.shed_w,
            generator_w: balance.generator_w,
        };
        (self.recorder).span(&span, self.plant, &self.field, self.storage.flows());
        let raised_hz = from_hz - self.plant.nominal_hz - self.plant.running.idle_offset_hz;
        let (throttled_w, rated_w) = (balance.pv.throttled_w, self.plant.pv_rated_w());
        if !self.holding && (raised_hz > 0.02 || throttled_w > 0.02 * rated_w) {
            self.holding = true;
            self.happened(Happening::HoldingBack);
        } else if self.holding
            && raised_hz < 0.005
            && throttled_w < 0.005 * rated_w
            && balance.over_w <= 0.0
        {
            self.holding = false;
            self.happened(Happening::HoldingEnded);
        }
        if self.holding || balance.over_w > 0.0 && balance.pv.power_w > 0.0 {
            self.recorder.sink(balance.sink_w(), balance.pv.offered_w);
        }
    }

    /// What the end of a span brings: units that give up or come back, loads that return, the generator.
    fn end_span(&mut self, step: usize, balance: &Balance) {
        let generating = self.generating.runs();
        (self.storage).give_up(self.time_s, generating, &mut self.recorder);
        (self.storage).come_back(self.time_s, generating, &mut self.recorder);
        let return_soc = (self.plant.running.shed_soc + SHED_RETURN_SOC).min(1.0);
        if generating || self.storage.soc() >= return_soc {
            let spare_w = balance.others_w() + self.generating.rated_w() - balance.demand.firm_w;
            (self.panel).bring_back(step, self.time_s, spare_w, &mut self.recorder);
        }
        self.work_generator(balance.demand.firm_w, balance.others_w());
        if !self.generating.runs() && !self.storage.holds() {
            self.go_dark();
        }
    }

    fn work_generator(&mut self, firm_w: f64, others_w: f64) {
        let need = Need {
            soc: self.storage.soc(),
            live: self.live,
            firm_w,
            others_w,
        };
        let Some(what) = self.generating.work(self.time_s, &need) else {
            return;
        };
        self.happened(what);
        if what == Happening::GeneratorStarted {
            self.field.darken();
            self.control.restart();
            if !self.live {
                self.come_alive();
            }
            (self.storage).come_back(self.time_s, true, &mut self.recorder);
        }
    }

    fn go_dark(&mut self) {
        self.live = false;
        self.holding = false;
        self.field.darken();
        self.control.restart();
        self.panel.darken();
        self.happened(Happening::BusDark);
        self.recorder.dark(self.time_s);
    }

    fn come_alive(&mut self) {
        self.live = true;
        self.control.restart();
        self.happened(Happening::BusLive);
        self.recorder.live(self.time_s, true);
    }

    /// One span of a dark bus: DC PV charges what is down, and nothing else moves.
    fn advance_dark(&mut self, step: usize, left_s: f64, capacity: &Capacity) -> f64 {
        self.storage.share_out(0.0, capacity);
        let span_s = self.next_outside_s().max(1e-6).min(left_s);
        let span = Span {
            span_s,
            live: false,
            from_hz: 0.0,
            to_hz: 0.0,
            served_w: 0.0,
            unserved_w: self.panel.wanted_w(step),
            shed_w: 0.0,
            generator_w: 0.0,
        };
        (self.recorder).span(&span, self.plant, &self.field, self.storage.flows());
        self.storage
            .advance(self.time_s, span_s, &mut self.recorder);
        self.time_s += span_s;
        (self.storage).come_back(self.time_s, false, &mut self.recorder);
        self.work_generator(0.0, 0.0);
        if !self.live && self.storage.holds() {
            self.come_alive();
        }
        span_s
    }
}

/// AC PV that loads and batteries take, less some room for control, W. A sink that is hardly larger than this room keeps half of
/// it: else PV could never give little enough.
fn allowed_pv_w(demand: &Demand, capacity: &Capacity) -> f64 {
    let sink_w = demand.load_w + capacity.take_w;
    (sink_w - SPARE_SHARE * capacity.rated_w).max(0.5 * sink_w)
}
