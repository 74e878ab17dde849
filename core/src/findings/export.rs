//! Findings of an export limit and of how it is kept.

use super::finding::{Head, against, figure};
use super::{Context, Finding, Missing, Topic};
use crate::coupling::{PowerLimiting, PvInverter};
use crate::drawing::Part;
use crate::limits::Unit;
use crate::rules::Source;

/// Findings of the export limit, if there is one and anything that could pass it.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    let service = &context.household.service;
    let Some(limit_w) = service.export_limit_w else {
        return;
    };
    if !service.utility {
        return;
    }
    let inverters: Vec<_> = context.pv_inverters().collect();
    if inverters.is_empty() && context.option.storage.is_empty() {
        return;
    }
    found.push(uncommanded(&inverters, limit_w));
    found.extend(response(context, &inverters));
}

fn head(rule: &'static str, title: &'static str) -> Head {
    Head {
        rule,
        title,
        topic: Topic::Export,
        part: Part::Service,
        source: Source::COMMON_PRACTICE,
    }
}

/// What nobody can hold back is no more than may be sent out.
fn uncommanded(inverters: &[&PvInverter], limit_w: f64) -> Finding {
    let free: Vec<_> = inverters
        .iter()
        .filter(|inverter| inverter.limiting == PowerLimiting::None)
        .collect();
    let free_w: f64 = free.iter().map(|inverter| inverter.rated_w).sum();
    let names = if free.is_empty() {
        "PV inverters that follow no command: none".to_owned()
    } else {
        let names: Vec<_> = free.iter().map(|inverter| inverter.name.as_str()).collect();
        format!("{} can send out", names.join(", "))
    };
    Finding::at_most(
        head("export-limit", "export limit and how it is kept"),
        free_w,
        limit_w,
        Unit::W,
        format!(
            "{names}: {} W {} {} W, with no load in the house",
            figure(free_w, 0),
            against(free_w, limit_w, true),
            figure(limit_w, 0)
        ),
    )
    .remedy("give it power-limit commands or a relay, or join its array on DC, where it is throttled exactly")
}

/// The control is fast enough.
fn response(context: &Context<'_>, inverters: &[&PvInverter]) -> Option<Finding> {
    let slowest_s = inverters
        .iter()
        .filter_map(|inverter| match inverter.limiting {
            PowerLimiting::Commanded {
                poll_s, ramp_per_s, ..
            } => Some(poll_s + 1.0 / ramp_per_s),
            PowerLimiting::None | PowerLimiting::Relay { .. } => None,
        })
        .fold(None, |slowest: Option<f64>, next| {
            Some(slowest.map_or(next, |slowest| slowest.max(next)))
        });
    let time_s = slowest_s?;
    let head = head("export-response", "speed of the export control");
    let formula = format!("{} s from full output to none", figure(time_s, 1));
    Some(match context.household.electrical.export_control_limit_s {
        Some(limit_s) => Finding::at_most(
            head,
            time_s,
            limit_s,
            Unit::Seconds,
            format!(
                "{formula} {} {} s",
                against(time_s, limit_s, true),
                figure(limit_s, 1)
            ),
        )
        .remedy("shorten the time between readings of the meter, or let the output follow faster"),
        None => Finding::not_judged(head, &[Missing::ExportTime], formula),
    })
}
