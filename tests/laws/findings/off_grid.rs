//! What is said of a home without a utility, and of its generator.

use couplet_core::coupling::Generator;
use couplet_core::document::demo;
use couplet_core::drawing::CallOuts;
use couplet_core::findings::{
    Circuit, CircuitKind, Details, Finding, Missing, Verdict, conductor_schedule, findings,
};
use couplet_core::household::{Household, Supply};
use couplet_core::parts_list::parts_list;
use couplet_core::rules::{Awg, Code, Section, Size, SourceStatus};
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

/// What is said of the demonstration's third option with a generator of 12 kW, and its circuit.
fn with_generator(
    supply: Supply,
    change: impl FnOnce(&mut Household, &mut Generator),
) -> (Vec<Finding>, Circuit) {
    let mut household = demo();
    household.service.supply = supply;
    household.electrical.backed_up_busbar_a = Some(200.0);
    let mut option = household.options[2].clone();
    let mut generator = Generator::generic("Generator".to_owned(), 12_000.0);
    change(&mut household, &mut generator);
    option.generator = Some(generator);
    let details = generic(&household, &option);
    let found = findings(&household, &option, &details, &temperatures(&household));
    assert_sound(&found);
    let circuit = conductor_schedule(&household, &option, &details)
        .into_iter()
        .find(|circuit| circuit.kind == CircuitKind::GeneratorOutput)
        .expect("a generator has a circuit");
    (found, circuit)
}

const SPLIT_PHASE: Supply = Supply::SplitPhase120V240V60Hz;

/// 12 kW at 240 V are 50 A: 57.5 A for conductors of 6 AWG copper (65 A at 75 °C; 8 AWG has 50 A), behind the next standard 60 A, with
/// 10 AWG copper as equipment conductor. Over 10 m they lose 2 × 50 A × 10 m × 0.491 Ω/1000 ft = 1.61 V, 0.67 %.
///
/// Source: NEC 445.13(A) (from memory), 310.16, 240.6(A), 250.122, chapter 9 table 8.
#[test]
fn a_generators_circuit_bears_115_per_cent_of_its_current() {
    let (found, circuit) = with_generator(SPLIT_PHASE, |_, _| {});
    assert_eq!(
        (circuit.duty.highest_a, circuit.duty.device_a),
        (50.0, Some(60.0))
    );
    assert!((circuit.basis_a - 57.5).abs() < 1e-9);
    assert_eq!(circuit.conductors, Some(Size::Awg(Awg::Awg6).into()));
    assert_eq!(circuit.earth, Some(Size::Awg(Awg::Awg10)));
    assert!((circuit.drop_share().unwrap() - 0.0067).abs() < 5e-5);
    let conductors = finding(&found, "conductors/generator/1");
    assert_eq!(
        (conductors.verdict, conductors.source.clause),
        (Verdict::Holds, "445.13(A)")
    );
    assert!(
        conductors
            .formula
            .contains("1.15 × 50 A = 57.5 A ≤ 65 A at the terminals"),
        "{}",
        conductors.formula
    );
    let power_factor = "that the generator is rated at unity power factor";
    assert!(conductors.assumed.contains(&power_factor));
    assert_eq!(
        finding(&found, "voltage-drop/generator/1").verdict,
        Verdict::Holds
    );
    let overload = finding(&found, "generator-overload/generator");
    assert_eq!(overload.missing, [Missing::GeneratorPlate]);
    let neutral = finding(&found, "generator-neutral/generator");
    assert_eq!(neutral.missing, [Missing::GeneratorBond]);
}

/// Kept from overload, its conductors need no more than 50 A: 8 AWG copper behind 50 A. Its plate's current stands before its power:
/// 12 kW at a power factor of 0.8 are 62.5 A, 71.9 A for 4 AWG copper (85 A at 75 °C; 6 AWG has 65 A) behind 80 A.
///
/// Source: NEC 445.13(A) and its exception (from memory), 310.16, 240.6(A).
#[test]
fn a_generators_plate_settles_its_current_and_its_reserve() {
    let (found, kept) = with_generator(SPLIT_PHASE, |_, generator| {
        generator.electrical.kept_from_overload = Some(true);
    });
    assert_eq!((kept.basis_a, kept.duty.device_a), (50.0, Some(50.0)));
    assert_eq!(kept.conductors, Some(Size::Awg(Awg::Awg8).into()));
    let overload = finding(&found, "generator-overload/generator");
    assert_eq!(overload.verdict, Verdict::Holds);
    let (found, by_plate) = with_generator(SPLIT_PHASE, |household, generator| {
        household.service.utility = false;
        generator.electrical.rated_a = Some(62.5);
    });
    assert_eq!(by_plate.duty.device_a, Some(80.0));
    assert_eq!(by_plate.conductors, Some(Size::Awg(Awg::Awg4).into()));
    assert!(by_plate.rests_on.is_none());
    let busbar = finding(&found, "busbar/transfer");
    assert!(
        busbar.formula.contains("1.25 × 62.5 A of the generator"),
        "{}",
        busbar.formula
    );
}

