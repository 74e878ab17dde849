//! The household under its controls, within a step from one event to the next.

use super::ceiling::{Ceiling, SAME_TIME_S};
use super::controls::Controls;
use super::course::Course;
use super::figures::ExportFigures;
use super::leak::Leak;
use super::trace::StepTrace;
use crate::household::AcSide;
use crate::running::{AcBus, Aim, UnitSlot, balance};
use crate::year::{Ledger, Plant};

/// While a ceiling moves, what storage aims at is taken to move along a line for at most so long, s.
const STRAIGHT_S: f64 = 0.1;

/// Everything that lasts from step to step.
pub(super) struct ControlledSite<'p> {
    plant: &'p Plant,
    /// No step has been run yet.
    begins: bool,
    controls: Controls,
    inverters: Vec<Ceiling>,
    slots: Vec<UnitSlot>,
    stored_wh: Vec<f64>,
    /// AC power of each storage inverter now, W.
    storage_w: Vec<f64>,
    /// What each aims at now, W.
    goal_w: Vec<f64>,
    /// How fast that moves, W/s.
    goal_slope_w_per_s: Vec<f64>,
    /// AC PV that the present aim answers to; none: the step has not been balanced yet.
    aimed_for: Option<AcBus>,
    /// Integrals over the step of what storage gave and of what it aimed at, W s.
    storage_ws: Vec<f64>,
    aimed_ws: Vec<f64>,
    /// What each commanded inverter is told at its next poll, W.
    wanted_w: Vec<f64>,
    permitted: Permitted,
    leak: Leak,
    step: Ledger,
    ledger: Ledger,
    lost: Lost,
}

/// What an instant control would let the commanded inverters give together, W.
#[derive(Clone, Copy, Debug, Default)]
struct Permitted {
    /// Without a margin, at most what they could give.
    bare_w: f64,
    /// With the margin, at most what they could give.
    kept_w: f64,
    /// With the margin, at most their rating.
    ceiling_w: f64,
    /// What they could give.
    offered_w: f64,
}

/// Where PV was lost, Wh.
#[derive(Clone, Copy, Debug, Default)]
struct Lost {
    offered_wh: f64,
    limit_wh: f64,
    margin_wh: f64,
    lag_wh: f64,
    relay_wh: f64,
    beyond_wh: f64,
}

/// Between two events.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from_s: f64,
    to_s: f64,
}

impl<'p> ControlledSite<'p> {
    pub(super) fn new(plant: &'p Plant, controls: Controls, stored_wh: &[f64]) -> Self {
        let units = plant.units.len();
        let mut at_midnight_wh: Vec<f64> = plant.units.iter().map(|unit| unit.initial_wh).collect();
        for ((at_midnight_wh, unit), stored_wh) in
            at_midnight_wh.iter_mut().zip(&plant.units).zip(stored_wh)
        {
            *at_midnight_wh = stored_wh.clamp(0.0, unit.battery.usable_wh());
        }
        Self {
            plant,
            begins: true,
            controls,
            inverters: (plant.inverters.iter())
                .map(|one| {
                    Ceiling::new(one.limiting, one.law.rated_w, one.side == AcSide::BackedUp)
                })
                .collect(),
            slots: (plant.units.iter())
                .map(|unit| UnitSlot::new(unit.law, unit.side == AcSide::BackedUp))
                .collect(),
            stored_wh: at_midnight_wh,
            storage_w: vec![0.0; units],
            goal_w: vec![0.0; units],
            goal_slope_w_per_s: vec![0.0; units],
            aimed_for: None,
            storage_ws: vec![0.0; units],
            aimed_ws: vec![0.0; units],
            wanted_w: vec![0.0; plant.inverters.len()],
            permitted: Permitted::default(),
            leak: Leak::default(),
            step: Ledger::default(),
            ledger: Ledger::default(),
            lost: Lost::default(),
        }
    }

