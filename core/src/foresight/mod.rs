//! The best possible for a household: how near a running rule comes to what no controller could beat.
//!
//! [`optimum`] gives the storage of an option to the perfect-foresight optimum of [`crate::best`], under the same sun, loads, tariff and
//! limits. What the straight pieces of the optimum cannot hold is bounded from the cheap side and named in [`Simplified`], so the
//! optimum may be cheaper than the hardware can reach, and never dearer than a run of it. [`simple_rules`] tries rules by the
//! tariff's hours that the optimum's shape suggests, and a search tries hours of the household's own; [`day_ahead`] plans each day from a
//! forecast and meets the day as it comes. All are measured alike: by what their energy and highest powers cost under the tariff, with
//! its tiers and the settlement of net metering, see [`measured_cur`].
//!
//! Fixed and minimum charges, taxes, and what becomes of credit at the end of a year are not part of the measure.

mod day_ahead;
mod day_plan;
mod demand;
mod measure;
mod optimum;
mod own_hours;
mod reached;
mod relaxed;
mod settlement;
mod simple_rules;

pub use day_ahead::day_ahead;
pub use measure::{measured_cur, without_storage};
pub use optimum::{ByHour, NoForesight, Optimum, OptimumDay, Simplified, optimum};
pub use reached::{AtReserve, Foresight, Reached, SimpleRule, foresight, reached_share};
pub use simple_rules::{candidates, simple_rules};
