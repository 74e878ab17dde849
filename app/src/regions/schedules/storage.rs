//! Storage units of the open option: inverter, MPPT inputs, battery.

use couplet_core::coupling::{BatteryPlace, Mppt, StorageUnit};
use couplet_core::drawing::Moving;
use couplet_core::household::{AcSide, StorageId};
use couplet_core::limits;
use leptos::prelude::*;

use super::arrays::{JoinChoice, option_mut};
use super::electrical::storage_fields;
use super::pv_inverters::efficiency_fields;
use super::row::Row;
use super::surge::surge_fields;
use super::{Details, Remove, Schedule};
use crate::desk::Desk;
use crate::judged::Judged;
use crate::words::Word;

/// The schedule of storage units.
#[component]
pub(super) fn Storage(desk: Desk, judged: Judged) -> impl IntoView {
    let ids = Memo::new(move |_| {
        desk.option.with(|option| {
            option
                .as_ref()
                .map(|option| {
                    option
                        .storage
                        .iter()
                        .map(|unit| unit.id)
                        .collect::<Vec<_>>()
                })
                .unwrap_or_default()
        })
    });
    let rows = move || {
        ids.get()
            .into_iter()
            .map(|id| (desk.option_id.get(), id))
            .collect::<Vec<_>>()
    };
    view! {
        <Schedule desk name="storage" title=Word::Storage>
            <For each=rows key=|row| *row let:row>
                <UnitRow desk judged id=row.1 />
            </For>
            <button type="button" class="add" on:click=move |_| add(desk)>
                "Add a storage unit"
            </button>
        </Schedule>
    }
    .into_any()
}

#[component]
fn UnitRow(desk: Desk, judged: Judged, id: StorageId) -> impl IntoView {
    let option_id = desk.option_id.get_untracked();
    let row: Row<StorageUnit> = Row::new(
        desk,
        format!("option-{}-storage-{}", option_id.0, id.0),
        "storage",
        move |household| household.option(option_id)?.storage_unit(id),
        move |household| {
            option_mut(household, option_id)?
                .storage
                .iter_mut()
                .find(|unit| unit.id == id)
        },
    );
    let name = row.read(|unit| unit.name.clone());
    view! {
        <div class="part" data-selected=move || {
            (desk.selection.get() == Some(couplet_core::drawing::Part::Storage(id))).then_some("true")
        }>
            <div class="part-head">
                {row.text("name", "name", true, |unit| &unit.name, |unit, name| unit.name = name)}
                <Remove what=name on_remove=Callback::new(move |()| remove(desk, id)) />
            </div>
            {row.quantity_at(&limits::BATTERY_USABLE_WH, "usable_wh", None, |unit| unit.battery.usable_wh, |unit, value| unit.battery.usable_wh = value)}
            {row.quantity_at(&limits::STORAGE_RATED_W, "rated_w", None, |unit| unit.inverter.rated_w, |unit, value| unit.inverter.rated_w = value)}
            <JoinChoice desk id=row.id("side") moving=Moving::Storage(id) />
            <Details clone:row desk title=Word::Battery>{battery_fields(&row)}</Details>
            <Details clone:row desk title=Word::Surge>
                {surge_fields(&row)}
                {row.quantity_at(&limits::BATTERY_OVERLOAD_S, "overload_s", None, |unit| unit.battery.overload_s, |unit, value| unit.battery.overload_s = value)}
            </Details>
            <Details clone:row desk title=Word::StoragePlace>{storage_fields(&row, judged, id)}</Details>
            <Details clone:row desk title=Word::InverterAndMppt>
                {mppt_fields(&row)}
                {efficiency_fields(&row, |unit| &unit.inverter.efficiency, |unit| &mut unit.inverter.efficiency)}
                {row.tick("standing", "stands already", |unit| unit.standing, |unit, value| unit.standing = value)}
            </Details>
        </div>
    }
    .into_any()
}

