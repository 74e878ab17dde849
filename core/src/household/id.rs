//! Ids: numbers that name a part for as long as the household lives; never reused within a list.

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
