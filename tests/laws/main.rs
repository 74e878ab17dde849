//! What must hold for any input.

mod common_practice;
mod inputs;
mod normal_running;