fn battery_fields(row: &Row<StorageUnit>) -> impl IntoView + use<> {
    let indoors = row.read(|unit| matches!(unit.battery.place, BatteryPlace::Indoors { .. }));
    let room = row.clone();
    let room_field = move || {
        indoors.get().then(|| {
            room.quantity_at(
                &limits::BATTERY_ROOM_C,
                "room_c",
                None,
                |unit| match unit.battery.place {
                    BatteryPlace::Indoors { room_c } => room_c,
                    BatteryPlace::Outdoors => limits::BATTERY_ROOM_C.default,
                },
                |unit, room_c| unit.battery.place = BatteryPlace::Indoors { room_c },
            )
        })
    };
    view! {
        {row.quantity(&limits::BATTERY_CHARGE_W, |unit| unit.battery.charge_w, |unit, value| unit.battery.charge_w = value)}
        {row.quantity(&limits::BATTERY_DISCHARGE_W, |unit| unit.battery.discharge_w, |unit, value| unit.battery.discharge_w = value)}
        {row.quantity(&limits::BATTERY_CHARGE_EFFICIENCY, |unit| unit.battery.charge_efficiency, |unit, value| unit.battery.charge_efficiency = value)}
        {row.quantity(&limits::BATTERY_DISCHARGE_EFFICIENCY, |unit| unit.battery.discharge_efficiency, |unit, value| unit.battery.discharge_efficiency = value)}
        {row.quantity(&limits::BATTERY_TAPER_FROM_SOC, |unit| unit.battery.taper_from_soc, |unit, value| unit.battery.taper_from_soc = value)}
        {row.quantity(&limits::BATTERY_SELF_DISCHARGE_PER_MONTH, |unit| unit.battery.self_discharge_per_month, |unit, value| unit.battery.self_discharge_per_month = value)}
        {row.quantity(&limits::BATTERY_LEAST_CHARGE_C, |unit| unit.battery.least_charge_c, |unit, value| unit.battery.least_charge_c = value)}
        {row.choice(
            "place",
            "stands",
            &[(true, "indoors"), (false, "outdoors")],
            |unit| matches!(unit.battery.place, BatteryPlace::Indoors { .. }),
            |unit, indoors| unit.battery.place = if indoors {
                BatteryPlace::Indoors { room_c: limits::BATTERY_ROOM_C.default }
            } else {
                BatteryPlace::Outdoors
            },
        )}
        {room_field}
        {row.quantity(&limits::BATTERY_INITIAL_SOC, |unit| unit.battery.initial_soc, |unit, value| unit.battery.initial_soc = value)}
    }
}

/// MPPT inputs; a unit without them is an AC battery, and arrays on its DC bus must be moved first.
fn mppt_fields(row: &Row<StorageUnit>) -> impl IntoView + use<> {
    let has = row.read(|unit| unit.mppt.is_some());
    let numbers = row.clone();
    let fields = move || {
        has.get().then(|| {
            view! {
                {numbers.quantity(
                    &limits::MPPT_INPUTS,
                    |unit| unit.mppt.as_ref().map_or(limits::MPPT_INPUTS.default, |mppt| f64::from(mppt.inputs)),
                    |unit, value| {
                        if let Some(mppt) = &mut unit.mppt {
                            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 24 by its row")]
                            let inputs = value.round() as u32;
                            mppt.inputs = inputs;
                        }
                    },
                )}
                {numbers.quantity_at(
                    &limits::MPPT_RATED_W,
                    "mppt_rated_w",
                    None,
                    |unit| unit.mppt.as_ref().map_or(limits::MPPT_RATED_W.default, |mppt| mppt.rated_w),
                    |unit, value| if let Some(mppt) = &mut unit.mppt { mppt.rated_w = value },
                )}
                {numbers.quantity_at(
                    &limits::MPPT_EFFICIENCY,
                    "mppt_efficiency",
                    None,
                    |unit| unit.mppt.as_ref().map_or(limits::MPPT_EFFICIENCY.default, |mppt| mppt.efficiency),
                    |unit, value| if let Some(mppt) = &mut unit.mppt { mppt.efficiency = value },
                )}
            }
        })
    };
    view! {
        {row.tick("mppt", "has MPPT inputs", |unit| unit.mppt.is_some(), |unit, has| {
            unit.mppt = has.then_some(Mppt {
                inputs: 2,
                efficiency: limits::MPPT_EFFICIENCY.default,
                rated_w: 1.5 * unit.inverter.rated_w,
            });
        })}
        {fields}
    }
}

/// Adds a generic storage unit on the backed-up side.
fn add(desk: Desk) {
    desk.change_option("add a storage unit", None, |option| {
        let id = StorageId::next(option.storage.iter().map(|unit| unit.id));
        let name = match option.storage.len() {
            0 => "Storage".to_owned(),
            count => format!("Storage {}", count + 1),
        };
        option.storage.push(StorageUnit::generic(
            id,
            name,
            AcSide::BackedUp,
            limits::STORAGE_RATED_W.default,
            limits::BATTERY_USABLE_WH.default,
        ));
    });
}

/// Takes a storage unit away; arrays on its DC bus go to AC on its side.
fn remove(desk: Desk, id: StorageId) {
    desk.change_option("remove a storage unit", None, |option| {
        let Some(side) = option.storage_unit(id).map(|unit| unit.side) else {
            return;
        };
        let arrays: Vec<_> = option.arrays_on_unit(id).map(|array| array.id).collect();
        for array in arrays {
            // AC is always open to an array that is there.
            let _ = option.move_array(array, couplet_core::coupling::Join::Ac(side));
        }
        option.storage.retain(|unit| unit.id != id);
    });
}
