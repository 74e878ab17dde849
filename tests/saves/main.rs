//! Every schema that was ever written can be read: one kept file each, never edited.

use couplet_core::check::check;
use couplet_core::coupling::{ArrayElectrical, GridCode, IslandRunning};
use couplet_core::document::{SCHEMA, read, write};
use couplet_core::household::HouseholdElectrical;

const V1: &str = include_str!("v1_demo.json");
const V2: &str = include_str!("v2_demo.json");
const V3: &str = include_str!("v3_demo.json");

#[test]
fn a_save_of_schema_1_is_read_and_can_be_run() {
    let found = read(V1).unwrap();
    assert_eq!(found.schema, 1);
    assert_eq!(found.household.options.len(), 4);
    assert!(check(found.household).is_ok());
}

/// What schema 2 added has the values that change nothing, or the stated defaults.
#[test]
fn a_save_of_schema_1_says_nothing_of_islands_and_gets_the_defaults() {
    let household = read(V1).unwrap().household;
    assert!(household.service.utility);
    for option in &household.options {
        assert_eq!(option.island, IslandRunning::default());
        assert!(option.generator.is_none());
        for inverter in &option.pv_inverters {
            let code = match inverter.standing {
                true => GridCode::NotKnown,
                false => GridCode::Present,
            };
            assert_eq!(inverter.grid_code, code);
        }
        for unit in &option.storage {
            assert_eq!(unit.inverter.surge.len(), 2);
        }
    }
}

/// What schema 3 added says nothing yet.
#[test]
fn a_save_of_schema_2_is_read_and_gives_the_electrical_rules_nothing() {
    let found = read(V2).unwrap();
    assert_eq!(found.schema, 2);
    let household = found.household;
    assert_eq!(household.electrical, HouseholdElectrical::default());
    for option in &household.options {
        for array in &option.arrays {
            assert_eq!(array.electrical, ArrayElectrical::default());
        }
    }
    assert_eq!(write(&household), V3);
}

/// Writing gives the kept text again.
#[test]
fn a_save_of_todays_schema_is_written_as_it_was() {
    let found = read(V3).unwrap();
    assert_eq!(found.schema, SCHEMA);
    assert_eq!(write(&found.household), V3);
}
