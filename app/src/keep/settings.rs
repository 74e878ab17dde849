//! What the reader chose for the page itself.

pub(crate) use couplet_core::units::UnitSystem;
use serde::{Deserialize, Serialize};

use super::store;
use crate::words::Level;

const KEY: &str = "couplet.settings";

/// How the page is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Settings {
    /// Reading level.
    pub(crate) level: Level,
    /// Light or dark.
    pub(crate) theme: Theme,
    /// Metric or US units.
    pub(crate) units: UnitSystem,
}

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Theme {
    /// As the system has it.
    #[default]
    System,
    /// Always light.
    Light,
    /// Always dark.
    Dark,
}

impl Theme {
    /// All themes, in the order in which they are offered.
    pub(crate) const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// Its name on the page.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::System => "as the system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }

    /// What the page's root carries; none: the system decides.
    pub(crate) fn attribute(self) -> Option<&'static str> {
        match self {
            Self::System => None,
            Self::Light => Some("light"),
            Self::Dark => Some("dark"),
        }
    }
}

impl Settings {
    /// What was chosen before; settings that cannot be read are the defaults.
    pub(super) fn load() -> Self {
        store::get(KEY)
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default()
    }

    /// Keeps the choice. It is worth no message where it cannot be kept: the page works without.
    pub(super) fn save(self) {
        if let Ok(text) = serde_json::to_string(&self) {
            let _ = store::set(KEY, &text);
        }
    }
}
