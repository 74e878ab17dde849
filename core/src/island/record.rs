//! What an islanded run leaves: its trace, its events, its figures and its closed energy account.

use serde::{Deserialize, Serialize};

use super::pv::PvTrip;
use super::unit::UnitDown;

/// An islanded run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct IslandRun {
    /// Course over time.
    pub trace: IslandTrace,
    /// What happened, in order.
    pub events: Vec<IslandEvent>,
    /// How many more events there were than are kept.
    pub events_left_out: u32,
    /// What it comes to.
    pub figures: IslandFigures,
    /// The closed energy account.
    pub ledger: IslandLedger,
}

/// Course of an islanded run: one value per span in every series; powers are means of the span, W.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct IslandTrace {
    /// Length of a span, s.
    pub span_s: f64,
    /// Lowest frequency of the span, Hz; 0 where the bus is dark at some time of the span.
    pub lowest_hz: Vec<f64>,
    /// Highest frequency of the span, Hz; 0 where the bus is dark through all of it.
    pub highest_hz: Vec<f64>,
    /// Loads served.
    pub served_w: Vec<f64>,
    /// Loads that wanted power and had none.
    pub unserved_w: Vec<f64>,
    /// AC power of each PV inverter.
    pub inverter_w: Vec<Vec<f64>>,
    /// AC power that the sun offered through each PV inverter.
    pub inverter_offered_w: Vec<Vec<f64>>,
    /// AC power of each storage unit, positive toward AC.
    pub unit_ac_w: Vec<Vec<f64>>,
    /// DC PV taken by each storage unit.
    pub unit_dc_w: Vec<Vec<f64>>,
    /// DC PV offered on the DC bus of each storage unit.
    pub unit_dc_offered_w: Vec<Vec<f64>>,
    /// Battery power of each storage unit at its DC bus, positive when it gives.
    pub unit_battery_w: Vec<Vec<f64>>,
    /// State of charge of each storage unit at the end of the span, 0 to 1.
    pub unit_soc: Vec<Vec<f64>>,
    /// Power of the generator.
    pub generator_w: Vec<f64>,
}

/// Something that happened.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct IslandEvent {
    /// Time from the start of the run, s.
    pub at_s: f64,
    /// What happened. Numbers count the plant's inverters and units and the drive's loads from 0.
    pub what: Happening,
}

/// What can happen.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Happening {
    /// A load started with an inrush of this power, W.
    LoadStarted(usize, f64),
    /// Loads fell at once by this power, W.
    LoadDropped(f64),
    /// The sun's offer changed by this power within half a minute, W (negative: a cloud came).
    CloudEdge(f64),
    /// A load was switched off by the shed order.
    LoadShed(usize),
    /// A shed load was switched on again.
    LoadBack(usize),
    /// A battery became full.
    BatteryFull(usize),
    /// More AC PV came than loads and batteries take: it is held back from here on.
    HoldingBack,
    /// Nothing is held back any more.
    HoldingEnded,
    /// A PV inverter tripped.
    PvTripped(usize, PvTrip),
    /// A PV inverter came back after its wait.
    PvBack(usize),
    /// The contactor before a PV inverter opened.
    ContactorOpened(usize),
    /// The contactor before a PV inverter closed.
    ContactorClosed(usize),
    /// A storage unit went down.
    UnitWentDown(usize, UnitDown),
    /// A storage unit is up again.
    UnitUp(usize),
    /// Nothing holds the bus: all on it is dark.
    BusDark,
    /// The bus is held again.
    BusLive,
    /// The generator took the bus.
    GeneratorStarted,
    /// The generator was stopped.
    GeneratorStopped,
    /// The generator could not carry the loads and stopped.
    GeneratorOverloaded,
    /// The utility is back; the storage inverters bring frequency to where they may join it.
    GridBack,
    /// The bus is joined with the utility again.
    GridJoined,
}

