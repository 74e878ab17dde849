//! Findings of circuits: breaker, conductors, voltage drop.

use super::finding::{Head, against, figure};
use super::{Circuit, CircuitKind, Context, DROP_ADVICE, Finding, Missing, Topic};
use crate::limits::Unit;
use crate::rules::{AmpacityCheck, AmpacityCheckKind, Clause, Code, Metal};

/// Findings of every circuit.
pub(super) fn judge(context: &Context<'_>, circuits: &[Circuit], found: &mut Vec<Finding>) {
    for circuit in circuits {
        found.extend(breaker(context, circuit));
        found.push(conductors(context, circuit));
        found.extend(voltage_drop(circuit));
    }
}

fn topic(circuit: &Circuit) -> Topic {
    match circuit.kind {
        CircuitKind::PvSource => Topic::Strings,
        CircuitKind::Battery => Topic::Storage,
        CircuitKind::PvOutput | CircuitKind::StorageOutput | CircuitKind::Transfer => {
            Topic::Circuits
        }
    }
}

/// The breaker carries the current continuously.
fn breaker(context: &Context<'_>, circuit: &Circuit) -> Option<Finding> {
    let clause = match circuit.kind {
        CircuitKind::PvSource | CircuitKind::Transfer => return None,
        CircuitKind::PvOutput | CircuitKind::StorageOutput => Clause::SourceOvercurrent,
        CircuitKind::Battery => Clause::StorageCircuit,
    };
    let head = Head {
        rule: "breaker",
        title: "breaker of the circuit",
        topic: topic(circuit),
        part: circuit.part,
        source: clause.source(context.code),
    };
    let basis = basis(context.code, circuit);
    let Some(device_a) = circuit.duty.device_a else {
        return Some(
            Finding::not_judged(
                head,
                &[Missing::LargerBreaker(circuit.kind)],
                format!("{}: {basis}", circuit.name),
            )
            .numbered(circuit.number),
        );
    };
    let proposed = if circuit.device_is_chosen {
        ""
    } else {
        " (proposed)"
    };
    let formula = format!(
        "{}: {} A{proposed} {} {basis}",
        circuit.name,
        figure(device_a, 0),
        against(device_a, circuit.basis_a, false),
    );
    let remedy = match circuit.least_device_a {
        Some(least_a) => format!("take a breaker of {} A", figure(least_a, 0)),
        None => "split the circuit: no standard breaker is large enough".to_owned(),
    };
    Some(
        Finding::at_least(head, device_a, circuit.basis_a, Unit::A, formula)
            .remedy(remedy)
            .resting_on(circuit.rests_on)
            .numbered(circuit.number),
    )
}

/// How the basis of breaker and conductors comes about.
fn basis(code: Code, circuit: &Circuit) -> String {
    match code {
        Code::Nec(_) => format!(
            "1.25 × {} A = {} A",
            figure(circuit.duty.highest_a, 2),
            figure(circuit.basis_a, 2)
        ),
        Code::Iec => format!("{} A", figure(circuit.basis_a, 2)),
    }
}

/// The conductors carry the current where they are laid, their terminals bear it, and the breaker protects them.
fn conductors(context: &Context<'_>, circuit: &Circuit) -> Finding {
    let clause = match circuit.kind {
        CircuitKind::PvSource => Clause::PvConductor,
        CircuitKind::PvOutput | CircuitKind::StorageOutput => Clause::SourceConductor,
        CircuitKind::Battery => Clause::StorageCircuit,
        CircuitKind::Transfer => Clause::Feeder,
    };
    let head = Head {
        rule: "conductors",
        title: "conductors of the circuit",
        topic: topic(circuit),
        part: circuit.part,
        source: clause.source(context.code),
    };
    let run_is_generic = circuit.run.laying_origin.is_generic();
    let judged = circuit
        .size
        .and_then(|size| Some((size, circuit.run.laying.checks(size, &circuit.duty)?)));
    let Some((size, checks)) = judged else {
        return Finding::not_judged(
            head,
            &[Missing::LargerConductor(circuit.kind)],
            format!(
                "{}: {} A highest, {} A basis",
                circuit.name,
                figure(circuit.duty.highest_a, 2),
                figure(circuit.basis_a, 2)
            ),
        )
        .resting_on(circuit.rests_on)
        .assuming(run_is_generic, "how the run is laid")
        .numbered(circuit.number);
    };
    let metal = match circuit.run.laying.metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
    };
    let proposed = if circuit.size_is_chosen {
        ""
    } else {
        " (proposed)"
    };
    let formula = format!(
        "{}: {} {metal}{proposed}: {}",
        circuit.name,
        size.label(),
        checks
            .iter()
            .map(|check| words(circuit, check))
            .collect::<Vec<_>>()
            .join("; ")
    );
    let tightest = checks
        .iter()
        .max_by(|a, b| (a.need_a / a.have_a).total_cmp(&(b.need_a / b.have_a)));
    let (need_a, have_a) = tightest.map_or((0.0, 0.0), |check| (check.need_a, check.have_a));
    let remedy = match circuit.least_size {
        Some(least) => format!("take {} {metal} or larger", least.label()),
        None => "lay several conductors in parallel, or a shorter or cooler run".to_owned(),
    };
    Finding::at_most(head, need_a, have_a, Unit::A, formula)
        .remedy(remedy)
        .resting_on(circuit.rests_on)
        .assuming(run_is_generic, "how the run is laid")
        .numbered(circuit.number)
}

