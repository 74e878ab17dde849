//! What does not change between options: the site, the service, the roof planes, the loads and the tariff; and the
//! options themselves, "As it stands" first.

mod electrical;
mod finance;
mod loads;
mod roof;
mod service;
mod site;

pub use electrical::{
    Dwelling, HouseholdElectrical, NeutralAtTransfer, PanelElectrical, PanelFeed, RapidShutdown,
};
pub use finance::{Finance, GivenFor, IncentiveAmount, IncentiveTerms, LoanTerms};
pub use loads::{BaseUse, Device, DeviceKind, IntervalUse, LoadProfile, Loads, Start};
pub use roof::RoofPlane;
pub use service::{Service, Supply};
pub use site::{ClimateSource, Site};

pub use crate::coupling::CircuitChoice;
pub use crate::ids::{AcSide, ArrayId, DeviceId, OptionId, PlaneId, PvInverterId, StorageId};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::bill::Tariff;
use crate::coupling::CouplingOption;

/// A household with every option that was drawn for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Household {
    /// Name on the drawing sheet.
    pub name: String,
    /// True for the built-in demonstration: its place, people and figures are invented.
    pub invented: bool,
    /// Where it stands and what sky it has.
    pub site: Site,
    /// How it is joined to the utility.
    pub service: Service,
    /// Roof planes (or ground racks) that carry or could carry modules.
    pub planes: Vec<RoofPlane>,
    /// What uses energy.
    pub loads: Loads,
    /// What energy costs and earns.
    pub tariff: Tariff,
    /// What the electrical rules ask about the household.
    pub electrical: HouseholdElectrical,
    /// What is assumed of money.
    pub finance: Finance,
    /// Ways to couple; the first is "As it stands".
    pub options: Vec<CouplingOption>,
}

impl Household {
    /// Takes the utility away: all that was wired to the grid side, in every option, goes to the backed-up side, which is the only
    /// one that lives.
    pub fn leave_grid(&mut self) {
        self.service.utility = false;
        self.loads.backed_up_share = 1.0;
        for device in &mut self.loads.devices {
            device.backed_up = true;
        }
        for option in &mut self.options {
            for inverter in &mut option.pv_inverters {
                inverter.side = AcSide::BackedUp;
            }
            for unit in &mut option.storage {
                unit.side = AcSide::BackedUp;
            }
        }
    }

    /// The option with this id, if there is one.
    #[must_use]
    pub fn option(&self, id: OptionId) -> Option<&CouplingOption> {
        self.options.iter().find(|option| option.id == id)
    }

    /// Whether all that is computed of the two is the same: they differ at most in what is written into title blocks.
    #[must_use]
    pub fn computes_as(&self, other: &Self) -> bool {
        let Self {
            name,
            invented,
            site,
            service,
            planes,
            loads,
            tariff,
            electrical,
            finance,
            options,
        } = self;
        *name == other.name
            && *invented == other.invented
            && *site == other.site
            && *service == other.service
            && *planes == other.planes
            && *loads == other.loads
            && *tariff == other.tariff
            && *electrical == other.electrical
            && *finance == other.finance
            && options.len() == other.options.len()
            && (options.iter().zip(&other.options)).all(|(one, other)| one.computes_as(other))
    }

    /// The roof plane with this id, if there is one.
    #[must_use]
    pub fn plane(&self, id: PlaneId) -> Option<&RoofPlane> {
        self.planes.iter().find(|plane| plane.id == id)
    }
}
