//! Couplet's page.
fn main() {}
