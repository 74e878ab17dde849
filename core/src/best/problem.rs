//! What the optimum is asked for.

use std::fmt;

/// What drives the storage: one value per step in every series, powers as means of the step.
#[derive(Clone, Copy, Debug)]
pub struct Steps<'a> {
    /// Length of a step, s, above 0.
    pub step_s: f64,
    /// Loads less AC-joined PV, W; negative where PV is more than the loads. Its length is the number of steps.
    pub net_load_w: &'a [f64],
    /// What of the AC-joined PV in `net_load_w` can be throttled, W, 0 and up. An empty series: none.
    pub throttleable_w: &'a [f64],
    /// DC-joined PV offered to the storage inverter, W, 0 and up; all of it can be throttled. An empty series: none.
    pub dc_pv_w: &'a [f64],
    /// Price of bought energy, currency per kWh.
    pub buy_cur_per_kwh: &'a [f64],
    /// Price of sold energy, currency per kWh.
    pub sell_cur_per_kwh: &'a [f64],
    /// Whether what is bought counts toward the demand charge of the step. An empty series: it always does.
    pub demand_counts: &'a [bool],
}

/// A battery behind its inverter. Limits may be infinite.
///
/// Efficiencies are constant here, 0 (not included) to 1. Those of the best operating point, with no standby draw and no
/// self-discharge, give a bound that the real hardware cannot beat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Store {
    /// Least stored energy permitted, such as the reserve for outages, Wh.
    pub least_wh: f64,
    /// Most stored energy permitted, Wh.
    pub most_wh: f64,
    /// Stored energy before the first step, Wh.
    pub start_wh: f64,
    /// Least stored energy after the last step, Wh.
    pub end_least_wh: f64,
    /// Most stored energy after the last step, Wh; the same as the least: the end is given.
    pub end_most_wh: f64,
    /// Most power into the battery at the DC bus, W.
    pub charge_w: f64,
    /// Most power out of the battery at the DC bus, W.
    pub discharge_w: f64,
    /// Share of charging power that is stored.
    pub charge_efficiency: f64,
    /// Share of the energy taken out of store that reaches the DC bus.
    pub discharge_efficiency: f64,
    /// Most AC power out of the inverter, W.
    pub inverter_out_w: f64,
    /// Most AC power into the inverter, W.
    pub inverter_in_w: f64,
    /// AC power out over DC power in.
    pub inverter_out_efficiency: f64,
    /// DC power out over AC power in.
    pub inverter_in_efficiency: f64,
}

/// What may pass the meter. Limits are 0 W and up and may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meter {
    /// Most power bought, W.
    pub import_w: f64,
    /// Most power sold, W; 0 is zero export.
    pub export_w: f64,
    /// Whether more may be bought than the loads need, to charge the battery.
    pub grid_charge: bool,
    /// Whether more may be sold than PV gives, out of the battery.
    pub battery_export: bool,
}

/// A charge on the highest import of some steps in a row, such as those of a month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand {
    /// First step.
    pub first: usize,
    /// Step after the last.
    pub after: usize,
    /// Charge on the highest mean power bought in any of the steps that count, currency per kW, 0 and up.
    pub cur_per_kw: f64,
}

/// Why there is no optimum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BestError {
    /// An input is missing, not a number, or out of its range.
    Input(&'static str),
    /// From this step on no plan meets the limits: more must be bought or sold than the meter permits, or the end cannot
    /// be reached. PV that cannot be throttled under an export limit is the usual reason.
    NoPlan {
        /// The step.
        step: usize,
    },
}

impl fmt::Display for BestError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(what) => write!(f, "{what} is missing, not a number or out of range"),
            Self::NoPlan { step } => write!(f, "no plan meets the limits from step {step} on"),
        }
    }
}

impl std::error::Error for BestError {}

/// One step of [`Steps`].
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) net_load_w: f64,
    pub(super) throttleable_w: f64,
    pub(super) dc_pv_w: f64,
    pub(super) buy_cur_per_kwh: f64,
    pub(super) sell_cur_per_kwh: f64,
}

