//! Random valid inputs of what happens without the grid.

use couplet_core::coupling::{
    Generator, GridCode, IslandMeans, IslandRunning, PowerLimiting, Surge,
};
use couplet_core::household::Start;
use couplet_core::limits;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::electrical::any_generator_electrical;
use super::money::any_converter_costs;
use super::number::any_number;

/// A start of any hardness.
pub fn any_start() -> impl Strategy<Value = Start> {
    (
        any_number(&limits::START_POWER_W),
        any_number(&limits::START_DURATION_S),
    )
        .prop_map(|(power_w, duration_s)| Start {
            power_w,
            duration_s,
        })
}

/// A grid code that fits any supply.
pub fn any_grid_code() -> impl Strategy<Value = GridCode> {
    select(vec![GridCode::Present, GridCode::NotKnown])
}

/// What a PV inverter does under an export limit.
pub fn any_limiting() -> impl Strategy<Value = PowerLimiting> {
    prop_oneof![
        Just(PowerLimiting::None),
        (
            any_number(&limits::LIMITING_MARGIN_W),
            any_number(&limits::LIMITING_POLL_S),
            any_number(&limits::LIMITING_RAMP_PER_S),
        )
            .prop_map(|(margin_w, poll_s, ramp_per_s)| PowerLimiting::Commanded {
                margin_w,
                poll_s,
                ramp_per_s,
            }),
        any_number(&limits::LIMITING_RECONNECT_S)
            .prop_map(|reconnect_s| PowerLimiting::Relay { reconnect_s }),
    ]
}

/// How a PV inverter is held back in an island.
pub fn any_island_means() -> impl Strategy<Value = IslandMeans> {
    prop_oneof![
        Just(IslandMeans::Frequency),
        any_number(&limits::ISLAND_RESPONSE_S)
            .prop_map(|response_s| IslandMeans::Command { response_s }),
        (any_number(&limits::ISLAND_OPEN_SOC), 0.0..0.99_f64).prop_map(|(open_soc, part)| {
            IslandMeans::Contactor {
                open_soc,
                close_soc: part * open_soc,
            }
        }),
    ]
}

/// How the storage is run in an island.
pub fn any_island_running() -> impl Strategy<Value = IslandRunning> {
    (
        any_number(&limits::ISLAND_SHED_SOC),
        any_number(&limits::ISLAND_SHUT_DOWN_SOC),
        any_number(&limits::ISLAND_IDLE_OFFSET_HZ),
        any_number(&limits::ISLAND_RISE_HZ),
        0.02..=0.4_f64,
    )
        .prop_map(
            |(shed_soc, shut_down_soc, idle_offset_hz, rise_hz, above)| IslandRunning {
                shed_soc,
                shut_down_soc,
                restart_soc: shut_down_soc + above,
                idle_offset_hz,
                rise_hz,
            },
        )
}

/// A generator of any size.
pub fn any_generator() -> impl Strategy<Value = Generator> {
    (
        any_number(&limits::GENERATOR_RATED_W),
        any_number(&limits::GENERATOR_LEAST_LOAD),
        any_number(&limits::GENERATOR_START_SOC),
        0.05..=1.0_f64,
        any_number(&limits::GENERATOR_START_DELAY_S),
        any_number(&limits::GENERATOR_IDLE_FUEL_L_PER_H),
        any_number(&limits::GENERATOR_FUEL_L_PER_KWH),
        option::of(any_number(&limits::GENERATOR_FUEL_CUR_PER_L)),
        any_generator_electrical(),
        any_converter_costs(),
    )
        .prop_map(
            |(
                rated_w,
                least_load,
                start_soc,
                part,
                start_delay_s,
                idle,
                per_kwh,
                price,
                electrical,
                costs,
            )| {
                Generator {
                    name: "Generator".to_owned(),
                    standing: false,
                    rated_w,
                    least_load,
                    start_soc,
                    stop_soc: start_soc + part * (1.0 - start_soc),
                    start_delay_s,
                    idle_fuel_l_per_h: idle,
                    fuel_l_per_kwh: per_kwh,
                    fuel_cur_per_l: price,
                    electrical,
                    costs,
                }
            },
        )
}

/// Up to two surge steps above a rating: more power for less time.
pub fn any_surge(rated_w: f64) -> impl Strategy<Value = Vec<Surge>> {
    (
        0..=2_usize,
        1.05..=1.5_f64,
        1.1..=2.0_f64,
        1.0..=60.0_f64,
        0.1..=0.9_f64,
    )
        .prop_map(move |(steps, low, more, long_s, part)| {
            let low = Surge {
                power_w: low * rated_w,
                duration_s: long_s,
            };
            let high = Surge {
                power_w: more * low.power_w,
                duration_s: part * long_s,
            };
            [low, high].into_iter().take(steps).collect()
        })
}
