//! Devices on top of the base use.

use couplet_core::household::{Device, DeviceId, DeviceKind};
use couplet_core::limits;
use leptos::prelude::*;

use super::row::Row;
use super::start_fields::start_fields;
use super::tariff::MonthTicks;
use super::{Details, Remove};
use crate::desk::Desk;
use crate::words::Word;

/// The devices, and the buttons that add one.
#[component]
pub(super) fn Devices(desk: Desk) -> impl IntoView {
    let ids = Memo::new(move |_| {
        desk.household.with(|household| {
            household
                .loads
                .devices
                .iter()
                .map(|device| device.id)
                .collect::<Vec<_>>()
        })
    });
    let items = NEW
        .iter()
        .map(|(name, _)| view! { <option>{*name}</option> })
        .collect_view();
    view! {
        <For each=move || ids.get() key=|id| *id let:id>
            <DeviceRow desk id />
        </For>
        <div class="choice add-device">
            <label for="add-device" class="spoken">"Add a device"</label>
            <select
                id="add-device"
                on:change=move |event| {
                    let chosen = event_target_value(&event);
                    let select: web_sys::HtmlSelectElement = event_target(&event);
                    select.set_selected_index(0);
                    if let Some((name, kind)) = NEW.iter().find(|(name, _)| *name == chosen) {
                        add(desk, name, kind());
                    }
                }
            >
                <option value="">"Add a device\u{2026}"</option>
                {items}
            </select>
        </div>
    }
    .into_any()
}

type NewKind = fn() -> DeviceKind;

/// What can be added, with the defaults of the limits' rows.
const NEW: [(&str, NewKind); 5] = [
    ("Car", || DeviceKind::Car {
        energy_wh_per_day: limits::CAR_ENERGY_WH_PER_DAY.default,
        power_w: limits::CAR_POWER_W.default,
        from_h: limits::CAR_FROM_H.default,
        to_h: limits::CAR_TO_H.default,
        weekends: true,
    }),
    ("Heat pump", || DeviceKind::HeatPump {
        heat_loss_w_per_k: limits::HEAT_PUMP_LOSS_W_PER_K.default,
        heating_limit_c: limits::HEAT_PUMP_LIMIT_C.default,
        cop_at_7c: limits::HEAT_PUMP_COP_AT_7C.default,
        power_w: limits::HEAT_PUMP_POWER_W.default,
    }),
    ("Air conditioner", || DeviceKind::AirConditioner {
        heat_gain_w_per_k: limits::AIR_CONDITIONER_GAIN_W_PER_K.default,
        cooling_limit_c: limits::AIR_CONDITIONER_LIMIT_C.default,
        cop_at_35c: limits::AIR_CONDITIONER_COP_AT_35C.default,
        power_w: limits::AIR_CONDITIONER_POWER_W.default,
    }),
    ("Pool pump", || DeviceKind::PoolPump {
        power_w: limits::POOL_PUMP_POWER_W.default,
        from_h: limits::POOL_PUMP_FROM_H.default,
        to_h: limits::POOL_PUMP_TO_H.default,
        months: [true; 12],
    }),
    ("Water heater", || DeviceKind::WaterHeater {
        energy_wh_per_day: limits::WATER_HEATER_ENERGY_WH_PER_DAY.default,
        power_w: limits::WATER_HEATER_POWER_W.default,
        from_h: limits::WATER_HEATER_FROM_H.default,
    }),
];

fn add(desk: Desk, name: &str, kind: DeviceKind) {
    desk.change(&format!("add a device: {name}"), None, |household| {
        let devices = &mut household.loads.devices;
        let id = DeviceId::next(devices.iter().map(|device| device.id));
        devices.push(Device {
            id,
            name: name.to_owned(),
            backed_up: false,
            is_added: false,
            shed_order: None,
            start: None,
            kind,
        });
    });
}

#[component]
fn DeviceRow(desk: Desk, id: DeviceId) -> impl IntoView {
    let row: Row<Device> = Row::new(
        desk,
        format!("device-{}", id.0),
        "device",
        move |household| {
            household
                .loads
                .devices
                .iter()
                .find(|device| device.id == id)
        },
        move |household| {
            household
                .loads
                .devices
                .iter_mut()
                .find(|device| device.id == id)
        },
    );
    let name = row.read(|device| device.name.clone());
    view! {
        <div class="part" data-selected=move || {
            (desk.selection.get() == Some(couplet_core::drawing::Part::Device(id))).then_some("true")
        }>
            <div class="part-head">
                {row.text("name", "name", true, |device| &device.name, |device, name| device.name = name)}
                <Remove what=name on_remove=Callback::new(move |()| {
                    desk.change("remove a device", None, |household| household.loads.devices.retain(|device| device.id != id));
                }) />
            </div>
            <Details clone:row desk title=Word::DeviceDetails>
                {row.tick("backed-up", "runs in an outage", |device| device.backed_up, |device, value| device.backed_up = value)}
                {row.tick(
                    "is_added",
                    "added to a home that stands",
                    |device| device.is_added,
                    |device, value| device.is_added = value,
                )}
                {kind_fields(&row)}
                {start_fields(&row, "start", |device| &device.start, |device| &mut device.start)}
                {shed_fields(&row)}
            </Details>
        </div>
    }
    .into_any()
}

