//! The parts list.

use couplet_core::parts_list::{Group, Item, LengthUnit, Quantity, State, csv, left_out};
use leptos::prelude::*;

use super::table::{Head, table_under};
use super::told::Told;
use crate::format;
use crate::keep::{UnitSystem, files};
use Head::{Figure, Words};

/// The section.
pub(super) fn parts(told: &Told) -> AnyView {
    let items = told.parts();
    let groups = Group::ALL
        .map(|group| {
            let rows = items
                .iter()
                .filter(|item| item.group == group)
                .map(|item| row(told, item))
                .collect();
            table_under(
                group.words(),
                &[
                    Figure("quantity"),
                    Words("state"),
                    Words("what"),
                    Words("where"),
                    Words("open"),
                ],
                rows,
            )
        })
        .into_iter()
        .collect_view();
    view! {
        <p class="note">
            "Generic kinds and ratings, no makes. Lengths of conductors hold a tenth more than the runs. Not in this list: "
            {left_out(told.details.code).join("; ")} "."
        </p>
        {groups}
    }
    .into_any()
}

fn row(told: &Told, item: &Item) -> Vec<String> {
    let quantity = match item.quantity {
        Quantity::Pieces(count) => count.to_string(),
        Quantity::LengthM(length_m) => {
            let unit = lengths(told.units);
            let bought = format::number(unit.bought(length_m), 1);
            format!("{bought}\u{a0}{}", unit.symbol())
        }
        Quantity::NotKnown => "not known".to_owned(),
    };
    let state = match item.state {
        State::NotKnown => "stands?",
        state => state.words(),
    };
    vec![
        quantity,
        state.to_owned(),
        crate::words::findings::capital(&item.description),
        item.place.clone(),
        item.open.clone(),
    ]
}

fn lengths(units: UnitSystem) -> LengthUnit {
    match units {
        UnitSystem::Metric => LengthUnit::Metres,
        UnitSystem::Us => LengthUnit::Feet,
    }
}

/// Hands the list out as a file.
pub(super) fn hand_out(told: &Told) {
    let name = format!("{} {} parts", told.household.name, told.option.name);
    files::hand_out(
        &files::file_name(&name, "csv"),
        "text/csv;charset=utf-8",
        &csv(&told.parts(), lengths(told.units)),
    );
}
