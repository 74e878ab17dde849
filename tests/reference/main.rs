//! Couplet's calculation against values from outside: published examples and independent programs. One module per source;
//! the tables stand in `values/`, described in `values/README.md`.

mod converter;
mod energy_cases;
mod tables_are_complete;
