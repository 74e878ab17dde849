//! What the household uses, step by step: the base use in its standard shape or as metered, and the devices on top of it.

mod bdew;
pub mod csv;
mod device;
mod profile;
mod resample;
mod series;
mod window;

pub use series::{DeviceSeries, LoadSeries};
pub use window::window_h;
