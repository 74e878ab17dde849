//! What the tests share: tables of outside values and the comparison with them.

mod near;
mod table;

pub use near::{Tolerance, assert_near, assert_within};
pub use table::{Row, Table, reference_path, test_data_path};
