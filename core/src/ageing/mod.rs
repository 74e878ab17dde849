//! How a battery ages: cycles counted out of its state of charge, what they and time take, and when 80 % is left.

mod fade;
mod rainflow;

pub use fade::{Ageing, CalendarLaw, CyclePoint, Life, Wear, life};
pub use rainflow::{Cycle, cycles};
