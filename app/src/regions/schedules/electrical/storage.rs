//! A storage unit's data sheet and place.

use couplet_core::coupling::{BatterySheet, StorageUnit};
use couplet_core::findings::StorageDetails;
use couplet_core::household::StorageId;
use couplet_core::limits::{self, Limit};
use couplet_core::rules::StorageRoom;
use leptos::prelude::*;

use super::super::row::Row;
use super::pv_inputs::input_fields;
use super::three_phase;
use crate::judged::Judged;

const ROOMS: [(Option<StorageRoom>, &str); 6] = [
    (None, "not known"),
    (
        Some(StorageRoom::UtilityRoom),
        "utility room, store, basement",
    ),
    (Some(StorageRoom::Garage), "garage or outbuilding"),
    (Some(StorageRoom::OutsideWall), "outside wall"),
    (Some(StorageRoom::Outdoors), "outdoors, on the ground"),
    (Some(StorageRoom::HabitableRoom), "bedroom or living room"),
];

/// Voltages, energy, place, and what the papers tell.
pub(in super::super) fn storage_fields(
    row: &Row<StorageUnit>,
    judged: Judged,
    id: StorageId,
) -> AnyView {
    let in_force = move |pick: fn(&StorageDetails) -> Option<f64>| {
        Signal::derive(move || {
            judged
                .details
                .with(|details| pick(details.as_ref()?.storage(id)?))
        })
    };
    let nothing = Signal::derive(|| None);
    let inside = row.read(|unit| unit.electrical.battery_inside);
    let has_inputs = row.read(|unit| unit.mppt.is_some());
    let three = three_phase(row.desk);
    let (battery, sheet, lines) = (row.clone(), row.clone(), row.clone());
    view! {
        {row.choice(
            "room",
            "stands in or on",
            &ROOMS,
            |unit| unit.electrical.room,
            |unit, room| unit.electrical.room = room,
        )}
        {row.optional(
            &limits::STORAGE_NOMINAL_WH,
            "nominal_wh",
            in_force(|unit| Some(unit.nominal_wh)),
            |unit| unit.electrical.nominal_wh,
            |unit, value| unit.electrical.nominal_wh = value,
        )}
        {row.tick(
            "battery_inside",
            "battery and inverter are one listed unit",
            |unit| unit.electrical.battery_inside,
            |unit, value| unit.electrical.battery_inside = value,
        )}
        <Show when=move || !inside.get()>{voltages(&battery, judged, id)}</Show>
        <Show when=move || has_inputs.get()>
            {input_fields(
                &sheet,
                judged,
                move |details| details.storage(id)?.input,
                |unit| unit.electrical.input,
                |unit| &mut unit.electrical.input,
            )}
        </Show>
        {row.optional(
            &limits::STORAGE_SPACING_M,
            "spacing_m",
            nothing,
            |unit| unit.electrical.spacing_m,
            |unit, value| unit.electrical.spacing_m = value,
        )}
        {row.optional(
            &limits::STORAGE_CLEAR_DEPTH_M,
            "clear_depth_m",
            nothing,
            |unit| unit.electrical.clear_depth_m,
            |unit, value| unit.electrical.clear_depth_m = value,
        )}
        {row.answer("listed", "listed as a system", |unit| unit.electrical.listed, |unit, value| unit.electrical.listed = value)}
        {row.answer(
            "disconnect",
            "disconnect within reach, lockable",
            |unit| unit.electrical.disconnect,
            |unit, value| unit.electrical.disconnect = value,
        )}
        {row.answer(
            "emergency_shutdown",
            "emergency shutdown outdoors",
            |unit| unit.electrical.emergency_shutdown,
            |unit, value| unit.electrical.emergency_shutdown = value,
        )}
        {row.answer(
            "gives_both_lines",
            "gives both lines and the neutral",
            |unit| unit.electrical.gives_both_lines,
            |unit, value| unit.electrical.gives_both_lines = value,
        )}
        <Show when=move || three.get()>
            {lines.answer(
                "one_line",
                "feeds one line only",
                |unit| unit.electrical.one_line,
                |unit, value| unit.electrical.one_line = value,
            )}
        </Show>
    }
    .into_any()
}

/// The battery's voltages; the first that is typed takes the others along.
fn voltages(row: &Row<StorageUnit>, judged: Judged, id: StorageId) -> AnyView {
    let in_force = Memo::new(move |_| {
        judged
            .details
            .with(|details| Some(details.as_ref()?.storage(id)?.battery.as_ref()?.voltages))
    });
    let number = |limit: &'static Limit,
                  of_sheet: fn(&BatterySheet) -> f64,
                  set: fn(&mut BatterySheet, f64)| {
        row.optional(
            limit,
            limit.key(),
            Signal::derive(move || in_force.get().as_ref().map(of_sheet)),
            move |unit| unit.electrical.battery.as_ref().map(of_sheet),
            move |unit, value| {
                let sheet = &mut unit.electrical.battery;
                match (value, in_force.get_untracked()) {
                    (Some(value), Some(in_force)) => set(sheet.get_or_insert(in_force), value),
                    (Some(_), None) => {}
                    // One number alone cannot be left open: all go back to generic ones.
                    (None, _) => *sheet = None,
                }
            },
        )
    };
    view! {
        {number(
            &limits::BATTERY_NOMINAL_V,
            |sheet| sheet.nominal_v,
            |sheet, value| sheet.nominal_v = value,
        )}
        {number(
            &limits::BATTERY_LOWEST_V,
            |sheet| sheet.lowest_v,
            |sheet, value| sheet.lowest_v = value,
        )}
        {number(
            &limits::BATTERY_HIGHEST_V,
            |sheet| sheet.highest_v,
            |sheet, value| sheet.highest_v = value,
        )}
    }
    .into_any()
}
