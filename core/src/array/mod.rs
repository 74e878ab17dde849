//! From light on a plane to DC power.

mod mounting;

pub use mounting::Mounting;