    /// What a step offers: light and loads stay the same within it.
    ///
    /// The powers are those of each PV inverter and each storage unit, by steps of the day, W.
    pub(super) fn begin_step(
        &mut self,
        aim: Aim,
        air_c: f64,
        index: usize,
        inverter_dc_w: &[Vec<f64>],
        unit_dc_w: &[Vec<f64>],
    ) {
        for (inverter, (own, dc_w)) in
            (self.inverters.iter_mut()).zip(self.plant.inverters.iter().zip(inverter_dc_w))
        {
            let made = own.law.invert_pv(dc_w[index]);
            inverter.offered_w = made.ac_w;
            self.step.ac_array_wh += dc_w[index];
            self.step.pv_inverter_loss_wh += made.loss_w;
            self.step.pv_inverter_clipped_wh += made.clipped_w;
        }
        for ((slot, unit), (dc_w, stored_wh)) in (self.slots.iter_mut().zip(&self.plant.units))
            .zip(unit_dc_w.iter().zip(&self.stored_wh))
        {
            unit.begin_step(slot, dc_w[index], *stored_wh, aim, air_c);
            self.step.dc_array_wh += dc_w[index];
            self.step.mppt_clipped_wh += unit.clipped_w(dc_w[index]);
        }
    }

    /// One step: events, then the account.
    pub(super) fn run_step(
        &mut self,
        aim: Aim,
        load: AcBus,
        from_s: f64,
        step_s: f64,
    ) -> StepTrace {
        let limit_w = self.plant.limits.export_w;
        let to_s = from_s + step_s;
        self.storage_ws.fill(0.0);
        self.aimed_ws.fill(0.0);
        let (mut ac_pv_ws, mut export_ws, mut peak_export_w) = (0.0, 0.0, 0.0_f64);
        self.permit(aim, load, from_s);
        if self.begins {
            for (inverter, wanted_w) in self.inverters.iter_mut().zip(&self.wanted_w) {
                inverter.stand_at(*wanted_w);
            }
        }
        self.aimed_for = None;
        self.aim_at(aim, load, from_s);
        for ((storage_w, goal_w), slot) in
            self.storage_w.iter_mut().zip(&self.goal_w).zip(&self.slots)
        {
            let (least_w, most_w) = slot.bounds_w();
            *storage_w = if self.controls.storage_lag_s > 0.0 && !self.begins {
                storage_w.clamp(least_w.min(most_w), most_w)
            } else {
                *goal_w
            };
        }

        self.begins = false;
        let mut now_s = from_s;
        while now_s < to_s - SAME_TIME_S {
            let mut slope_w_per_s = 0.0;
            let mut end_s = to_s;
            for (inverter, wanted_w) in self.inverters.iter_mut().zip(&self.wanted_w) {
                inverter.listen(now_s, *wanted_w);
                slope_w_per_s += inverter.slope_w_per_s();
                let event_s = inverter.next_event_s(now_s, *wanted_w);
                if event_s > now_s + SAME_TIME_S {
                    end_s = end_s.min(event_s);
                }
            }
            let moving = slope_w_per_s != 0.0;
            if moving {
                end_s = end_s.min(now_s + STRAIGHT_S);
            }
            let mut stretch = Stretch {
                from_s: now_s,
                to_s: end_s,
            };
            self.aim_along(aim, load, stretch, moving);
            let mut excess = self.excess(load, stretch, slope_w_per_s);
            let relays_give =
                (self.inverters.iter()).any(|one| one.is_relay() && one.given_w(now_s) > 0.0);
            let dropped_s = if relays_give {
                self.leak
                    .drops_s(&excess, now_s, self.controls.relay_delay_s)
            } else {
                None
            };
            if let Some(dropped_s) = dropped_s {
                stretch.to_s = dropped_s.clamp(now_s, end_s);
                excess.length_s = stretch.to_s - now_s;
            }

            self.leak.add(&excess, now_s);
            let export = excess.less(-limit_or_zero(limit_w)).above();
            export_ws += export.energy_ws;
            peak_export_w = peak_export_w.max(export.most_w);
            ac_pv_ws += self.pass(stretch);
            now_s = stretch.to_s;
            if dropped_s.is_some() {
                let mut dropped = false;
                for inverter in &mut self.inverters {
                    dropped |= inverter.drop_out(now_s);
                }
                if dropped {
                    self.leak.end(now_s);
                }
            }
            if self.inverters.iter().any(Ceiling::is_relay) {
                self.permit(aim, load, now_s);
            }
        }
        self.close_step(load, step_s, ac_pv_ws, export_ws, peak_export_w)
    }

