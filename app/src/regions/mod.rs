//! The regions of the page, each a component that takes what it shows.

pub(crate) mod adviser;
pub(crate) mod best_possible;
pub(crate) mod bills;
pub(crate) mod compare;
pub(crate) mod day;
pub(crate) mod drawing;
pub(crate) mod drills;
pub(crate) mod export_control;
pub(crate) mod findings;
mod fold;
pub(crate) mod footer;
pub(crate) mod household_menu;
pub(crate) mod money;
pub(crate) mod notices;
pub(crate) mod off_grid;
pub(crate) mod report;
pub(crate) mod schedules;
pub(crate) mod start;
pub(crate) mod survival;
pub(crate) mod top_bar;
pub(crate) mod year_strip;
