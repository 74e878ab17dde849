//! Safe keeping: households in the browser's storage, settings, and files in and out.
//!
//! Storage is treated as absent, full or damaged at any time. What cannot be read is set aside under a key of its own and never
//! dropped; what cannot be saved is said at once.

pub(crate) mod beside;
pub(crate) mod files;
mod households;
mod settings;
mod store;

pub(crate) use households::{HouseholdId, Keep, SaveState};
pub(crate) use settings::{Theme, UnitSystem};
