//! What a battery takes and gives in a step.

use crate::coupling::{Battery, BatteryPlace};

/// A battery made ready for steps of one length.
///
/// Stored energy counts from the lowest permitted state: 0 to `usable_wh`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatteryLaw {
    usable_wh: f64,
    charge_w: f64,
    discharge_w: f64,
    charge_efficiency: f64,
    discharge_efficiency: f64,
    taper_from_soc: f64,
    kept_per_step: f64,
    least_charge_c: f64,
    step_h: f64,
}

/// What a step did to a battery. Powers are means of the step, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BatteryStep {
    /// Stored energy at the end of the step, Wh.
    pub stored_wh: f64,
    /// Loss on the way in, W.
    pub charge_loss_w: f64,
    /// Loss on the way out, W.
    pub discharge_loss_w: f64,
    /// Stored energy lost by itself, W.
    pub self_discharge_w: f64,
}

impl BatteryLaw {
    /// Makes a battery ready for steps of `step_s` seconds.
    #[must_use]
    pub fn new(battery: &Battery, step_s: f64) -> Self {
        const HOURS_PER_MONTH: f64 = 730.0;
        let step_h = step_s / 3600.0;
        Self {
            usable_wh: battery.usable_wh,
            charge_w: battery.charge_w,
            discharge_w: battery.discharge_w,
            charge_efficiency: battery.charge_efficiency,
            discharge_efficiency: battery.discharge_efficiency,
            taper_from_soc: battery.taper_from_soc,
            kept_per_step: libm::pow(
                1.0 - battery.self_discharge_per_month,
                step_h / HOURS_PER_MONTH,
            ),
            least_charge_c: battery.least_charge_c,
            step_h,
        }
    }

    /// Energy between the lowest and the highest permitted state, Wh.
    #[must_use]
    pub fn usable_wh(&self) -> f64 {
        self.usable_wh
    }

    /// Share of charging power that is stored.
    #[must_use]
    pub fn charge_efficiency(&self) -> f64 {
        self.charge_efficiency
    }

    /// Share of the energy taken out of store that reaches the DC bus.
    #[must_use]
    pub fn discharge_efficiency(&self) -> f64 {
        self.discharge_efficiency
    }

    /// Most power that it takes at the DC bus in this step without going above `ceiling_wh`, W.
    ///
    /// Above the taper's start, charging power falls in a straight line to nothing at full, as under constant voltage;
    /// below the least charging temperature it takes nothing.
    #[must_use]
    pub fn charge_limit_w(&self, stored_wh: f64, ceiling_wh: f64, battery_c: f64) -> f64 {
        if battery_c < self.least_charge_c {
            return 0.0;
        }
        let mut limit_w = self.charge_w;
        let taper_wh = self.taper_from_soc * self.usable_wh;
        if stored_wh > taper_wh {
            limit_w *= (self.usable_wh - stored_wh) / (self.usable_wh - taper_wh);
        }
        limit_w
            .min(
                (ceiling_wh.min(self.usable_wh) - stored_wh)
                    / (self.charge_efficiency * self.step_h),
            )
            .max(0.0)
    }

    /// Most power that it gives at the DC bus in this step without going below `floor_wh`, W.
    #[must_use]
    pub fn discharge_limit_w(&self, stored_wh: f64, floor_wh: f64) -> f64 {
        let above_wh = (stored_wh - floor_wh).max(0.0);
        self.discharge_w
            .min(above_wh * self.discharge_efficiency / self.step_h)
    }

    /// Most power that it gives at the DC bus for as long as it holds anything above `floor_wh`, W.
    #[must_use]
    pub fn discharge_power_w(&self, stored_wh: f64, floor_wh: f64) -> f64 {
        if stored_wh > floor_wh {
            self.discharge_w
        } else {
            0.0
        }
    }

    /// One step: discharges with `discharge_w` and then charges with `charge_w` (mostly one of them is 0), means of the step at
    /// the DC bus and within the limits above.
    #[must_use]
    pub fn step(&self, stored_wh: f64, charge_w: f64, discharge_w: f64) -> BatteryStep {
        let taken_w = discharge_w / self.discharge_efficiency;
        let full_wh = (stored_wh + (self.charge_efficiency * charge_w - taken_w) * self.step_h)
            .clamp(0.0, self.usable_wh);
        let kept_wh = full_wh * self.kept_per_step;
        BatteryStep {
            stored_wh: kept_wh,
            charge_loss_w: (1.0 - self.charge_efficiency) * charge_w,
            discharge_loss_w: taken_w - discharge_w,
            self_discharge_w: (full_wh - kept_wh) / self.step_h,
        }
    }

    /// As [`Self::step`], over a span of any length, s, short against the months of self-discharge.
    #[must_use]
    pub fn over(
        &self,
        stored_wh: f64,
        charge_w: f64,
        discharge_w: f64,
        span_s: f64,
    ) -> BatteryStep {
        let span_h = span_s / 3600.0;
        let taken_w = discharge_w / self.discharge_efficiency;
        let net_w = self.charge_efficiency * charge_w - taken_w;
        let full_wh = (stored_wh + net_w * span_h).max(0.0);
        let lost_wh = full_wh * (1.0 - self.kept_per_step) * span_h / self.step_h;
        BatteryStep {
            stored_wh: full_wh - lost_wh,
            charge_loss_w: (1.0 - self.charge_efficiency) * charge_w,
            discharge_loss_w: taken_w - discharge_w,
            self_discharge_w: if span_h > 0.0 { lost_wh / span_h } else { 0.0 },
        }
    }
}

impl BatteryPlace {
    /// Temperature of a battery there, °C, when the air outdoors has `air_c`.
    #[must_use]
    pub fn battery_c(self, air_c: f64) -> f64 {
        match self {
            Self::Indoors { room_c } => room_c,
            Self::Outdoors => air_c,
        }
    }
}
