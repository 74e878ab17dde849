//! Every schema that was ever written can be read: one kept file each, never edited.

use couplet_core::bill::{DayKind, Export, ExportPrice, Surplus, Tariff};
use couplet_core::check::check;
use couplet_core::coupling::{ArrayElectrical, GeneratorElectrical, GridCode, IslandRunning};
use couplet_core::document::{SCHEMA, read, write};
use couplet_core::household::HouseholdElectrical;

const V1: &str = include_str!("v1_demo.json");
const V2: &str = include_str!("v2_demo.json");
const V3: &str = include_str!("v3_demo.json");
const V4: &str = include_str!("v4_demo.json");
const V5: &str = include_str!("v5_demo.json");

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
    assert_eq!(household, read(V3).unwrap().household);
}

/// The tariff of schema 3 means the same in the words of schema 4, and nothing else is said in other words.
#[test]
fn a_save_of_schema_3_is_read_and_its_prices_mean_the_same() {
    let found = read(V3).unwrap();
    assert_eq!(found.schema, 3);
    let Tariff {
        clock_rule,
        periods,
        export,
        ..
    } = &found.household.tariff;
    assert_eq!(*clock_rule, None);
    let prices: Vec<_> = periods
        .iter()
        .map(|period| {
            let hours = period
                .windows
                .first()
                .map(|hours| (hours.days, hours.from_h, hours.to_h));
            (hours, period.tiers[0].cur_per_kwh, period.sell_cur_per_kwh)
        })
        .collect();
    assert_eq!(
        prices,
        [
            (Some((DayKind::Weekdays, 16.0, 21.0)), 0.36, 0.11),
            (Some((DayKind::All, 23.0, 6.0)), 0.10, 0.04),
            (None, 0.17, 0.06),
        ]
    );
    let by_period = Export::NetBilling {
        price: ExportPrice::ByPeriod,
        surplus: Surplus::Paid,
    };
    assert_eq!(*export, by_period);
    assert_eq!(found.household, read(V4).unwrap().household);
}

/// A damaged tariff of an older schema is told, not mended.
#[test]
fn damage_in_the_prices_of_schema_3_is_told() {
    for (right, wrong) in [
        ("\"buy_cur_per_kwh\": 0.36,", ""),
        ("\"days\": \"weekdays\"", "\"days\": \"Tuesdays\""),
        (
            "\"fixed_cur_per_month\": 12.0,",
            "\"fixed_cur_per_month\": 12.0, \"colour\": 1,",
        ),
    ] {
        assert!(V3.contains(right), "{right}");
        let problem = read(&V3.replacen(right, wrong, 1)).unwrap_err().to_string();
        assert!(problem.contains("household.tariff"), "{problem}");
    }
}

/// What schema 5 added has the values that change nothing.
#[test]
fn a_save_of_schema_4_is_read_and_means_the_same() {
    let found = read(V4).unwrap();
    assert_eq!(found.schema, 4);
    assert_eq!(write(&found.household), V5);
}

/// Nothing is known of the plate of a generator of schema 4, and nothing is chosen for its circuit.
#[test]
fn a_generator_of_schema_4_is_read_and_its_circuit_is_open() {
    let generator = r#""generator": {
        "name": "Generator", "standing": true, "rated_w": 6000.0, "least_load": 0.3, "start_soc": 0.2, "stop_soc": 0.8,
        "start_delay_s": 15.0, "idle_fuel_l_per_h": 0.5, "fuel_l_per_kwh": 0.3
    }"#;
    let none = "\"generator\": null";
    assert!(V4.contains(none));
    let household = read(&V4.replacen(none, generator, 1)).unwrap().household;
    let found = household.options[0].generator.as_ref().unwrap();
    assert_eq!(found.electrical, GeneratorElectrical::default());
    assert!(check(household).is_ok());
}

/// Writing gives the kept text again.
#[test]
fn a_save_of_todays_schema_is_written_as_it_was() {
    let found = read(V5).unwrap();
    assert_eq!(found.schema, SCHEMA);
    assert_eq!(write(&found.household), V5);
}
