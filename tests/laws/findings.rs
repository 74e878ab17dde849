//! Laws of the findings: what must hold for any household, and what the trade knows of the demonstration.

mod circuits;
mod dwelling;
mod off_grid;

use std::collections::BTreeSet;

use couplet_core::coupling::{CouplingOption, InputStrings, IslandMeans, Join, PowerLimiting};
use couplet_core::document::demo;
use couplet_core::findings::{
    DesignTemperatures, Details, Finding, Stringing, Verdict, Weight, findings, fitting_strings,
    wired_modules,
};
use couplet_core::household::{AcSide, Dwelling, Household, Supply};
use couplet_core::limits::Unit;
use couplet_core::rules::{Code, NecEdition};
use couplet_core::units::UnitSystem;
use couplet_tests::any::any_household;
use couplet_tests::{climate_grid, draws};
use proptest::prelude::*;
use proptest::sample::select;

fn temperatures(household: &Household) -> DesignTemperatures {
    DesignTemperatures::of(&household.site, None)
}

fn generic(household: &Household, option: &CouplingOption) -> Details {
    Details::of(household, option, &temperatures(household))
}

/// The finding of a rule and a part.
#[track_caller]
fn finding(found: &[Finding], id: &str) -> Finding {
    found
        .iter()
        .find(|finding| finding.id == id)
        .unwrap_or_else(|| {
            let ids: Vec<_> = found.iter().map(|finding| &finding.id).collect();
            panic!("no {id} among {ids:?}")
        })
        .clone()
}

/// What is said of the demonstration's third option after a change.
fn said(change: impl FnOnce(&mut Household, &mut CouplingOption, &mut Details)) -> Vec<Finding> {
    let mut household = demo();
    let mut option = household.options[2].clone();
    let temperatures = DesignTemperatures::of(&household.site, Some(&climate_grid()));
    let mut details = Details::of(&household, &option, &temperatures);
    change(&mut household, &mut option, &mut details);
    findings(&household, &option, &details, &temperatures)
}

/// A dwelling of 2,000 ft² with two small-appliance circuits, one for laundry, and appliances of 25 kW.
fn house() -> Dwelling {
    Dwelling {
        floor_m2: 2000.0 * 0.092_903_04,
        appliance_circuits: 3,
        appliances_w: 25_000.0,
        added_appliances_w: 0.0,
        central_heating_w: 0.0,
        central_heating_is_added: false,
    }
}

fn assert_sound(found: &[Finding]) {
    let ids: BTreeSet<_> = found.iter().map(|finding| finding.id.as_str()).collect();
    assert_eq!(ids.len(), found.len(), "two findings share an id");
    for finding in found {
        let id = &finding.id;
        assert!(!finding.formula.is_empty(), "{id} has no formula");
        match (finding.verdict, finding.margin) {
            (Verdict::Holds, Some(margin)) => assert!(margin >= 0.0, "{id}: {margin}"),
            (Verdict::Breaks, Some(margin)) => assert!(margin < 0.0, "{id}: {margin}"),
            (Verdict::NotJudged, margin) => {
                assert_eq!(margin, None, "{id}");
                assert!(
                    !finding.missing.is_empty(),
                    "{id} names nothing that would settle it"
                );
            }
            (Verdict::Watch, Some(margin)) if margin < 0.0 => {
                assert_eq!(finding.weight, Weight::Advice, "{id} breaks a rule");
            }
            _ => {}
        }
        if finding.weight == Weight::Advice {
            assert_ne!(finding.verdict, Verdict::Breaks, "{id}");
        }
        if let Some(margin) = finding.margin {
            let (value, limit) = (finding.value.unwrap(), finding.limit.unwrap());
            assert!(margin == 0.0 || (value - limit).abs() > 0.0, "{id}");
            assert!(margin.is_finite(), "{id}");
        }
        let needs_remedy = matches!(finding.verdict, Verdict::Breaks | Verdict::Watch);
        assert!(
            !needs_remedy || !finding.remedy.is_empty(),
            "{id} has no remedy"
        );
    }
}

