//! Random storage units.

use couplet_core::coupling::{Battery, BatteryPlace, Mppt, StorageInverter, StorageUnit};
use couplet_core::household::StorageId;
use couplet_core::limits;
use proptest::option;
use proptest::prelude::*;

use super::coupling::{any_converter, any_side};
use super::electrical::any_storage_electrical;
use super::island::any_surge;
use super::money::{any_battery_ageing, any_battery_costs, any_converter_costs};
use super::number::{any_number, number_up_to};

/// A storage unit with or without MPPT inputs.
pub fn any_storage_unit() -> impl Strategy<Value = StorageUnit> {
    let mppt = (
        1_u32..=4,
        any_number(&limits::MPPT_EFFICIENCY),
        number_up_to(&limits::MPPT_RATED_W, 30_000.0),
    )
        .prop_map(|(inputs, efficiency, rated_w)| Mppt {
            inputs,
            efficiency,
            rated_w,
        });
    (
        any_side(),
        any::<bool>(),
        any_converter(&limits::STORAGE_RATED_W).prop_flat_map(|(rated_w, efficiency)| {
            (Just((rated_w, efficiency)), any_surge(rated_w))
        }),
        option::of(mppt),
        any_battery(),
        any_storage_electrical(),
        any_converter_costs(),
    )
        .prop_map(
            |(side, standing, ((rated_w, efficiency), surge), mppt, battery, electrical, costs)| {
                StorageUnit {
                    id: StorageId(1),
                    name: "Storage".to_owned(),
                    side,
                    standing,
                    inverter: StorageInverter {
                        rated_w,
                        efficiency,
                        surge,
                    },
                    mppt,
                    battery,
                    electrical,
                    costs,
                }
            },
        )
}

/// A battery of any size.
pub fn any_battery() -> impl Strategy<Value = Battery> {
    (
        prop_oneof![
            3 => number_up_to(&limits::BATTERY_USABLE_WH, 50_000.0),
            1 => any_number(&limits::BATTERY_USABLE_WH),
        ],
        number_up_to(&limits::BATTERY_CHARGE_W, 30_000.0),
        number_up_to(&limits::BATTERY_DISCHARGE_W, 30_000.0),
        any_number(&limits::BATTERY_CHARGE_EFFICIENCY),
        any_number(&limits::BATTERY_DISCHARGE_EFFICIENCY),
        any_number(&limits::BATTERY_TAPER_FROM_SOC),
        any_number(&limits::BATTERY_SELF_DISCHARGE_PER_MONTH),
        any_number(&limits::BATTERY_LEAST_CHARGE_C),
        prop_oneof![
            Just(BatteryPlace::Outdoors),
            any_number(&limits::BATTERY_ROOM_C).prop_map(|room_c| BatteryPlace::Indoors { room_c }),
        ],
        any_number(&limits::BATTERY_INITIAL_SOC),
        any_battery_ageing(),
        any_battery_costs(),
    )
        .prop_map(
            |(
                usable_wh,
                charge_w,
                discharge_w,
                charge_efficiency,
                discharge_efficiency,
                taper_from_soc,
                self_discharge_per_month,
                least_charge_c,
                place,
                initial_soc,
                ageing,
                costs,
            )| Battery {
                usable_wh,
                charge_w,
                discharge_w,
                charge_efficiency,
                discharge_efficiency,
                taper_from_soc,
                self_discharge_per_month,
                least_charge_c,
                overload_s: limits::BATTERY_OVERLOAD_S.default,
                place,
                initial_soc,
                ageing,
                costs,
            },
        )
}
