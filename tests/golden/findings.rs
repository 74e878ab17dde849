//! Everything that the electrical rules say of the demonstration, and its conductor schedules.

use std::fmt::Write;

use couplet_core::document::demo;
use couplet_core::findings::{
    Circuit, DesignTemperatures, Details, Finding, conductor_schedule, findings,
};
use couplet_tests::{assert_golden, climate_grid};

#[test]
fn the_findings_of_the_demonstration_are_the_kept_ones() {
    let household = demo();
    let temperatures = DesignTemperatures::of(&household.site, Some(&climate_grid()));
    let mut text = String::new();
    for option in &household.options {
        let details = Details::of(&household, option, &temperatures);
        writeln!(text, "# {} ({})\n", option.name, details.code).unwrap();
        for circuit in conductor_schedule(&household, option, &details) {
            write_circuit(&mut text, &circuit);
        }
        text.push('\n');
        for finding in findings(&household, option, &details, &temperatures) {
            write_finding(&mut text, &finding);
        }
        text.push('\n');
    }
    assert_golden("findings.txt", &text);
}

fn write_circuit(text: &mut String, circuit: &Circuit) {
    let size = |size: Option<couplet_core::rules::Size>| {
        size.map_or_else(|| "none suits".to_owned(), |size| size.label())
    };
    writeln!(
        text,
        "{}: {:.1} A, breaker {}, {}, earth {}, {:.1} m, {:.2} V of {:.0} V",
        circuit.name,
        circuit.duty.highest_a,
        circuit
            .duty
            .device_a
            .map_or_else(|| "none".to_owned(), |device_a| format!("{device_a:.0} A")),
        size(circuit.size),
        size(circuit.earth),
        circuit.run.one_way_m,
        circuit.drop_v.unwrap_or(f64::NAN),
        circuit.system_v,
    )
    .unwrap();
}

fn write_finding(text: &mut String, finding: &Finding) {
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
        .map(|missing| missing.words())
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
