//! The backed-up bus alone: what happens second by second while storage inverters hold it.
//!
//! | file | what it is about |
//! |---|---|
//! | `settings` | what each grid code asks of a PV inverter, with its clauses |
//! | `pv` | one PV inverter: backing off, tripping, waiting, coming back |
//! | `unit` | one storage unit: what it gives and takes, what it bears for how long |
//! | `field` | all PV inverters, with contactors and commands |
//! | `storage` | all storage units: sharing out, going down, coming back |
//! | `panel` | the loads: starts, shed order |
//! | `generating` | the generator |
//! | `control` | how the storage inverters steer frequency |
//! | `plant` | an option made ready, and what drives it |
//! | `engine` | the run, cut at every instant at which something happens |
//! | `record`, `recorder` | what a run leaves |
//! | `recurrence` | its events, with alike ones told once |
//! | `drill` | one simulated outage of an option |
//! | `advice` | what would mend what went wrong |

mod advice;
mod control;
mod drill;
mod engine;
mod field;
mod generating;
mod instant;
mod panel;
mod plant;
mod pv;
mod record;
mod recorder;
mod recurrence;
mod settings;
mod storage;
mod unit;

pub use advice::{Advice, advise};
pub use drill::{DRILL_LENGTH_H, Drill, DrillCase, DrillMoment, DrillProblem, drill, drill_at};
pub use engine::{Pace, run};
pub use plant::{IslandDrive, IslandInverter, IslandLoad, IslandPlant, LoadStart, PlacedUnit};
pub use pv::{DroopFloor, PvChange, PvMachine, PvState, PvTrip, droop_floor_w};
pub use record::{Happening, IslandEvent, IslandFigures, IslandLedger, IslandRun, IslandTrace};
pub use recurrence::{Recurrence, recurrences};
pub use settings::{settings, take_supply};
pub use unit::{IslandUnit, UnitClocks, UnitDown, UnitFlow, UnitRoom};
