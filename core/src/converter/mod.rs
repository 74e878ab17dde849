//! Converters: one loss law for all, and its fit to what a datasheet gives.

mod fit;
mod loss;

pub use fit::FitProblem;
pub use loss::{LossLaw, PvConversion};
