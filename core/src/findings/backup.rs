//! Findings of running without the grid: what holds the bus and what it carries.

use super::busbars::transfer_load;
use super::demand::{self, power_w};
use super::finding::{Head, against, figure};
use super::storage::known;
use super::{Context, Finding, Missing, Topic, held_back};
use crate::coupling::StorageUnit;
use crate::drawing::Part;
use crate::household::{AcSide, Device, DeviceKind, NeutralAtTransfer, Start, Supply};
use crate::limits::Unit;
use crate::rules::{Clause, Code, Source, Term};

/// Findings of running without the grid.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    let loads = &context.household.loads;
    let backed_up =
        loads.backed_up_share > 0.0 || loads.devices.iter().any(|device| device.backed_up);
    let holders: Vec<_> = holders(context).collect();
    let inverters: Vec<_> = context
        .pv_inverters()
        .filter(|inverter| inverter.side == AcSide::BackedUp)
        .collect();
    let can_run = !holders.is_empty() || context.option.generator.is_some();
    if backed_up && (!context.option.storage.is_empty() || !inverters.is_empty() || !can_run) {
        found.push(held(can_run));
    }
    if !can_run {
        return;
    }
    found.push(load(context, &holders));
    if backed_up && context.household.service.utility {
        found.push(transfer_load(context));
    }
    found.extend(largest_load(context, &holders));
    found.extend(largest_start(context, &holders));
    if !holders.is_empty() {
        found.push(restart(context, &holders));
        held_back::judge(context, &holders, &inverters, found);
        found.push(neutral(context, &holders));
        found.extend(both_lines(context, &holders));
    }
    if !context.household.service.utility {
        return;
    }
    found.push(known(
        self::head(
            context,
            "island-device",
            "device that parts the island",
            Part::Transfer,
            Clause::IslandDevice,
        ),
        context.household.electrical.island_device_listed,
        Missing::IslandDevice,
        "a listed device parts the island from the grid before a source holds it",
        "take a listed device",
    ));
}

/// Storage units that can hold the backed-up bus.
fn holders<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a StorageUnit> {
    context
        .option
        .storage
        .iter()
        .filter(|unit| unit.side == AcSide::BackedUp)
}

fn head(
    context: &Context<'_>,
    rule: &'static str,
    title: &'static str,
    part: Part,
    clause: Clause,
) -> Head {
    Head {
        rule,
        title,
        topic: Topic::Backup,
        part,
        source: clause.source(context.code),
    }
}

/// A head of what the trade asks for and no code does.
pub(super) fn practice(rule: &'static str, title: &'static str, part: Part) -> Head {
    Head {
        rule,
        title,
        topic: Topic::Backup,
        part,
        source: Source::COMMON_PRACTICE,
    }
}

/// Continuous power of what holds the bus, W.
fn capacity_w(context: &Context<'_>, holders: &[&StorageUnit]) -> f64 {
    let storage_w: f64 = holders.iter().map(|unit| unit.inverter.rated_w).sum();
    storage_w
        + context
            .option
            .generator
            .as_ref()
            .map_or(0.0, |generator| generator.rated_w)
}

fn backed_up_devices<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Device> {
    context
        .household
        .loads
        .devices
        .iter()
        .filter(|device| device.backed_up)
}

/// Something holds the backed-up bus when the grid is gone.
fn held(can_run: bool) -> Finding {
    Finding::fact(
        practice(
            "bus-held",
            "what holds the backed-up bus",
            Part::Base(AcSide::BackedUp),
        ),
        can_run,
        "a storage inverter or a generator on the backed-up side holds the bus; PV inverters by themselves go dark with the grid"
            .to_owned(),
    )
    .advised()
    .remedy("join a storage unit on the backed-up side, or take the loads off the backed-up panel")
}

