//! Laws of reading and checking.

use couplet_core::check::{Wrong, check, problems};
use couplet_core::document::{ReadProblem, demo, read, write};
use couplet_core::household::Household;
use couplet_tests::any::any_household;
use couplet_tests::draws;
use proptest::prelude::*;
use serde_json::Value;

proptest! {
    #![proptest_config(draws(48))]

    #[test]
    fn a_household_drawn_from_the_rows_passes_the_check(household in any_household()) {
        prop_assert_eq!(problems(&household), Vec::new());
    }

    #[test]
    fn a_saved_household_comes_back_bit_for_bit(household in any_household()) {
        let text = write(&household);
        let back = read(&text).map_err(|problem| TestCaseError::fail(problem.to_string()))?;
        prop_assert_eq!(&back.household, &household);
        prop_assert_eq!(write(&back.household), text);
    }
}

proptest! {
    #![proptest_config(draws(8))]

    #[test]
    fn every_number_of_a_household_is_checked(household in any_household()) {
        assert_every_number_is_checked(&household);
    }
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn random_bytes_are_refused_without_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let text = String::from_utf8_lossy(&bytes);
        prop_assert!(read(&text).is_err());
    }

    #[test]
    fn a_damaged_save_is_refused_or_still_can_be_checked(
        at in any::<prop::sample::Index>(),
        put in "[0-9a-z\"{}\\[\\]:,.-]{0,3}",
        cut in 0..6_usize,
    ) {
        let mut text = write(&demo());
        let at = at.index(text.len());
        let end = (at + cut).min(text.len());
        if text.is_char_boundary(at) && text.is_char_boundary(end) {
            text.replace_range(at..end, &put);
        }
        match read(&text) {
            Ok(found) => {
                for problem in problems(&found.household) {
                    prop_assert!(!problem.to_string().is_empty());
                }
            }
            Err(problem) => prop_assert!(problem.to_string().len() > 10),
        }
    }
}

#[test]
fn every_number_of_the_demonstration_is_checked() {
    assert_every_number_is_checked(&demo());
}

/// Sets each number of the saved form to one far out of every range: the reader or the check must name that very field.
#[track_caller]
fn assert_every_number_is_checked(household: &Household) {
    let saved: Value = serde_json::from_str(&write(household)).unwrap();
    let mut leaves = Vec::new();
    numbers(
        &saved["household"],
        String::new(),
        String::new(),
        &mut leaves,
    );
    assert!(leaves.len() > 40, "{} numbers found", leaves.len());
    for (pointer, path) in leaves {
        let mut changed = saved.clone();
        *changed
            .pointer_mut(&format!("/household{pointer}"))
            .unwrap() = Value::from(1e300);
        match read(&changed.to_string()) {
            Ok(found) => {
                let named = problems(&found.household)
                    .into_iter()
                    .find(|problem| problem.path == path && problem.wrong == Wrong::OutOfRange)
                    .unwrap_or_else(|| panic!("{path}: 1e300 passes the check"));
                let sentence = named.to_string();
                assert!(
                    sentence.contains(&path) && sentence.contains("give "),
                    "{sentence}"
                );
            }
            Err(ReadProblem::Damaged { path: at, fault }) => {
                let whole = ["expected u8", "expected u32", "expected usize"];
                assert!(
                    whole.iter().any(|kind| fault.contains(kind)),
                    "{path} cannot be read back: {fault}"
                );
                assert_eq!(at, format!("household.{path}"));
            }
            Err(other) => panic!("{path}: {other}"),
        }
    }
}

/// Pointer and path of every number; of a long list only some.
fn numbers(value: &Value, pointer: String, path: String, found: &mut Vec<(String, String)>) {
    match value {
        Value::Number(_) => found.push((pointer, path)),
        Value::Array(items) => {
            let far = items.len() > 400;
            for (index, item) in items.iter().enumerate() {
                if !far || index % 7_777 == 5 {
                    numbers(
                        item,
                        format!("{pointer}/{index}"),
                        format!("{path}[{index}]"),
                        found,
                    );
                }
            }
        }
        Value::Object(fields) => {
            for (key, field) in fields {
                let dot = if path.is_empty() { "" } else { "." };
                numbers(
                    field,
                    format!("{pointer}/{key}"),
                    format!("{path}{dot}{key}"),
                    found,
                );
            }
        }
        _ => {}
    }
}

#[test]
fn the_demonstration_can_be_run() {
    assert!(check(demo()).is_ok());
}
