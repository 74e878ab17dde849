//! Keeps what happens: sums for the account, means for the trace, the worst for the figures.

use super::engine::Pace;
use super::field::PvField;
use super::plant::{IslandDrive, IslandPlant};
use super::record::{Happening, IslandEvent, IslandRun, IslandTrace};
use super::unit::UnitFlow;
use crate::battery::BatteryStep;

/// Most events that are kept: ten PV inverters that trip and come back every five minutes for three days make some 17,000.
const MOST_EVENTS: usize = 20_000;
/// Time within which a change of the sun's offer counts as an edge, s.
const CLOUD_EDGE_S: f64 = 30.0;
/// Change of the sun's offer that counts as an edge, share of the PV inverters' rating.
const CLOUD_EDGE_SHARE: f64 = 0.25;

/// One span of the run.
pub(super) struct Span {
    pub(super) span_s: f64,
    pub(super) live: bool,
    pub(super) from_hz: f64,
    pub(super) to_hz: f64,
    pub(super) served_w: f64,
    pub(super) unserved_w: f64,
    pub(super) shed_w: f64,
    pub(super) generator_w: f64,
}

pub(super) struct Recorder {
    run: IslandRun,
    step_s: f64,
    steps_per_span: usize,
    steps_in_span: usize,
    /// Sums of the present trace span, W s.
    served_ws: f64,
    unserved_ws: f64,
    generator_ws: f64,
    inverter_ws: Vec<f64>,
    inverter_offered_ws: Vec<f64>,
    unit_ac_ws: Vec<f64>,
    unit_dc_ws: Vec<f64>,
    unit_dc_offered_ws: Vec<f64>,
    unit_battery_ws: Vec<f64>,
    lowest_hz: f64,
    highest_hz: f64,
    was_dark: bool,
    stored_wh: Vec<f64>,
    usable_wh: Vec<f64>,
    initial_wh: f64,
    dark_since_s: Option<f64>,
    inverter_over_s: Vec<f64>,
    battery_over_s: Vec<f64>,
    edge_quiet_until_s: f64,
    time_s: f64,
}

impl Recorder {
    pub(super) fn new(
        plant: &IslandPlant,
        drive: &IslandDrive,
        pace: &Pace,
        stored_wh: &[f64],
    ) -> Self {
        let steps = drive.steps();
        let steps_per_span = steps.div_ceil(pace.trace_spans.max(1)).max(1);
        let spans = steps / steps_per_span + 1;
        let (inverters, units) = (plant.inverters.len(), plant.units.len());
        let room = || Vec::with_capacity(spans);
        let rooms = |count: usize| (0..count).map(|_| room()).collect::<Vec<Vec<f64>>>();
        let step_s = drive.step_s;
        Self {
            run: IslandRun {
                trace: IslandTrace {
                    #[allow(clippy::cast_precision_loss, reason = "far below 2^52 steps")]
                    span_s: step_s * steps_per_span as f64,
                    lowest_hz: room(),
                    highest_hz: room(),
                    served_w: room(),
                    unserved_w: room(),
                    inverter_w: rooms(inverters),
                    inverter_offered_w: rooms(inverters),
                    unit_ac_w: rooms(units),
                    unit_dc_w: rooms(units),
                    unit_dc_offered_w: rooms(units),
                    unit_battery_w: rooms(units),
                    unit_soc: rooms(units),
                    generator_w: room(),
                },
                ..IslandRun::default()
            },
            step_s,
            steps_per_span,
            steps_in_span: 0,
            served_ws: 0.0,
            unserved_ws: 0.0,
            generator_ws: 0.0,
            inverter_ws: vec![0.0; inverters],
            inverter_offered_ws: vec![0.0; inverters],
            unit_ac_ws: vec![0.0; units],
            unit_dc_ws: vec![0.0; units],
            unit_dc_offered_ws: vec![0.0; units],
            unit_battery_ws: vec![0.0; units],
            lowest_hz: f64::INFINITY,
            highest_hz: 0.0,
            was_dark: false,
            stored_wh: stored_wh.to_vec(),
            usable_wh: plant
                .units
                .iter()
                .map(|placed| placed.unit.battery.usable_wh())
                .collect(),
            initial_wh: stored_wh.iter().sum(),
            dark_since_s: None,
            inverter_over_s: vec![0.0; units],
            battery_over_s: vec![0.0; units],
            edge_quiet_until_s: 0.0,
            time_s: 0.0,
        }
    }

    pub(super) fn event(&mut self, at_s: f64, what: Happening) {
        if matches!(what, Happening::PvTripped(..)) {
            self.run.figures.pv_trips += 1;
        }
        if self.run.events.len() < MOST_EVENTS {
            self.run.events.push(IslandEvent { at_s, what });
        } else {
            self.run.events_left_out += 1;
        }
    }