/// The source carries what is transferred to it.
fn load(context: &Context<'_>, holders: &[&StorageUnit]) -> Finding {
    let capacity_w = capacity_w(context, holders);
    let has_utility = context.household.service.utility;
    let (rule, title, part) = (
        "backed-up-load",
        "load on the backed-up panel",
        Part::Base(AcSide::BackedUp),
    );
    // A stand-alone supply may be smaller than the load that is calculated, if it carries the largest single one.
    let head = match has_utility {
        true => head(context, rule, title, part, Clause::Standby),
        false => practice(rule, title, part),
    };
    if has_utility && context.household.electrical.transfer_by_hand {
        return Finding::fact(
            head,
            true,
            format!(
                "switched over by hand: the household chooses what runs within {} W",
                figure(capacity_w, 0)
            ),
        );
    }
    let kept_w = power_w(backed_up_devices(context).filter(|device| device.shed_order.is_none()));
    let judged = |value_w: f64, how: &str| {
        let finding = Finding::at_most(
            head,
            value_w,
            capacity_w,
            Unit::W,
            format!(
                "{how} = {} W {} {} W continuous",
                figure(value_w, 0),
                against(value_w, capacity_w, true),
                figure(capacity_w, 0)
            ),
        );
        match has_utility {
            true => finding.remedy(
                "let devices be shed, move loads to the grid side, or take a larger inverter",
            ),
            false => finding.advised().remedy(
                "let devices be shed, take care what runs together, or take a larger inverter",
            ),
        }
    };
    match demand::in_an_outage(context) {
        Some(demand) => {
            let mut finding = judged(demand.va, &demand.how);
            if has_utility {
                finding.source = demand.source(Clause::Standby, context.code);
            }
            finding.assumed.extend(&demand.assumed);
            finding
        }
        None if kept_w > capacity_w => judged(kept_w, "devices that stay on, alone"),
        None => Finding::not_judged(
            head,
            &[demand::missing(context, Missing::BackedUpDwelling)],
            format!(
                "devices that stay on: {} W, base use not known, of {} W continuous",
                figure(kept_w, 0),
                figure(capacity_w, 0)
            ),
        ),
    }
}

/// The supply is no smaller than the largest single load.
fn largest_load(context: &Context<'_>, holders: &[&StorageUnit]) -> Option<Finding> {
    let largest =
        backed_up_devices(context).max_by(|a, b| a.kind.power_w().total_cmp(&b.kind.power_w()))?;
    let (value_w, limit_w) = (largest.kind.power_w(), capacity_w(context, holders));
    Some(
        Finding::at_most(
            head(
                context,
                "stand-alone-supply",
                "largest single load on the backed-up panel",
                Part::Device(largest.id),
                Clause::StandAloneSupply,
            ),
            value_w,
            limit_w,
            Unit::W,
            format!(
                "{}: {} W {} {} W continuous",
                largest.name,
                figure(value_w, 0),
                against(value_w, limit_w, true),
                figure(limit_w, 0)
            ),
        )
        .remedy("take a larger inverter, or move the load to the grid side")
        .assuming(
            context.household.loads.backed_up_share > 0.0,
            "that no larger load is part of the base use",
        ),
    )
}

/// The inverters carry the hardest start on top of what runs.
fn largest_start(context: &Context<'_>, holders: &[&StorageUnit]) -> Option<Finding> {
    let loads = &context.household.loads;
    let base = loads
        .base_start
        .filter(|_| loads.backed_up_share > 0.0)
        .map(|start| (start, Part::Base(AcSide::BackedUp), "base use"));
    let devices = backed_up_devices(context).filter_map(|device| {
        device
            .start
            .map(|start| (start, Part::Device(device.id), device.name.as_str()))
    });
    let (start, part, name) = devices
        .chain(base)
        .max_by(|(a, _, _), (b, _, _)| a.power_w.total_cmp(&b.power_w))?;
    let running_w: f64 = backed_up_devices(context)
        .map(|device| device.kind.power_w())
        .sum();
    let value_w = running_w + start.power_w;
    let limit_w: f64 = holders
        .iter()
        .map(|unit| carried_w(unit, &start))
        .sum::<f64>()
        + context
            .option
            .generator
            .as_ref()
            .map_or(0.0, |generator| generator.rated_w);
    let open =
        backed_up_devices(context).any(|device| device.start.is_none() && is_motor(&device.kind));
    Some(
        Finding::at_most(
            practice("largest-start", "hardest start in an outage", part),
            value_w,
            limit_w,
            Unit::W,
            format!(
                "{name}: {} W of devices running + {} W for {} s = {} W {} {} W carried so long",
                figure(running_w, 0),
                figure(start.power_w, 0),
                figure(start.duration_s, 1),
                figure(value_w, 0),
                against(value_w, limit_w, true),
                figure(limit_w, 0)
            ),
        )
        .remedy("a soft starter halves a start; else take an inverter with more surge, or let devices be shed before it")
        .assuming(open, "that motors without a stated start take no more than they run with")
        .assuming(loads.backed_up_share > 0.0, "that little else of the base use runs"),
    )
}