    /// AC PV at a time, by side.
    fn ac_pv(&self, at_s: f64, counts: impl Fn(&Ceiling) -> Option<f64>) -> AcBus {
        let mut sum = AcBus::default();
        for inverter in &self.inverters {
            let power_w = counts(inverter).unwrap_or_else(|| inverter.given_w(at_s));
            if inverter.backed_up {
                sum.backed_up_w += power_w;
            } else {
                sum.grid_side_w += power_w;
            }
        }
        sum
    }

    /// What the commanded inverters are permitted, and what each is to be told.
    ///
    /// They are taken to give their ratings; what the meter would then send out above the limit they may not give.
    fn permit(&mut self, aim: Aim, load: AcBus, at_s: f64) {
        let (mut rated_w, mut offered_w, mut margin_w) = (0.0, 0.0, 0.0_f64);
        for inverter in self.inverters.iter().filter(|one| one.is_commanded()) {
            rated_w += inverter.rated_w;
            offered_w += inverter.offered_w;
            if inverter.offered_w > 0.0 {
                margin_w = margin_w.max(inverter.margin_w());
            }
        }
        let limits = &self.plant.limits;
        let (mut bare_w, mut kept_w) = (rated_w, rated_w);
        if offered_w > 0.0 && limits.export_w.is_finite() {
            let ac_pv = self.ac_pv(at_s, |one| one.is_commanded().then_some(one.rated_w));
            balance(&mut self.slots, aim, limits, load, ac_pv);
            let storage_w: f64 = self.slots.iter().map(|slot| slot.ac_w).sum();
            let over_w = ac_pv.total_w() + storage_w - load.total_w() - limits.export_w;
            // The balance comes back to the limit by way of sums: what is left of them is no excess.
            let over_w = if over_w.abs() < 1e-9 * rated_w {
                0.0
            } else {
                over_w
            };
            bare_w = rated_w - over_w.clamp(0.0, rated_w);
            kept_w = rated_w - (over_w + margin_w).clamp(0.0, rated_w);
        }
        self.permitted = Permitted {
            bare_w: bare_w.min(offered_w),
            kept_w: kept_w.min(offered_w),
            ceiling_w: kept_w,
            offered_w,
        };
        for (wanted_w, inverter) in self.wanted_w.iter_mut().zip(&self.inverters) {
            *wanted_w = if offered_w > 0.0 && kept_w < offered_w {
                inverter.offered_w * kept_w / offered_w
            } else if rated_w > 0.0 {
                let spare_w = (kept_w - offered_w) * inverter.rated_w / rated_w;
                (inverter.offered_w + spare_w).min(inverter.rated_w)
            } else {
                inverter.rated_w
            };
        }
    }

    /// What storage aims at with the AC PV of this time.
    fn aim_at(&mut self, aim: Aim, load: AcBus, at_s: f64) {
        let ac_pv = self.ac_pv(at_s, |_| None);
        if self.aimed_for == Some(ac_pv) {
            return;
        }
        self.aimed_for = Some(ac_pv);
        balance(&mut self.slots, aim, &self.plant.limits, load, ac_pv);
        for (goal_w, slot) in self.goal_w.iter_mut().zip(&self.slots) {
            *goal_w = slot.ac_w;
        }
    }