/// 8 AWG copper has 50 A at 75 °C, less than 57.5 A. A breaker of 40 A parts the generator before it gives its 50 A, which the NEC does not
/// forbid; 80 A on 3 AWG protects the conductors but not a generator that nothing else keeps from overload.
///
/// Source: NEC 310.16, 445.13(A); what the breaker is to the generator is common practice.
#[test]
fn what_is_chosen_for_a_generators_circuit_is_judged() {
    let judged = |size, device_a, id: &str| {
        let (found, circuit) = with_generator(SPLIT_PHASE, |_, generator| {
            generator.electrical.kept_from_overload = Some(false);
            generator.electrical.output.size = Some(Size::Awg(size));
            generator.electrical.output.device_a = Some(device_a);
        });
        assert!(circuit.size_is_chosen && circuit.device_is_chosen);
        finding(&found, id)
    };
    let thin = judged(Awg::Awg8, 50.0, "conductors/generator/1");
    assert_eq!(
        (thin.verdict, thin.remedy.as_str()),
        (Verdict::Breaks, "take 6 AWG copper or larger")
    );
    let small = judged(Awg::Awg6, 40.0, "breaker/generator/1");
    assert_eq!(
        (small.verdict, small.remedy.as_str()),
        (Verdict::Watch, "take a breaker of 60 A")
    );
    let large = judged(Awg::Awg3, 80.0, "generator-overload/generator");
    assert_eq!(
        (large.verdict, large.remedy.as_str()),
        (Verdict::Breaks, "take a breaker of 60 A")
    );
    let suited = |id| judged(Awg::Awg6, 60.0, id).verdict;
    for id in [
        "conductors/generator/1",
        "breaker/generator/1",
        "generator-overload/generator",
    ] {
        assert_eq!(suited(id), Verdict::Holds, "{id}");
    }
}

/// On the backed-up busbar a generator counts where it is more than the supply, and always where there is none:
/// 1.25 × 38.3 A + 1.25 × 50 A = 110.4 A.
///
/// Source: 125 % of continuous sources (common practice).
#[test]
fn a_generator_counts_on_the_busbar_where_it_is_more_than_the_supply() {
    let value_a = |utility, supply_a| {
        let (found, _) = with_generator(SPLIT_PHASE, |household, _| {
            household.service.utility = utility;
            household.service.transfer_a = supply_a;
        });
        finding(&found, "busbar/transfer").value.unwrap()
    };
    let sources_a = 1.25 * 9_200.0 / 240.0;
    assert!((value_a(false, 100.0) - (sources_a + 62.5)).abs() < 1e-9);
    assert!((value_a(true, 100.0) - (sources_a + 100.0)).abs() < 1e-9);
    assert!((value_a(true, 60.0) - (sources_a + 62.5)).abs() < 1e-9);
}

/// 12 kW at 230 V are 52.2 A, and the next device of IEC 60898 is 63 A (from memory). 16 mm² of copper in PVC in conduit on a wall carry
/// 76 A, 10 mm² 57 A (IEC 60364-5-52, table B.52.2, B1, two loaded conductors).
#[test]
fn under_the_iec_a_generators_circuit_bears_its_rated_current() {
    let supply = Supply::SinglePhase230V50Hz;
    let (found, circuit) = with_generator(supply, |_, _| {});
    assert!((circuit.basis_a - 12_000.0 / 230.0).abs() < 1e-9);
    assert_eq!(circuit.duty.device_a, Some(63.0));
    assert_eq!(circuit.conductors, Some(Size::Section(Section::S16).into()));
    let breaker = finding(&found, "breaker/generator/1");
    assert_eq!(breaker.verdict, Verdict::Holds);
    let (found, _) = with_generator(supply, |_, generator| {
        generator.electrical.output.device_a = Some(50.0);
    });
    let small = finding(&found, "breaker/generator/1");
    assert_eq!(
        (small.verdict, small.remedy.as_str()),
        (Verdict::Breaks, "take a breaker of 63 A")
    );
}

proptest! {
    #![proptest_config(draws(48))]

    /// A generator has a circuit and nothing else has its; what is proposed for it bears 115 % of its current under the NEC, all of it under
    /// the IEC, where it lies and at its terminals.
    #[test]
    fn a_generator_and_nothing_else_has_a_generators_circuit(household in any_household(), code in select(Code::ALL.to_vec())) {
        for option in &household.options {
            let details = Details::under(code, &household, option, &temperatures(&household));
            let circuits = conductor_schedule(&household, option, &details);
            let of_generator: Vec<_> = circuits.iter().filter(|circuit| circuit.kind == CircuitKind::GeneratorOutput).collect();
            prop_assert_eq!(of_generator.len(), usize::from(option.generator.is_some()));
            let (Some(circuit), Some(generator)) = (of_generator.first(), &option.generator) else {
                continue;
            };
            let is_kept = generator.electrical.kept_from_overload == Some(true);
            let times = if matches!(code, Code::Nec(_)) && !is_kept { 1.15 } else { 1.0 };
            if let (Some(conductors), false) = (circuit.conductors, circuit.size_is_chosen) {
                let carrying = circuit.run.laying.carrying(conductors, &circuit.duty).unwrap();
                let carried_a = carrying.corrected_a.min(carrying.terminal_a);
                prop_assert!(carried_a >= times * circuit.duty.highest_a * (1.0 - 1e-9), "{carried_a} A for {:?}", circuit.duty);
            }
        }
    }
}
