//! Findings of shutdown, disconnects and labels: what the site and the papers tell.

use super::finding::{Finding, Head, figure};
use super::layout::cold_module_v;
use super::storage::known;
use super::{Context, Missing, PvInput, Topic, labels};
use crate::coupling::{Array, Join};
use crate::drawing::Part;
use crate::household::RapidShutdown;
use crate::limits::Unit;
use crate::rules::{Clause, Code, Source, Term};
use crate::units::UnitSystem;

/// DC voltage from which arc-fault protection is asked for, V.
///
/// Source: NEC 690.11 (from memory).
const ARC_FAULT_FROM_V: f64 = 80.0;

/// Highest DC power over rated AC power that the trade takes for sound.
///
/// Source: common practice: 1.1 to 1.3; clipping grows quickly beyond 1.35.
const MOST_DC_AC_RATIO: f64 = 1.35;

/// Findings of PV shutdown and disconnects, and of DC/AC ratios.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    for inverter in context.pv_inverters() {
        let peak_w: f64 = context
            .option
            .arrays_on_inverter(inverter.id)
            .map(|array| array.peak_w)
            .sum();
        let ratio = peak_w / inverter.rated_w;
        found.push(
            Finding::at_most(
                Head {
                    rule: "dc-ac-ratio",
                    title: "DC/AC ratio",
                    topic: Topic::Circuits,
                    part: Part::PvInverter(inverter.id),
                    source: Source::COMMON_PRACTICE,
                },
                ratio,
                MOST_DC_AC_RATIO,
                Unit::Ratio,
                format!(
                    "{} W / {} W = {} {} {MOST_DC_AC_RATIO}",
                    figure(peak_w, 0),
                    figure(inverter.rated_w, 0),
                    figure(ratio, 2),
                    super::finding::against(ratio, MOST_DC_AC_RATIO, true)
                ),
            )
            .advised()
            .remedy("take a larger inverter, or accept that it clips"),
        );
    }
    if context.code == Code::Iec {
        let inverters = (context.pv_inverters()).map(|one| (Part::PvInverter(one.id), &one.name));
        let units = (context.option.storage.iter()).map(|one| (Part::Storage(one.id), &one.name));
        found.extend(
            inverters
                .chain(units)
                .map(|(part, name)| residual_current(context, part, name)),
        );
    }
    for array in &context.option.arrays {
        if context.option.join(array).is_some() {
            of_array(context, array, found);
        }
    }
}

/// Which residual-current device an inverter's output may stand behind, if it stands behind one.
fn residual_current(context: &Context<'_>, part: Part, name: &str) -> Finding {
    Finding::not_judged(
        Head {
            rule: "residual-current",
            title: "residual-current device of the output",
            topic: Topic::Safety,
            part,
            source: Clause::ResidualCurrent.source(context.code),
        },
        &[Missing::Separation],
        format!(
            "{name}: a residual-current device before it is of type B, unless the inverter has at least simple separation between DC \
             and AC, or its maker states that another type serves"
        ),
    )
}

/// Way of DC conductors on a dwelling from which surge protection is asked for, m, times the flashes to ground per km² and year.
///
/// Source: IEC 60364-7-712, 712.443 (from memory).
const CRITICAL_WAY_M: f64 = 115.0;

/// Whether surges ask for protection of an array's DC conductors.
fn surges(context: &Context<'_>, array: &Array) -> Option<Finding> {
    let run = &context.details.array(array.id)?.run;
    Some(
        Finding::not_judged(
            Head {
                rule: "surge-protection",
                title: "surge protection of PV",
                topic: Topic::Safety,
                part: Part::Array(array.id),
                source: Clause::SurgeProtection.source(context.code),
            },
            &[Missing::Lightning],
            format!(
                "DC conductors of {CRITICAL_WAY_M} m / flashes per km² and year, or longer, have surge protection at both ends: {} m \
                 from {} flashes on; so does the AC side where the supply asks for it",
                figure(run.one_way_m, 1),
                figure(CRITICAL_WAY_M / run.one_way_m, 1),
            ),
        )
        .assuming(run.length_origin.is_generic(), "length of the run"),
    )
}

