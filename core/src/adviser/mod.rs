//! Which array joins where, and how much storage: every sensible way is tried, what breaks a rule is dropped, and the rest is ranked.
//!
//! [`candidates`] lists the ways that follow from an option: each array on each bus that it can join, the new storage in several
//! sizes, or none. [`Trial::outcome`] runs one of them through the year, an outage from every hour, the electrical rules and the
//! money of all years. [`ranked`], [`frontier`] and [`reasons`] read the outcomes: what suits best, what nothing else beats in every
//! respect, and what each place would have come to elsewhere.

mod advice;
mod candidate;
mod outcome;

pub use advice::{About, Reason, Wants, frontier, ranked, reasons};
pub use candidate::{Candidate, StorageSize, arrays_tried, candidates};
pub use outcome::{Backup, Outcome, Trial};