    /// What storage aims at along a stretch: a line from its start to its end.
    fn aim_along(&mut self, aim: Aim, load: AcBus, stretch: Stretch, moving: bool) {
        self.goal_slope_w_per_s.fill(0.0);
        if self.slots.is_empty() {
            return;
        }
        let length_s = stretch.to_s - stretch.from_s;
        if moving {
            let ac_pv = self.ac_pv(stretch.from_s, |one| {
                let change_w = one.slope_w_per_s() * length_s;
                Some(one.given_w(stretch.from_s) + change_w)
            });
            balance(&mut self.slots, aim, &self.plant.limits, load, ac_pv);
            for (slope_w_per_s, slot) in self.goal_slope_w_per_s.iter_mut().zip(&self.slots) {
                *slope_w_per_s = slot.ac_w;
            }
        }
        self.aim_at(aim, load, stretch.from_s);
        if moving {
            for (slope_w_per_s, goal_w) in self.goal_slope_w_per_s.iter_mut().zip(&self.goal_w) {
                *slope_w_per_s = (*slope_w_per_s - goal_w) / length_s;
            }
        }
    }

    /// The course of one storage inverter along a stretch.
    fn storage_course(&self, unit: usize, length_s: f64) -> Course {
        Course::following(
            self.storage_w[unit],
            self.goal_w[unit],
            self.goal_slope_w_per_s[unit],
            self.controls.storage_lag_s,
            length_s,
        )
    }

    /// Export along a stretch less the limit; against 0 where there is no limit.
    fn excess(&self, load: AcBus, stretch: Stretch, pv_slope_w_per_s: f64) -> Course {
        let length_s = stretch.to_s - stretch.from_s;
        let ac_pv_w = self.ac_pv(stretch.from_s, |_| None).total_w();
        let level_w = limit_or_zero(self.plant.limits.export_w);
        let mut sum = Course {
            start_w: ac_pv_w - load.total_w() - level_w,
            slope_w_per_s: pv_slope_w_per_s,
            fading_w: 0.0,
            lag_s: self.controls.storage_lag_s,
            length_s,
        };
        for unit in 0..self.slots.len() {
            let course = self.storage_course(unit, length_s);
            sum.start_w += course.start_w;
            sum.slope_w_per_s += course.slope_w_per_s;
            sum.fading_w += course.fading_w;
        }
        sum
    }

    /// Lets a stretch pass; returns what AC PV gave, W s.
    fn pass(&mut self, stretch: Stretch) -> f64 {
        let length_s = stretch.to_s - stretch.from_s;
        let length_h = length_s / 3600.0;
        for unit in 0..self.slots.len() {
            let course = self.storage_course(unit, length_s);
            self.storage_ws[unit] += course.integral_ws();
            self.aimed_ws[unit] +=
                (self.goal_w[unit] + 0.5 * self.goal_slope_w_per_s[unit] * length_s) * length_s;
            self.storage_w[unit] = course.at_w(length_s);
        }
        let (mut commanded_w, mut slope_w_per_s, mut ac_pv_ws) = (0.0, 0.0, 0.0);
        for inverter in &mut self.inverters {
            let given_w = inverter.given_w(stretch.from_s);
            let slope = inverter.slope_w_per_s();
            ac_pv_ws += (given_w + 0.5 * slope * length_s) * length_s;
            if inverter.is_commanded() {
                commanded_w += given_w;
                slope_w_per_s += slope;
            } else {
                self.lost.relay_wh += (inverter.offered_w - given_w) * length_h;
            }
            inverter.pass(length_s);
        }
        let Permitted {
            bare_w,
            kept_w,
            offered_w,
            ..
        } = self.permitted;
        self.lost.limit_wh += (offered_w - bare_w) * length_h;
        self.lost.margin_wh += (bare_w - kept_w) * length_h;
        let behind = Course {
            start_w: kept_w - commanded_w,
            slope_w_per_s: -slope_w_per_s,
            fading_w: 0.0,
            lag_s: 0.0,
            length_s,
        };
        let behind_ws = behind.above().energy_ws;
        self.lost.lag_wh += behind_ws / 3600.0;
        self.lost.beyond_wh += (behind_ws - behind.integral_ws()) / 3600.0;
        ac_pv_ws
    }

