//! What an option costs and brings over the years, against the household as it stands: cost lines, batteries that age by what
//! they are put through, bills of years that are run again with aged hardware, cash flow, and which unknown matters most.
//!
//! Nothing here is a promise. A cost that is not given is held open by a placeholder: an invented round figure, marked as such
//! wherever it goes. What the first option has counts as bought; an option pays for its parts that do not stand already.

mod batteries;
mod hardware;
mod lines;
mod study;
mod unknowns;
mod worth;

pub use batteries::BatteryOutlook;
pub use lines::{
    Cost, Costed, Figure, PartLine, Replaced, bought, first_cost_cur, part_lines, upkeep,
};
pub use study::{Outlook, OutlookProblem, Served, YearState, outlook};
pub use unknowns::{Swing, Unknown};
pub use worth::{Standing, Worth};
