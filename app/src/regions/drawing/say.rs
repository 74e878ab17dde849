//! What the drawing says in words: names of parts and places for a screen reader, and what a move does.

use couplet_core::coupling::{CouplingOption, Join, MoveProblem};
use couplet_core::drawing::{
    BusKey, FlowKey, Moving, Offer, Part, Piece, Target, flow_w, place, state_of_charge,
};
use couplet_core::household::{AcSide, ArrayId, Household, StorageId};
use couplet_core::year::DayTrace;

use crate::format;

/// A day of an option at a step.
pub(super) type At<'a> = Option<(&'a DayTrace, usize)>;

/// Words and numbers of the sheet as one text, numbers as the reader's language has them.
pub(super) fn said(pieces: &[Piece]) -> String {
    pieces
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Number { value, decimals } => format::number(*value, *decimals),
        })
        .collect()
}

/// A side of the transfer point.
fn side_name(side: AcSide) -> &'static str {
    match side {
        AcSide::GridSide => "grid side",
        AcSide::BackedUp => "backed-up side",
    }
}

fn unit_name(option: &CouplingOption, id: StorageId) -> String {
    option
        .storage_unit(id)
        .map_or_else(|| "a storage unit".to_owned(), |unit| unit.name.clone())
}

/// A place on the sheet.
pub(super) fn target_name(option: &CouplingOption, target: Target) -> String {
    match target {
        Target::Join(Join::Ac(side)) => format!("AC, {}", side_name(side)),
        Target::Join(Join::Dc(id)) => format!("DC bus of {}", unit_name(option, id)),
        Target::Side(side) => side_name(side).to_owned(),
    }
}

/// What a part in hand is called.
pub(super) fn moving_name(option: &CouplingOption, moving: Moving) -> String {
    match moving {
        Moving::Array(id) => option.array(id).map(|array| array.name.clone()),
        Moving::Storage(id) => option.storage_unit(id).map(|unit| unit.name.clone()),
    }
    .unwrap_or_default()
}

fn refusal(problem: MoveProblem) -> &'static str {
    match problem {
        MoveProblem::NoMppt => "this unit has no MPPT input",
        MoveProblem::NoSuchArray => "the array is no longer there",
        MoveProblem::NoSuchUnit => "the unit is no longer there",
    }
}

/// What stands over a bus while a part is in hand.
pub(super) fn zone_label(offer: &Offer) -> &'static str {
    match offer.refused {
        Some(problem) => refusal(problem),
        None if offer.stands_here => "stands here",
        None => "set down here",
    }
}

/// Why nothing can be set on a bus that is not among the offers.
pub(super) fn not_offered(key: BusKey) -> &'static str {
    match key {
        BusKey::Dc(_) => "a storage unit joins on AC",
        BusKey::Ac(_) => "not possible here",
    }
}

/// What is said when the part in hand comes over a place; `by_keys` if the keyboard holds it.
pub(super) fn over(option: &CouplingOption, offer: &Offer, by_keys: bool) -> String {
    let target = target_name(option, offer.target);
    match offer.refused {
        Some(problem) => format!("{target}: not possible, {}.", refusal(problem)),
        None if offer.stands_here => format!("{target}: it stands here now."),
        None if by_keys => format!("{target}: Enter sets it down."),
        None => format!("{target}: let go to set it down."),
    }
}

/// What is said when a part is picked up with the keyboard.
pub(super) fn picked_up(option: &CouplingOption, moving: Moving) -> String {
    let name = moving_name(option, moving);
    let stands = place(option, moving)
        .map(|target| target_name(option, target))
        .unwrap_or_default();
    format!(
        "{name} picked up; it stands on {stands}. Arrow keys choose a bus, Enter sets it down, Escape cancels."
    )
}

/// What is said when a move is given up.
pub(super) fn cancelled(option: &CouplingOption, moving: Moving) -> String {
    let stands = place(option, moving)
        .map(|target| target_name(option, target))
        .unwrap_or_default();
    format!(
        "Cancelled. {} stays on {stands}.",
        moving_name(option, moving)
    )
}

/// Arrays that change their join together with the one that is moved, because they share its PV inverter.
fn along(option: &CouplingOption, id: ArrayId, join: Join) -> Vec<ArrayId> {
    let mut after = option.clone();
    let Ok(moved) = after.move_array(id, join) else {
        return Vec::new();
    };
    moved
        .along
        .into_iter()
        .filter(|other| {
            place(option, Moving::Array(*other)) != place(&after, Moving::Array(*other))
        })
        .collect()
}

/// What is said when a part is set down; `option` is as it was before.
pub(super) fn set_down(option: &CouplingOption, moving: Moving, target: Target) -> String {
    let name = moving_name(option, moving);
    let mut words = format!("{name} set on {}.", target_name(option, target));
    if let (Moving::Array(id), Target::Join(join)) = (moving, target) {
        let along: Vec<String> = along(option, id, join)
            .into_iter()
            .map(|other| moving_name(option, Moving::Array(other)))
            .collect();
        if !along.is_empty() {
            let verb = if along.len() == 1 { "goes" } else { "go" };
            words += &format!(
                " {} {verb} along: the PV inverter is shared.",
                along.join(", ")
            );
        }
    }
    words
}

/// What is said in the note while a ghost stands.
pub(super) fn moved(option: &CouplingOption, moving: Moving, from: Target) -> String {
    let now = place(option, moving)
        .map(|target| target_name(option, target))
        .unwrap_or_default();
    format!(
        "{}: from {} to {now}.",
        moving_name(option, moving),
        target_name(option, from)
    )
}

