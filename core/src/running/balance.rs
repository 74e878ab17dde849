//! The storage units' share of one step.
//!
//! The only free number of a storage unit is the AC power of its inverter. Every unit can move along a path of its own:
//!
//! | from | to | what changes on the way up |
//! |---|---|---|
//! | `least_w` | `low_w` | DC PV that is throttled becomes AC power |
//! | `low_w` | `idle_w` | the battery is charged less and less from AC |
//! | `idle_w` | `sun_w` | DC PV goes to AC instead of the battery |
//! | `sun_w` | `high_w` | the battery is discharged |
//!
//! All units move along their paths together, each by the same share of the present stretch. So the order in which they
//! are listed changes nothing, no unit is discharged while another has DC PV to give, and none charges another but from
//! a surplus that would otherwise be throttled.

use super::Aim;
use crate::converter::LossLaw;
use crate::coupling::DcOrder;

/// A quantity on the two AC buses, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AcBus {
    /// On the grid side of the transfer point.
    pub grid_side_w: f64,
    /// On the backed-up side.
    pub backed_up_w: f64,
}

impl AcBus {
    /// Both buses together, W.
    #[must_use]
    pub fn total_w(self) -> f64 {
        self.grid_side_w + self.backed_up_w
    }
}

/// What bounds the flows of a household.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Most export at the meter, W; infinite: no limit.
    pub export_w: f64,
    /// Most import at the meter that storage may bring about, W.
    pub import_w: f64,
    /// Most power through the transfer switch that storage may bring about, either way, W.
    pub transfer_w: f64,
    /// Order in which DC PV is given out.
    pub dc_order: DcOrder,
}

/// A storage unit in one step: what it has, and what it is told to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitSlot {
    /// Loss law of its inverter.
    pub law: LossLaw,
    /// Whether it joins on the backed-up side.
    pub backed_up: bool,
    /// DC PV offered at the DC bus, W.
    pub dc_pv_w: f64,
    /// Most power that the battery takes, W.
    pub charge_limit_w: f64,
    /// Most power that the battery gives, W.
    pub discharge_limit_w: f64,
    /// Most power that the battery takes when the grid charges it, W.
    pub grid_charge_limit_w: f64,
    /// Result: AC power, positive toward AC, W.
    pub ac_w: f64,
    /// Result: DC PV taken, W.
    pub dc_pv_taken_w: f64,
    /// Result: power into the battery, W.
    pub charge_w: f64,
    /// Result: power out of the battery, W.
    pub discharge_w: f64,
    /// Result: share of the step in which the inverter runs, 0 to 1.
    pub on_share: f64,
    path: Path,
}

/// AC powers at the stops of a unit's path, from the lowest to the highest, W.
type Path = [f64; 5];

const LOW: usize = 1;
const SUN: usize = 3;

impl UnitSlot {
    /// A unit with nothing to give and nothing told yet.
    #[must_use]
    pub fn new(law: LossLaw, backed_up: bool) -> Self {
        Self {
            law,
            backed_up,
            dc_pv_w: 0.0,
            charge_limit_w: 0.0,
            discharge_limit_w: 0.0,
            grid_charge_limit_w: 0.0,
            ac_w: 0.0,
            dc_pv_taken_w: 0.0,
            charge_w: 0.0,
            discharge_w: 0.0,
            on_share: 0.0,
            path: Path::default(),
        }
    }

    /// DC PV that is throttled, W.
    #[must_use]
    pub fn throttled_w(&self) -> f64 {
        self.dc_pv_w - self.dc_pv_taken_w
    }

    /// Power between its DC bus and its inverter, positive toward the inverter, W.
    #[must_use]
    pub fn inverter_dc_w(&self) -> f64 {
        self.while_on(|ac_w| self.law.dc_w(ac_w))
    }

    /// Lost in its inverter, W.
    #[must_use]
    pub fn inverter_loss_w(&self) -> f64 {
        self.while_on(|ac_w| self.law.loss_w(ac_w))
    }

    /// Mean over the step of what follows from the AC power while the inverter runs, W.
    fn while_on(&self, power_w: impl Fn(f64) -> f64) -> f64 {
        if self.on_share > 0.0 {
            self.on_share * power_w(self.ac_w / self.on_share)
        } else {
            0.0
        }
    }

