//! Builds the page and serves it.
