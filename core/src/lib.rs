//! Couplet calculation core.
