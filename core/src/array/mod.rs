//! From light on a plane to DC power: what the glass lets through, how warm the cells run, what power follows, and the voltage and
//! current of a module at any condition.

mod incidence;
mod mounting;
mod partial_shade;
mod plane_power;
mod single_diode;
mod temperature;

pub use incidence::{Glass, Incidence, PHYSICAL, ashrae_modifier};
pub use mounting::{HeatLoss, Mounting};
pub use partial_shade::{Gathering, partly_shaded_share};
pub use plane_power::{PvPlane, dc_w_per_w};
pub use single_diode::{DiodeCurve, MaxPowerPoint, SingleDiode};
pub use temperature::{faiman_cell_c, noct_cell_c, power_share};
