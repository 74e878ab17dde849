//! What the tests share: tables of outside values, the comparison with them, and the page in a browser.

pub mod any;
mod climate;
mod draws;
mod golden;
mod near;
pub mod page;
mod table;

pub use climate::{climate_grid, unpacked_data};
pub use draws::draws;
pub use golden::assert_golden;
pub use near::{Tolerance, assert_near, assert_within};
pub use table::{Row, Table, reference_path, test_data_path};
