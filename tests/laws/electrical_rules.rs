//! Laws of the electrical rules.

use couplet_core::rules::{
    Busbar, Code, Conductors, Duty, HomeCircuits, Laying, LoadedConductors, Metal, NecEdition,
    ParallelLaying, Reserve, Size, StringFuse, Wiring, breaker_at_least_a, cold_factor,
    fewest_in_series, most_in_series, source_circuit_a, string_fuse, voltage_at_cell_v,
    voltage_drop_v,
};
use couplet_tests::any::{any_home_circuits, any_parallel_laying, any_wiring};
use couplet_tests::draws;
use proptest::prelude::*;
use proptest::sample::select;

fn any_code() -> impl Strategy<Value = Code> {
    select(Code::ALL.to_vec())
}

fn any_laying() -> impl Strategy<Value = Laying> {
    (
        select(vec![Metal::Copper, Metal::Aluminium]),
        -20.0..90.0,
        any_wiring(1..45_u32, 1..12_u32),
        any_parallel_laying(),
    )
        .prop_map(|(metal, ambient_c, wiring, parallel)| Laying {
            metal,
            ambient_c,
            parallel,
            wiring,
        })
}

fn any_duty() -> impl Strategy<Value = Duty> {
    (
        0.1..1500.0,
        proptest::option::of(1.0..2.5),
        select(vec![LoadedConductors::Two, LoadedConductors::Three]),
        prop_oneof![
            Just(Reserve::Continuous),
            (0.0..0.5).prop_map(Reserve::Throughout)
        ],
    )
        .prop_map(|(highest_a, over, loaded, reserve)| Duty {
            highest_a,
            reserve,
            device_a: over.map(|over: f64| over * highest_a),
            loaded,
        })
}

