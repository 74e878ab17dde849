//! The backed-up bus alone, step by step through the year: how long it lives in an outage, and what a year off the grid
//! comes to.

mod account;
mod held_back;
mod off_grid;
mod plant;
mod sizing;
mod step;
mod survival;

pub use account::OffGridAccount;
pub use off_grid::{OffGridFigures, OffGridRun, OffGridSeries, off_grid, outage_from};
pub use plant::OutagePlant;
pub use sizing::{
    AutonomyNeeds, DesignMonth, SizedPart, Sizing, design_month, least_size, nominal_capacity_wh,
    scaled,
};
pub use survival::{
    LONGEST_OUTAGE_H, OutageSurvival, Season, StartSoc, SurvivalFigures, outage_survival,
};
