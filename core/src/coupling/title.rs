//! What the title block of an option's sheet says that nothing else of the household tells.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is written into the title block by hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TitleNotes {
    /// Revision of the sheet, such as `A`.
    pub revision: String,
    /// For whom it is drawn; may be empty.
    pub drawn_for: String,
    /// Who has checked it; empty: room is left to sign on paper.
    pub checked_by: String,
}

impl Default for TitleNotes {
    /// The first revision, for nobody yet.
    fn default() -> Self {
        Self {
            revision: "A".to_owned(),
            drawn_for: String::new(),
            checked_by: String::new(),
        }
    }
}