proptest! {
    #![proptest_config(draws(64))]

    #[test]
    fn verdict_and_margin_agree_for_any_household(household in any_household(), code in select(Code::ALL.to_vec())) {
        for option in &household.options {
            let temperatures = temperatures(&household);
            let details = Details::under(code, &household, option, &temperatures);
            let found = findings(&household, option, &details, &temperatures);
            assert_sound(&found);
            prop_assert!(found.iter().all(|one| one.source.edition.is_empty() || matches!(code, Code::Nec(_))));
        }
    }

    #[test]
    fn units_change_the_words_and_nothing_else(household in any_household(), code in select(Code::ALL.to_vec())) {
        for option in &household.options {
            let temperatures = temperatures(&household);
            let metric = Details::under(code, &household, option, &temperatures);
            let us = metric.clone().told_in(UnitSystem::Us);
            let found = findings(&household, option, &metric, &temperatures);
            for (one, other) in found.iter().zip(findings(&household, option, &us, &temperatures)) {
                let same = Finding { formula: one.formula.clone(), remedy: one.remedy.clone(), ..other.clone() };
                prop_assert_eq!(one, &same);
                prop_assert!(matches!(code, Code::Nec(_)) || one.formula == other.formula);
                for metric in [" m ", " °C", "Ω/km"] {
                    prop_assert!(code == Code::Iec || !other.formula.contains(metric), "{}", other.formula);
                }
            }
        }
    }

    #[test]
    fn a_colder_site_never_eases_a_string_voltage(household in any_household(), colder_k in 0.0..40.0) {
        for option in &household.options {
            let details = generic(&household, option);
            let mild = temperatures(&household);
            let cold = DesignTemperatures { low_c: mild.low_c.map(|low_c| low_c - colder_k), ..mild };
            let before = findings(&household, option, &details, &mild);
            for after in findings(&household, option, &details, &cold) {
                if after.id.starts_with("cold-voltage/") || after.id.starts_with("dwelling-voltage/") {
                    let before = before.iter().find(|one| one.id == after.id).unwrap();
                    if let (Some(mild), Some(cold)) = (before.margin, after.margin) {
                        prop_assert!(cold <= mild, "{}: {mild} to {cold}", after.id);
                    }
                }
            }
        }
    }

    #[test]
    fn strings_that_are_proposed_hold(household in any_household()) {
        for option in &household.options {
            let temperatures = temperatures(&household);
            let details = generic(&household, option);
            let found = findings(&household, option, &details, &temperatures);
            for array in &option.arrays {
                let Some(Join::Dc(unit)) = option.join(array) else { continue };
                let (Some(one), Some(window)) =
                    (details.array(array.id), details.storage(unit).and_then(|unit| unit.input)) else { continue };
                let rise_k = household.plane(array.plane).map(|plane| couplet_core::rules::hot_cell_rise_k(plane.mounting));
                let hot_c = temperatures.high_c.zip(rise_k).map(|(high_c, rise_k)| high_c + rise_k);
                let fitting = fitting_strings(&Stringing {
                    code: details.code,
                    module: &one.module,
                    window: &window,
                    low_c: temperatures.low_c,
                    hot_cell_c: hot_c,
                    power_per_c: array.power_coefficient_per_c,
                });
                for strings in &fitting {
                    prop_assert_eq!(wired_modules(strings), one.module.count);
                }
                if fitting.contains(&one.strings) && temperatures.low_c.is_some() {
                    for rule in ["cold-voltage", "dwelling-voltage", "hot-voltage", "input-short-circuit", "wiring"] {
                        let judged = finding(&found, &format!("{rule}/array-{}", array.id.0));
                        prop_assert!(judged.margin.is_none_or(|margin| margin >= 0.0), "{}", judged.formula);
                    }
                }
            }
        }
    }
}

#[test]
fn numbers_out_of_every_range_are_no_reason_to_stop() {
    for wild in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
        let mut household = demo();
        household.service.main_breaker_a = wild;
        household.service.transfer_a = wild;
        household.service.export_limit_w = Some(wild);
        for option in &mut household.options {
            option
                .arrays
                .iter_mut()
                .for_each(|array| array.peak_w = wild);
            option
                .pv_inverters
                .iter_mut()
                .for_each(|inverter| inverter.rated_w = wild);
            for unit in &mut option.storage {
                unit.inverter.rated_w = wild;
                unit.battery.usable_wh = wild;
                unit.battery.charge_w = wild;
                unit.battery.least_charge_c = wild;
            }
        }
        for option in &household.options {
            let temperatures = DesignTemperatures {
                low_c: Some(wild),
                low_is_estimated: false,
                high_c: Some(wild),
            };
            let details = Details::of(&household, option, &temperatures);
            let found = findings(&household, option, &details, &temperatures);
            assert!(!found.is_empty());
            for finding in &found {
                assert!(finding.margin.is_none_or(f64::is_finite), "{}", finding.id);
            }
        }
    }
}