/// What an islanded run comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct IslandFigures {
    /// How long it ran, s.
    pub length_s: f64,
    /// Times at which a PV inverter tripped.
    pub pv_trips: u32,
    /// The same for each hour of the run.
    pub pv_trips_per_h: f64,
    /// Time without a bus, s.
    pub dark_s: f64,
    /// Longest time without a bus, s.
    pub longest_dark_s: f64,
    /// Time of the first dark instant, s from the start; none: never dark.
    pub first_dark_s: Option<f64>,
    /// Time at which the bus came back by itself after that, s from the start; none: it did not.
    pub back_s: Option<f64>,
    /// Times at which the bus went dark.
    pub dark_times: u32,
    /// Worst power of a storage inverter, share of its rating.
    pub worst_inverter_share: f64,
    /// Longest time above the rating without a break, s.
    pub inverter_over_s: f64,
    /// Worst power into or out of a battery beyond its limits at that instant, W.
    pub worst_battery_over_w: f64,
    /// Longest time for which a battery's limits were passed without a break, s.
    pub battery_over_s: f64,
    /// Lowest frequency while the bus was held, Hz; 0: it never was.
    pub lowest_hz: f64,
    /// Highest frequency, Hz.
    pub highest_hz: f64,
    /// Time for which the generator ran, s.
    pub generator_s: f64,
    /// Time for which it ran below its least load, s.
    pub generator_below_least_s: f64,
    /// Fuel that it took, L.
    pub fuel_l: f64,
    /// Least power that loads and batteries could take together while AC PV was held back, W; none: it never was.
    pub least_sink_w: Option<f64>,
    /// AC PV that the sun offered at that instant, W.
    pub offered_at_least_sink_w: f64,
}

/// Every Wh of an islanded run. What comes in (`ac_offered`, `dc_offered`, `generator`) equals all the rest but `unserved`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct IslandLedger {
    /// In: AC power that the sun offered through PV inverters.
    pub ac_offered_wh: f64,
    /// In: DC power offered by DC-joined arrays.
    pub dc_offered_wh: f64,
    /// In: from the generator.
    pub generator_wh: f64,
    /// Out: loads served.
    pub served_wh: f64,
    /// Out: AC PV held back by frequency or command.
    pub ac_throttled_wh: f64,
    /// Out: AC PV lost while inverters were tripped, disconnected, waiting or on their ramp.
    pub ac_tripped_wh: f64,
    /// Out: AC PV lost while the bus was dark.
    pub ac_dark_wh: f64,
    /// Out: DC PV throttled, at the array.
    pub dc_throttled_wh: f64,
    /// Out: refused because the MPPT inputs were at their rating, at the array.
    pub mppt_clipped_wh: f64,
    /// Out: lost in MPPT inputs.
    pub mppt_loss_wh: f64,
    /// Out: lost in storage inverters.
    pub inverter_loss_wh: f64,
    /// Out: lost in batteries.
    pub battery_loss_wh: f64,
    /// Out: more stored at the end than at the start (negative: less).
    pub stored_change_wh: f64,
    /// Beside the account: wanted by loads and not served.
    pub unserved_wh: f64,
    /// Of that: of loads that the shed order had switched off.
    pub shed_wh: f64,
}

impl IslandLedger {
    /// All that came in, Wh.
    #[must_use]
    pub fn in_wh(&self) -> f64 {
        self.ac_offered_wh + self.dc_offered_wh + self.generator_wh
    }

    /// What is left unaccounted for, Wh.
    #[must_use]
    pub fn error_wh(&self) -> f64 {
        let out_wh = self.served_wh
            + self.ac_throttled_wh
            + self.ac_tripped_wh
            + self.ac_dark_wh
            + self.dc_throttled_wh
            + self.mppt_clipped_wh
            + self.mppt_loss_wh
            + self.inverter_loss_wh
            + self.battery_loss_wh
            + self.stored_change_wh;
        self.in_wh() - out_wh
    }
}
