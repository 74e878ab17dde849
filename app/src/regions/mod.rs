//! The regions of the page, each a component that takes what it shows.

pub(crate) mod footer;
pub(crate) mod household_menu;
pub(crate) mod notices;
pub(crate) mod schedules;
pub(crate) mod top_bar;
