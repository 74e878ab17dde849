//! Findings of a generator beside those of its circuit: what keeps it from overload, and its neutral.

use super::finding::{Head, against, figure};
use super::generic::line_current_a;
use super::{Circuit, CircuitKind, Context, Finding, Missing, Topic};
use crate::coupling::Generator;
use crate::drawing::Part;
use crate::household::Household;
use crate::limits::Unit;
use crate::rules::{Clause, Code, Reserve, Term};

/// What a generator's conductors bear beyond its rated current, share of it, unless it is kept from overload.
///
/// Source: NEC 445.13(A) (from memory).
const CONDUCTORS_OVER_RATED: f64 = 0.15;

/// What findings of a generator rest on while its plate's current is not given.
const UNITY_POWER_FACTOR: &str = "that the generator is rated at unity power factor";

/// Findings of the generator, if there is one.
pub(super) fn judge(context: &Context<'_>, circuits: &[Circuit], found: &mut Vec<Finding>) {
    if let Some(generator) = &context.option.generator {
        let circuit =
            (circuits.iter()).find(|circuit| circuit.kind == CircuitKind::GeneratorOutput);
        found.push(overload(context, generator, circuit));
        found.push(neutral(context));
    }
}

/// Rated current of a generator on each line, A: that of its plate, else that of its power.
pub(super) fn rated_a(household: &Household, generator: &Generator) -> f64 {
    (generator.electrical.rated_a)
        .unwrap_or_else(|| line_current_a(household.service.supply, generator.rated_w, false))
}

/// What its rated current rests on.
pub(super) fn rests_on(generator: &Generator) -> Option<&'static str> {
    match generator.electrical.rated_a {
        Some(_) => None,
        None => Some(UNITY_POWER_FACTOR),
    }
}

/// What its conductors bear beyond its rated current.
pub(super) fn reserve(code: Code, generator: &Generator) -> Reserve {
    let is_kept = generator.electrical.kept_from_overload == Some(true);
    Reserve::Throughout(match code {
        Code::Nec(_) if !is_kept => CONDUCTORS_OVER_RATED,
        Code::Nec(_) | Code::Iec => 0.0,
    })
}

/// A generator is kept from overload: by itself, else by the breaker of its circuit.
fn overload(context: &Context<'_>, generator: &Generator, circuit: Option<&Circuit>) -> Finding {
    let head = Head {
        rule: "generator-overload",
        title: "overload protection of the generator",
        topic: Topic::Circuits,
        part: Part::Generator,
        source: Clause::GeneratorOverload.source(context.code),
    };
    let name = &generator.name;
    let device_a = circuit.and_then(|circuit| circuit.duty.device_a);
    let largest_a = circuit.and_then(|circuit| circuit.least_device_a);
    match (generator.electrical.kept_from_overload, device_a, largest_a) {
        (Some(true), ..) => Finding::fact(
            head,
            true,
            format!("{name}: its design, or a device that belongs to it, keeps it from overload"),
        ),
        (Some(false), Some(device_a), Some(largest_a)) => Finding::at_most(
            head,
            device_a,
            largest_a,
            Unit::A,
            format!(
                "{name}: only the breaker of its circuit keeps it from overload: {} A {} {} A, the next standard one",
                figure(device_a, 0),
                against(device_a, largest_a, true),
                figure(largest_a, 0),
            ),
        )
        .remedy(format!("take a breaker of {} A", figure(largest_a, 0)))
        .resting_on(rests_on(generator))
        .assuming(true, "that the next standard breaker keeps it from overload, common practice"),
        (Some(false), ..) => Finding::not_judged(
            head,
            &[Missing::LargerBreaker(CircuitKind::GeneratorOutput)],
            format!("{name}: only the breaker of its circuit keeps it from overload"),
        ),
        (None, ..) => Finding::not_judged(
            head,
            &[Missing::GeneratorPlate],
            format!(
                "{name}: its design, a device that belongs to it, or the breaker of its circuit keeps it from overload"
            ),
        ),
    }
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
            title: Term::NeutralOfGenerator.under(context.code),
            topic: Topic::Backup,
            part: Part::Generator,
            source: Clause::NeutralBond.source(context.code),
        },
        &[Missing::GeneratorBond],
        format!(
            "exactly one bond between neutral and {} while it runs: bonded in its frame it is separately derived, and its neutral \
             must be switched over with its lines; with a floating neutral {elsewhere}, and its neutral is not switched",
            Term::Earth.under(context.code)
        ),
    )
}
