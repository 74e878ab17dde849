//! The backed-up bus alone: what happens second by second while storage inverters hold it.

mod settings;

pub use settings::settings;