impl Steps<'_> {
    pub(super) fn len(&self) -> usize {
        self.net_load_w.len()
    }

    /// Whether what is bought in a step counts toward its demand charge.
    pub(super) fn counts(&self, index: usize) -> bool {
        self.demand_counts.get(index).copied().unwrap_or(true)
    }

    pub(super) fn step_h(&self) -> f64 {
        self.step_s / 3600.0
    }

    /// The step at an index below [`Self::len`] of checked steps.
    pub(super) fn at(&self, index: usize) -> Step {
        let or_zero = |series: &[f64]| series.get(index).copied().unwrap_or(0.0);
        Step {
            net_load_w: or_zero(self.net_load_w),
            throttleable_w: or_zero(self.throttleable_w),
            dc_pv_w: or_zero(self.dc_pv_w),
            buy_cur_per_kwh: or_zero(self.buy_cur_per_kwh),
            sell_cur_per_kwh: or_zero(self.sell_cur_per_kwh),
        }
    }

    pub(super) fn check(&self) -> Result<(), BestError> {
        let refuse = |holds: bool, what| {
            if holds {
                Ok(())
            } else {
                Err(BestError::Input(what))
            }
        };
        let length = |series: &[f64]| series.len() == self.len();
        let finite = |series: &[f64]| series.iter().all(|value| value.is_finite());
        let positive = |series: &[f64]| {
            (series.is_empty() || length(series)) && series.iter().all(|value| *value >= 0.0)
        };
        refuse(self.step_s > 0.0 && self.step_s.is_finite(), "step length")?;
        refuse(finite(self.net_load_w), "net load")?;
        refuse(
            finite(self.throttleable_w) && positive(self.throttleable_w),
            "throttleable PV",
        )?;
        refuse(finite(self.dc_pv_w) && positive(self.dc_pv_w), "DC PV")?;
        refuse(
            self.demand_counts.is_empty() || self.demand_counts.len() == self.len(),
            "hours of the demand charges",
        )?;
        for series in [self.buy_cur_per_kwh, self.sell_cur_per_kwh] {
            refuse(finite(series) && length(series), "price")?;
        }
        Ok(())
    }
}

impl Store {
    pub(super) fn check(&self) -> Result<(), BestError> {
        let refuse = |holds: bool, what| {
            if holds {
                Ok(())
            } else {
                Err(BestError::Input(what))
            }
        };
        refuse(
            self.least_wh.is_finite()
                && self.most_wh.is_finite()
                && self.least_wh >= 0.0
                && self.least_wh <= self.most_wh,
            "window of the stored energy",
        )?;
        let window = self.least_wh..=self.most_wh;
        refuse(
            window.contains(&self.start_wh),
            "stored energy at the start",
        )?;
        refuse(
            self.end_least_wh <= self.end_most_wh
                && self.end_least_wh <= self.most_wh
                && self.end_most_wh >= self.least_wh,
            "stored energy at the end",
        )?;
        for limit_w in [
            self.charge_w,
            self.discharge_w,
            self.inverter_out_w,
            self.inverter_in_w,
        ] {
            refuse(limit_w >= 0.0, "power limit")?;
        }
        for efficiency in [
            self.charge_efficiency,
            self.discharge_efficiency,
            self.inverter_out_efficiency,
            self.inverter_in_efficiency,
        ] {
            refuse(efficiency > 0.0 && efficiency <= 1.0, "efficiency")?;
        }
        Ok(())
    }

    /// AC power out of the inverter for a DC power into it, W; negative when it charges.
    pub(super) fn ac_w(&self, dc_w: f64) -> f64 {
        if dc_w >= 0.0 {
            dc_w * self.inverter_out_efficiency
        } else {
            dc_w / self.inverter_in_efficiency
        }
    }

    /// DC power into the inverter for an AC power out of it, W.
    pub(super) fn dc_w(&self, ac_w: f64) -> f64 {
        if ac_w >= 0.0 {
            ac_w / self.inverter_out_efficiency
        } else {
            ac_w * self.inverter_in_efficiency
        }
    }

    /// Energy taken out of store in a step in which the battery gives this power at the DC bus, Wh; negative: stored.
    pub(super) fn taken_wh(&self, battery_w: f64, step_h: f64) -> f64 {
        if battery_w >= 0.0 {
            battery_w * step_h / self.discharge_efficiency
        } else {
            battery_w * step_h * self.charge_efficiency
        }
    }

    /// Power that the battery gives at the DC bus when this much energy is taken out of store, W.
    pub(super) fn battery_w(&self, taken_wh: f64, step_h: f64) -> f64 {
        if taken_wh >= 0.0 {
            taken_wh * self.discharge_efficiency / step_h
        } else {
            taken_wh / (self.charge_efficiency * step_h)
        }
    }
}

impl Meter {
    pub(super) fn check(&self) -> Result<(), BestError> {
        if self.import_w >= 0.0 && self.export_w >= 0.0 {
            Ok(())
        } else {
            Err(BestError::Input("limit at the meter"))
        }
    }
}

/// Demand charges that come one after the other and lie within the steps.
pub(super) fn check_demand(demand: &[Demand], steps: usize) -> Result<(), BestError> {
    let mut free_from = 0;
    for charge in demand {
        let holds = charge.first >= free_from
            && charge.first < charge.after
            && charge.after <= steps
            && charge.cur_per_kw >= 0.0
            && charge.cur_per_kw.is_finite();
        if !holds {
            return Err(BestError::Input("demand charge"));
        }
        free_from = charge.after;
    }
    Ok(())
}
