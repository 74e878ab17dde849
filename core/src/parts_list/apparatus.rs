//! Panels, transfer, disconnects, shutdown and controls.

use super::{Group, Item, Quantity, Sources, State, figure, pieces};
use crate::coupling::{IslandMeans, PowerLimiting};
use crate::household::{AcSide, NeutralAtTransfer, RapidShutdown};
use crate::rules::Code;

/// Lists them.
pub(super) fn list(sources: &Sources<'_>, items: &mut Vec<Item>) {
    panels(sources, items);
    disconnects(sources, items);
    shutdown(sources, items);
    controls(sources, items);
}

/// What is known of something that the household can say stands.
fn known(answer: Option<bool>, owner_stands: bool) -> State {
    match (answer, owner_stands) {
        (Some(true), true) => State::Stands,
        // What is said to be there is there once the new part is.
        (Some(_), _) | (None, false) => State::New,
        (None, true) => State::NotKnown,
    }
}

fn panels(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let service = &sources.household.service;
    if service.utility {
        items.push(Item {
            group: Group::Panels,
            state: State::Stands,
            quantity: Quantity::Pieces(1),
            description: format!(
                "main panel, busbar {} A, main breaker {} A",
                figure(service.busbar_a, 0),
                figure(service.main_breaker_a, 0)
            ),
            place: "service".to_owned(),
            open: String::new(),
        });
    }
    if !sources.stands.backs_up() {
        return;
    }
    let state = State::of(sources.stands.transfer());
    let (busbar, open) = match sources.details.backed_up.busbar_a {
        Some(busbar_a) => (format!(", busbar {} A", figure(busbar_a, 0)), ""),
        None => (String::new(), "rating of its busbar is not known"),
    };
    items.push(Item {
        group: Group::Panels,
        state,
        quantity: Quantity::Pieces(1),
        description: format!("panel for backed-up circuits{busbar}"),
        place: "backed-up side".to_owned(),
        open: open.to_owned(),
    });
    if !service.utility {
        return;
    }
    let given = &sources.household.electrical;
    let kind = if given.transfer_by_hand {
        "manual transfer switch"
    } else {
        "automatic transfer switch"
    };
    let (neutral, open) = match given.neutral {
        Some(NeutralAtTransfer::Solid | NeutralAtTransfer::SolidAndBondedAtSource) => {
            (", neutral not switched", "")
        }
        Some(
            NeutralAtTransfer::SwitchedAndBondedAtSource | NeutralAtTransfer::SwitchedWithoutBond,
        ) => (", neutral switched", ""),
        None => (
            "",
            "whether it switches the neutral, and whether the storage inverter has it built in, is not known",
        ),
    };
    items.push(Item {
        group: Group::Panels,
        state,
        quantity: Quantity::Pieces(1),
        description: format!("{kind}, {} A{neutral}", figure(service.transfer_a, 0)),
        place: "between main panel and backed-up panel".to_owned(),
        open: open.to_owned(),
    });
}

fn disconnects(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let (option, given) = (sources.option, &sources.household.electrical);
    for inverter in &option.pv_inverters {
        if option.arrays_on_inverter(inverter.id).next().is_none() {
            continue;
        }
        items.push(Item {
            group: Group::Switching,
            state: known(given.pv_disconnect, inverter.standing),
            quantity: Quantity::Pieces(1),
            description: "PV disconnect, lockable".to_owned(),
            place: inverter.name.clone(),
            open: "may be part of the inverter, if it is listed for it".to_owned(),
        });
    }
    for unit in &option.storage {
        if option.arrays_on_unit(unit.id).next().is_some() {
            items.push(Item {
                group: Group::Switching,
                state: known(given.pv_disconnect, unit.standing),
                quantity: Quantity::Pieces(1),
                description: "PV disconnect, DC, lockable".to_owned(),
                place: format!("{}, MPPT inputs", unit.name),
                open: "may be part of the storage inverter, if it is listed for it".to_owned(),
            });
        }
        items.push(Item {
            group: Group::Switching,
            state: known(unit.electrical.disconnect, unit.standing),
            quantity: Quantity::Pieces(1),
            description: "storage disconnect, lockable".to_owned(),
            place: unit.name.clone(),
            open: String::new(),
        });
        if matches!(sources.details.code, Code::Nec(_)) {
            items.push(Item {
                group: Group::Switching,
                state: known(unit.electrical.emergency_shutdown, unit.standing),
                quantity: Quantity::Pieces(1),
                description: "emergency shutdown of storage, outdoors".to_owned(),
                place: unit.name.clone(),
                open: "asked for at one- and two-family dwellings".to_owned(),
            });
        }
    }
}