/// NEC 690.7: 16 generic modules of 42.4 V in the cold are 678 V.
#[test]
fn a_string_that_is_too_long_breaks_and_the_remedy_says_how_long_it_may_be() {
    let found = said(|_, _, details| {
        details.arrays[0].module.count = 16;
        details.arrays[0].strings = vec![InputStrings {
            in_series: 16,
            parallel: 1,
        }];
    });
    let judged = finding(&found, "cold-voltage/array-1");
    assert_eq!(judged.verdict, Verdict::Breaks);
    assert!((judged.value.unwrap() - 16.0 * 37.0 * (1.0 + 0.0027 * 54.0)).abs() < 1e-9);
    assert_eq!((judged.limit, judged.unit), (Some(600.0), Unit::V));
    assert_eq!(judged.remedy, "wire at most 14 modules in series");
}

#[test]
fn modules_left_over_break_the_lay_out() {
    let found = said(|_, _, details| details.arrays[0].strings[0].in_series = 11);
    assert_eq!(finding(&found, "wiring/array-1").verdict, Verdict::Breaks);
}

/// The table of factors serves where no coefficient is known: −29 °C lies in the band of 1.21.
#[test]
fn without_a_coefficient_the_table_of_factors_is_used() {
    let found = said(|_, _, details| details.arrays[0].module.voc_per_c = None);
    let judged = finding(&found, "cold-voltage/array-1");
    assert!((judged.value.unwrap() - 12.0 * 37.0 * 1.21).abs() < 1e-9);
    assert_eq!(judged.source.clause, "690.7(A)(2)");
}

/// Storage 30 A, south 16.7 A and garage 8.3 A: 1.25 × 55 A + 200 A = 268.75 A on a bus of 200 A.
///
/// Source: NEC 705.12(B) (2023).
#[test]
fn a_busbar_is_judged_by_every_rule_that_may_save_it() {
    let busbar = |change: fn(&mut Household, &mut Details)| {
        let found = said(|household, _, details| {
            details.grid_side.supply_device_a = 200.0;
            change(household, details);
        });
        finding(&found, "busbar/service")
    };
    let plain = busbar(|_, _| ());
    assert_eq!(plain.verdict, Verdict::Breaks);
    assert!((plain.value.unwrap() - 268.75).abs() < 1e-9);
    assert_eq!(
        (plain.limit, plain.source.clause),
        (Some(240.0), "705.12(B)(2)")
    );
    assert!(
        plain.remedy.starts_with("hold the sources to 32 A"),
        "{}",
        plain.remedy
    );
    // Held to 32 A by a controller, 240 A are just met at the far end.
    let controlled = busbar(|_, details| {
        details.grid_side.given.control_a = Some(32.0);
        details.grid_side.given.sources_at_far_end = Some(true);
    });
    assert_eq!(
        (controlled.margin, controlled.verdict),
        (Some(0.0), Verdict::Holds)
    );
    let anywhere = busbar(|_, details| {
        details.grid_side.given.control_a = Some(32.0);
        details.grid_side.given.sources_at_far_end = Some(false);
    });
    assert_eq!(
        (anywhere.limit, anywhere.verdict),
        (Some(200.0), Verdict::Breaks)
    );
    // Few load breakers: 100 A + 68.75 A are within 200 A.
    let by_sum = busbar(|_, details| details.grid_side.given.load_breakers_a = Some(100.0));
    assert_eq!(
        (by_sum.source.clause, by_sum.verdict),
        ("705.12(B)(3)", Verdict::Holds)
    );
    let found = said(|_, _, details| details.grid_side.given.supply_side = true);
    assert!(found.iter().all(|finding| finding.id != "busbar/service"));
    assert_eq!(
        finding(&found, "supply-side/service").verdict,
        Verdict::Watch
    );
}

/// 1.25 × 55 A + 150 A = 218.75 A flow at most into what leaves by the lugs, as onto the busbar (705.12(B)(5)).
#[test]
fn feed_through_conductors_and_power_control_are_judged_once_they_are_given() {
    let judged = |id: &str, change: fn(&mut Details)| {
        let found = said(|_, _, details| {
            details.grid_side.given.feed_through = true;
            details.grid_side.given.control_a = Some(55.0);
            change(details);
        });
        finding(&found, id)
    };
    let open = judged("feed-through/service", |_| ());
    assert_eq!(open.verdict, Verdict::NotJudged);
    assert!(open.formula.contains("218.8 A"), "{}", open.formula);
    let thin = judged("feed-through/service", |details| {
        details.grid_side.given.feed_through_a = Some(200.0);
    });
    assert_eq!(thin.verdict, Verdict::Breaks);
    assert!((thin.value.unwrap() - 218.75).abs() < 1e-9);
    let thick = judged("feed-through/service", |details| {
        details.grid_side.given.feed_through_a = Some(225.0);
    });
    assert_eq!(thick.verdict, Verdict::Holds);
    for (listed, verdict) in [
        (None, Verdict::NotJudged),
        (Some(true), Verdict::Holds),
        (Some(false), Verdict::Breaks),
    ] {
        let found = said(|_, _, details| {
            details.grid_side.given.control_a = Some(55.0);
            details.grid_side.given.control_listed = listed;
        });
        assert_eq!(finding(&found, "power-control/service").verdict, verdict);
    }
}

