//! Labels to post, from the markings among the findings.

use super::{Group, Item, Quantity, Sources, State, pieces};
use crate::findings::{CircuitKind, Topic};

/// Lists them.
pub(super) fn list(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let option = sources.option;
    let any_new = option.arrays.iter().any(|array| !array.standing)
        || option.storage.iter().any(|unit| !unit.standing);
    let state = match sources.household.electrical.labels_in_place {
        Some(true) if !any_new => State::Stands,
        None if !any_new => State::NotKnown,
        _ => State::New,
    };
    let of_kind = |kinds: &[CircuitKind]| {
        let count = sources
            .circuits
            .iter()
            .filter(|circuit| kinds.contains(&circuit.kind))
            .count();
        pieces(count)
    };
    let pv_disconnects = option
        .pv_inverters
        .iter()
        .filter(|inverter| option.arrays_on_inverter(inverter.id).next().is_some())
        .count()
        .saturating_add(
            option
                .storage
                .iter()
                .filter(|unit| option.arrays_on_unit(unit.id).next().is_some())
                .count(),
        );
    let markings = sources
        .findings
        .iter()
        .filter(|finding| finding.topic == Topic::Markings);
    for finding in markings {
        let (quantity, open) = match finding.rule() {
            "label-pv-disconnect" => (pieces(pv_disconnects), ""),
            "label-backfed" => (
                of_kind(&[CircuitKind::PvOutput, CircuitKind::StorageOutput]),
                "",
            ),
            "label-storage" => (pieces(option.storage.len()), ""),
            "label-rapid-shutdown" | "label-standby" | "label-stand-alone" => {
                (Quantity::Pieces(1), "")
            }
            "label-sources" => (
                pieces(
                    1_usize
                        .saturating_add(pv_disconnects)
                        .saturating_add(option.storage.len()),
                ),
                "",
            ),
            _ => (Quantity::NotKnown, "as many as the route asks for"),
        };
        items.push(Item {
            group: Group::Labels,
            state,
            quantity,
            description: finding.title.to_owned(),
            place: finding.formula.clone(),
            open: open.to_owned(),
        });
    }
}