    /// The bus went dark.
    pub(super) fn dark(&mut self, at_s: f64) {
        let figures = &mut self.run.figures;
        figures.dark_times += 1;
        figures.first_dark_s.get_or_insert(at_s);
        self.dark_since_s = Some(at_s);
    }

    /// The bus is held again; `by_itself`: not by the grid.
    pub(super) fn live(&mut self, at_s: f64, by_itself: bool) {
        self.end_dark(at_s);
        if by_itself {
            self.run.figures.back_s.get_or_insert(at_s);
        }
    }

    fn end_dark(&mut self, at_s: f64) {
        if let Some(since_s) = self.dark_since_s.take() {
            let longest_s = &mut self.run.figures.longest_dark_s;
            *longest_s = longest_s.max(at_s - since_s);
        }
    }

    /// Loads and batteries could take `sink_w` while the sun offered `offered_w` on AC.
    pub(super) fn sink(&mut self, sink_w: f64, offered_w: f64) {
        let figures = &mut self.run.figures;
        if figures.least_sink_w.is_none_or(|least_w| sink_w < least_w) {
            figures.least_sink_w = Some(sink_w);
            figures.offered_at_least_sink_w = offered_w;
        }
    }

    /// Names a cloud's edge in what the sun offers on AC and DC together.
    pub(super) fn cloud_edge(
        &mut self,
        time_s: f64,
        step: usize,
        drive: &IslandDrive,
        plant: &IslandPlant,
    ) {
        if time_s < self.edge_quiet_until_s {
            return;
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a handful of steps"
        )]
        let back = (CLOUD_EDGE_S / drive.step_s).max(1.0) as usize;
        let Some(before) = step.checked_sub(back) else {
            return;
        };
        let offered_w = |step: usize| -> f64 {
            let series = drive.inverter_ac_w.iter().chain(&drive.unit_dc_w);
            series.map(|series| series[step]).sum()
        };
        let change_w = offered_w(step) - offered_w(before);
        let mppt_w: f64 = plant
            .units
            .iter()
            .zip(&drive.unit_dc_w)
            .map(|(placed, series)| {
                if series.is_empty() {
                    0.0
                } else {
                    placed.unit.law.rated_w
                }
            })
            .sum();
        if change_w.abs() > CLOUD_EDGE_SHARE * (plant.pv_rated_w() + mppt_w) {
            self.edge_quiet_until_s = time_s + 2.0 * CLOUD_EDGE_S;
            self.event(time_s, Happening::CloudEdge(change_w));
        }
    }

    /// What a battery took, gave and lost.
    pub(super) fn battery(&mut self, after: &BatteryStep, span_s: f64) {
        let loss_w = after.charge_loss_w + after.discharge_loss_w + after.self_discharge_w;
        self.run.ledger.battery_loss_wh += loss_w * span_s / 3600.0;
    }

    pub(super) fn span(
        &mut self,
        span: &Span,
        plant: &IslandPlant,
        field: &PvField<'_>,
        flows: &[UnitFlow],
    ) {
        let span_s = span.span_s;
        let span_h = span_s / 3600.0;
        self.time_s += span_s;
        self.served_ws += span.served_w * span_s;
        self.unserved_ws += span.unserved_w * span_s;
        self.generator_ws += span.generator_w * span_s;
        let (ledger, figures) = (&mut self.run.ledger, &mut self.run.figures);
        ledger.served_wh += span.served_w * span_h;
        ledger.unserved_wh += span.unserved_w * span_h;
        ledger.shed_wh += span.shed_w * span_h;
        ledger.generator_wh += span.generator_w * span_h;
        for (number, (pv, offered_w)) in field.each().enumerate() {
            let power_w = pv.power_w(offered_w);
            ledger.ac_offered_wh += offered_w * span_h;
            if span.live {
                let may_w = pv.ramp_limited_w(offered_w);
                ledger.ac_tripped_wh += (offered_w - may_w) * span_h;
                ledger.ac_throttled_wh += (may_w - power_w) * span_h;
            } else {
                ledger.ac_dark_wh += offered_w * span_h;
            }
            self.inverter_ws[number] += power_w * span_s;
            self.inverter_offered_ws[number] += offered_w * span_s;
        }
        for (number, (flow, placed)) in flows.iter().zip(&plant.units).enumerate() {
            let unit = &placed.unit;
            let throttled_w = (flow.dc_pv_w - flow.dc_pv_taken_w) / unit.mppt_efficiency;
            let passed_w = flow.dc_pv_taken_w / unit.mppt_efficiency;
            ledger.dc_offered_wh += (throttled_w + passed_w) * span_h;
            ledger.dc_throttled_wh += throttled_w * span_h;
            ledger.mppt_loss_wh += (passed_w - flow.dc_pv_taken_w) * span_h;
            ledger.inverter_loss_wh += flow.loss_w * span_h;
            self.unit_ac_ws[number] += flow.ac_w * span_s;
            self.unit_dc_ws[number] += flow.dc_pv_taken_w * span_s;
            self.unit_dc_offered_ws[number] += flow.dc_pv_w * span_s;
            self.unit_battery_ws[number] += (flow.discharge_w - flow.charge_w) * span_s;
            let share = if unit.law.rated_w > 0.0 {
                flow.ac_w.abs() / unit.law.rated_w
            } else {
                0.0
            };
            figures.worst_inverter_share = figures.worst_inverter_share.max(share);
            let over_s = &mut self.inverter_over_s[number];
            *over_s = if share > 1.0 + 1e-6 {
                *over_s + span_s
            } else {
                0.0
            };
            figures.inverter_over_s = figures.inverter_over_s.max(*over_s);
            let over_w = flow.over_charge_w.max(flow.over_discharge_w);
            figures.worst_battery_over_w = figures.worst_battery_over_w.max(over_w);
            let over_s = &mut self.battery_over_s[number];
            *over_s = if over_w > 1.0 { *over_s + span_s } else { 0.0 };
            figures.battery_over_s = figures.battery_over_s.max(*over_s);
        }
        if span.generator_w > 0.0
            && let Some(generator) = &plant.generator
        {
            figures.generator_s += span_s;
            if span.generator_w < generator.least_load * generator.rated_w {
                figures.generator_below_least_s += span_s;
            }
            figures.fuel_l += (generator.idle_fuel_l_per_h
                + generator.fuel_l_per_kwh * span.generator_w / 1000.0)
                * span_h;
        }
        if span.live {
            self.lowest_hz = self.lowest_hz.min(span.from_hz).min(span.to_hz);
            self.highest_hz = self.highest_hz.max(span.from_hz).max(span.to_hz);
        } else {
            figures.dark_s += span_s;
            self.was_dark = true;
        }
    }

    pub(super) fn clipped(&mut self, at_array_wh: f64) {
        self.run.ledger.dc_offered_wh += at_array_wh;
        self.run.ledger.mppt_clipped_wh += at_array_wh;
    }

    pub(super) fn end_step(&mut self, stored_wh: &[f64]) {
        self.stored_wh.copy_from_slice(stored_wh);
        self.steps_in_span += 1;
        if self.steps_in_span >= self.steps_per_span {
            self.push_span();
        }
    }

    fn push_span(&mut self) {
        #[allow(clippy::cast_precision_loss, reason = "far below 2^52 steps")]
        let length_s = self.step_s * self.steps_in_span as f64;
        let trace = &mut self.run.trace;
        let figures = &mut self.run.figures;
        let mean = |sum_ws: &mut f64| core::mem::take(sum_ws) / length_s;
        trace.served_w.push(mean(&mut self.served_ws));
        trace.unserved_w.push(mean(&mut self.unserved_ws));
        trace.generator_w.push(mean(&mut self.generator_ws));
        for (series, sums) in [
            (&mut trace.inverter_w, &mut self.inverter_ws),
            (&mut trace.inverter_offered_w, &mut self.inverter_offered_ws),
            (&mut trace.unit_ac_w, &mut self.unit_ac_ws),
            (&mut trace.unit_dc_w, &mut self.unit_dc_ws),
            (&mut trace.unit_dc_offered_w, &mut self.unit_dc_offered_ws),
            (&mut trace.unit_battery_w, &mut self.unit_battery_ws),
        ] {
            for (series, sum_ws) in series.iter_mut().zip(sums.iter_mut()) {
                series.push(mean(sum_ws));
            }
        }
        for ((series, stored_wh), usable_wh) in trace
            .unit_soc
            .iter_mut()
            .zip(&self.stored_wh)
            .zip(&self.usable_wh)
        {
            series.push(if *usable_wh > 0.0 {
                stored_wh / usable_wh
            } else {
                0.0
            });
        }
        let lived = self.highest_hz > 0.0;
        if lived {
            figures.highest_hz = figures.highest_hz.max(self.highest_hz);
            figures.lowest_hz = if figures.lowest_hz > 0.0 {
                figures.lowest_hz.min(self.lowest_hz)
            } else {
                self.lowest_hz
            };
        }
        trace.highest_hz.push(self.highest_hz);
        let all_live = lived && !self.was_dark;
        trace
            .lowest_hz
            .push(if all_live { self.lowest_hz } else { 0.0 });
        (self.lowest_hz, self.highest_hz, self.was_dark) = (f64::INFINITY, 0.0, false);
        self.steps_in_span = 0;
    }

    pub(super) fn finish(mut self) -> IslandRun {
        if self.steps_in_span > 0 {
            self.push_span();
        }
        let time_s = self.time_s;
        self.end_dark(time_s);
        let (figures, ledger) = (&mut self.run.figures, &mut self.run.ledger);
        figures.length_s = time_s;
        if time_s > 0.0 {
            figures.pv_trips_per_h = f64::from(figures.pv_trips) * 3600.0 / time_s;
        }
        ledger.stored_change_wh = self.stored_wh.iter().sum::<f64>() - self.initial_wh;
        self.run
    }
}
