//! What a utility's meter has counted, from a file in an open standard.

mod green_button;
mod meter_year;
mod rebuilt;
mod series;

pub use green_button::{GreenButton, read_green_button};
pub use meter_year::{MeterFileKind, MeterYear, read_meter_file};
pub use rebuilt::{RebuiltUse, rebuilt_use};
pub use series::{Direction, Interval, MeterSeries};
