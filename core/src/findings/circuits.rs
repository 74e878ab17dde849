//! Findings of circuits: breaker, conductors, voltage drop.

use super::battery_power::BatteryPower;
use super::finding::{Head, against, figure};
use super::quantity::{length, resistance, temperature};
use super::{Circuit, CircuitKind, Context, Finding, Missing, Topic};
use crate::drawing::Part;
use crate::limits::Unit;
use crate::rules::{
    AmpacityCheck, AmpacityCheckKind, Clause, Code, Conductors, Device, Duty, LoadedConductors,
    Method, MetricInsulation, ParallelLaying, Reserve, Source, SourceStatus, Term, Wiring,
    short_circuit_k, short_circuit_section_mm2,
};
use crate::units::UnitSystem;

/// The air that a string's conductors lie in until it is given.
///
/// Source: common practice, on the safe side of the NEC, whose adder for roofs is for raceways close to the roof alone.
const HOT_ROOF_AIR: &str = "air as hot as the modules on a hot day, common practice";

/// Findings of every circuit.
pub(super) fn judge(context: &Context<'_>, circuits: &[Circuit], found: &mut Vec<Finding>) {
    for circuit in circuits {
        found.extend(breaker(context, circuit));
        found.push(conductors(context, circuit));
        found.extend(parallel(context, circuit));
        found.extend(short_circuit(context, circuit));
        found.extend(voltage_drop(context, circuit));
    }
}

fn topic(circuit: &Circuit) -> Topic {
    match circuit.kind {
        CircuitKind::PvSource => Topic::Strings,
        CircuitKind::Battery => Topic::Storage,
        CircuitKind::PvOutput
        | CircuitKind::StorageOutput
        | CircuitKind::GeneratorOutput
        | CircuitKind::Transfer => Topic::Circuits,
    }
}

