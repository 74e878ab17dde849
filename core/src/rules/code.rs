//! Which code is taken, and how sure the words behind a rule are.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::household::Supply;

/// The family of rules that a household is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Code {
    /// NFPA 70, in this edition.
    Nec(NecEdition),
    /// IEC 60364 and the standards that it refers to.
    Iec,
}

/// Editions of NFPA 70 that differ in what is judged here.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum NecEdition {
    /// 2017.
    #[serde(rename = "2017")]
    Of2017,
    /// 2020.
    #[serde(rename = "2020")]
    Of2020,
    /// 2023.
    #[serde(rename = "2023")]
    Of2023,
    /// 2026.
    #[serde(rename = "2026")]
    Of2026,
}

impl Code {
    /// Every code that can be chosen, the one most in use first.
    pub const ALL: [Self; 5] = [
        Self::Nec(NecEdition::Of2023),
        Self::Nec(NecEdition::Of2026),
        Self::Nec(NecEdition::Of2020),
        Self::Nec(NecEdition::Of2017),
        Self::Iec,
    ];

    /// The code that a household with this supply is judged by until another is chosen: NEC 2023 at 60 Hz, IEC at 50 Hz.
    ///
    /// Source: common practice. Which edition is in force is for the place to say.
    #[must_use]
    pub fn usual(supply: Supply) -> Self {
        match supply {
            Supply::SplitPhase120V240V60Hz | Supply::ThreePhase120V208V60Hz => {
                Self::Nec(NecEdition::Of2023)
            }
            Supply::SinglePhase230V50Hz | Supply::ThreePhase230V400V50Hz => Self::Iec,
        }
    }
}

impl NecEdition {
    /// The year on its cover.
    #[must_use]
    pub fn year(self) -> &'static str {
        match self {
            Self::Of2017 => "2017",
            Self::Of2020 => "2020",
            Self::Of2023 => "2023",
            Self::Of2026 => "2026",
        }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nec(edition) => write!(f, "NEC {}", edition.year()),
            Self::Iec => write!(f, "IEC 60364"),
        }
    }
}

/// How sure the words behind a rule are. No paywalled standard was opened: even a published rule is to be checked against the
/// adopted edition before anyone builds to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SourceStatus {
    /// A public text that states the rule was read.
    Published,
    /// One public text alone states it, and nothing else that was at hand.
    OneText,
    /// The clause is written for something alike; that it is taken here is common practice.
    ByAnalogy,
    /// What the trade does; no clause asks for it.
    CommonPractice,
    /// Written down from memory.
    FromMemory,
}

impl SourceStatus {
    /// The status in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::OneText => "by one public text",
            Self::ByAnalogy => "by analogy, common practice",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
        }
    }
}

/// Where a rule stands written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The document, such as `NEC`; empty for common practice.
    pub document: &'static str,
    /// Its edition; empty where none is stated.
    pub edition: &'static str,
    /// The clause; empty where none is stated.
    pub clause: &'static str,
    /// How sure the words are.
    pub status: SourceStatus,
}

impl Source {
    /// What the trade does, without a clause.
    pub const COMMON_PRACTICE: Self = Self {
        document: "",
        edition: "",
        clause: "",
        status: SourceStatus::CommonPractice,
    };
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.document.is_empty() {
            return f.write_str(self.status.words());
        }
        f.write_str(self.document)?;
        if !self.edition.is_empty() {
            write!(f, " {}", self.edition)?;
        }
        if !self.clause.is_empty() {
            write!(f, ", {}", self.clause)?;
        }
        Ok(())
    }
}
