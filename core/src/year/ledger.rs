//! The closed energy account of a run.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::account::account;

account! {
    /// Every Wh of a run, from each source to each use or loss, Wh.
    ///
    /// What comes in (`ac_array`, `dc_array`, `import`, `generator`) equals what goes out (all the rest); [`Ledger::error_wh`] is the
    /// difference, and rounding is all that is left in it.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
    pub struct Ledger {
        /// In: DC power offered by AC-joined arrays.
        pub ac_array_wh: f64,
        /// In: DC power offered by DC-joined arrays.
        pub dc_array_wh: f64,
        /// In: bought at the meter.
        pub import_wh: f64,
        /// In: from the generator; it runs only without a grid.
        pub generator_wh: f64,
        /// Out: used by loads.
        pub load_wh: f64,
        /// Out: sent out at the meter, unpermitted export included.
        pub export_wh: f64,
        /// Out: lost in PV inverters.
        pub pv_inverter_loss_wh: f64,
        /// Out: refused because a PV inverter was at its rating (DC).
        pub pv_inverter_clipped_wh: f64,
        /// Out: AC PV cut by command or dropped by a relay; without a grid also held back by frequency, fallen off, or idle
        /// because no inverter holds the bus for it (AC; the loss of its conversion is booked as if it had been given).
        pub ac_pv_cut_wh: f64,
        /// Out: lost in MPPT inputs.
        pub mppt_loss_wh: f64,
        /// Out: refused because the MPPT inputs were at their rating (at the array).
        pub mppt_clipped_wh: f64,
        /// Out: DC PV throttled (at the array).
        pub dc_pv_throttled_wh: f64,
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
        /// Within export: above the limit.
        pub unpermitted_export_wh: f64,
        /// Within: AC power out of PV inverters.
        pub pv_inverter_ac_wh: f64,
        /// Within: DC PV taken at DC buses.
        pub dc_pv_taken_wh: f64,
        /// Within: AC power out of storage inverters.
        pub storage_ac_out_wh: f64,
        /// Within: AC power into storage inverters.
        pub storage_ac_in_wh: f64,
        /// Within: into batteries at DC buses.
        pub battery_charge_wh: f64,
        /// Within: out of batteries at DC buses.
        pub battery_discharge_wh: f64,
    }
}

impl Ledger {
    /// All that came in, Wh.
    #[must_use]
    pub fn in_wh(&self) -> f64 {
        self.ac_array_wh + self.dc_array_wh + self.import_wh + self.generator_wh
    }

    /// All that went out or stayed in store, Wh.
    #[must_use]
    pub fn out_wh(&self) -> f64 {
        self.load_wh + self.export_wh + self.loss_wh() + self.unused_wh() + self.stored_change_wh
    }

    /// Lost in converters and batteries, Wh.
    #[must_use]
    pub fn loss_wh(&self) -> f64 {
        self.pv_inverter_loss_wh
            + self.mppt_loss_wh
            + self.storage_inverter_loss_wh
            + self.battery_charge_loss_wh
            + self.battery_discharge_loss_wh
            + self.self_discharge_wh
    }

    /// PV that was offered and could not be used, Wh.
    #[must_use]
    pub fn unused_wh(&self) -> f64 {
        self.pv_inverter_clipped_wh
            + self.mppt_clipped_wh
            + self.ac_pv_cut_wh
            + self.dc_pv_throttled_wh
    }

    /// What is left unaccounted for, Wh.
    #[must_use]
    pub fn error_wh(&self) -> f64 {
        self.in_wh() - self.out_wh()
    }
}
