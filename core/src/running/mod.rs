//! One step while the grid is up: the running rule gives an aim, the storage takes its share of the balance, and AC PV
//! is limited where export must be.

mod aim;
mod balance;
mod limiting;
mod own_hours;

pub use aim::{Aim, PriceRank};
pub use balance::{AcBus, Limits, Reach, UnitSlot, balance, hold_island, island_reach};
pub use limiting::{PvSlot, limit_ac_pv};
pub(crate) use own_hours::{by_kind_of_day, in_runs, joined};
pub use own_hours::{own_hours_like, rank_windows};
