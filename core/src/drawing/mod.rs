//! The single-line diagram as plain geometry: which symbols, wires and words stand where on the sheet of an option,
//! which of them can be moved, and which power each wire carries.

mod part;

pub use part::{MoveMark, Moving, Offer, Part, Target, offers, place};