#[test]
fn clauses_move_with_the_edition_and_the_family() {
    let clause = |code, id: &str| {
        let found = said(move |_, _, details| details.code = code);
        finding(&found, id).source.to_string()
    };
    assert_eq!(
        clause(Code::Nec(NecEdition::Of2017), "busbar/service"),
        "NEC 2017, 705.12(B)(2)(3)(b)"
    );
    assert_eq!(
        clause(Code::Nec(NecEdition::Of2026), "service-load/service"),
        "NEC 2026, 120.82"
    );
}

#[test]
fn a_home_at_50_hz_is_judged_by_the_iec() {
    let mut household = demo();
    household.service.supply = Supply::ThreePhase230V400V50Hz;
    let option = &household.options[2];
    let temperatures = DesignTemperatures::of(&household.site, Some(&climate_grid()));
    let details = Details::of(&household, option, &temperatures);
    assert_eq!(details.code, Code::Iec);
    let found = findings(&household, option, &details, &temperatures);
    assert_sound(&found);
    assert!(found.iter().all(|finding| finding.source.document != "NEC"));
    let voltage = finding(&found, "dwelling-voltage/array-1");
    assert_eq!(voltage.limit, Some(1000.0));
    // 7.2 kW on three lines are 10.43 A; a breaker of 13 A and 1.5 mm² carry them.
    let storage = finding(&found, "breaker/storage-1/1");
    assert_eq!(
        (storage.value, storage.verdict),
        (Some(13.0), Verdict::Holds)
    );
    assert!((storage.limit.unwrap() - 7200.0 / 690.0).abs() < 1e-9);
}

/// IEEE 1547-2018 at its defaults: 0.612 of the output can be held for good (derived from its tables 18 and 24).
#[test]
fn ac_pv_behind_a_full_battery_is_held_to_the_floor_of_its_grid_code() {
    let judged = finding(&said(|_, _, _| ()), "held-back/pv-inverter-3");
    assert!((judged.value.unwrap() - 0.612).abs() < 1e-9);
    assert_eq!(
        (judged.weight, judged.verdict),
        (Weight::Advice, Verdict::Watch)
    );
    assert!(
        judged.formula.contains("0.345 for a moment"),
        "{}",
        judged.formula
    );
    let commanded = said(|_, option, _| {
        for inverter in &mut option.pv_inverters {
            inverter.island = IslandMeans::Command { response_s: 1.0 };
        }
    });
    assert_eq!(
        finding(&commanded, "held-back/pv-inverter-3").verdict,
        Verdict::Holds
    );
}

#[test]
fn only_dc_pv_or_a_generator_lifts_a_flat_battery() {
    assert_eq!(
        finding(&said(|_, _, _| ()), "restart/storage-1").verdict,
        Verdict::Holds
    );
    let all_on_ac = said(|_, option, _| {
        for array in &mut option.arrays {
            array.dc_unit = None;
        }
    });
    assert_eq!(
        finding(&all_on_ac, "restart/storage-1").verdict,
        Verdict::Watch
    );
}

#[test]
fn pv_that_follows_no_command_breaks_an_export_limit_below_it() {
    assert_eq!(
        finding(&said(|_, _, _| ()), "export-limit/service").verdict,
        Verdict::Breaks
    );
    let commanded = said(|household, option, _| {
        for inverter in &mut option.pv_inverters {
            inverter.limiting = PowerLimiting::commanded();
        }
        household.electrical.export_control_limit_s = Some(5.0);
    });
    assert_eq!(
        finding(&commanded, "export-limit/service").verdict,
        Verdict::Holds
    );
    assert_eq!(
        finding(&commanded, "export-response/service").unit,
        Unit::Seconds
    );
}

