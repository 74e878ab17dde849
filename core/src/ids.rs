//! What parts of a household and of its options are named by: ids, and the side of the transfer point.
//!
//! An id names a part for as long as the household lives; it is never used again within a list.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! id {
    ($name:ident, $what:literal) => {
        #[doc = concat!("Names ", $what, ".")]
        #[derive(
            Clone,
            Copy,
            Debug,
            PartialEq,
            Eq,
            PartialOrd,
            Ord,
            Hash,
            Serialize,
            Deserialize,
            JsonSchema,
        )]
        #[serde(transparent)]
        pub struct $name(pub u32);

        impl $name {
            /// The lowest id above all of `taken`.
            #[must_use]
            pub fn next(taken: impl Iterator<Item = Self>) -> Self {
                Self(taken.map(|id| id.0).max().unwrap_or(0).saturating_add(1))
            }
        }
    };
}

id!(PlaneId, "a roof plane of the household");
id!(DeviceId, "a device among the loads");
id!(OptionId, "an option of the household");
id!(ArrayId, "an array of an option");
id!(PvInverterId, "a PV inverter of an option");
id!(StorageId, "a storage unit of an option");

/// Side of the transfer point on which something joins on AC.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum AcSide {
    /// Main panel: dark when the grid is gone.
    GridSide,
    /// Backed-up panel: held by a storage inverter when the grid is gone.
    BackedUp,
}
