//! What a reader of a run's figures must know.

use std::fmt;

use super::Figures;
use crate::coupling::CouplingOption;
use crate::household::{AcSide, ClimateSource, Household, StorageId};
use crate::outage::OffGridFigures;

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
    /// Off the grid: no storage unit and no generator stands on the bus, so nothing holds it.
    NothingHoldsTheBus,
    /// Off the grid: loads, PV inverters or storage are wired to the grid side, which is dark.
    OnTheDarkSide,
    /// Off the grid: the bus went dark, and nothing on it lifts a flat battery.
    StaysDark,
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

impl Warning {
    /// Whether it is about a year off the grid.
    #[must_use]
    pub fn is_off_grid(&self) -> bool {
        matches!(
            self,
            Self::NothingHoldsTheBus | Self::OnTheDarkSide | Self::StaysDark
        )
    }
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
    let holds = sides.any(|side| side == AcSide::BackedUp);
    match &figures.off_grid {
        Some(year) => warnings.extend(off_grid(household, option, year, holds)),
        None if backed_up && !holds => warnings.push(Warning::NoIsland),
        None => {}
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

/// What is to be known of a year off the grid.
fn off_grid(
    household: &Household,
    option: &CouplingOption,
    year: &OffGridFigures,
    holds: bool,
) -> impl Iterator<Item = Warning> {
    let loads = &household.loads;
    let dark_loads =
        loads.backed_up_share < 1.0 || loads.devices.iter().any(|device| !device.backed_up);
    let dark_unit = (option.storage.iter()).any(|unit| unit.side == AcSide::GridSide);
    let dark_inverter = (option.pv_inverters.iter()).any(|inverter| {
        inverter.side == AcSide::GridSide && option.arrays_on_inverter(inverter.id).next().is_some()
    });
    let lifted = option.generator.is_some()
        || (option.storage.iter()).any(|unit| option.arrays_on_unit(unit.id).next().is_some());
    [
        (
            dark_loads || dark_unit || dark_inverter,
            Warning::OnTheDarkSide,
        ),
        (
            !holds && option.generator.is_none(),
            Warning::NothingHoldsTheBus,
        ),
        (holds && year.ends_dark && !lifted, Warning::StaysDark),
    ]
    .into_iter()
    .filter_map(|(is_so, warning)| is_so.then_some(warning))
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
            Self::NothingHoldsTheBus => write!(
                f,
                "nothing holds the bus: off the grid only a storage inverter or a generator makes a grid for the others"
            ),
            Self::OnTheDarkSide => write!(
                f,
                "some of it is wired to the main panel, which is dark without a grid, and counts for nothing: wire it to the backed-up panel"
            ),
            Self::StaysDark => write!(
                f,
                "once the battery was flat the bus stayed dark: only DC PV or a generator can charge it again, PV on AC cannot"
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
