//! The weather of a year: monthly means of a built-in world grid or typed in, made into a year; or a whole hourly year from a
//! file. Places by name.

mod air_temperature;
mod clearness;
mod epw;
mod grid;
mod hourly_rows;
mod monthly;
mod places;
mod read_error;
mod synthetic;
mod tmy3;
mod weather;
mod weather_file;

pub use clearness::MonthlySums;
pub use epw::read_epw;
pub use grid::ClimateGrid;
pub use monthly::MonthlyClimate;
pub use places::{OWN_NAMES, Place, Places};
pub use read_error::ReadError;
pub use synthetic::{WIND_M_S, synthetic_year};
pub use tmy3::read_tmy3;
pub use weather::Weather;
pub use weather_file::WeatherFile;
