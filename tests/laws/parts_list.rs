//! The parts list against the option that it is made from: nothing is left out, counted twice, or bought although it stands.

use couplet_core::coupling::CouplingOption;
use couplet_core::document::demo;
use couplet_core::findings::{
    Circuit, CircuitKind, DesignTemperatures, Details, PvInput, conductor_schedule, findings,
};
use couplet_core::household::{AcSide, Household, Supply};
use couplet_core::parts_list::{
    CONDUCTOR_ALLOWANCE, Group, Item, LengthUnit, Quantity, State, csv, parts_list,
};
use couplet_core::rules::{LoadedConductors, ParallelLaying, Wiring};
use couplet_tests::any::any_household;
use couplet_tests::draws;
use proptest::prelude::*;

struct Listed {
    details: Details,
    circuits: Vec<Circuit>,
    items: Vec<Item>,
}

fn listed(household: &Household, option: &CouplingOption) -> Listed {
    let temperatures = DesignTemperatures {
        low_c: Some(-20.0),
        low_is_estimated: false,
        high_c: Some(33.0),
    };
    let details = Details::of(household, option, &temperatures);
    let circuits = conductor_schedule(household, option, &details);
    let findings = findings(household, option, &details, &temperatures);
    let items = parts_list(household, option, &details, &circuits, &findings);
    Listed {
        details,
        circuits,
        items,
    }
}

impl Listed {
    fn pieces(&self, group: Group, state: State) -> u64 {
        let of_group = |item: &&Item| item.group == group && item.state == state;
        self.items
            .iter()
            .filter(of_group)
            .map(|item| match item.quantity {
                Quantity::Pieces(count) => u64::from(count),
                Quantity::LengthM(_) | Quantity::NotKnown => 0,
            })
            .sum()
    }

    fn length_m(&self) -> f64 {
        self.items
            .iter()
            .map(|item| match item.quantity {
                Quantity::LengthM(length_m) => length_m,
                Quantity::Pieces(_) | Quantity::NotKnown => 0.0,
            })
            .sum()
    }

    fn modules(&self, option: &CouplingOption, standing: bool) -> u64 {
        let arrays = option
            .arrays
            .iter()
            .filter(|array| array.standing == standing);
        arrays
            .filter_map(|array| self.details.array(array.id))
            .map(|found| u64::from(found.module.count))
            .sum()
    }
}

fn fed(option: &CouplingOption, number: usize) -> bool {
    let id = option.pv_inverters[number].id;
    option.arrays_on_inverter(id).next().is_some()
}

/// Whether anything runs on the backed-up side.
fn backs_up(option: &CouplingOption) -> bool {
    let backed_up = AcSide::BackedUp;
    option.generator.is_some()
        || option.storage.iter().any(|unit| unit.side == backed_up)
        || option
            .pv_inverters
            .iter()
            .enumerate()
            .any(|(number, inverter)| inverter.side == backed_up && fed(option, number))
}

/// Conductors of a circuit: both poles on DC; on AC every line and the neutral; each as often as it lies in parallel, and an earth
/// conductor with every run, or one where all lie in one raceway.
fn conductors(circuit: &Circuit, supply: Supply) -> f64 {
    let split_phase = supply == Supply::SplitPhase120V240V60Hz;
    let poles = match (circuit.kind, circuit.duty.loaded) {
        (CircuitKind::PvSource | CircuitKind::Battery, _) => 2.0,
        (_, LoadedConductors::Three) => 4.0,
        (_, LoadedConductors::Two) if split_phase => 3.0,
        (_, LoadedConductors::Two) => 2.0,
    };
    let laying = &circuit.run.laying;
    let found = circuit.conductors.map(|found| found.parallel);
    let parallel = found.or(circuit.run.parallel).unwrap_or(1);
    let earths = match (laying.wiring, laying.parallel) {
        (Wiring::Nec { .. }, ParallelLaying::Together) => 1,
        _ => parallel,
    };
    poles * f64::from(parallel) + f64::from(earths)
}