    /// Gives this AC power if all DC PV can be taken and no limit is reached; otherwise nothing changes, and false is returned.
    pub fn gives(&mut self, ac_w: f64) -> bool {
        let to_battery_w = self.dc_pv_w - self.law.dc_w(ac_w);
        let within = ac_w.abs() <= self.law.rated_w
            && to_battery_w <= self.charge_limit_w
            && -to_battery_w <= self.discharge_limit_w;
        if within {
            (self.ac_w, self.on_share) = (ac_w, 1.0);
            self.dc_pv_taken_w = self.dc_pv_w;
            (self.charge_w, self.discharge_w) = (to_battery_w.max(0.0), (-to_battery_w).max(0.0));
        }
        within
    }

    /// The inverter stands still: AC is nothing, the battery takes what its own DC PV gives.
    pub fn stand_still(&mut self) {
        (self.ac_w, self.on_share) = (0.0, 0.0);
        self.charge_w = self.dc_pv_w.min(self.charge_limit_w);
        self.dc_pv_taken_w = self.charge_w;
        self.discharge_w = 0.0;
    }

    /// The inverter goes on as it was told for this share of the step, 0 to 1, and stands still for the rest.
    pub fn stop_after(&mut self, share: f64) {
        let on = *self;
        self.stand_still();
        let mean = |on_w: f64, still_w: f64| share * on_w + (1.0 - share) * still_w;
        self.ac_w = mean(on.ac_w, self.ac_w);
        self.dc_pv_taken_w = mean(on.dc_pv_taken_w, self.dc_pv_taken_w);
        self.charge_w = mean(on.charge_w, self.charge_w);
        self.discharge_w = mean(on.discharge_w, self.discharge_w);
        self.on_share = share;
    }

    /// Lowest and highest AC power that it can give in the step that was balanced last, W.
    #[must_use]
    pub fn bounds_w(&self) -> (f64, f64) {
        (self.path[0], self.path[self.path.len() - 1])
    }

    /// Closes the DC bus at this AC power, as for an inverter that has not yet reached what it was told.
    pub fn settle_at(&mut self, ac_w: f64) {
        self.ac_w = ac_w;
        self.settle();
    }

    /// AC power that goes with this DC power, within the rating, W.
    fn rated_ac_w(&self, dc_w: f64) -> f64 {
        self.law
            .ac_w(dc_w)
            .clamp(-self.law.rated_w, self.law.rated_w)
    }

    fn lay_path(&mut self, order: DcOrder) {
        let low_w = self.rated_ac_w(self.dc_pv_w - self.charge_limit_w);
        let mut high_w = self.rated_ac_w(self.dc_pv_w + self.discharge_limit_w);
        let idle_w = 0.0_f64.max(low_w).min(high_w);
        if order == DcOrder::BatteryLoadsGrid && self.dc_pv_w > self.law.no_load_w {
            high_w = idle_w;
        }
        let sun_w = self.rated_ac_w(self.dc_pv_w).max(idle_w).min(high_w);
        let least_w = self.rated_ac_w(-self.charge_limit_w).min(low_w);
        self.path = [least_w, low_w, idle_w, sun_w, high_w];
    }

    /// Closes the DC bus at the AC power that was told.
    fn settle(&mut self) {
        self.on_share = 1.0;
        let dc_w = self.law.dc_w(self.ac_w);
        let to_battery_w = self.dc_pv_w - dc_w;
        self.dc_pv_taken_w = self.dc_pv_w;
        (self.charge_w, self.discharge_w) = (to_battery_w.max(0.0), (-to_battery_w).max(0.0));
        if to_battery_w > self.charge_limit_w {
            self.charge_w = self.charge_limit_w;
            self.dc_pv_taken_w = (dc_w + self.charge_limit_w).clamp(0.0, self.dc_pv_w);
        }
        self.discharge_w = self.discharge_w.min(self.discharge_limit_w);
    }
}

/// Tells every unit its AC power for one step and closes its DC bus.
///
/// - `units`: what each has; the results are written into them
/// - `load`, `ac_pv`: loads, and AC PV as it stands before any command, on each bus
///
/// Under self-consumption the storage makes the meter read zero as far as it can. What the batteries cannot take is sent
/// out as far as export is permitted, and throttled beyond. What they cannot give the grid fills in.
pub fn balance(units: &mut [UnitSlot], aim: Aim, limits: &Limits, load: AcBus, ac_pv: AcBus) {
    for unit in units.iter_mut() {
        unit.lay_path(limits.dc_order);
    }
    let wanted_w = wanted_w(units, aim, limits, load.total_w() - ac_pv.total_w());
    place(units, wanted_w, |_| true);

    let backed_up_w: f64 = units
        .iter()
        .filter(|unit| unit.backed_up)
        .map(|unit| unit.ac_w)
        .sum();
    let through_w = load.backed_up_w - ac_pv.backed_up_w;
    let bounded_w = backed_up_w.clamp(through_w - limits.transfer_w, through_w + limits.transfer_w);
    if bounded_w != backed_up_w && units.iter().any(|unit| unit.backed_up) {
        place(units, bounded_w, |unit| unit.backed_up);
        let placed_w: f64 = units
            .iter()
            .filter(|unit| unit.backed_up)
            .map(|unit| unit.ac_w)
            .sum();
        place(units, wanted_w - placed_w, |unit| !unit.backed_up);
    }
    for unit in units {
        unit.settle();
    }
}

