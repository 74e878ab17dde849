//! Breakers and busbars.

use couplet_core::rules::{Busbar, IEC_RATINGS_A, NEC_RATINGS_A, feeder_tap_a};
use couplet_tests::assert_near;

/// NEC 240.6(A) and the ratings of IEC 60898 and 60947 (public lists to 400 A; beyond, ten steps a decade as from 40 A to 125 A, IEC
/// 60059, from memory).
#[test]
fn standard_ratings_are_those_of_the_lists() {
    let nec = "15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400 450 500 600 700 800 1000 1200 1600 \
               2000 2500 3000 4000 5000 6000";
    let iec = "6 10 13 16 20 25 32 40 50 63 80 100 125 160 200 250 315 400 500 630 800 \
               1000 1250";
    for (list, ratings_a) in [(nec, &NEC_RATINGS_A[..]), (iec, &IEC_RATINGS_A[..])] {
        let listed: Vec<f64> = list
            .split_whitespace()
            .map(|one| one.parse().unwrap())
            .collect();
        assert_eq!(listed, ratings_a);
    }
}

/// Room of the 120 % rule in amperes and kilowatts at 240 V.
///
/// Source: NEC 705.12 (public texts of 2017 and 2020), by arithmetic.
#[test]
fn the_far_end_rule_leaves_the_room_that_arithmetic_gives() {
    for (rating_a, supply_device_a, room_a, room_kw) in [
        (200.0, 200.0, 32.0, 7.68),
        (225.0, 200.0, 56.0, 13.44),
        (200.0, 175.0, 52.0, 12.48),
        (125.0, 100.0, 40.0, 9.6),
        (100.0, 100.0, 16.0, 3.84),
    ] {
        let busbar = Busbar {
            rating_a,
            supply_device_a,
            sources_a: room_a,
            breakers_a: None,
        };
        assert_near(busbar.far_end_room_a(), room_a, 1e-9, "room");
        assert_near(busbar.far_end_room_a() * 0.24, room_kw, 1e-9, "kW");
        assert!(busbar.far_end().is_met());
        assert!(
            !Busbar {
                sources_a: room_a + 0.1,
                ..busbar
            }
            .far_end()
            .is_met()
        );
    }
}

/// Two sources of 32 A on 200/200: 280 A above 240 A; main breaker of 150 A: 230 A within. 100 % rule, main 150 A and 40 A: 200 A. Sum
/// rule on 200 A: 210 A fail, 195 A pass. Trade case: load 30 A and PV 60 A pass the sum rule while 48 A fail the 120 % rule.
///
/// Source: by arithmetic; the last from a trade discussion of 705.12.
#[test]
fn busbar_rules_agree_with_the_worked_cases() {
    let busbar = |supply_device_a, sources_a, breakers_a| Busbar {
        rating_a: 200.0,
        supply_device_a,
        sources_a,
        breakers_a,
    };
    let two_sources = busbar(200.0, 64.0, None).far_end();
    assert_eq!((two_sources.value_a, two_sources.limit_a), (280.0, 240.0));
    assert!(!two_sources.is_met());
    let smaller_main = busbar(150.0, 64.0, None).far_end();
    assert_eq!(smaller_main.value_a, 230.0);
    assert!(smaller_main.is_met());
    let anywhere = busbar(150.0, 40.0, None).whole();
    assert_eq!((anywhere.value_a, anywhere.limit_a), (200.0, 200.0));
    assert!(anywhere.is_met());
    let breakers_a = [60.0, 30.0, 30.0, 20.0, 15.0, 15.0, 40.0];
    let sum_a: f64 = breakers_a.iter().sum();
    assert_eq!(sum_a, 210.0);
    assert!(!busbar(200.0, 32.0, Some(sum_a)).sum().unwrap().is_met());
    assert!(
        busbar(200.0, 32.0, Some(sum_a - 15.0))
            .sum()
            .unwrap()
            .is_met()
    );
    let trade_case = busbar(200.0, 48.0, Some(30.0 + 60.0));
    assert!(trade_case.sum().unwrap().is_met());
    assert_eq!(trade_case.far_end().value_a, 260.0);
    assert!(!trade_case.far_end().is_met());
    assert_near(
        feeder_tap_a(100.0, 32.0, 1.0 / 3.0),
        46.7,
        0.05,
        "25 ft tap",
    );
}
