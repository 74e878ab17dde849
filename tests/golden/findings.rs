//! Everything that the electrical rules say of the demonstration, and its conductor schedules.

use std::fmt::Write;

use couplet_core::coupling::CouplingOption;
use couplet_core::document::demo;
use couplet_core::findings::{
    Circuit, DesignTemperatures, Details, Finding, conductor_schedule, findings,
};
use couplet_core::household::{Household, Supply};
use couplet_core::rules::{Code, HomeCircuits};
use couplet_core::units::UnitSystem;
use couplet_tests::{assert_golden, climate_grid};

#[test]
fn the_findings_of_the_demonstration_are_the_kept_ones() {
    let household = demo();
    let text = told(&household, &household.options, UnitSystem::Metric);
    assert_golden("findings.txt", &text);
}

/// The mixed option, told in feet and °F.
#[test]
fn the_findings_in_us_units_are_the_kept_ones() {
    let household = demo();
    let text = told(&household, &household.options[2..3], UnitSystem::Us);
    assert_golden("findings_us.txt", &text);
}

/// The mixed option behind a single-phase service of 230 V, with a larger storage unit whose battery circuit asks for conductors in
/// parallel, its home's circuits given, and a short circuit known.
#[test]
fn the_findings_under_the_iec_are_the_kept_ones() {
    let mut household = demo();
    household.service.supply = Supply::SinglePhase230V50Hz;
    household.electrical.home_circuits = Some(HomeCircuits {
        lighting_w: 1_000.0,
        heating_w: 3_000.0,
        cooking_w: 10_000.0,
        cooking_socket: true,
        instant_heaters: 1,
        instant_heater_w: 9_000.0,
        stored_heat_w: 3_000.0,
        socket_circuits: 4,
        socket_device_a: 16.0,
    });
    let storage = &mut household.options[2].storage[0];
    storage.battery.discharge_w = 24_000.0;
    storage.electrical.output.fault_a = Some(6_000.0);
    storage.electrical.output.fault_cleared_s = Some(0.01);
    let text = told(&household, &household.options[2..3], UnitSystem::Us);
    assert_golden("findings_iec.txt", &text);
}

fn told(household: &Household, options: &[CouplingOption], units: UnitSystem) -> String {
    let temperatures = DesignTemperatures::of(&household.site, Some(&climate_grid()));
    let mut text = String::new();
    for option in options {
        let details = Details::of(household, option, &temperatures).told_in(units);
        writeln!(text, "# {} ({})\n", option.name, details.code).unwrap();
        for circuit in conductor_schedule(household, option, &details) {
            write_circuit(&mut text, &circuit);
        }
        text.push('\n');
        for finding in findings(household, option, &details, &temperatures) {
            write_finding(&mut text, &finding, details.code);
        }
        text.push('\n');
    }
    text
}

fn write_circuit(text: &mut String, circuit: &Circuit) {
    writeln!(
        text,
        "{}: {:.1} A, breaker {}, {}, earth {}, {:.1} m, {:.2} V of {:.0} V",
        circuit.name,
        circuit.duty.highest_a,
        circuit
            .duty
            .device_a
            .map_or_else(|| "none".to_owned(), |device_a| format!("{device_a:.0} A")),
        circuit
            .conductors
            .map_or_else(|| "none suits".to_owned(), |found| found.label()),
        circuit.earth_label().unwrap_or_else(|| "none".to_owned()),
        circuit.run.one_way_m,
        circuit.drop_v.unwrap_or(f64::NAN),
        circuit.system_v,
    )
    .unwrap();
}

fn write_finding(text: &mut String, finding: &Finding, code: Code) {
    let margin = finding
        .margin
        .map_or_else(String::new, |margin| format!(" ({:+.1} %)", 100.0 * margin));
    writeln!(
        text,
        "[{}]{margin} {}: {}\n    {} | {} | {}",
        finding.verdict.words(),
        finding.title,
        finding.formula,
        finding.id,
        finding.source,
        finding.source.status.words(),
    )
    .unwrap();
    let missing: Vec<_> = finding
        .missing
        .iter()
        .map(|missing| missing.words(code))
        .collect();
    for (label, lines) in [
        ("remedy", finding.remedy.as_str()),
        ("missing", &missing.join("; ")),
        ("assumed", &finding.assumed.join("; ")),
    ] {
        if !lines.is_empty() {
            writeln!(text, "    {label}: {lines}").unwrap();
        }
    }
}