fn family(laying: &Laying) -> Code {
    match laying.wiring {
        Wiring::Nec { .. } => Code::Nec(NecEdition::Of2023),
        Wiring::Iec { .. } => Code::Iec,
    }
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn a_larger_conductor_never_fails_where_a_smaller_passes(laying in any_laying(), duty in any_duty(), parallel in 1..6_u32) {
        let mut passed = false;
        for size in Size::all(family(&laying)) {
            // The tables end: beyond them nothing is known.
            let Some(checks) = laying.checks(Conductors { size, parallel }, &duty) else { continue };
            let passes = checks.iter().all(|check| check.is_met());
            prop_assert!(passes || !passed, "{} fails: {checks:?}", size.label());
            passed = passes;
        }
    }

    #[test]
    fn the_least_size_suits_and_the_one_below_does_not(laying in any_laying(), duty in any_duty(), parallel in 1..6_u32) {
        if let Some(least) = laying.least_size(&duty, parallel, None) {
            let suits = |size| laying.suits(Conductors { size, parallel }, &duty);
            prop_assert!(suits(least));
            for size in Size::all(family(&laying)).take_while(|size| *size < least) {
                prop_assert!(!suits(size));
            }
        }
    }

    #[test]
    fn several_in_parallel_never_carry_less_than_one(laying in any_laying(), duty in any_duty(), parallel in 2..12_u32) {
        for size in Size::all(family(&laying)) {
            if let (Some(one), Some(several)) =
                (laying.carrying(size, &duty), laying.carrying(Conductors { size, parallel }, &duty))
            {
                prop_assert!(several.corrected_a >= one.corrected_a && several.terminal_a >= one.terminal_a);
                let lost = laying.resistance_ohm_per_m(Conductors { size, parallel }).unwrap();
                prop_assert!(lost < laying.resistance_ohm_per_m(size).unwrap());
                // Apart they carry as many times one; together each is company to the others.
                let times = f64::from(parallel) * one.corrected_a;
                match laying.parallel {
                    ParallelLaying::Apart => prop_assert!((several.corrected_a - times).abs() <= 1e-9 * times),
                    ParallelLaying::Together => prop_assert!(several.corrected_a <= times * (1.0 + 1e-9)),
                }
            }
        }
    }

    #[test]
    fn parallel_runs_are_proposed_only_where_no_single_conductor_suffices(laying in any_laying(), duty in any_duty()) {
        if let Some(least) = laying.least(&duty) {
            prop_assert!(laying.suits(least, &duty));
            for fewer in 1..least.parallel {
                prop_assert_eq!(laying.least_size(&duty, fewer, None), None);
            }
            prop_assert!(least.parallel == 1 || Conductors::may_be_parallel(least.size));
        }
    }

    #[test]
    fn diversity_never_asks_for_more_than_is_connected_and_grows_with_it(home in any_home_circuits(), more_w in 0.0..5000.0) {
        for part in home.demand() {
            // The socket beside a cooker's switch comes on top of the cooker.
            let socket_w = if part.what == "cooking" && home.cooking_socket { 1150.0 } else { 0.0 };
            prop_assert!(part.demand_w >= 0.0 && part.demand_w <= (part.connected_w + socket_w) * (1.0 + 1e-12), "{part:?}");
        }
        let larger = HomeCircuits {
            lighting_w: home.lighting_w + more_w,
            heating_w: home.heating_w + more_w,
            cooking_w: home.cooking_w + more_w,
            socket_circuits: home.socket_circuits + 1,
            ..home
        };
        prop_assert!(larger.demand_w() >= home.demand_w());
    }

    #[test]
    fn a_hotter_or_more_crowded_run_never_carries_more(laying in any_laying(), duty in any_duty(), hotter in 0.0..40.0) {
        let mut worse = laying;
        worse.ambient_c += hotter;
        match &mut worse.wiring {
            Wiring::Nec { loaded_conductors, .. } => *loaded_conductors += 3,
            Wiring::Iec { circuits, .. } => *circuits += 1,
        }
        for size in Size::all(family(&laying)) {
            if let (Some(before), Some(after)) = (laying.carrying(size, &duty), worse.carrying(size, &duty)) {
                prop_assert!(after.corrected_a <= before.corrected_a);
            }
        }
    }

    #[test]
    fn colder_never_lowers_a_string_voltage(
        voc_v in 1.0..200.0, per_c in -0.006..0.0, cold_c in -60.0..30.0, colder in 0.0..40.0,
    ) {
        prop_assert!(voltage_at_cell_v(voc_v, per_c, cold_c - colder) >= voltage_at_cell_v(voc_v, per_c, cold_c));
        if let (Some(cold), Some(colder)) = (cold_factor(cold_c), cold_factor(cold_c - colder)) {
            prop_assert!(colder >= cold);
        }
    }

    #[test]
    fn a_count_in_series_is_the_last_within_and_the_first_beyond(module_v in 0.1..200.0, limit_v in 1.0..2000.0) {
        let most = f64::from(most_in_series(module_v, limit_v));
        prop_assert!(most * module_v <= limit_v * (1.0 + 1e-9) && (most + 1.0) * module_v > limit_v);
        let fewest = f64::from(fewest_in_series(module_v, limit_v));
        prop_assert!(fewest * module_v >= limit_v * (1.0 - 1e-9) && (fewest - 1.0) * module_v < limit_v);
    }

    #[test]
    fn a_breaker_is_never_below_what_is_asked_and_never_shrinks(code in any_code(), least_a in 0.0..6000.0, more_a in 0.0..500.0) {
        let rating_a = breaker_at_least_a(code, least_a);
        prop_assert!(rating_a.is_none_or(|rating_a| rating_a >= least_a * (1.0 - 1e-9)));
        if let Some(larger_a) = breaker_at_least_a(code, least_a + more_a) {
            prop_assert!(larger_a >= rating_a.unwrap());
        }
    }

    #[test]
    fn a_string_fuse_lies_between_the_string_and_the_module(
        code in any_code(), short_circuit_a in 1.0..25.0, parallel in 1..12_u32, module_fuse_a in 5.0..40.0,
    ) {
        match string_fuse(code, short_circuit_a, parallel, module_fuse_a) {
            StringFuse::Rating(rating_a) => {
                prop_assert!(rating_a <= module_fuse_a && rating_a >= source_circuit_a(short_circuit_a, 1));
            }
            StringFuse::NoneFits { .. } => prop_assert!(parallel > 1),
            StringFuse::NotNeeded => prop_assert!(parallel <= 2 || code == Code::Iec),
        }
    }

    #[test]
    fn the_far_end_rule_permits_whatever_the_whole_rule_permits(
        rating_a in 50.0..400.0, supply_device_a in 15.0..400.0, sources_a in 0.0..200.0,
    ) {
        let busbar = Busbar { rating_a, supply_device_a, sources_a, breakers_a: None };
        prop_assert!(!busbar.whole().is_met() || busbar.far_end().is_met());
        prop_assert!(!busbar.whole().is_met() || busbar.whole_iec().is_met());
        let roomy = Busbar { sources_a: busbar.far_end_room_a(), ..busbar };
        prop_assert!(roomy.far_end().is_met() || supply_device_a > 1.2 * rating_a);
        let enough = Busbar { rating_a: busbar.least_far_end_rating_a(), ..busbar };
        prop_assert!(enough.far_end().is_met());
    }

    #[test]
    fn voltage_drop_grows_with_current_and_length(current_a in 0.0..300.0, one_way_m in 0.0..300.0, ohm_per_m in 1e-5..0.02) {
        let drop_v = |current_a, one_way_m| voltage_drop_v(current_a, one_way_m, ohm_per_m, LoadedConductors::Two);
        prop_assert!(drop_v(current_a + 1.0, one_way_m) >= drop_v(current_a, one_way_m));
        prop_assert!(drop_v(current_a, one_way_m + 1.0) >= drop_v(current_a, one_way_m));
        let three_v = voltage_drop_v(current_a, one_way_m, ohm_per_m, LoadedConductors::Three);
        prop_assert!(three_v <= drop_v(current_a, one_way_m));
    }
}
