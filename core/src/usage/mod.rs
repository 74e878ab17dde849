//! What a utility's meter has counted, from a file in an open standard.

mod green_button;
mod series;

pub use green_button::{GreenButton, read_green_button};
pub use series::{Direction, Interval, MeterSeries};