fn check(household: &Household, option: &CouplingOption) {
    let listed = listed(household, option);
    assert_eq!(
        listed.pieces(Group::Modules, State::New),
        listed.modules(option, false)
    );
    assert_eq!(
        listed.pieces(Group::Modules, State::Stands),
        listed.modules(option, true)
    );

    let with_strings = |number: &usize| {
        let id = option.pv_inverters[*number].id;
        listed
            .details
            .pv_inverter(id)
            .is_some_and(|found| matches!(found.input, PvInput::Strings(_)))
    };
    let all = 0..option.pv_inverters.len();
    if all.clone().all(|number| with_strings(&number)) {
        let new = all
            .clone()
            .filter(|number| !option.pv_inverters[*number].standing && fed(option, *number));
        assert_eq!(
            listed.pieces(Group::PvInverters, State::New),
            new.count() as u64
        );
        let standing = all.filter(|number| option.pv_inverters[*number].standing);
        assert_eq!(
            listed.pieces(Group::PvInverters, State::Stands),
            standing.count() as u64
        );
    }

    let inverters = listed
        .items
        .iter()
        .filter(|item| item.description.starts_with("storage inverter"));
    assert_eq!(inverters.count(), option.storage.len());

    let scheduled_m: f64 = listed
        .circuits
        .iter()
        .filter(|circuit| {
            circuit.kind != CircuitKind::Transfer || (household.service.utility && backs_up(option))
        })
        .map(|circuit| {
            conductors(circuit, household.service.supply)
                * circuit.run.one_way_m
                * circuit.alike as f64
        })
        .sum();
    let bought_m = scheduled_m * (1.0 + CONDUCTOR_ALLOWANCE);
    // Both are sums of the same products in another order.
    assert!(
        (listed.length_m() - bought_m).abs() <= 1e-9 * bought_m.max(1.0),
        "{} m listed, {bought_m} m scheduled",
        listed.length_m()
    );

    let file = csv(&listed.items, LengthUnit::Metres);
    assert_eq!(file.matches("\r\n").count(), listed.items.len() + 1);
}

#[test]
fn the_demonstration_is_listed_whole() {
    let household = demo();
    for option in &household.options {
        check(&household, option);
    }
}