/// Power that a unit carries at least as long as a start lasts, W.
fn carried_w(unit: &StorageUnit, start: &Start) -> f64 {
    unit.inverter
        .surge
        .iter()
        .filter(|surge| surge.duration_s >= start.duration_s)
        .map(|surge| surge.power_w)
        .fold(unit.inverter.rated_w, f64::max)
}

fn is_motor(kind: &DeviceKind) -> bool {
    matches!(
        kind,
        DeviceKind::HeatPump { .. }
            | DeviceKind::AirConditioner { .. }
            | DeviceKind::PoolPump { .. }
    )
}

/// A flat battery can be lifted again.
fn restart(context: &Context<'_>, holders: &[&StorageUnit]) -> Finding {
    let by_dc = holders
        .iter()
        .any(|unit| context.option.arrays_on_unit(unit.id).next().is_some());
    let by_generator = context.option.generator.is_some();
    let part = holders
        .first()
        .map_or(Part::Transfer, |unit| Part::Storage(unit.id));
    Finding::fact(
        practice("restart", "coming back from a flat battery", part),
        by_dc || by_generator,
        format!(
            "only DC PV{} lifts a flat battery: AC PV sees no voltage while its inverter is off",
            match context.household.service.utility {
                true => ", a generator or the grid",
                false => " or a generator",
            }
        ),
    )
    .advised()
    .remedy("join an array on DC, add a generator, or keep a reserve that is never used")
}

/// Exactly one bond between neutral and earth, whichever way the switch stands.
fn neutral(context: &Context<'_>, holders: &[&StorageUnit]) -> Finding {
    if !context.household.service.utility {
        return neutral_without_service(context, holders);
    }
    let head = head(
        context,
        "neutral-bond",
        Term::NeutralInOutage.under(context.code),
        Part::Transfer,
        Clause::NeutralBond,
    );
    let asks = format!(
        "exactly one bond between neutral and {} at any time: the service's while the neutral stays connected, the source's while it \
         is switched",
        Term::Earth.under(context.code)
    );
    match context.household.electrical.neutral {
        None => Finding::not_judged(head, &[Missing::Neutral], asks),
        Some(neutral) => Finding::fact(
            head,
            matches!(
                neutral,
                NeutralAtTransfer::Solid | NeutralAtTransfer::SwitchedAndBondedAtSource
            ),
            asks,
        )
        .remedy(match neutral {
            NeutralAtTransfer::SwitchedWithoutBond => {
                "bond the neutral at the source while the island runs"
            }
            _ => "remove the bond at the inverter",
        }),
    }
}

/// Where there is no service, nothing makes the one bond between neutral and earth by itself.
fn neutral_without_service(context: &Context<'_>, holders: &[&StorageUnit]) -> Finding {
    let part =
        (holders.first()).map_or(Part::Base(AcSide::BackedUp), |unit| Part::Storage(unit.id));
    Finding::not_judged(
        head(
            context,
            "neutral-bond",
            Term::NeutralOfHome.under(context.code),
            part,
            Clause::NeutralBond,
        ),
        &[Missing::BondOfTheHome],
        format!(
            "exactly one bond between neutral and {}, at a source or at the first disconnect: there is no service to make it",
            Term::Earth.under(context.code)
        ),
    )
}

/// A split-phase panel gets both lines and the neutral.
fn both_lines(context: &Context<'_>, holders: &[&StorageUnit]) -> Option<Finding> {
    if context.household.service.supply != Supply::SplitPhase120V240V60Hz {
        return None;
    }
    let Code::Nec(_) = context.code else {
        return None;
    };
    let unit = holders.first()?;
    let answers: Vec<_> = holders
        .iter()
        .map(|unit| unit.electrical.gives_both_lines)
        .collect();
    let answer = if answers.contains(&Some(true)) {
        Some(true)
    } else if answers.iter().all(|answer| *answer == Some(false)) {
        Some(false)
    } else {
        None
    };
    Some(known(
        head(
            context,
            "both-lines",
            "both lines of a split-phase panel",
            Part::Storage(unit.id),
            Clause::StandAloneSplit,
        ),
        answer,
        Missing::BothLines,
        "the island's source gives both lines and the neutral, by itself or through an autotransformer; one line alone serves only panels \
         without 240 V outlets and without multiwire circuits",
        "add an autotransformer, or rewire the panel for one line",
    ))
}
