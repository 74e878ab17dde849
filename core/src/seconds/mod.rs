//! A day of one option second by second: passing clouds laid into the light, and loads that switch.
//!
//! Hours, quarter-hours and minutes say what a year comes to. What a control loop meets is faster: the edge of a cloud, a
//! kettle that switches off. A [`SecondsDay`] adds these to a day of a [`Scene`](crate::year::Scene) and keeps its means:
//! light minute by minute, use quarter-hour by quarter-hour.

mod appliances;
mod clouds;
mod cycling;
mod day;
mod path;

pub use day::{ArraySeconds, HardStart, SecondsDay};
