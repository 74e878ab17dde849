//! What must hold for any input.

mod common_practice;
mod inputs;
mod metered_csv;
mod normal_running;