/// AC powers that the units which hold an island reach together, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reach {
    /// Lowest: batteries charged from AC as hard as they take it, their own DC PV throttled.
    pub least_w: f64,
    /// The same without throttling DC PV.
    pub low_w: f64,
    /// Highest: all DC PV and the batteries' discharging power to AC.
    pub high_w: f64,
}

/// What the units on the backed-up side reach together when they hold the bus alone.
///
/// DC PV serves the loads before it charges, whatever the order while the grid is up.
pub fn island_reach(units: &mut [UnitSlot]) -> Reach {
    let mut reach = Reach::default();
    for unit in units.iter_mut().filter(|unit| unit.backed_up) {
        unit.lay_path(DcOrder::LoadsBatteryGrid);
        let [least_w, low_w, _, _, high_w] = unit.path;
        reach.least_w += least_w;
        reach.low_w += low_w;
        reach.high_w += high_w;
    }
    reach
}

/// Tells the units on the backed-up side to give `wanted_w` together, and closes their DC buses; [`island_reach`] comes
/// first and says what can be wanted.
pub fn hold_island(units: &mut [UnitSlot], wanted_w: f64) {
    place(units, wanted_w, |unit| unit.backed_up);
    for unit in units.iter_mut().filter(|unit| unit.backed_up) {
        unit.settle();
    }
}

/// AC power wanted of all units together, W; `missing_w` is load less AC PV.
fn wanted_w(units: &[UnitSlot], aim: Aim, limits: &Limits, missing_w: f64) -> f64 {
    let sum_w = |stop: usize| units.iter().map(|unit| unit.path[stop]).sum::<f64>();
    let most_out_w = missing_w + limits.export_w;
    let aimed_w = match aim {
        Aim::MeterAtZero | Aim::Hold if limits.dc_order == DcOrder::LoadsGridBattery => {
            let spare_w = sum_w(SUN) - missing_w.max(0.0);
            missing_w + spare_w.min(limits.export_w).max(0.0)
        }
        Aim::MeterAtZero | Aim::Hold => missing_w,
        Aim::GridCharge { .. } => {
            let charging_w: f64 = units
                .iter()
                .map(|unit| unit.rated_ac_w(unit.dc_pv_w - unit.grid_charge_limit_w))
                .sum();
            missing_w.min(charging_w.max(missing_w - limits.import_w))
        }
        Aim::Sell => most_out_w,
        Aim::SellSurplus { export_w } => {
            let spare_w = (sum_w(SUN) - missing_w).max(0.0);
            missing_w + spare_w.min(export_w).min(limits.export_w)
        }
    };
    // DC PV that no battery takes goes out before it is throttled, as far as export is permitted.
    aimed_w.max(sum_w(LOW).min(most_out_w))
}

/// Moves the chosen units along their paths until together they give `wanted_w`, or stand at an end.
fn place(units: &mut [UnitSlot], wanted_w: f64, chosen: impl Fn(&UnitSlot) -> bool) {
    let mut sum_w = Path::default();
    for unit in units.iter().filter(|unit| chosen(unit)) {
        for (sum_w, stop_w) in sum_w.iter_mut().zip(&unit.path) {
            *sum_w += stop_w;
        }
    }
    // The last stop that all together have reached, and how far they are on the way to the next one.
    let reached = sum_w
        .iter()
        .rposition(|stop_w| wanted_w >= *stop_w)
        .unwrap_or(0);
    let next = (reached + 1).min(sum_w.len() - 1);
    let stretch_w = sum_w[next] - sum_w[reached];
    let share = if stretch_w > 0.0 {
        ((wanted_w - sum_w[reached]) / stretch_w).max(0.0)
    } else {
        0.0
    };
    for unit in units.iter_mut().filter(|unit| chosen(unit)) {
        let (from_w, to_w) = (unit.path[reached], unit.path[next]);
        unit.ac_w = from_w + share * (to_w - from_w);
    }
}
