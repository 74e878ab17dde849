//! One storage unit that holds the island: what it gives and takes at an instant, and what it bears for how long.

use crate::battery::BatteryLaw;
use crate::converter::LossLaw;
use crate::coupling::Surge;

/// Part of the rated charging or discharging power by which a battery may pass its limits without the overload clock running.
///
/// Chosen: a tenth; a control loop needs some room around a limit.
const OVERLOAD_ROOM: f64 = 0.1;

/// A storage unit made ready for an island. Everything is in W and Wh as in [`crate::year::PlantUnit`].
#[derive(Clone, Debug, PartialEq)]
pub struct IslandUnit {
    /// Loss law of its inverter.
    pub law: LossLaw,
    /// What its inverter carries beyond its rating, from the longest time to the shortest.
    pub surge: Vec<Surge>,
    /// Share of the arrays' power that reaches the DC bus.
    pub mppt_efficiency: f64,
    /// Most DC PV on the DC bus, W.
    pub mppt_rated_w: f64,
    /// Its battery, for steps of one second.
    pub battery: BatteryLaw,
    /// Most power that the battery takes when nothing else limits it, W.
    pub charge_w: f64,
    /// Most power that the battery gives, W.
    pub discharge_w: f64,
    /// How long the battery bears more than its limits, s.
    pub overload_s: f64,
    /// Stored energy at which it shuts down, Wh.
    pub shut_down_wh: f64,
    /// Stored energy at which it starts again, Wh.
    pub restart_wh: f64,
}

/// Why a storage unit went down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum UnitDown {
    /// Its battery is at its lowest.
    Empty,
    /// More was asked of its inverter than it bears, or for longer.
    InverterOverload,
    /// Its battery took or gave more than its limits for longer than it bears.
    BatteryOverload,
}

/// A storage unit at an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UnitFlow {
    /// AC power, positive toward AC, W.
    pub ac_w: f64,
    /// DC PV offered on the DC bus, W.
    pub dc_pv_w: f64,
    /// DC PV taken, W.
    pub dc_pv_taken_w: f64,
    /// Power into the battery, W.
    pub charge_w: f64,
    /// Power out of the battery, W.
    pub discharge_w: f64,
    /// Loss of the inverter, W.
    pub loss_w: f64,
    /// Power into the battery beyond what it accepts, W.
    pub over_charge_w: f64,
    /// Power out of the battery beyond what it gives, W.
    pub over_discharge_w: f64,
}

/// What a unit's AC side can do at an instant, within its rating and its battery's limits, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UnitRoom {
    /// Most that it gives.
    pub give_w: f64,
    /// Most that it takes.
    pub take_w: f64,
    /// Most that the battery accepts.
    pub charge_limit_w: f64,
    /// Most that the battery gives.
    pub discharge_limit_w: f64,
}

impl IslandUnit {
    /// What it can do with this much stored, at this battery temperature, with this DC PV on its bus.
    #[must_use]
    pub fn room(&self, stored_wh: f64, battery_c: f64, dc_pv_w: f64) -> UnitRoom {
        let charge_limit_w =
            self.battery
                .charge_limit_w(stored_wh, self.battery.usable_wh(), battery_c);
        let discharge_limit_w = self.battery.discharge_limit_w(stored_wh, 0.0);
        let rated_w = self.law.rated_w;
        UnitRoom {
            give_w: self
                .law
                .ac_w(dc_pv_w + discharge_limit_w)
                .clamp(0.0, rated_w),
            take_w: (-self.law.ac_w(-charge_limit_w)).clamp(0.0, rated_w),
            charge_limit_w,
            discharge_limit_w,
        }
    }

