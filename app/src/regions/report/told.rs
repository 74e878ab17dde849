//! What the report tells of: the household, the open option, and what is known of it.

use std::sync::Arc;

use couplet_core::coupling::CouplingOption;
use couplet_core::drawing::Part;
use couplet_core::findings::{Circuit, Details, Finding};
use couplet_core::household::{AcSide, Household};
use couplet_core::limits::Limit;
use couplet_core::parts_list::{Item, parts_list};
use couplet_core::year::Figures;

use crate::keep::UnitSystem;
use crate::parts::ShownUnit;
use crate::regions::compare::rows::Written;
use crate::regions::findings::part_name;
use crate::words::{Level, Word};
use crate::work::protocol::Found;

/// What the report tells of.
pub(super) struct Told {
    pub(super) household: Arc<Household>,
    pub(super) option: Arc<CouplingOption>,
    pub(super) details: Arc<Details>,
    pub(super) circuits: Arc<Vec<Circuit>>,
    /// None until the climate of the place is known.
    pub(super) findings: Option<Arc<Vec<Finding>>>,
    /// Figures of the option; none until they have been computed.
    pub(super) figures: Option<Arc<Figures>>,
    /// Figures of the first option, if the open one is another.
    pub(super) as_it_stands: Option<Arc<Figures>>,
    /// The drill that was run last on this option.
    pub(super) drill: Option<Arc<Found>>,
    /// Outages from every hour; none until they are computed.
    pub(super) survival: Option<Arc<Found>>,
    pub(super) level: Level,
    pub(super) units: UnitSystem,
}

impl Told {
    pub(super) fn currency(&self) -> &str {
        &self.household.tariff.currency
    }

    /// What figures are written in.
    pub(super) fn written(&self) -> Written {
        Written {
            currency: self.currency().to_owned(),
            units: self.units,
        }
    }

    /// A typed number with its unit.
    pub(super) fn number(&self, limit: &Limit, value: f64) -> String {
        ShownUnit::of(limit, self.units, self.currency()).text(value)
    }

    /// A length to the whole unit.
    pub(super) fn length(&self, length_m: f64) -> String {
        let (per_unit_m, unit) = match self.units {
            UnitSystem::Metric => (1.0, "m"),
            UnitSystem::Us => (0.3048, "ft"),
        };
        let shown = length_m / per_unit_m;
        let length = crate::format::number(shown, if shown < 9.95 { 1 } else { 0 });
        format!("{length}\u{a0}{unit}")
    }

    pub(super) fn side(&self, side: AcSide) -> &'static str {
        match side {
            AcSide::GridSide => Word::GridSide,
            AcSide::BackedUp => Word::BackedUp,
        }
        .at(self.level)
    }

    pub(super) fn part(&self, part: Part) -> String {
        part_name(&self.household, Some(&self.option), part)
    }

    pub(super) fn parts(&self) -> Vec<Item> {
        parts_list(
            &self.household,
            &self.option,
            &self.details,
            &self.circuits,
            self.findings.as_deref().map_or(&[], Vec::as_slice),
        )
    }
}

/// Whether a part stands, in a word.
pub(super) fn standing(stands: bool) -> String {
    if stands { "stands" } else { "new" }.to_owned()
}
