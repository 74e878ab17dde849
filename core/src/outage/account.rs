//! The closed energy account of the backed-up bus alone.

use serde::{Deserialize, Serialize};

use super::plant::{Offer, OutagePlant};
use super::step::{IslandSlots, IslandStep};
use crate::year::account;

account! {
    /// Every Wh of the backed-up side, from each source to each use or loss, Wh.
    ///
    /// What comes in (`ac_array`, `dc_array`, `generator`) equals what goes out (all the rest); rounding is all that is left in
    /// [`OffGridAccount::error_wh`]. AC PV that is held back, fallen off or idle is booked at AC, with the loss of its conversion
    /// booked as if it had been given.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
    pub struct OffGridAccount {
        /// In: DC power offered by AC-joined arrays.
        pub ac_array_wh: f64,
        /// In: DC power offered by DC-joined arrays.
        pub dc_array_wh: f64,
        /// In: from the generator.
        pub generator_wh: f64,
        /// Out: used by loads.
        pub served_wh: f64,
        /// Out: lost in PV inverters.
        pub pv_inverter_loss_wh: f64,
        /// Out: refused because a PV inverter was at its rating (DC).
        pub pv_inverter_clipped_wh: f64,
        /// Out: AC PV throttled, by command or along a droop.
        pub ac_throttled_wh: f64,
        /// Out: AC PV that fell off, was cut by a contactor, or waited to come back.
        pub ac_tripped_wh: f64,
        /// Out: AC PV while the bus was dark or the generator held it.
        pub ac_idle_wh: f64,
        /// Out: lost in MPPT inputs.
        pub mppt_loss_wh: f64,
        /// Out: refused because the MPPT inputs were at their rating (at the array).
        pub mppt_clipped_wh: f64,
        /// Out: DC PV throttled (at the array).
        pub dc_throttled_wh: f64,
        /// Out: lost in storage inverters.
        pub storage_inverter_loss_wh: f64,
        /// Out: lost on the way into batteries.
        pub battery_charge_loss_wh: f64,
        /// Out: lost on the way out of batteries.
        pub battery_discharge_loss_wh: f64,
        /// Out: lost by stored energy itself.
        pub self_discharge_wh: f64,
        /// Out: more stored at the end than at the start (negative: less).
        pub stored_change_wh: f64,
        /// Within: AC power out of PV inverters.
        pub ac_pv_wh: f64,
        /// Within: DC PV taken at DC buses.
        pub dc_pv_wh: f64,
        /// Within: into batteries at DC buses.
        pub battery_charge_wh: f64,
        /// Within: out of batteries at DC buses.
        pub battery_discharge_wh: f64,
    }
}

impl OffGridAccount {
    /// All that came in, Wh.
    #[must_use]
    pub fn in_wh(&self) -> f64 {
        self.ac_array_wh + self.dc_array_wh + self.generator_wh
    }

    /// What is left unaccounted for, Wh.
    #[must_use]
    pub fn error_wh(&self) -> f64 {
        self.in_wh()
            - (self.served_wh
                + self.pv_inverter_loss_wh
                + self.pv_inverter_clipped_wh
                + self.ac_throttled_wh
                + self.ac_tripped_wh
                + self.ac_idle_wh
                + self.mppt_loss_wh
                + self.mppt_clipped_wh
                + self.dc_throttled_wh
                + self.storage_inverter_loss_wh
                + self.battery_charge_loss_wh
                + self.battery_discharge_loss_wh
                + self.self_discharge_wh
                + self.stored_change_wh)
    }

    /// One step, as mean powers in W under the names of the energies; `before_wh` is what the batteries held.
    pub(super) fn of_step(
        plant: &OutagePlant,
        offer: &Offer<'_>,
        slots: &IslandSlots,
        step: &IslandStep,
        before_wh: f64,
    ) -> Self {
        let mut sum = Self {
            generator_wh: step.generator_w,
            served_wh: step.served_w,
            ..Self::default()
        };
        let idle = step.dark || step.generator_share > 0.0;
        for ((slot, made), offered_w) in slots.pv.iter().zip(offer.made).zip(offer.offered_dc_w) {
            sum.ac_array_wh += offered_w;
            sum.pv_inverter_loss_wh += made.loss_w;
            sum.pv_inverter_clipped_wh += made.clipped_w;
            sum.ac_pv_wh += slot.ac_w;
            if idle {
                sum.ac_idle_wh += slot.offered_w;
            } else if slot.off {
                sum.ac_tripped_wh += slot.offered_w;
            } else {
                sum.ac_tripped_wh += slot.offered_w * (1.0 - slot.on_share);
                sum.ac_throttled_wh += slot.offered_w * slot.on_share - slot.ac_w;
            }
        }
        let mut after_wh = 0.0;
        for (((slot, after), unit), offered_w) in slots
            .units
            .iter()
            .zip(&slots.after)
            .zip(&plant.units)
            .zip(offer.unit_dc_w)
        {
            let on_bus_w = unit.mppt_efficiency * offered_w;
            sum.dc_array_wh += offered_w;
            sum.mppt_clipped_wh += (on_bus_w - slot.dc_pv_w) / unit.mppt_efficiency;
            sum.dc_throttled_wh += slot.throttled_w() / unit.mppt_efficiency;
            sum.mppt_loss_wh += slot.dc_pv_taken_w * (1.0 / unit.mppt_efficiency - 1.0);
            sum.dc_pv_wh += slot.dc_pv_taken_w;
            sum.battery_charge_wh += slot.charge_w;
            sum.battery_discharge_wh += slot.discharge_w;
            if slot.backed_up && !step.dark {
                sum.storage_inverter_loss_wh += slot.law.loss_w(slot.ac_w);
            }
            sum.battery_charge_loss_wh += after.charge_loss_w;
            sum.battery_discharge_loss_wh += after.discharge_loss_w;
            sum.self_discharge_wh += after.self_discharge_w;
            after_wh += after.stored_wh;
        }
        sum.stored_change_wh = (after_wh - before_wh) / (plant.step_s / 3600.0);
        sum
    }
}