fn now(at: At, key: FlowKey) -> String {
    at.and_then(|(trace, step)| flow_w(trace, key, step))
        .map(|power_w| format!("; now {}", format::power(power_w.abs()).text()))
        .unwrap_or_default()
}

/// Power with the words for its two directions.
fn both_ways(at: At, key: FlowKey, positive: &str, negative: &str) -> String {
    at.and_then(|(trace, step)| flow_w(trace, key, step))
        .map(|power_w| {
            let way = if power_w < 0.0 { negative } else { positive };
            format!("; now {way} {}", format::power(power_w.abs()).text())
        })
        .unwrap_or_default()
}

/// What a part is called, what it is and what it does at the chosen time.
pub(super) fn part_name(
    household: &Household,
    option: &CouplingOption,
    part: Part,
    at: At,
) -> String {
    let size = |power_w: f64| format::power(power_w).text();
    let standing = |standing: bool| if standing { ", existing" } else { "" };
    match part {
        Part::Array(id) => option.array(id).map(|array| {
            let joined = match option.join(array) {
                Some(Join::Ac(side)) => format!("joined on AC, {}", side_name(side)),
                Some(Join::Dc(unit)) => {
                    format!("joined on the DC bus of {}", unit_name(option, unit))
                }
                None => "not joined".to_owned(),
            };
            format!(
                "{}, {} peak{}, {joined}{}",
                array.name,
                size(array.peak_w),
                standing(array.standing),
                now(at, FlowKey::Array(id))
            )
        }),
        Part::PvInverter(id) => option.pv_inverter(id).map(|inverter| {
            let arrays: Vec<&str> = option
                .arrays_on_inverter(id)
                .map(|array| array.name.as_str())
                .collect();
            format!(
                "PV inverter {}, {}{}, {}, fed by {}{}",
                inverter.name,
                size(inverter.rated_w),
                standing(inverter.standing),
                side_name(inverter.side),
                arrays.join(" and "),
                now(at, FlowKey::PvInverter(id))
            )
        }),
        Part::Storage(id) => option.storage_unit(id).map(|unit| {
            let soc = at
                .and_then(|(trace, step)| state_of_charge(trace, id, step))
                .map(|soc| format!(", {} full", format::percent(soc, 0).text()))
                .unwrap_or_default();
            format!(
                "Storage unit {}, inverter {}, battery {}{}, {}{}{soc}",
                unit.name,
                size(unit.inverter.rated_w),
                format::energy(unit.battery.usable_wh).text(),
                standing(unit.standing),
                side_name(unit.side),
                both_ways(at, FlowKey::Battery(id), "giving", "taking"),
            )
        }),
        Part::Device(id) => household
            .loads
            .devices
            .iter()
            .find(|device| device.id == id)
            .map(|device| {
                let side = if device.backed_up {
                    AcSide::BackedUp
                } else {
                    AcSide::GridSide
                };
                format!(
                    "{}, {}{}",
                    device.name,
                    side_name(side),
                    now(at, FlowKey::Device(id))
                )
            }),
        Part::Base(side) => Some(format!(
            "House loads, {}{}",
            side_name(side),
            now(at, FlowKey::Base(side))
        )),
        Part::Service => Some(format!(
            "Utility, meter and main breaker of {} A{}",
            format::number(household.service.main_breaker_a, 0),
            both_ways(at, FlowKey::Meter, "buying", "selling")
        )),
        Part::Transfer => Some(format!(
            "Transfer switch of {} A{}",
            format::number(household.service.transfer_a, 0),
            both_ways(
                at,
                FlowKey::Transfer,
                "to the backed-up side",
                "to the grid side"
            )
        )),
        Part::Generator => option.generator.as_ref().map(|generator| {
            format!(
                "Generator {}, {}{}{}",
                generator.name,
                size(generator.rated_w),
                standing(generator.standing),
                now(at, FlowKey::Generator)
            )
        }),
        Part::Plane(_) => None,
    }
    .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;

    fn mixed() -> (Household, CouplingOption) {
        let household = demo();
        let option = household
            .options
            .iter()
            .find(|option| {
                option.arrays.iter().any(|array| array.dc_unit.is_some())
                    && option.arrays.iter().any(|array| array.dc_unit.is_none())
            })
            .cloned()
            .expect("the demonstration has an option with mixed joins");
        (household, option)
    }

    #[test]
    fn an_array_says_its_size_and_its_join() {
        let (household, option) = mixed();
        let array = option
            .arrays
            .iter()
            .find(|array| array.dc_unit.is_none())
            .expect("one array is on AC");
        let name = part_name(&household, &option, Part::Array(array.id), None);
        assert!(name.starts_with(&array.name), "{name}");
        assert!(name.contains("joined on AC"), "{name}");
    }

    #[test]
    fn arrays_on_a_shared_inverter_are_said_to_go_along() {
        let (_, mut option) = mixed();
        let mut second = option.arrays.first().cloned().expect("there is an array");
        second.id = ArrayId(99);
        second.name = "Shed".to_owned();
        let (first, shared) = (option.arrays[0].id, option.arrays[0].pv_inverter);
        second.pv_inverter = shared;
        second.dc_unit = None;
        option.arrays[0].dc_unit = None;
        option.arrays.push(second);
        let from = option.pv_inverter(shared).expect("it is there").side;
        let other = match from {
            AcSide::GridSide => AcSide::BackedUp,
            AcSide::BackedUp => AcSide::GridSide,
        };
        let to = |side| Target::Join(Join::Ac(side));
        let words = set_down(&option, Moving::Array(first), to(other));
        assert!(words.contains("Shed goes along"), "{words}");
        let words = set_down(&option, Moving::Array(first), to(from));
        assert!(!words.contains("along"), "{words}");
    }
}