fn words(circuit: &Circuit, check: &AmpacityCheck) -> String {
    let sign = against(check.need_a, check.have_a, true);
    let (need, have) = (figure(check.need_a, 2), figure(check.have_a, 2));
    match check.kind {
        AmpacityCheckKind::Continuous => {
            let highest = figure(circuit.duty.highest_a, 2);
            format!("1.25 × {highest} A = {need} A {sign} {have} A at the terminals")
        }
        AmpacityCheckKind::Corrected => {
            let carrying = circuit
                .size
                .and_then(|size| circuit.run.laying.carrying(size, &circuit.duty));
            let corrected = carrying.map_or(have.clone(), |carrying| {
                format!(
                    "{} A × {} for {} °C × {} for company = {have}",
                    figure(carrying.table_a, 1),
                    figure(carrying.ambient_factor, 2),
                    figure(circuit.run.laying.ambient_c, 0),
                    figure(carrying.grouping_factor, 2),
                )
            });
            format!("{need} A {sign} {corrected} A")
        }
        AmpacityCheckKind::Device => format!("breaker {need} A {sign} {have} A"),
    }
}

/// Voltage is not lost beyond what designers aim at; while an inverter sends out, the same is the rise at its terminals.
fn voltage_drop(circuit: &Circuit) -> Option<Finding> {
    if circuit.kind == CircuitKind::Transfer {
        return None;
    }
    let drop_v = circuit.drop_v?;
    let share = drop_v / circuit.system_v;
    let sends_out = matches!(
        circuit.kind,
        CircuitKind::PvOutput | CircuitKind::StorageOutput
    );
    let head = Head {
        rule: "voltage-drop",
        title: if sends_out {
            "voltage rise at the inverter"
        } else {
            "voltage drop of the run"
        },
        topic: topic(circuit),
        part: circuit.part,
        source: crate::rules::Source::COMMON_PRACTICE,
    };
    let ohm_per_km = circuit
        .size
        .and_then(|size| circuit.run.laying.resistance_ohm_per_m(size))
        .map_or(0.0, |ohm_per_m| 1000.0 * ohm_per_m);
    let conductors = match circuit.duty.loaded {
        crate::rules::LoadedConductors::Two => "2",
        crate::rules::LoadedConductors::Three => "√3",
    };
    let formula = format!(
        "{}: {conductors} × {} A × {} m × {} Ω/km = {} V of {} V, {} % {} {} %",
        circuit.name,
        figure(circuit.working_a, 1),
        figure(circuit.run.one_way_m, 1),
        figure(ohm_per_km, 3),
        figure(drop_v, 2),
        figure(circuit.system_v, 0),
        figure(100.0 * share, 2),
        against(share, DROP_ADVICE, true),
        figure(100.0 * DROP_ADVICE, 1),
    );
    Some(
        Finding::at_most(head, share, DROP_ADVICE, Unit::Share, formula)
            .advised()
            .remedy("take a larger size or a shorter run")
            .assuming(circuit.run.length_origin.is_generic(), "length of the run")
            .numbered(circuit.number),
    )
}
