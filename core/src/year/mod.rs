//! The run of a year: what it gives for each option, in sums and step by step.

mod account;
mod balance;
mod billing;
mod figures;
mod flows;
mod interval_csv;
mod ledger;
mod off_grid;
mod plant;
mod prices;
mod run;
mod scene;
mod strip;
mod trace;
mod warning;
mod ways;

pub use balance::{DayBalance, Flow, Source, Use};
pub use figures::{Figures, Way, Ways};
pub use flows::{Drive, Flows, InverterFlows, IslandFlows, UnitFlows, run_plant};
pub use interval_csv::interval_csv;
pub use ledger::Ledger;
pub use plant::{Plant, PlantInverter, PlantUnit};
pub use prices::PriceYear;
pub use run::{BackedUpPv, YearRun};
pub use scene::{NoClimate, Scene};
pub use strip::{StripQuantity, YearStrip};
pub use trace::{ArrayTrace, DayTrace, DeviceTrace, PvInverterTrace, StorageTrace};
pub use warning::{Warning, warnings};
pub(crate) use ways::{AcFlows, WaysAccount};