/// How PV DC conductors on the building are made safe.
fn shutdown(sources: &Sources<'_>, items: &mut Vec<Item>) {
    if !matches!(sources.details.code, Code::Nec(_)) {
        return;
    }
    let option = sources.option;
    for array in &option.arrays {
        if option.join(array).is_none() {
            continue;
        }
        let state = match sources.household.electrical.rapid_shutdown {
            Some(RapidShutdown::NotOnBuilding) => continue,
            Some(RapidShutdown::Listed) if array.standing => State::Stands,
            None if array.standing => State::NotKnown,
            _ => State::New,
        };
        items.push(Item {
            group: Group::Switching,
            state,
            quantity: Quantity::NotKnown,
            description: "rapid shutdown equipment".to_owned(),
            place: array.name.clone(),
            open: "one for each module or for each string, as the system chosen has it".to_owned(),
        });
    }
    let any_on_building = option
        .arrays
        .iter()
        .any(|array| option.join(array).is_some())
        && sources.household.electrical.rapid_shutdown != Some(RapidShutdown::NotOnBuilding);
    let all_stand = option.arrays.iter().all(|array| array.standing);
    items.push(Item {
        group: Group::Switching,
        state: known(
            sources
                .household
                .electrical
                .rapid_shutdown
                .map(|means| means == RapidShutdown::Listed),
            all_stand,
        ),
        quantity: pieces(usize::from(any_on_building)),
        description: "switch that starts rapid shutdown".to_owned(),
        place: match sources.household.service.utility {
            true => "outdoors, at the service",
            false => "outdoors",
        }
        .to_owned(),
        open: match sources.household.service.utility {
            true => "may be the service disconnect or the PV disconnect",
            false => "may be the home's main disconnect or the PV disconnect",
        }
        .to_owned(),
    });
}

fn controls(sources: &Sources<'_>, items: &mut Vec<Item>) {
    let (option, service) = (sources.option, &sources.household.service);
    let mut add = |state, description: &str, place: &str, open: &str| {
        items.push(Item {
            group: Group::Switching,
            state,
            quantity: Quantity::Pieces(1),
            description: description.to_owned(),
            place: place.to_owned(),
            open: open.to_owned(),
        });
    };
    let fed = |id| option.arrays_on_inverter(id).next().is_some();
    let limited = service.utility && service.export_limit_w.is_some();
    if limited {
        let commanded: Vec<bool> = option
            .pv_inverters
            .iter()
            .filter(|inverter| {
                fed(inverter.id) && matches!(inverter.limiting, PowerLimiting::Commanded { .. })
            })
            .map(|inverter| inverter.standing)
            .chain(option.storage.iter().map(|unit| unit.standing))
            .collect();
        if !commanded.is_empty() {
            let state = if commanded.iter().any(|standing| *standing) {
                State::NotKnown
            } else {
                State::New
            };
            add(
                state,
                "export control: meter with current transformers, and controller",
                "service",
                "may be part of the storage inverter",
            );
        }
    }
    for inverter in option
        .pv_inverters
        .iter()
        .filter(|inverter| fed(inverter.id))
    {
        let state = if inverter.standing {
            State::NotKnown
        } else {
            State::New
        };
        if limited && matches!(inverter.limiting, PowerLimiting::Relay { .. }) {
            add(
                state,
                "export relay with meter and contactor",
                &inverter.name,
                "",
            );
        }
        let is_backed_up = inverter.side == AcSide::BackedUp;
        if is_backed_up && matches!(inverter.island, IslandMeans::Contactor { .. }) {
            add(
                state,
                "contactor, driven by the storage inverter",
                &inverter.name,
                "rated for the inverter's breaker",
            );
        }
    }
}