    /// Closes the DC bus at this AC power: DC PV yields first, then the battery bears what is left.
    #[must_use]
    pub fn settle(&self, ac_w: f64, dc_pv_w: f64, room: &UnitRoom) -> UnitFlow {
        let loss_w = self.law.loss_w(ac_w);
        let needed_w = ac_w + loss_w;
        let spare_w = dc_pv_w - needed_w;
        let mut flow = UnitFlow {
            ac_w,
            dc_pv_w,
            dc_pv_taken_w: dc_pv_w,
            loss_w,
            ..UnitFlow::default()
        };
        if spare_w >= 0.0 {
            flow.dc_pv_taken_w = (needed_w + room.charge_limit_w).clamp(0.0, dc_pv_w);
            flow.charge_w = flow.dc_pv_taken_w - needed_w;
            flow.over_charge_w = (flow.charge_w - room.charge_limit_w).max(0.0);
        } else {
            flow.discharge_w = -spare_w;
            flow.over_discharge_w = (flow.discharge_w - room.discharge_limit_w).max(0.0);
        }
        flow
    }

    /// A unit that is down: its DC PV charges the battery, and nothing else.
    #[must_use]
    pub fn charge_alone(&self, dc_pv_w: f64, room: &UnitRoom) -> UnitFlow {
        let taken_w = dc_pv_w.min(room.charge_limit_w);
        UnitFlow {
            dc_pv_w,
            dc_pv_taken_w: taken_w,
            charge_w: taken_w,
            ..UnitFlow::default()
        }
    }
}

/// Clocks of what a unit bears.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UnitClocks {
    /// Time above the rating and above each surge step but the last, without a break, s.
    above_s: [f64; 5],
    /// Time for which the battery has borne more than its limits, without a break, s.
    battery_s: f64,
}

impl UnitClocks {
    /// Time until the unit goes down if nothing changes, and why; none: it bears this without end.
    #[must_use]
    pub fn left_s(&self, unit: &IslandUnit, flow: &UnitFlow) -> Option<(f64, UnitDown)> {
        let mut left: Option<(f64, UnitDown)> = None;
        let mut earlier = |time_s: f64, why| {
            if left.is_none_or(|(before_s, _)| time_s < before_s) {
                left = Some((time_s.max(0.0), why));
            }
        };
        let power_w = flow.ac_w.abs();
        for (level, (above_w, bears_s)) in levels(unit).enumerate() {
            if power_w > above_w {
                let run_s = self.above_s.get(level).copied().unwrap_or(0.0);
                earlier(bears_s - run_s, UnitDown::InverterOverload);
            }
        }
        if is_battery_over(unit, flow) {
            earlier(unit.overload_s - self.battery_s, UnitDown::BatteryOverload);
        }
        left
    }

    /// Runs the clocks on by `span_s`.
    pub fn advance(&mut self, unit: &IslandUnit, flow: &UnitFlow, span_s: f64) {
        let power_w = flow.ac_w.abs();
        for (clock_s, (above_w, _)) in self.above_s.iter_mut().zip(levels(unit)) {
            *clock_s = if power_w > above_w {
                *clock_s + span_s
            } else {
                0.0
            };
        }
        self.battery_s = if is_battery_over(unit, flow) {
            self.battery_s + span_s
        } else {
            0.0
        };
    }
}

/// Powers above which a clock runs, each with the time that is borne above it: the rating with the time of the first surge
/// step, that step's power with the time of the next, and the last with no time at all.
fn levels(unit: &IslandUnit) -> impl Iterator<Item = (f64, f64)> + '_ {
    let powers_w = core::iter::once(unit.law.rated_w).chain(unit.surge.iter().map(|s| s.power_w));
    let times_s = unit
        .surge
        .iter()
        .map(|s| s.duration_s)
        .chain(core::iter::once(0.0));
    // A watt in a million above a limit is rounding.
    powers_w.map(|power_w| power_w * (1.0 + 1e-6)).zip(times_s)
}

fn is_battery_over(unit: &IslandUnit, flow: &UnitFlow) -> bool {
    flow.over_charge_w > OVERLOAD_ROOM * unit.charge_w
        || flow.over_discharge_w > OVERLOAD_ROOM * unit.discharge_w
}
