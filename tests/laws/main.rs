//! What must hold for any input.

mod inputs;
mod normal_running;
