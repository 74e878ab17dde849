//! Every schema that was ever written can be read: one kept file each, never edited.

use couplet_core::check::check;
use couplet_core::document::{SCHEMA, read, write};

const V1: &str = include_str!("v1_demo.json");

#[test]
fn a_save_of_schema_1_is_read_and_can_be_run() {
    let found = read(V1).unwrap();
    assert_eq!(found.schema, 1);
    assert_eq!(found.household.options.len(), 4);
    assert!(check(found.household).is_ok());
}

/// While schema 1 is today's, writing gives the kept text again.
#[test]
fn a_save_of_todays_schema_is_written_as_it_was() {
    let found = read(V1).unwrap();
    assert_eq!(found.schema, SCHEMA);
    assert_eq!(write(&found.household), V1);
}
