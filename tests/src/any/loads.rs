//! Random loads: base use and devices.

use couplet_core::household::{
    BaseUse, Device, DeviceId, DeviceKind, IntervalUse, LoadProfile, Loads,
};
use couplet_core::limits;
use couplet_core::loads::window_h;
use proptest::array::uniform12;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::household::numbered;
use super::island::any_start;
use super::number::{any_number, any_window, number_up_to};

/// Loads of every kind.
pub fn any_loads() -> impl Strategy<Value = Loads> {
    (
        any_base_use(),
        any_number(&limits::LOADS_BACKED_UP_SHARE),
        option::of(any_start()),
        vec(any_device(), 0..4),
    )
        .prop_map(|(base, backed_up_share, base_start, devices)| Loads {
            base,
            backed_up_share,
            base_start,
            devices: numbered(devices, |device, id| device.id = DeviceId(id)),
        })
}

fn any_base_use() -> impl Strategy<Value = BaseUse> {
    let profile = select(vec![
        LoadProfile::BdewH0,
        LoadProfile::BdewH25,
        LoadProfile::Steady,
    ]);
    prop_oneof![
        4 => (number_up_to(&limits::BASE_YEARLY_WH, 20e6), profile.clone())
            .prop_map(|(energy_wh, profile)| BaseUse::Yearly { energy_wh, profile }),
        4 => (uniform12(number_up_to(&limits::BASE_MONTHLY_WH, 3e6)), profile)
            .prop_map(|(energy_wh, profile)| BaseUse::Monthly { energy_wh, profile }),
        1 => (select(vec![900_u32, 1_800, 3_600]), number_up_to(&limits::INTERVAL_POWER_W, 8_000.0))
            .prop_map(|(interval_s, peak_w)| {
                // A short pattern repeated: what matters is that neighbours differ.
                let power_w = (0..31_536_000 / interval_s)
                    .map(|index| peak_w * f64::from(index % 37) / 36.0)
                    .collect();
                BaseUse::Intervals(IntervalUse { source: "any.csv".to_owned(), interval_s, power_w })
            }),
    ]
}

/// A device of any kind.
pub fn any_device() -> impl Strategy<Value = Device> {
    (
        any::<bool>(),
        any::<bool>(),
        option::of(1..=9_u32),
        option::of(any_start()),
        any_device_kind(),
    )
        .prop_map(|(backed_up, is_added, shed_order, start, kind)| Device {
            id: DeviceId(1),
            name: "Device".to_owned(),
            backed_up,
            is_added,
            shed_order,
            start,
            kind,
        })
}

fn any_device_kind() -> impl Strategy<Value = DeviceKind> {
    prop_oneof![
        (
            any_number(&limits::CAR_POWER_W),
            any_window(&limits::CAR_FROM_H, &limits::CAR_TO_H),
            0.0..=1.0,
            any::<bool>()
        )
            .prop_map(|(power_w, (from_h, to_h), filled, weekends)| {
                let most_wh = power_w * window_h(from_h, to_h);
                DeviceKind::Car {
                    energy_wh_per_day: most_wh.min(limits::CAR_ENERGY_WH_PER_DAY.most) * filled,
                    power_w,
                    from_h,
                    to_h,
                    weekends,
                }
            }),
        (
            any_number(&limits::HEAT_PUMP_LOSS_W_PER_K),
            any_number(&limits::HEAT_PUMP_LIMIT_C),
            any_number(&limits::HEAT_PUMP_COP_AT_7C),
            any_number(&limits::HEAT_PUMP_POWER_W),
        )
            .prop_map(|(heat_loss_w_per_k, heating_limit_c, cop_at_7c, power_w)| {
                DeviceKind::HeatPump {
                    heat_loss_w_per_k,
                    heating_limit_c,
                    cop_at_7c,
                    power_w,
                }
            }),
        (
            any_number(&limits::AIR_CONDITIONER_GAIN_W_PER_K),
            any_number(&limits::AIR_CONDITIONER_LIMIT_C),
            any_number(&limits::AIR_CONDITIONER_COP_AT_35C),
            any_number(&limits::AIR_CONDITIONER_POWER_W),
        )
            .prop_map(
                |(heat_gain_w_per_k, cooling_limit_c, cop_at_35c, power_w)| {
                    DeviceKind::AirConditioner {
                        heat_gain_w_per_k,
                        cooling_limit_c,
                        cop_at_35c,
                        power_w,
                    }
                }
            ),
        (
            any_number(&limits::POOL_PUMP_POWER_W),
            any_window(&limits::POOL_PUMP_FROM_H, &limits::POOL_PUMP_TO_H),
            uniform12(any::<bool>()),
        )
            .prop_map(|(power_w, (from_h, to_h), months)| DeviceKind::PoolPump {
                power_w,
                from_h,
                to_h,
                months,
            }),
        (
            any_number(&limits::WATER_HEATER_POWER_W),
            any_number(&limits::WATER_HEATER_FROM_H),
            0.0..=1.0,
        )
            .prop_map(|(power_w, from_h, filled)| DeviceKind::WaterHeater {
                energy_wh_per_day: (24.0 * power_w)
                    .min(limits::WATER_HEATER_ENERGY_WH_PER_DAY.most)
                    * filled,
                power_w,
                from_h,
            }),
    ]
}