    /// Closes the DC buses at the means of the step and books it.
    fn close_step(
        &mut self,
        load: AcBus,
        step_s: f64,
        ac_pv_ws: f64,
        export_ws: f64,
        peak_export_w: f64,
    ) -> StepTrace {
        let step_h = step_s / 3600.0;
        let offered_w: f64 = self.inverters.iter().map(|one| one.offered_w).sum();
        let ac_pv_w = ac_pv_ws / step_s;
        let mut point = StepTrace {
            peak_export_w,
            load_w: load.total_w(),
            ac_pv_w,
            ac_pv_offered_w: offered_w,
            permitted_w: self.permitted.ceiling_w,
            ..StepTrace::default()
        };
        self.lost.offered_wh += offered_w * step_h;
        for (number, (slot, unit)) in self.slots.iter_mut().zip(&self.plant.units).enumerate() {
            slot.settle_at(self.aimed_ws[number] / step_s);
            let at_aim_w = unit.throttled_w(slot);
            slot.settle_at(self.storage_ws[number] / step_s);
            let throttled_w = unit.throttled_w(slot);
            self.lost.offered_wh += slot.dc_pv_w / unit.mppt_efficiency * step_h;
            self.lost.limit_wh += at_aim_w * step_h;
            self.lost.lag_wh += (throttled_w - at_aim_w).max(0.0) * step_h;
            self.lost.beyond_wh += (at_aim_w - throttled_w).max(0.0) * step_h;
            let stored_wh = self.stored_wh[number];
            let after = unit
                .battery
                .step(stored_wh, slot.charge_w, slot.discharge_w);
            unit.book(&mut self.step, slot, stored_wh, &after, step_h);
            self.stored_wh[number] = after.stored_wh;
            point.storage_w += slot.ac_w;
            point.dc_pv_w += slot.dc_pv_taken_w;
            point.dc_pv_offered_w += slot.dc_pv_w;
        }
        point.meter_w = load.total_w() - ac_pv_w - point.storage_w;
        let step = &mut self.step;
        step.load_wh = load.total_w();
        step.export_wh = export_ws / step_s;
        step.import_wh = point.meter_w + step.export_wh;
        step.pv_inverter_ac_wh = ac_pv_w;
        step.ac_pv_cut_wh = offered_w - ac_pv_w;
        self.ledger.add(step, step_h);
        self.step = Ledger::default();
        point
    }

    pub(super) fn figures(mut self, end_s: f64) -> ExportFigures {
        self.leak.end(end_s);
        let stored_wh = self.stored_wh();
        let limit_w = self.plant.limits.export_w;
        let limited = limit_w.is_finite();
        let leak = if limited { self.leak } else { Leak::default() };
        let ledger = &self.ledger;
        let accounted_wh = ledger.in_wh() + stored_wh;
        let taken_wh = ledger.pv_inverter_ac_wh + self.dc_pv_taken_wh();
        ExportFigures {
            limit_w: limited.then_some(limit_w),
            leaked_wh: leak.energy_ws / 3600.0,
            worst_leak_w: leak.worst_w,
            worst_leak_at_s: leak.worst_at_s,
            longest_leak_s: leak.longest_s,
            longest_leak_at_s: leak.longest_at_s,
            leaks: leak.excursions,
            pv_offered_wh: self.lost.offered_wh,
            pv_taken_wh: taken_wh,
            lost_to_limit_wh: self.lost.limit_wh,
            lost_to_margin_wh: self.lost.margin_wh,
            lost_to_lag_wh: self.lost.lag_wh,
            lost_to_relay_wh: self.lost.relay_wh,
            beyond_wh: self.lost.beyond_wh,
            self_consumed_wh: (taken_wh - ledger.export_wh).max(0.0),
            load_wh: ledger.load_wh,
            import_wh: ledger.import_wh,
            export_wh: ledger.export_wh,
            account_gap: ledger.error_wh().abs() / accounted_wh.max(1.0),
        }
    }

    /// Stored energy of all units, Wh.
    pub(super) fn stored_wh(&self) -> f64 {
        self.stored_wh.iter().sum()
    }

    /// DC PV taken, at the arrays, Wh.
    fn dc_pv_taken_wh(&self) -> f64 {
        self.ledger.dc_pv_taken_wh + self.ledger.mppt_loss_wh
    }
}

/// The limit as a level; 0 where there is none.
fn limit_or_zero(limit_w: f64) -> f64 {
    if limit_w.is_finite() { limit_w } else { 0.0 }
}
