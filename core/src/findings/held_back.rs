//! Findings of AC PV in an island: what takes its power, and how it is held back.

use super::backup::practice;
use super::finding::{against, figure};
use super::{Context, Finding};
use crate::coupling::{FrequencySettings, IslandMeans, PvInverter, StorageUnit};
use crate::drawing::Part;
use crate::island::settings;
use crate::limits::Unit;

/// Time beyond a trip limit from which a PV inverter can be held there for good, s.
const LASTING_S: f64 = 60.0;

/// Findings of the PV inverters on the backed-up bus and of the storage that holds it.
pub(super) fn judge(
    context: &Context<'_>,
    holders: &[&StorageUnit],
    inverters: &[&PvInverter],
    found: &mut Vec<Finding>,
) {
    found.extend(one_to_one(holders, inverters));
    found.extend(charge_acceptance(holders, inverters));
    for inverter in inverters {
        found.push(how_far(context, inverter));
        found.push(idle_frequency(context, inverter));
    }
}

/// All AC PV on the bus is no more than what holds it.
fn one_to_one(holders: &[&StorageUnit], inverters: &[&PvInverter]) -> Option<Finding> {
    let pv_w: f64 = inverters.iter().map(|inverter| inverter.rated_w).sum();
    let held_w: f64 = holders.iter().map(|unit| unit.inverter.rated_w).sum();
    (pv_w > 0.0).then(|| {
        Finding::at_most(
            practice(
                "one-to-one",
                "AC PV against the inverter that holds the bus",
                Part::Transfer,
            ),
            pv_w,
            held_w,
            Unit::W,
            format!(
                "{} W of PV inverters {} {} W of storage inverters: a load that drops off pushes all of it back",
                figure(pv_w, 0),
                against(pv_w, held_w, true),
                figure(held_w, 0)
            ),
        )
        .advised()
        .remedy("join an array on DC or on the grid side, or take a larger storage inverter")
    })
}

/// The batteries take all AC PV while they are neither full nor cold.
fn charge_acceptance(holders: &[&StorageUnit], inverters: &[&PvInverter]) -> Option<Finding> {
    let pv_w: f64 = inverters.iter().map(|inverter| inverter.rated_w).sum();
    let taken_w: f64 = holders
        .iter()
        .map(|unit| unit.battery.charge_w.min(unit.inverter.rated_w))
        .sum();
    (pv_w > 0.0).then(|| {
        Finding::at_most(
            practice(
                "charge-acceptance",
                "AC PV against the charging limit",
                Part::Transfer,
            ),
            pv_w,
            taken_w,
            Unit::W,
            format!(
                "{} W of PV inverters {} {} W that the batteries take",
                figure(pv_w, 0),
                against(pv_w, taken_w, true),
                figure(taken_w, 0)
            ),
        )
        .advised()
        .remedy("what is above must find a load, or be held back by frequency: take a larger battery or join an array on DC")
    })
}

/// A PV inverter can be held back as far as a full battery asks.
fn how_far(context: &Context<'_>, inverter: &PvInverter) -> Finding {
    let part = Part::PvInverter(inverter.id);
    let head = practice("held-back", "AC PV while the battery is full", part);
    match inverter.island {
        IslandMeans::Command { response_s } => {
            return Finding::fact(
                head,
                true,
                format!(
                    "commanded by the storage inverter within {} s",
                    figure(response_s, 1)
                ),
            );
        }
        IslandMeans::Contactor { open_soc, .. } => {
            return Finding::fact(
                head,
                true,
                format!(
                    "a contactor drops it at {} % of charge",
                    figure(100.0 * open_soc, 0)
                ),
            );
        }
        IslandMeans::Frequency => {}
    }
    let code = settings(inverter.grid_code, context.household.service.supply);
    let (lasting, brief) = (held_share(&code, LASTING_S), held_share(&code, 0.0));
    let formula = match code.droop {
        Some(droop) => format!(
            "1 − {} per Hz × ({} Hz − {} Hz) = {} of its output can be held for good, {} for a moment; below that it trips and waits {} s",
            figure(droop.slope_per_hz, 3),
            figure(lasting_limit_hz(&code, LASTING_S), 2),
            figure(droop.from_hz, 3),
            figure(lasting, 3),
            figure(brief, 3),
            figure(code.enter_service.wait_s, 0)
        ),
        None => format!(
            "all or nothing: it trips above {} Hz and waits {} s",
            figure(code.over_near.at_hz, 2),
            figure(code.enter_service.wait_s, 0)
        ),
    };
    Finding::at_most(head, lasting, 0.0, Unit::Share, formula)
        .advised()
        .remedy(
            "command its power, put a contactor before it, keep that much load or charging room, or join its array on DC",
        )
}

/// Frequency up to which a PV inverter stays on for at least this long, Hz.
fn lasting_limit_hz(code: &FrequencySettings, for_s: f64) -> f64 {
    [code.over_near, code.over_far]
        .into_iter()
        .filter(|trip| trip.after_s <= for_s.max(1.0))
        .map(|trip| trip.at_hz)
        .fold(f64::INFINITY, f64::min)
        .min(if for_s > 0.0 {
            code.over_near.at_hz
        } else {
            f64::INFINITY
        })
}

/// Least share of its output that a PV inverter can be held at for this long.
fn held_share(code: &FrequencySettings, for_s: f64) -> f64 {
    code.droop.map_or(1.0, |droop| {
        droop.given_w(1.0, 1.0, lasting_limit_hz(code, for_s))
    })
}

/// PV joins the island, and is not held back while there is room.
fn idle_frequency(context: &Context<'_>, inverter: &PvInverter) -> Finding {
    let supply = context.household.service.supply;
    let code = settings(inverter.grid_code, supply);
    let idle_hz = supply.frequency_hz() + context.option.island.idle_offset_hz;
    let from_hz = code.enter_service.from_hz;
    let to_hz = code.droop.map_or(code.enter_service.to_hz, |droop| {
        code.enter_service.to_hz.min(droop.from_hz)
    });
    let head = practice(
        "idle-frequency",
        "frequency of the island at rest",
        Part::PvInverter(inverter.id),
    );
    let formula = format!(
        "{} Hz within {} Hz and {} Hz",
        figure(idle_hz, 3),
        figure(from_hz, 3),
        figure(to_hz, 3)
    );
    let remedy = "set the island's frequency within these limits: outside PV does not join, or is held back without need";
    if idle_hz < from_hz {
        Finding::at_least(head, idle_hz, from_hz, Unit::Hz, formula)
    } else {
        Finding::at_most(head, idle_hz, to_hz, Unit::Hz, formula)
    }
    .advised()
    .remedy(remedy)
}
