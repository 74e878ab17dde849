//! The backed-up bus alone, step by step through the year: how long it lives in an outage, and what a year off the grid
//! comes to.

mod held_back;
mod off_grid;
mod plant;
mod sizing;
mod step;
mod survival;

pub(crate) use off_grid::run_island;
pub use off_grid::{OffGridFigures, OffGridRun, off_grid, outage_from};
pub use plant::OutagePlant;
pub(crate) use plant::shed_places;
pub use sizing::{
    AutonomyNeeds, DesignMonth, SizedPart, Sizing, design_month, least_size, nominal_capacity_wh,
    scaled,
};
pub(crate) use step::IslandState;
pub use survival::{
    LONGEST_OUTAGE_H, OutageSurvival, Season, StartSoc, SurvivalFigures, outage_survival,
};