#[test]
fn what_is_not_known_becomes_judged_when_it_is_given() {
    use couplet_core::household::{NeutralAtTransfer, RapidShutdown};
    use couplet_core::rules::StorageRoom;
    let open = said(|_, _, _| ());
    let given = said(|household, option, details| {
        household.electrical.rapid_shutdown = Some(RapidShutdown::Listed);
        household.electrical.neutral = Some(NeutralAtTransfer::SwitchedWithoutBond);
        household.electrical.labels_in_place = Some(true);
        option.storage[0].electrical.room = Some(StorageRoom::HabitableRoom);
        option.storage[0].electrical.spacing_m = Some(0.5);
        details.backed_up.busbar_a = Some(200.0);
    });
    for (id, verdict) in [
        ("rapid-shutdown/array-1", Verdict::Holds),
        ("neutral-bond/transfer", Verdict::Breaks),
        ("label-sources/service", Verdict::Holds),
        ("storage-place/storage-1", Verdict::Breaks),
        ("storage-spacing/storage-1", Verdict::Breaks),
        ("busbar/transfer", Verdict::Holds),
    ] {
        assert_eq!(finding(&open, id).verdict, Verdict::NotJudged, "{id}");
        assert_eq!(finding(&given, id).verdict, verdict, "{id}");
    }
}

#[test]
fn a_home_without_utility_is_not_judged_by_its_service() {
    let found = said(|household, _, _| household.service.utility = false);
    for id in [
        "busbar/service",
        "service-load/service",
        "export-limit/service",
        "transfer-path/transfer",
    ] {
        assert!(found.iter().all(|finding| finding.id != id), "{id}");
    }
    assert!(found.iter().any(|finding| finding.id == "busbar/transfer"));
}

#[test]
fn a_storage_unit_on_the_grid_side_holds_no_island() {
    let found = said(|_, option, _| option.storage[0].side = AcSide::GridSide);
    assert_eq!(
        finding(&found, "bus-held/base-backed-up").verdict,
        Verdict::Watch
    );
    assert!(
        found
            .iter()
            .all(|finding| !finding.id.starts_with("restart/"))
    );
}

/// What is typed into the household reaches the findings, and they say no more that it is generic.
#[test]
fn what_the_household_gives_takes_the_place_of_generic_values() {
    use couplet_core::coupling::{InputSheet, ModuleSheet};
    let mut household = demo();
    household.electrical.code = Some(Code::Nec(NecEdition::Of2020));
    household.electrical.backed_up_busbar_a = Some(225.0);
    household.electrical.dwelling = Some(house());
    let mut option = household.options[2].clone();
    option.arrays[0].electrical.module = Some(ModuleSheet {
        count: 12,
        voc_v: 49.5,
        isc_a: 10.0,
        vmp_v: 41.0,
        imp_a: 9.5,
        voc_per_c: Some(-0.0027),
        vmp_per_c: None,
        series_fuse_a: 20.0,
    });
    option.arrays[0].electrical.strings = Some(vec![InputStrings {
        in_series: 12,
        parallel: 1,
    }]);
    option.pv_inverters[0].electrical.input = Some(InputSheet {
        most_v: 600.0,
        mppt_from_v: 100.0,
        mppt_to_v: 550.0,
        most_working_a: 12.0,
        most_short_circuit_a: 15.0,
    });
    let cold = DesignTemperatures {
        low_c: Some(-10.0),
        low_is_estimated: false,
        high_c: Some(35.0),
    };
    let details = Details::of(&household, &option, &cold);
    let found = findings(&household, &option, &details, &cold);
    // The public worked item of 690.7: 54.18 V in the cold, eleven within 600 V.
    let voltage = finding(&found, "cold-voltage/array-1");
    assert!((voltage.value.unwrap() - 12.0 * 54.177_75).abs() < 1e-6);
    assert_eq!(voltage.verdict, Verdict::Breaks);
    assert_eq!(voltage.remedy, "wire at most 11 modules in series");
    assert!(voltage.assumed.is_empty(), "{:?}", voltage.assumed);
    assert_eq!(finding(&found, "busbar/transfer").verdict, Verdict::Holds);
    // NEC 220.82: lighting 6,000, circuits 4,500, appliances 25,000 and the car 5,700 VA in the pool; the heat pump beside it.
    let load = finding(&found, "service-load/service");
    let expected_a =
        (10_000.0 + 0.4 * (6_000.0 + 4_500.0 + 25_000.0 + 5_700.0 - 10_000.0) + 3_500.0) / 240.0;
    assert!(
        (load.value.unwrap() - expected_a).abs() < 1e-6,
        "{}",
        load.formula
    );
    assert_eq!(load.source.to_string(), "NEC 2020, 220.82");
}
