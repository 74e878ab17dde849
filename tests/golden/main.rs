//! Texts compared with kept files; `COUPLET_GOLDEN=write` rewrites them.

mod findings;
mod schema;