/// Reckoned by hand for the option with mixed joins of the demonstration, from its conductor schedule: generic runs of 15 m from the
/// roof, 10 m from a PV inverter, 5 m and 1.5 m from storage to its panel and its battery, 3 m between the panels; both poles or both
/// lines, neutral and earth, and a tenth more (common practice). South roof and its inverter stand.
///
/// - strings: (15 m + 15 m) × 2 poles × 1.1 = 66 m, earth 30 m × 1.1 = 33 m; standing 33 m and 16.5 m
/// - Garage inverter: 10 m × 2 lines × 1.1 = 22 m, neutral and earth 11 m each; South inverter the same, standing
/// - storage output: 5 m × 2 × 1.1 = 11 m, neutral and earth 5.5 m; battery 1.5 m × 2 × 1.1 = 3.3 m, earth 1.65 m
/// - transfer: 3 m × 2 × 1.1 = 6.6 m, neutral and earth 3.3 m
#[test]
fn the_list_of_the_mixed_demonstration_is_what_a_hand_reckons() {
    let household = demo();
    let option = household
        .options
        .iter()
        .find(|option| option.name == "Mixed joins")
        .expect("the demonstration has it");
    let listed = listed(&household, option);
    let lines = |group: Group| -> Vec<(State, String, String)> {
        let of_group = listed.items.iter().filter(|item| item.group == group);
        of_group
            .map(|item| {
                let quantity = match item.quantity {
                    Quantity::Pieces(count) => count.to_string(),
                    Quantity::LengthM(length_m) => format!("{length_m:.2} m"),
                    Quantity::NotKnown => "open".to_owned(),
                };
                (item.state, quantity, item.description.clone())
            })
            .collect()
    };
    let expected = |state: State, rows: &[(&str, &str)]| -> Vec<(State, String, String)> {
        rows.iter()
            .map(|(quantity, words)| (state, (*quantity).to_owned(), (*words).to_owned()))
            .collect()
    };
    let mut conductors = expected(
        State::New,
        &[
            (
                "66.00 m",
                "PV string conductor, DC, 12 AWG, copper, insulated for 90 °C",
            ),
            (
                "3.30 m",
                "battery conductor, DC, 4/0 AWG, copper, insulated for 90 °C",
            ),
            (
                "22.00 m",
                "line conductor, 14 AWG, copper, insulated for 90 °C",
            ),
            (
                "11.00 m",
                "line conductor, 8 AWG, copper, insulated for 90 °C",
            ),
            (
                "6.60 m",
                "line conductor, 3 AWG, copper, insulated for 90 °C",
            ),
            (
                "11.00 m",
                "neutral conductor, 14 AWG, copper, insulated for 90 °C",
            ),
            (
                "5.50 m",
                "neutral conductor, 8 AWG, copper, insulated for 90 °C",
            ),
            (
                "3.30 m",
                "neutral conductor, 3 AWG, copper, insulated for 90 °C",
            ),
            ("11.00 m", "equipment grounding conductor, 14 AWG, copper"),
            ("33.00 m", "equipment grounding conductor, 12 AWG, copper"),
            ("5.50 m", "equipment grounding conductor, 10 AWG, copper"),
            ("3.30 m", "equipment grounding conductor, 8 AWG, copper"),
            ("1.65 m", "equipment grounding conductor, 4 AWG, copper"),
        ],
    );
    conductors.extend(expected(
        State::Stands,
        &[
            (
                "33.00 m",
                "PV string conductor, DC, 12 AWG, copper, insulated for 90 °C",
            ),
            (
                "22.00 m",
                "line conductor, 10 AWG, copper, insulated for 90 °C",
            ),
            (
                "11.00 m",
                "neutral conductor, 10 AWG, copper, insulated for 90 °C",
            ),
            ("16.50 m", "equipment grounding conductor, 12 AWG, copper"),
            ("11.00 m", "equipment grounding conductor, 10 AWG, copper"),
        ],
    ));
    assert_eq!(lines(Group::Conductors), conductors);
    let mut breakers = expected(
        State::New,
        &[
            ("1", "circuit breaker, 2 poles, suited to backfeed, 15 A"),
            ("1", "circuit breaker, 2 poles, suited to backfeed, 40 A"),
            (
                "1",
                "DC breaker or fuse, both poles, at least 58.4 V DC, 225 A",
            ),
            ("1", "feeder breaker, 2 poles, 100 A"),
        ],
    );
    breakers.extend(expected(
        State::Stands,
        &[("1", "circuit breaker, 2 poles, suited to backfeed, 25 A")],
    ));
    assert_eq!(lines(Group::Protection), breakers);
    // A disconnect for each PV inverter and for the MPPT inputs, one for the storage: as many labels, one at each of three
    // back-fed breakers, and a directory at the service and at every disconnect.
    let count = |group: Group, words: &str| -> u32 {
        let found = listed
            .items
            .iter()
            .filter(|item| item.group == group && item.description.contains(words));
        found
            .map(|item| match item.quantity {
                Quantity::Pieces(count) => count,
                _ => 0,
            })
            .sum()
    };
    assert_eq!(count(Group::Switching, "PV disconnect"), 3);
    assert_eq!(count(Group::Switching, "storage disconnect"), 1);
    assert_eq!(count(Group::Labels, "PV disconnect"), 3);
    assert_eq!(count(Group::Labels, "back-fed"), 3);
    assert_eq!(count(Group::Labels, "storage disconnect"), 1);
    assert_eq!(count(Group::Labels, "directory"), 5);
}

proptest! {
    #![proptest_config(draws(64))]

    /// Counts are those of the option, lengths those of its conductor schedule with the allowance.
    #[test]
    fn totals_are_those_of_the_option_and_of_its_schedule(household in any_household()) {
        for option in &household.options {
            check(&household, option);
        }
    }

    /// A household where all that is drawn stands already buys nothing that stands.
    #[test]
    fn what_stands_is_not_bought(mut household in any_household()) {
        if let Some(option) = household.options.first_mut() {
            for array in &mut option.arrays {
                array.standing = true;
            }
            for inverter in &mut option.pv_inverters {
                inverter.standing = true;
            }
            for unit in &mut option.storage {
                unit.standing = true;
            }
            if let Some(generator) = &mut option.generator {
                generator.standing = true;
            }
        }
        let Some(option) = household.options.first() else {
            return Ok(());
        };
        let bought: Vec<_> = listed(&household, option)
            .items
            .into_iter()
            .filter(|item| item.state == State::New)
            // What the household says is missing, or labels that are not in place, are new all the same.
            .filter(|item| !matches!(item.group, Group::Switching | Group::Labels))
            .collect();
        prop_assert!(bought.is_empty(), "{bought:#?}");
    }
}
