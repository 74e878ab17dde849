//! What the household uses, step by step.

mod window;

pub use window::{in_window, window_h};