/// The breaker carries the current continuously.
fn breaker(context: &Context<'_>, circuit: &Circuit) -> Option<Finding> {
    // A generator's breaker need not carry what its conductors have in reserve. The NEC does not ask it to carry what the generator gives.
    let (source, least_a, is_advice) = match (circuit.kind, context.code) {
        (CircuitKind::PvSource | CircuitKind::Transfer, _) => return None,
        (CircuitKind::PvOutput | CircuitKind::StorageOutput, code) => (
            Clause::SourceOvercurrent.source(code),
            circuit.basis_a,
            false,
        ),
        (CircuitKind::GeneratorOutput, Code::Nec(_)) => {
            (Source::COMMON_PRACTICE, circuit.duty.highest_a, true)
        }
        (CircuitKind::GeneratorOutput, Code::Iec) => (
            Clause::SourceOvercurrent.source(Code::Iec),
            circuit.duty.highest_a,
            false,
        ),
        (CircuitKind::Battery, code) => {
            (Clause::StorageCircuit.source(code), circuit.basis_a, false)
        }
    };
    let head = Head {
        rule: "breaker",
        title: "breaker of the circuit",
        topic: topic(circuit),
        part: circuit.part,
        source,
    };
    let basis = match circuit.kind {
        CircuitKind::GeneratorOutput => format!("{} A", figure(least_a, 2)),
        _ => basis(context.code, circuit),
    };
    let Some(device_a) = circuit.duty.device_a else {
        return Some(
            Finding::not_judged(
                head,
                &[Missing::LargerBreaker(circuit.kind)],
                format!("{}: {basis}{}", circuit.name, of_battery(context, circuit)),
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
        figure(device_a, 2),
        against(device_a, least_a, false),
    );
    let formula = formula + &of_battery(context, circuit);
    let remedy = match circuit.least_device_a {
        Some(least_a) => format!("take a breaker of {} A", figure(least_a, 0)),
        None => "split the circuit: no standard breaker is large enough".to_owned(),
    };
    let finding = Finding::at_least(head, device_a, least_a, Unit::A, formula);
    let finding = match is_advice {
        true => finding.advised(),
        false => finding,
    };
    Some(
        finding
            .remedy(remedy)
            .with_device(context.code, Device::Breaker, device_a, Some(least_a))
            .resting_on(circuit.rests_on)
            .numbered(circuit.number),
    )
}

/// How the highest current of a battery's circuit comes about; nothing for others.
fn of_battery(context: &Context<'_>, circuit: &Circuit) -> String {
    let (CircuitKind::Battery, Part::Storage(id)) = (circuit.kind, circuit.part) else {
        return String::new();
    };
    let unit = context.option.storage_unit(id);
    let battery = context
        .details
        .storage(id)
        .and_then(|found| found.battery.as_ref());
    let (Some(unit), Some(battery)) = (unit, battery) else {
        return String::new();
    };
    let power = BatteryPower::of(context.option, unit);
    format!(
        "; {} A: {}, at {} V lowest",
        figure(circuit.duty.highest_a, 2),
        power.words,
        figure(battery.voltages.lowest_v, 1)
    )
}

/// How the basis of breaker and conductors comes about.
fn basis(code: Code, circuit: &Circuit) -> String {
    match (code, circuit.duty.reserve) {
        (Code::Iec, Reserve::Continuous) => format!("{} A", figure(circuit.basis_a, 2)),
        (Code::Nec(_), Reserve::Continuous) | (_, Reserve::Throughout(_)) => {
            at_terminals(&circuit.duty)
        }
    }
}

/// How the current at the terminals comes about.
fn at_terminals(duty: &Duty) -> String {
    let times = match duty.reserve {
        Reserve::Continuous => 1.25,
        Reserve::Throughout(share) => 1.0 + share,
    };
    let found = format!("{} A", figure(duty.at_terminals_a(), 2));
    match times > 1.0 {
        true => format!(
            "{} × {} A = {found}",
            figure(times, 2),
            figure(duty.highest_a, 2)
        ),
        false => found,
    }
}

/// The conductors carry the current where they are laid, their terminals bear it, and the breaker protects them.
fn conductors(context: &Context<'_>, circuit: &Circuit) -> Finding {
    let clause = match (circuit.kind, context.code) {
        (CircuitKind::PvSource, _) => Clause::PvConductor,
        (CircuitKind::PvOutput | CircuitKind::StorageOutput, _) | (_, Code::Iec) => {
            Clause::SourceConductor
        }
        (CircuitKind::GeneratorOutput, Code::Nec(_)) => Clause::GeneratorConductor,
        (CircuitKind::Battery, Code::Nec(_)) => Clause::StorageCircuit,
        (CircuitKind::Transfer, Code::Nec(_)) => Clause::Feeder,
    };
    let head = Head {
        rule: "conductors",
        title: "conductors of the circuit",
        topic: topic(circuit),
        part: circuit.part,
        source: clause.source(context.code),
    };
    let run_is_generic = circuit.run.laying_origin.is_generic();
    let air_is_generic =
        circuit.kind == CircuitKind::PvSource && circuit.run.ambient_origin.is_generic();
    let judged = circuit.conductors.and_then(|found| {
        let laying = &circuit.run.laying;
        Some((
            found,
            laying.checks(found, &circuit.duty)?,
            laying.carrying(found, &circuit.duty)?.table_status,
        ))
    });
    let Some((conductors, checks, table_status)) = judged else {
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
        .assuming(air_is_generic, HOT_ROOF_AIR)
        .numbered(circuit.number);
    };
    let metal = circuit.run.laying.metal.under(context.code);
    let proposed = if circuit.size_is_chosen {
        ""
    } else {
        " (proposed)"
    };
    let formula = format!(
        "{}: {} {metal}{proposed}: {}",
        circuit.name,
        conductors.label(),
        checks
            .iter()
            .map(|check| words(context.units, circuit, check))
            .collect::<Vec<_>>()
            .join("; ")
    );
    let tightest = checks
        .iter()
        .max_by(|a, b| (a.need_a / a.have_a).total_cmp(&(b.need_a / b.have_a)));
    let (need_a, have_a) = tightest.map_or((0.0, 0.0), |check| (check.need_a, check.have_a));
    let remedy = match circuit.least {
        Some(least) => format!("take {} {metal} or larger", least.label()),
        None => {
            "lay more conductors in parallel, or take a cooler run with less company".to_owned()
        }
    };
    let finding = Finding::at_most(head, need_a, have_a, Unit::A, formula).remedy(remedy);
    // No other finding judges a breaker of the transfer path; its switch is judged by its load.
    let switch_a = context.household.service.transfer_a;
    let finding = match (circuit.kind, circuit.duty.device_a) {
        (CircuitKind::Transfer, Some(device_a)) if device_a != switch_a => finding.with_device(
            context.code,
            Device::Service,
            device_a,
            Some(circuit.basis_a),
        ),
        _ => finding,
    };
    finding
        .resting_on(circuit.rests_on)
        .assuming(run_is_generic, "how the run is laid")
        .assuming(air_is_generic, HOT_ROOF_AIR)
        .assuming(
            table_status == SourceStatus::FromMemory,
            match circuit.run.laying.wiring {
                Wiring::Iec {
                    insulation: MetricInsulation::PvCable,
                    method: Method::ConduitOnWall,
                    ..
                } => {
                    "ampacity from memory: PV cable in conduit taken for cross-linked cable held to 90 °C"
                }
                Wiring::Iec {
                    insulation: MetricInsulation::PvCable,
                    ..
                } => "ampacity of EN 50618 for cables that touch on a surface, from memory",
                _ => {
                    "ampacity from memory, in agreement with the formula of IEC 60364-5-52 annex D"
                }
            },
        )
        .numbered(circuit.number)
}

/// Conductors in parallel are large enough for it, and alike.
fn parallel(context: &Context<'_>, circuit: &Circuit) -> Option<Finding> {
    let conductors = circuit.conductors.filter(|found| found.parallel > 1)?;
    let head = Head {
        rule: "parallel",
        title: "conductors in parallel",
        topic: topic(circuit),
        part: circuit.part,
        source: Clause::ParallelConductors.source(context.code),
    };
    let least = match context.code {
        Code::Nec(_) => "1/0 AWG or larger, ",
        Code::Iec => "",
    };
    let laid = match circuit.run.laying.parallel {
        ParallelLaying::Apart => "each run apart",
        ParallelLaying::Together => "all together, each company to the others",
    };
    let of_how_many = match circuit.earths {
        1 => "for all",
        _ => "with each run",
    };
    let earth = circuit.earth.map_or_else(String::new, |earth| {
        let what = Term::EarthConductor.under(context.code);
        format!("; one {what} of {} {of_how_many}", earth.label())
    });
    Some(
        Finding::fact(
            head,
            Conductors::may_be_parallel(conductors.size),
            format!(
                "{}: {} {} on each pole, {laid}: {least}alike in length, metal, size, insulation and ends{earth}",
                circuit.name,
                conductors.label(),
                circuit.run.laying.metal.under(context.code),
            ),
        )
        .remedy("take 1/0 AWG or larger, or a single conductor")
        .assuming(true, "that conductors in parallel are alike")
        .numbered(circuit.number),
    )
}

/// A conductor bears a short circuit until it is cleared; of several in parallel each must by itself, since a fault close to one
/// end of one of them draws nearly all of the current through it.
fn short_circuit(context: &Context<'_>, circuit: &Circuit) -> Option<Finding> {
    // Modules give little more in a short circuit than they do at work.
    if circuit.kind == CircuitKind::PvSource {
        return None;
    }
    let Wiring::Iec { insulation, .. } = circuit.run.laying.wiring else {
        return None;
    };
    let conductors = circuit.conductors?;
    let k = short_circuit_k(circuit.run.laying.metal, insulation);
    let head = Head {
        rule: "short-circuit",
        title: "conductors in a short circuit",
        topic: topic(circuit),
        part: circuit.part,
        source: Clause::ShortCircuit.source(context.code),
    };
    let (Some(fault_a), Some(cleared_s)) = (circuit.run.fault_a, circuit.run.fault_cleared_s)
    else {
        return Some(
            Finding::not_judged(
                head,
                &[if circuit.run.fault_a.is_none() {
                    Missing::FaultCurrent(circuit.kind)
                } else {
                    Missing::ClearingTime(circuit.kind)
                }],
                format!(
                    "{}: the section must be at least I × √t / {} A √s/mm²",
                    circuit.name,
                    figure(k, 0)
                ),
            )
            .numbered(circuit.number),
        );
    };
    let (value_mm2, limit_mm2) = (
        conductors.size.area_mm2(),
        short_circuit_section_mm2(fault_a, cleared_s, k),
    );
    Some(
        Finding::at_least(
            head,
            value_mm2,
            limit_mm2,
            Unit::Mm2,
            format!(
                "{}: {} A × √({} s) / {} A √s/mm² = {} mm² {} {} mm²",
                circuit.name,
                figure(fault_a, 0),
                figure(cleared_s, 3),
                figure(k, 0),
                figure(limit_mm2, 2),
                against(limit_mm2, value_mm2, true),
                figure(value_mm2, 1),
            ),
        )
        .remedy(format!(
            "take a section of at least {} mm², or a device that clears faster or limits the current",
            figure(libm::ceil(limit_mm2 * 10.0) / 10.0, 1)
        ))
        .numbered(circuit.number),
    )
}

fn words(units: UnitSystem, circuit: &Circuit, check: &AmpacityCheck) -> String {
    let sign = against(check.need_a, check.have_a, true);
    let (need, have) = (figure(check.need_a, 2), figure(check.have_a, 2));
    match check.kind {
        AmpacityCheckKind::Terminals => {
            let basis = at_terminals(&circuit.duty);
            format!("{basis} {sign} {have} A at the terminals")
        }
        AmpacityCheckKind::Corrected => {
            let carrying = circuit.conductors.and_then(|found| {
                let carrying = circuit.run.laying.carrying(found, &circuit.duty)?;
                Some((found, carrying))
            });
            let corrected = carrying.map_or(have.clone(), |(found, carrying)| {
                let count = match found.parallel {
                    0 | 1 => String::new(),
                    parallel => format!("{parallel} × "),
                };
                format!(
                    "{count}{} A × {} for {} × {} for company = {have}",
                    figure(carrying.table_a, 1),
                    figure(carrying.ambient_factor, 2),
                    temperature(units, circuit.run.laying.ambient_c, 0),
                    figure(carrying.grouping_factor, 2),
                )
            });
            format!("{need} A {sign} {corrected} A")
        }
        AmpacityCheckKind::Device => format!("breaker {need} A {sign} {have} A"),
    }
}

/// Voltage is not lost beyond what designers aim at; while an inverter sends out, the same is the rise at its terminals.
fn voltage_drop(context: &Context<'_>, circuit: &Circuit) -> Option<Finding> {
    if circuit.kind == CircuitKind::Transfer {
        return None;
    }
    let (drop_v, share) = (circuit.drop_v?, circuit.drop_share()?);
    let most_share = circuit.most_drop_share;
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
        source: Source::COMMON_PRACTICE,
    };
    let ohm_per_m = circuit
        .conductors
        .and_then(|found| circuit.run.laying.resistance_ohm_per_m(found))
        .unwrap_or(0.0);
    let conductors = match circuit.duty.loaded {
        LoadedConductors::Two => "2",
        LoadedConductors::Three => "√3",
    };
    let formula = format!(
        "{}: {conductors} × {} A × {} × {} = {} V of {} V, {} % {} {} %",
        circuit.name,
        figure(circuit.working_a, 1),
        length(context.units, circuit.run.one_way_m, 1),
        resistance(context.units, ohm_per_m),
        figure(drop_v, 2),
        figure(circuit.system_v, 1),
        figure(100.0 * share, 2),
        against(share, most_share, true),
        figure(100.0 * most_share, 1),
    );
    Some(
        Finding::at_most(head, share, most_share, Unit::Share, formula)
            .advised()
            .remedy("take a larger size or a shorter run")
            .assuming(circuit.run.length_origin.is_generic(), "length of the run")
            .numbered(circuit.number),
    )
}
