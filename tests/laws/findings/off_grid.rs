//! What is said of a home without a utility, and of its generator.

use couplet_core::coupling::Generator;
use couplet_core::document::demo;
use couplet_core::drawing::CallOuts;
use couplet_core::findings::{
    CircuitKind, Details, Missing, Verdict, conductor_schedule, findings,
};
use couplet_core::household::{Household, Supply};
use couplet_core::parts_list::parts_list;
use couplet_core::rules::{Code, SourceStatus};
use couplet_tests::any::any_household;
use couplet_tests::draws;
use proptest::prelude::*;
use proptest::sample::select;

use super::{assert_sound, finding, generic, said, temperatures};

proptest! {
    #![proptest_config(draws(48))]

    /// Without a utility there is no service and no switch to it: neither circuits nor findings, markings or parts tell of them.
    ///
    /// Source: NEC 705 is for sources that run in parallel with a utility, 702 for standby to one; 710 for a supply of its own (common
    /// practice).
    #[test]
    fn without_a_utility_nothing_of_a_service_is_asked_for(household in any_household(), code in select(Code::ALL.to_vec())) {
        let mut household = household;
        household.service.utility = false;
        for option in &household.options {
            let temperatures = temperatures(&household);
            let details = Details::under(code, &household, option, &temperatures);
            let circuits = conductor_schedule(&household, option, &details);
            prop_assert!(circuits.iter().all(|circuit| circuit.kind != CircuitKind::Transfer));
            let found = findings(&household, option, &details, &temperatures);
            assert_sound(&found);
            for one in &found {
                for rule in ["transfer-path", "transfer-load", "island-device", "label-sources", "label-standby", "label-backfed"] {
                    prop_assert!(one.rule() != rule, "{}", one.id);
                }
                let told = format!("{} {}", one.formula, one.remedy);
                for word in ["service", " supply =", "transfer switch"] {
                    let named = told.contains(word) && !told.contains("there is no service");
                    // Parts have names of their own.
                    let by_name = household_names(&household).iter().any(|name| name.contains(word));
                    prop_assert!(!named || by_name, "{}: {told}", one.id);
                }
            }
            let call_outs = CallOuts::of(&household, option, &details);
            prop_assert!(call_outs.circuits.iter().all(|circuit| circuit.kind != CircuitKind::Transfer));
            for item in parts_list(&household, option, &details, &circuits, &found) {
                let told = format!("{} {}", item.description, item.place);
                prop_assert!(!told.contains("transfer switch") && !told.contains("feeder breaker"), "{told}");
            }
        }
    }
}

fn household_names(household: &Household) -> Vec<String> {
    let devices = household.loads.devices.iter().map(|one| one.name.clone());
    let of_options = household.options.iter().flat_map(|option| {
        let arrays = option.arrays.iter().map(|one| one.name.clone());
        let inverters = option.pv_inverters.iter().map(|one| one.name.clone());
        let units = option.storage.iter().map(|one| one.name.clone());
        let generator = option.generator.iter().map(|one| one.name.clone());
        arrays
            .chain(inverters)
            .chain(units)
            .chain(generator)
            .collect::<Vec<_>>()
    });
    devices.chain(of_options).collect()
}

/// Storage 7.2 kW and garage 2 kW at 240 V are 38.3 A: 1.25 × 38.3 A = 47.9 A, and no supply besides.
///
/// Source: NEC 710.15(B), the sum of the sources' ratings, by analogy; 125 % as for continuous sources (common practice).
#[test]
fn the_busbar_of_an_off_grid_home_bears_its_sources_alone() {
    let found = said(|household, _, details| {
        household.service.utility = false;
        details.backed_up.busbar_a = Some(125.0);
    });
    let busbar = finding(&found, "busbar/transfer");
    assert!(
        (busbar.value.unwrap() - 1.25 * 9_200.0 / 240.0).abs() < 1e-9,
        "{}",
        busbar.formula
    );
    assert_eq!(
        (busbar.limit, busbar.verdict),
        (Some(125.0), Verdict::Holds)
    );
    assert_eq!(
        (busbar.source.clause, busbar.source.status),
        ("710.15(B)", SourceStatus::ByAnalogy)
    );
    assert!(!busbar.formula.contains("supply"), "{}", busbar.formula);
    let neutral = finding(&found, "neutral-bond/storage-1");
    assert_eq!(neutral.missing, [Missing::BondOfTheHome]);
}

fn generator(rated_w: f64) -> Generator {
    Generator::generic("Generator".to_owned(), rated_w)
}

/// A generator of 12 kW at 240 V gives 50 A: 57.5 A for its conductors, the next standard device 60 A. On the backed-up busbar it counts
/// where it is more than the supply, and always where there is none: 1.25 × 38.3 A + 1.25 × 50 A = 110.4 A.
///
/// Source: NEC 445.13(A), 240.6(A) (from memory); 125 % of continuous sources (common practice).
#[test]
fn a_generator_is_told_by_its_power_and_not_judged_without_its_plate() {
    let with_generator = |rated_w, utility, supply_a| {
        said(move |household, option, details| {
            household.service.utility = utility;
            details.backed_up.busbar_a = Some(200.0);
            details.backed_up.supply_device_a = supply_a;
            option.generator = Some(generator(rated_w));
        })
    };
    let found = with_generator(12_000.0, false, 100.0);
    assert_sound(&found);
    let circuit = finding(&found, "generator-circuit/generator");
    assert_eq!(circuit.verdict, Verdict::NotJudged);
    assert_eq!(circuit.missing, [Missing::GeneratorPlate]);
    for number in ["= 50 A", "1.15 × 50 A = 57.5 A", "device is 60 A"] {
        assert!(circuit.formula.contains(number), "{}", circuit.formula);
    }
    let neutral = finding(&found, "generator-neutral/generator");
    assert_eq!(neutral.missing, [Missing::GeneratorBond]);
    let value_a = |found: &[_]| finding(found, "busbar/transfer").value.unwrap();
    let sources_a = 1.25 * 9_200.0 / 240.0;
    assert!((value_a(&found) - (sources_a + 62.5)).abs() < 1e-9);
    let behind_a_large_supply = with_generator(12_000.0, true, 100.0);
    assert!((value_a(&behind_a_large_supply) - (sources_a + 100.0)).abs() < 1e-9);
    let behind_a_small_one = with_generator(12_000.0, true, 60.0);
    assert!((value_a(&behind_a_small_one) - (sources_a + 62.5)).abs() < 1e-9);
}

/// 12 kW at 230 V are 52.2 A, and the next device of IEC 60898 is 63 A (from memory).
#[test]
fn under_the_iec_a_generator_is_told_by_its_rated_current() {
    let mut household = demo();
    household.service.supply = Supply::SinglePhase230V50Hz;
    let mut option = household.options[2].clone();
    option.generator = Some(generator(12_000.0));
    let details = generic(&household, &option);
    let found = findings(&household, &option, &details, &temperatures(&household));
    let circuit = finding(&found, "generator-circuit/generator");
    assert!(
        circuit.formula.contains("= 52.17 A for its conductors")
            && circuit.formula.contains("63 A"),
        "{}",
        circuit.formula
    );
}