fn of_array(context: &Context<'_>, array: &Array, found: &mut Vec<Finding>) {
    let given = &context.household.electrical;
    let head = |rule, title, clause: Clause| Head {
        rule,
        title,
        topic: Topic::Safety,
        part: Part::Array(array.id),
        source: clause.source(context.code),
    };
    let at_modules = matches!(context.option.join(array), Some(Join::Ac(_)))
        && context
            .details
            .pv_inverter(array.pv_inverter)
            .is_some_and(|inverter| inverter.input == PvInput::AtModule);
    if let Code::Nec(_) = context.code {
        let head = head("rapid-shutdown", "rapid shutdown", Clause::RapidShutdown);
        let asks = format!(
            "on or in a building: to 30 V beyond {} of the array, and to 80 V or a listed hazard-control system within it, in 30 s",
            match context.units {
                UnitSystem::Metric => "0.3 m",
                UnitSystem::Us => "1 ft",
            }
        );
        found.push(match (at_modules, given.rapid_shutdown) {
            (true, _) => Finding::fact(head, true, format!("inverters at the modules; {asks}")),
            (false, None) => Finding::not_judged(
                head,
                &[Missing::RapidShutdown],
                if array.standing {
                    format!("{asks}; what stands may keep the rule that it was built to")
                } else {
                    asks
                },
            ),
            (false, Some(means)) => Finding::fact(head, means != RapidShutdown::Absent, asks)
                .remedy("add listed electronics at the modules"),
        });
        let string_v = longest_cold_v(context, array);
        if !at_modules && string_v.is_none_or(|string_v| string_v >= ARC_FAULT_FROM_V) {
            found.push(known(
                self::Head {
                    source: Clause::ArcFault.source(context.code),
                    rule: "arc-fault",
                    title: "arc-fault protection of PV DC",
                    ..head
                },
                given.arc_fault_protection,
                Missing::ArcFault,
                "asked for from 80 V DC on or in a building",
                "take a converter with arc-fault protection",
            ));
        }
    }
    if !at_modules && context.code == Code::Iec {
        found.extend(surges(context, array));
    }
    if !at_modules {
        found.push(known(
            head(
                "dc-fault",
                Term::DcFaults.under(context.code),
                Clause::DcFault,
            ),
            given.dc_fault_detection,
            Missing::DcFault,
            "the converter tests insulation before it starts and watches residual current",
            &format!(
                "take a converter with {}",
                Term::DcFaultDetection.under(context.code)
            ),
        ));
    }
    found.push(known(
        head("pv-disconnect", "disconnect of PV", Clause::PvDisconnect),
        given.pv_disconnect,
        Missing::PvDisconnect,
        "a means to part PV from all other conductors, readily reached and lockable",
        "add a disconnect",
    ));
}

/// Voltage of the longest string in the cold, V; none if it is not known.
fn longest_cold_v(context: &Context<'_>, array: &Array) -> Option<f64> {
    let found = context.details.array(array.id)?;
    let module_v = cold_module_v(&found.module, context.temperatures.low_c?)?;
    let longest = found.strings.iter().map(|one| one.in_series).max()?;
    Some(module_v * f64::from(longest))
}

/// The labels that an option asks for.
pub(super) fn markings(context: &Context<'_>, found: &mut Vec<Finding>) {
    for label in labels(context.household, context.option, context.details) {
        found.push(known(
            Head {
                rule: label.rule,
                title: label.title,
                topic: Topic::Markings,
                part: label.part,
                source: label.clause.source(context.code),
            },
            context.household.electrical.labels_in_place,
            Missing::Label,
            label.asks,
            "put the label in place",
        ));
    }
}
