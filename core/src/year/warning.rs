//! What a reader of a run's figures must know.

use std::fmt;

use super::Figures;
use crate::coupling::CouplingOption;
use crate::household::{AcSide, ClimateSource, Household, StorageId};

/// Something about a run that its figures alone do not say.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// The weather is a synthetic year from a coarse world grid.
    CoarseClimate,
    /// Energy went out above the export limit.
    UnpermittedExport {
        /// Energy above the limit, Wh.
        energy_wh: f64,
        /// The limit, W.
        limit_w: f64,
    },
    /// More was bought in some step than the main breaker carries.
    MainBreaker {
        /// Highest power bought in a step, W.
        peak_w: f64,
        /// Power that the main breaker carries, W.
        limit_w: f64,
    },
    /// More went through the transfer switch in some step than it carries.
    Transfer {
        /// Highest power through it in a step, W.
        peak_w: f64,
        /// Power that it carries, W.
        limit_w: f64,
    },
    /// Something is to run on in an outage, but no storage unit stands on the backed-up side.
    NoIsland,
    /// More arrays are on a storage unit than it has MPPT inputs: some share one.
    SharedInputs {
        /// The storage unit.
        unit: StorageId,
        /// Arrays on it.
        arrays: usize,
        /// Its MPPT inputs.
        inputs: u32,
    },
}

/// Energy above the export limit that is not worth a word, Wh: less than this in a year is rounding or a passing cloud.
const WORTH_TELLING_WH: f64 = 1.0;

/// What a reader of an option's figures must know; empty: nothing.
#[must_use]
pub fn warnings(household: &Household, option: &CouplingOption, figures: &Figures) -> Vec<Warning> {
    let mut warnings = Vec::new();
    let service = &household.service;
    if household.site.climate == ClimateSource::Grid {
        warnings.push(Warning::CoarseClimate);
    }
    if let Some(limit_w) = service.export_limit_w
        && figures.unpermitted_export_wh >= WORTH_TELLING_WH
    {
        warnings.push(Warning::UnpermittedExport {
            energy_wh: figures.unpermitted_export_wh,
            limit_w,
        });
    }
    let (peak_w, limit_w) = (figures.peak_import_w, service.import_limit_w());
    if peak_w > limit_w {
        warnings.push(Warning::MainBreaker { peak_w, limit_w });
    }
    let (peak_w, limit_w) = (figures.peak_transfer_w, service.transfer_limit_w());
    if peak_w > limit_w {
        warnings.push(Warning::Transfer { peak_w, limit_w });
    }
    let loads = &household.loads;
    let backed_up = loads.backed_up_share > 0.0 || loads.devices.iter().any(|one| one.backed_up);
    let mut sides = option.storage.iter().map(|unit| unit.side);
    if backed_up && !sides.any(|side| side == AcSide::BackedUp) {
        warnings.push(Warning::NoIsland);
    }
    for unit in &option.storage {
        let arrays = option.arrays_on_unit(unit.id).count();
        if let Some(mppt) = &unit.mppt
            && usize::try_from(mppt.inputs).is_ok_and(|inputs| arrays > inputs)
        {
            warnings.push(Warning::SharedInputs {
                unit: unit.id,
                arrays,
                inputs: mppt.inputs,
            });
        }
    }
    warnings
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CoarseClimate => write!(
                f,
                "the weather is a synthetic year from a coarse world grid: yearly sunlight may be off by 6 % to 8 %"
            ),
            Self::UnpermittedExport { energy_wh, limit_w } => write!(
                f,
                "{energy_wh:.0} Wh went out above the export limit of {limit_w:.0} W: not every PV inverter follows a power-limit command"
            ),
            Self::MainBreaker { peak_w, limit_w } => write!(
                f,
                "{peak_w:.0} W were bought in one step, the main breaker carries {limit_w:.0} W"
            ),
            Self::Transfer { peak_w, limit_w } => write!(
                f,
                "{peak_w:.0} W went through the transfer switch in one step, it carries {limit_w:.0} W"
            ),
            Self::NoIsland => write!(
                f,
                "loads are on the backed-up panel, but no storage unit stands on that side: they go dark with the grid"
            ),
            Self::SharedInputs {
                unit,
                arrays,
                inputs,
            } => write!(
                f,
                "{arrays} arrays share {inputs} MPPT inputs of storage unit {}",
                unit.0
            ),
        }
    }
}
