//! Findings of a generator: its circuit and its neutral. Its rating plate decides both, and nothing of it is given but its power.

use super::finding::{Head, figure};
use super::generic::{circuit_voltage, line_current_a};
use super::{Context, Finding, Missing, Topic};
use crate::coupling::Generator;
use crate::drawing::Part;
use crate::rules::{Clause, Code, breaker_at_least_a};

/// What a generator's conductors carry at least, share of its rated current, unless it protects itself against overload.
///
/// Source: NEC 445.13(A) (from memory).
const CONDUCTORS_OVER_RATED: f64 = 1.15;

/// What findings of a generator rest on.
pub(super) const UNITY_POWER_FACTOR: &str = "that the generator is rated at unity power factor";

/// Findings of the generator, if there is one.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    if let Some(generator) = &context.option.generator {
        found.push(circuit(context, generator));
        found.push(neutral(context));
    }
}

/// Rated current of a generator on each line, A.
pub(super) fn rated_a(context: &Context<'_>, generator: &Generator) -> f64 {
    line_current_a(context.household.service.supply, generator.rated_w, false)
}

/// Breaker and conductors of a generator follow its rating plate: what its power alone tells is told, and not judged.
fn circuit(context: &Context<'_>, generator: &Generator) -> Finding {
    let rated_a = rated_a(context, generator);
    let (system_v, three_phase) = circuit_voltage(context.household.service.supply, false);
    let volts = match three_phase {
        true => format!("(√3 × {} V)", figure(system_v, 0)),
        false => format!("{} V", figure(system_v, 0)),
    };
    let rated = format!(
        "{}: {} W / {volts} = {} A",
        generator.name,
        figure(generator.rated_w, 0),
        figure(rated_a, 2)
    );
    let (basis_a, asks) = match context.code {
        Code::Nec(_) => {
            let basis_a = CONDUCTORS_OVER_RATED * rated_a;
            let asks = format!(
                "; 1.15 × {} A = {} A for its conductors, unless its own device protects it against overload",
                figure(rated_a, 2),
                figure(basis_a, 2)
            );
            (basis_a, asks)
        }
        Code::Iec => (rated_a, " for its conductors and its device".to_owned()),
    };
    let device = match breaker_at_least_a(context.code, basis_a) {
        Some(device_a) => format!("; the next standard device is {} A", figure(device_a, 0)),
        None => String::new(),
    };
    Finding::not_judged(
        Head {
            rule: "generator-circuit",
            title: "breaker and conductors of the generator",
            topic: Topic::Circuits,
            part: Part::Generator,
            source: Clause::GeneratorConductor.source(context.code),
        },
        &[Missing::GeneratorPlate],
        format!("{rated}{asks}{device}"),
    )
    .assuming(true, UNITY_POWER_FACTOR)
}

/// Whether a generator is separately derived decides where the one bond between neutral and earth is.
fn neutral(context: &Context<'_>) -> Finding {
    let elsewhere = match context.household.service.utility {
        true => "the service's bond serves",
        false => "the home's one bond serves",
    };
    Finding::not_judged(
        Head {
            rule: "generator-neutral",
            title: "neutral and earth of the generator",
            topic: Topic::Backup,
            part: Part::Generator,
            source: Clause::NeutralBond.source(context.code),
        },
        &[Missing::GeneratorBond],
        format!(
            "exactly one bond between neutral and earth while it runs: bonded in its frame it is separately derived, and its neutral \
             must be switched over with its lines; with a floating neutral {elsewhere}, and its neutral is not switched"
        ),
    )
}
