//! Couplet on the command line.
fn main() {}
