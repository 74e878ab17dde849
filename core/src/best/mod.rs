//! The best possible: what the storage would earn if everything were known beforehand, so that every running rule shows
//! how far it is from what no controller can beat.
//!
//! A step's cost is a function of the energy taken out of store in it, and where buying is never cheaper than selling that
//! function is convex and made of straight pieces. The least cost from a step to the end, seen as a function of the stored
//! energy, then is so too: it is the infimal convolution of the step's cost with the cost to go after it, cut off at the
//! ends of the battery's window. The convolution of two such functions is nothing but their pieces sorted by slope, so the
//! whole horizon is one pass backward that puts pieces into an order, and one pass forward that takes them out again:
//! `N log N` for `N` steps, exact, with no grid of energy levels.
//!
//! Source: infimal convolution of convex functions, Rockafellar, Convex Analysis (1970), section 16; the recursion is
//! Bellman's (Dynamic Programming, 1957). Derived: the sorted pieces, see `slopes.rs` and `recursion.rs`.

mod demand;
mod plan;
mod problem;
mod raises;
mod recursion;
mod settled;
mod slopes;
mod step_cost;

pub use plan::{Best, Certainty, Plan, best};
pub use problem::{BestError, Demand, Meter, Steps, Store};
pub use raises::{Account, Rise};
pub use settled::{Settled, SettledBest, TrueCost, best_settled};
