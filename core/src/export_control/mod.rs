//! What an export limit costs and lets through when controls take time: a day in seconds under each way of limiting PV.
//!
//! The run of a year takes means of a step and controls that are instant. Here loads switch, clouds pass and controls
//! answer late: a storage inverter within tenths of a second, a PV inverter that is commanded at its next poll and along
//! its ramp, a relay by dropping all. What passes the limit meanwhile has *leaked*.

mod ceiling;
mod controls;
mod course;
mod figures;
mod leak;
mod site;
mod study;
mod trace;

pub use controls::{Controls, Response};
pub use figures::ExportFigures;
pub use study::{ExportStudy, study};
pub use trace::{ExportTrace, TraceSpan};
