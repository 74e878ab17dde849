//! Plain and trade wording of the same keys: what a household reads, and what a designer reads.

pub(crate) mod findings;
mod labels;
pub(crate) mod running;
mod terms;

pub(crate) use labels::label;
pub(crate) use running::{months_around, months_in_words};
pub(crate) use terms::Word;

use serde::{Deserialize, Serialize};

/// Reading level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Level {
    /// For the household: everyday words, details folded away.
    #[default]
    Plain,
    /// For the designer: trade words, details open.
    Trade,
}

impl Level {
    /// What the page's root carries.
    pub(crate) fn attribute(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Trade => "trade",
        }
    }
}
