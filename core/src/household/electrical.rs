//! What the electrical rules ask about the household: code, panels, transfer, and what only the site can tell. Whatever is not given is
//! generic or stays open.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::coupling::CircuitChoice;
use crate::rules::{Code, HomeCircuits};

/// What the electrical rules ask about the household. The default is: nothing given.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HouseholdElectrical {
    /// The code that the household is judged by; none: the one usual at its supply.
    pub code: Option<Code>,
    /// The panel on the grid side; its busbar's rating is the service's.
    pub grid_side: PanelElectrical,
    /// The panel on the backed-up side.
    pub backed_up: PanelElectrical,
    /// Rating of the busbar of the backed-up panel, A.
    pub backed_up_busbar_a: Option<f64>,
    /// The run between both panels.
    pub transfer_circuit: CircuitChoice,
    /// Voltage drop that DC runs are to stay below, share of their voltage; none: the common 2 %.
    pub dc_drop_share: Option<f64>,
    /// Voltage drop that AC runs are to stay below, share of their voltage; none: the common 2 %.
    pub ac_drop_share: Option<f64>,
    /// Whether the household is switched over to its island by hand and then chooses what runs.
    pub transfer_by_hand: bool,
    /// The dwelling, for its load by the NEC; cars, heat pumps and cooling are taken from the devices.
    pub dwelling: Option<Dwelling>,
    /// The home's circuits, for its load with diversity under the IEC; devices come on top.
    pub home_circuits: Option<HomeCircuits>,
    /// How the neutral is treated when the island is parted from the grid.
    pub neutral: Option<NeutralAtTransfer>,
    /// How PV DC conductors are made safe.
    pub rapid_shutdown: Option<RapidShutdown>,
    /// Whether PV DC circuits have arc-fault protection.
    pub arc_fault_protection: Option<bool>,
    /// Whether converters watch insulation and residual current on the DC side.
    pub dc_fault_detection: Option<bool>,
    /// Whether there is a means to disconnect PV that can be reached and locked.
    pub pv_disconnect: Option<bool>,
    /// Whether a listed device parts the island from the grid.
    pub island_device_listed: Option<bool>,
    /// Time that the utility grants the export control, s.
    pub export_control_limit_s: Option<f64>,
    /// Whether all labels are in place.
    pub labels_in_place: Option<bool>,
}

/// A panel with the sources on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanelElectrical {
    /// Ratings of all load breakers together, A.
    pub load_breakers_a: Option<f64>,
    /// How it is fed.
    pub feed: PanelFeed,
    /// Whether the breakers of the sources stand at the end away from the feed.
    pub sources_at_far_end: Option<bool>,
    /// Whether conductors leave it by feed-through lugs.
    pub feed_through: bool,
    /// Ampacity of the conductors that leave it by feed-through lugs, A.
    pub feed_through_a: Option<f64>,
    /// Setting of a power control system that holds all sources on it together, A.
    pub control_a: Option<f64>,
    /// Whether that system is listed for it, fails to a safe state, and its setting is locked.
    pub control_listed: Option<bool>,
    /// Whether its sources join ahead of the service disconnect instead of on the busbar.
    pub supply_side: bool,
}

/// How a panel is fed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PanelFeed {
    /// At one end of its busbar.
    #[default]
    End,
    /// At the centre of its busbar.
    Centre,
}

/// How the neutral is treated when the island is parted from the grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum NeutralAtTransfer {
    /// It stays connected: the service's bond to earth serves the island too; the inverter has none.
    Solid,
    /// It is switched: the inverter bonds neutral to earth while the island runs.
    SwitchedAndBondedAtSource,
    /// It is switched and nothing bonds it.
    SwitchedWithoutBond,
    /// It stays connected and the inverter bonds it too.
    SolidAndBondedAtSource,
}

/// How PV DC conductors are brought to a safe voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RapidShutdown {
    /// A listed rapid-shutdown or hazard-control system, or electronics at each module.
    Listed,
    /// The array is not on or in a building.
    NotOnBuilding,
    /// There is none.
    Absent,
}

/// A dwelling, for its load calculation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dwelling {
    /// Floor area, m².
    pub floor_m2: f64,
    /// Small-appliance and laundry circuits.
    pub appliance_circuits: u32,
    /// Range, dryer, water heater and other appliances fastened in place that are not among the devices, W.
    pub appliances_w: f64,
    /// Such appliances that are added now to a dwelling that stands, W.
    pub added_appliances_w: f64,
    /// Central electric resistance heating, W.
    pub central_heating_w: f64,
    /// Whether that heating is added now to a dwelling that stands.
    pub central_heating_is_added: bool,
}
