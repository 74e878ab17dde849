//! Households as documents: how one is begun, edited with undo, written to a file and read back.

mod demo;
mod envelope;
mod history;
mod saved;
mod schema;
mod start;

pub use demo::demo;
pub use envelope::{FORMAT, Read, ReadProblem, SCHEMA, read, write};
pub use history::History;
pub use schema::schema;
pub use start::{Answers, EnergyUse, OutageNeed, Place, Prices, StandingPv, Wish, start};
