//! The weather of a year.

mod monthly;
mod weather;
mod weather_file;

pub use monthly::MonthlyClimate;
pub use weather::Weather;
pub use weather_file::WeatherFile;