/// Whether the device is switched off when an island cannot carry all, and when it is its turn.
fn shed_fields(row: &Row<Device>) -> AnyView {
    let sheds = row.read(|device| device.shed_order.is_some());
    let order = row.clone();
    let turn = move || {
        sheds.get().then(|| {
            order.quantity(
                &limits::DEVICE_SHED_ORDER,
                |device| f64::from(device.shed_order.unwrap_or(1)),
                |device, value| device.shed_order = Some(count(value)),
            )
        })
    };
    view! {
        {row.tick_in_words(
            "sheds",
            Word::ShedOrder,
            |device| device.shed_order.is_some(),
            |device, sheds| device.shed_order = sheds.then_some(count(limits::DEVICE_SHED_ORDER.default)),
        )}
        {turn}
    }
    .into_any()
}

/// A typed number as a whole one; the field admits none below 1 or above 99.
fn count(value: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between the ends of the limit"
    )]
    let count = value.round().max(1.0) as u32;
    count
}

/// A number of one kind of device; other kinds do not have it.
macro_rules! number {
    ($row:expr, $limit:ident, $kind:ident, $field:ident) => {
        $row.quantity(
            &limits::$limit,
            |device| match device.kind {
                DeviceKind::$kind { $field, .. } => $field,
                _ => limits::$limit.default,
            },
            |device, value| {
                if let DeviceKind::$kind { $field, .. } = &mut device.kind {
                    *$field = value;
                }
            },
        )
    };
}

/// The fields of the device's kind, which never changes.
fn kind_fields(row: &Row<Device>) -> AnyView {
    let kind = row
        .now
        .with_untracked(|device| device.as_ref().map(|device| device.kind.clone()));
    match kind {
        None => ().into_any(),
        Some(DeviceKind::Car { .. }) => view! {
            {number!(row, CAR_ENERGY_WH_PER_DAY, Car, energy_wh_per_day)}
            {number!(row, CAR_POWER_W, Car, power_w)}
            {number!(row, CAR_FROM_H, Car, from_h)}
            {number!(row, CAR_TO_H, Car, to_h)}
            {row.tick(
                "weekends",
                "on weekends too",
                |device| matches!(device.kind, DeviceKind::Car { weekends: true, .. }),
                |device, value| if let DeviceKind::Car { weekends, .. } = &mut device.kind { *weekends = value },
            )}
        }
        .into_any(),
        Some(DeviceKind::HeatPump { .. }) => view! {
            {number!(row, HEAT_PUMP_LOSS_W_PER_K, HeatPump, heat_loss_w_per_k)}
            {number!(row, HEAT_PUMP_LIMIT_C, HeatPump, heating_limit_c)}
            {number!(row, HEAT_PUMP_COP_AT_7C, HeatPump, cop_at_7c)}
            {number!(row, HEAT_PUMP_POWER_W, HeatPump, power_w)}
        }
        .into_any(),
        Some(DeviceKind::AirConditioner { .. }) => view! {
            {number!(row, AIR_CONDITIONER_GAIN_W_PER_K, AirConditioner, heat_gain_w_per_k)}
            {number!(row, AIR_CONDITIONER_LIMIT_C, AirConditioner, cooling_limit_c)}
            {number!(row, AIR_CONDITIONER_COP_AT_35C, AirConditioner, cop_at_35c)}
            {number!(row, AIR_CONDITIONER_POWER_W, AirConditioner, power_w)}
        }
        .into_any(),
        Some(DeviceKind::PoolPump { .. }) => view! {
            {number!(row, POOL_PUMP_POWER_W, PoolPump, power_w)}
            {number!(row, POOL_PUMP_FROM_H, PoolPump, from_h)}
            {number!(row, POOL_PUMP_TO_H, PoolPump, to_h)}
            <MonthTicks
                row=row.clone()
                get=|device| match device.kind {
                    DeviceKind::PoolPump { months, .. } => months,
                    _ => [true; 12],
                }
                set=|device, ticked| if let DeviceKind::PoolPump { months, .. } = &mut device.kind { *months = ticked }
            />
        }
        .into_any(),
        Some(DeviceKind::WaterHeater { .. }) => view! {
            {number!(row, WATER_HEATER_ENERGY_WH_PER_DAY, WaterHeater, energy_wh_per_day)}
            {number!(row, WATER_HEATER_POWER_W, WaterHeater, power_w)}
            {number!(row, WATER_HEATER_FROM_H, WaterHeater, from_h)}
        }
        .into_any(),
    }
}
