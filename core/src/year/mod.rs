//! The run of a year: what it gives for each option, in sums and step by step.

mod figures;
mod strip;
mod trace;

pub use figures::{Figures, Way, Ways};
pub use strip::{StripQuantity, YearStrip};
pub use trace::{ArrayTrace, DayTrace, DeviceTrace, PvInverterTrace, StorageTrace};
