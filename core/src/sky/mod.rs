//! Sun, sky and what stands before them.

mod obstruction;

pub use obstruction::{Horizon, HorizonPoint, ShadeTable, SkyModel};
