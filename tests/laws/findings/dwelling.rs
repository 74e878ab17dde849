//! The load of the dwelling.

use couplet_core::document::demo;
use couplet_core::findings::{Finding, Missing, Verdict, findings};
use couplet_core::household::{DeviceKind, Dwelling, Supply};
use couplet_core::rules::{Code, NecEdition, SourceStatus};

use super::{assert_sound, finding, generic, house, said, temperatures};

/// Circuits with diversity: 660 + 2,650 + 3,830 W + devices, on the main breaker, in an outage and through the transfer switch.
///
/// Source: IEC 60364-1, 311; the usual on-site table (common practice, from memory).
#[test]
fn under_the_iec_the_circuits_of_the_home_settle_its_load() {
    use couplet_core::rules::HomeCircuits;
    let ids = [
        "service-load/service",
        "backed-up-load/base-backed-up",
        "transfer-load/transfer",
    ];
    let judged = |home: Option<HomeCircuits>| {
        let mut household = demo();
        household.service.supply = Supply::SinglePhase230V50Hz;
        household.loads.backed_up_share = 1.0;
        household.electrical.home_circuits = home;
        let option = household.options[2].clone();
        let details = generic(&household, &option);
        let found = findings(&household, &option, &details, &temperatures(&household));
        assert_sound(&found);
        ids.map(|id| finding(&found, id))
    };
    for open in judged(None) {
        assert_eq!(open.missing, [Missing::HomeCircuits], "{}", open.id);
    }
    let home = HomeCircuits {
        lighting_w: 1_000.0,
        heating_w: 3_000.0,
        cooking_w: 7_400.0,
        cooking_socket: false,
        instant_heaters: 0,
        instant_heater_w: 0.0,
        stored_heat_w: 0.0,
        socket_circuits: 0,
        socket_device_a: 16.0,
    };
    let circuits_w = 660.0 + 2_650.0 + 3_830.0;
    let devices = &demo().loads.devices;
    let power_w = |of: &dyn Fn(&couplet_core::household::Device) -> bool| -> f64 {
        devices
            .iter()
            .filter(|device| of(device))
            .map(|device| device.kind.power_w())
            .sum()
    };
    let [service, outage, transfer] = judged(Some(home));
    let near = |found: &Finding, expected: f64| {
        assert!(
            (found.value.unwrap() - expected).abs() < 1e-9,
            "{}",
            found.formula
        );
        assert!(
            found
                .assumed
                .iter()
                .any(|what| what.contains("from memory"))
        );
    };
    near(&service, (circuits_w + power_w(&|_| true)) / 230.0);
    near(
        &outage,
        circuits_w + power_w(&|device| device.backed_up && device.shed_order.is_none()),
    );
    near(
        &transfer,
        (circuits_w + power_w(&|device| device.backed_up)) / 230.0,
    );
}

/// As soon as something is marked as added, a dwelling is judged as one that stands; in 2026 by a rule that one public text tells, and
/// by an assumption that the finding states.
#[test]
fn what_is_added_makes_a_dwelling_one_that_stands() {
    let judged = |edition, is_added: bool| {
        let mut household = demo();
        household.electrical.code = Some(Code::Nec(edition));
        household.electrical.dwelling = Some(house());
        for device in &mut household.loads.devices {
            device.is_added = is_added;
        }
        let option = household.options[2].clone();
        let details = generic(&household, &option);
        let found = findings(&household, &option, &details, &temperatures(&household));
        assert_sound(&found);
        finding(&found, "service-load/service")
    };
    for (edition, is_added, clause) in [
        (NecEdition::Of2023, false, "220.82"),
        (NecEdition::Of2023, true, "220.83"),
        (NecEdition::Of2026, false, "120.82"),
        (NecEdition::Of2026, true, "120.83"),
    ] {
        assert_eq!(judged(edition, is_added).source.clause, clause);
    }
    assert!(judged(NecEdition::Of2023, true).assumed.is_empty());
    let since_2026 = judged(NecEdition::Of2026, true);
    assert_eq!(since_2026.source.status, SourceStatus::OneText);
    assert!(since_2026.assumed.iter().any(|what| what.contains("8 kVA")));
}

/// With the dwelling given, the backed-up panel's load is known, and so is what the transfer switch carries.
#[test]
fn the_dwelling_settles_the_load_of_the_backed_up_panel() {
    let found = said(|household, _, _| {
        household.electrical.dwelling = Some(house());
        household.loads.backed_up_share = 1.0;
        for device in &mut household.loads.devices {
            device.backed_up = false;
        }
    });
    // 6,000 + 4,500 + 25,000 = 35,500 VA: 10,000 + 0.4 × 25,500 = 20,200 VA.
    let outage = finding(&found, "backed-up-load/base-backed-up");
    assert!(
        (outage.value.unwrap() - 20_200.0).abs() < 1e-6,
        "{}",
        outage.formula
    );
    assert_eq!(outage.verdict, Verdict::Breaks);
    let transfer = finding(&found, "transfer-load/transfer");
    assert!(
        (transfer.value.unwrap() - 20_200.0 / 240.0).abs() < 1e-9,
        "{}",
        transfer.formula
    );
}

/// NEC 220.82 is for a whole dwelling: for a backed-up part of one it is taken by analogy (common practice), and so is what 702.4 makes
/// of it.
#[test]
fn for_part_of_a_dwelling_the_optional_method_serves_by_analogy() {
    let statuses = |share| {
        let found = said(move |household, _, _| {
            household.electrical.dwelling = Some(house());
            household.loads.backed_up_share = share;
        });
        [
            "transfer-load/transfer",
            "backed-up-load/base-backed-up",
            "service-load/service",
        ]
        .map(|id| finding(&found, id).source.status)
    };
    let (published, by_analogy) = (SourceStatus::Published, SourceStatus::ByAnalogy);
    assert_eq!(statuses(1.0), [published; 3]);
    assert_eq!(statuses(0.4), [by_analogy, by_analogy, published]);
}

/// A heat pump of 3.5 kW and central resistance heating of 12 kW: 3,500 + 0.65 × 12,000 = 11,300 VA beside the pool, where the larger
/// of both alone is 7,800 VA. Without a heat pump the heating counts by 65 %.
///
/// Source: NEC 220.82(C): heat pump whole and 65 % of its supplemental heat (percentages from memory).
#[test]
fn central_heating_beside_a_heat_pump_supplements_it() {
    let service = |with_heat_pump: bool| {
        let found = said(move |household, _, _| {
            household.electrical.dwelling = Some(Dwelling {
                central_heating_w: 12_000.0,
                ..house()
            });
            household.loads.devices.retain(|_| with_heat_pump);
            household.loads.devices.truncate(1);
            for device in &mut household.loads.devices {
                let DeviceKind::HeatPump { power_w, .. } = &mut device.kind else {
                    panic!("the first device is the heat pump");
                };
                *power_w = 3_500.0;
            }
        });
        finding(&found, "service-load/service")
    };
    let beside_va = |va: f64| (20_200.0 + va) / 240.0;
    for (with_heat_pump, va) in [(true, 11_300.0), (false, 7_800.0)] {
        let judged = service(with_heat_pump);
        let value_a = judged.value.unwrap();
        assert!((value_a - beside_va(va)).abs() < 1e-9, "{}", judged.formula);
        let says_so = judged
            .assumed
            .iter()
            .any(|what| what.contains("supplements"));
        assert_eq!(says_so, with_heat_pump);
    }
}
