//! How much energy a storage unit may hold, and where.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where storage stands about a home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StorageRoom {
    /// A utility closet, a storage or utility room, or a basement inside the dwelling.
    UtilityRoom,
    /// An attached or detached garage, or a detached accessory building.
    Garage,
    /// On an outside wall.
    OutsideWall,
    /// Outdoors on the ground.
    Outdoors,
    /// A bedroom, a habitable room, or a closet that opens into one.
    HabitableRoom,
}

/// Most energy of one unit, Wh.
///
/// Source: NFPA 855 chapter 15; IRC R328 (2021), R330 (2024) (public text).
pub const UNIT_WH: f64 = 20_000.0;

impl StorageRoom {
    /// Every place.
    pub const ALL: [Self; 5] = [
        Self::UtilityRoom,
        Self::Garage,
        Self::OutsideWall,
        Self::Outdoors,
        Self::HabitableRoom,
    ];

    /// Most energy of all units at this place, Wh; none where none may stand.
    ///
    /// Source: NFPA 855 chapter 15 (utility rooms and garages by public text, outdoors from memory).
    #[must_use]
    pub fn most_wh(self) -> Option<f64> {
        match self {
            Self::UtilityRoom => Some(40_000.0),
            Self::Garage | Self::OutsideWall | Self::Outdoors => Some(80_000.0),
            Self::HabitableRoom => None,
        }
    }

    /// The place in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::UtilityRoom => "a utility room, store or basement",
            Self::Garage => "a garage or accessory building",
            Self::OutsideWall => "an outside wall",
            Self::Outdoors => "the ground outdoors",
            Self::HabitableRoom => "a bedroom or habitable room",
        }
    }
}

/// Least clear distance between units, and from walls, doors and windows, m: 3 ft, unless testing documents less.
///
/// Source: NFPA 855 chapter 15 (public text).
pub const SPACING_M: f64 = 0.914;
