//! Random options: arrays, PV inverters and how they are run.

use couplet_core::coupling::{
    Array, ConverterEfficiency, CouplingOption, DcOrder, OwnHours, PvInverter, Running,
    RunningRule, TitleNotes, Weighting, WindowAim,
};
use couplet_core::household::{AcSide, ArrayId, OptionId, PlaneId, PvInverterId, StorageId};
use couplet_core::limits::{self, Limit};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::electrical::{any_array_electrical, any_pv_inverter_electrical};
use super::household::numbered;
use super::island::{
    any_generator, any_grid_code, any_island_means, any_island_running, any_limiting,
};
use super::money::{any_array_cost, any_converter_costs, any_option_costs};
use super::number::{any_number, number_up_to};
use super::storage::any_storage_unit;
use super::tariff::any_hours;

/// An option whose arrays lie on these planes; there is at least one plane.
pub fn any_option(planes: Vec<PlaneId>) -> impl Strategy<Value = CouplingOption> {
    (
        vec(any_array(planes), 0..5),
        vec(any_pv_inverter(), 1..4),
        vec(any_storage_unit(), 0..3),
        any_running(),
        option::of(any_generator()),
        any_island_running(),
        (any_option_costs(), any_title()),
        vec((any::<Index>(), option::of(any::<Index>())), 5),
    )
        .prop_map(
            |(arrays, pv_inverters, storage, running, generator, island, (costs, title), joins)| {
                let mut arrays = numbered(arrays, |array, id| array.id = ArrayId(id));
                let pv_inverters =
                    numbered(pv_inverters, |inverter, id| inverter.id = PvInverterId(id));
                let storage = numbered(storage, |unit, id| unit.id = StorageId(id));
                let with_mppt: Vec<_> = storage
                    .iter()
                    .filter(|unit| unit.mppt.is_some())
                    .map(|unit| unit.id)
                    .collect();
                for (array, (inverter, unit)) in arrays.iter_mut().zip(joins) {
                    array.pv_inverter = inverter.get(&pv_inverters).id;
                    array.dc_unit = unit
                        .filter(|_| !with_mppt.is_empty())
                        .map(|unit| *unit.get(&with_mppt));
                }
                CouplingOption {
                    id: OptionId(1),
                    name: "Any".to_owned(),
                    title,
                    arrays,
                    pv_inverters,
                    storage,
                    running,
                    generator,
                    island,
                    costs,
                }
            },
        )
}

fn any_title() -> impl Strategy<Value = TitleNotes> {
    let words = select(vec![
        "",
        "A",
        "C2",
        "The owners of the house",
        "Müller & Töchter",
    ]);
    (words.clone(), words.clone(), words).prop_map(|(revision, drawn_for, checked_by)| TitleNotes {
        revision: revision.to_owned(),
        drawn_for: drawn_for.to_owned(),
        checked_by: checked_by.to_owned(),
    })
}

fn any_array(planes: Vec<PlaneId>) -> impl Strategy<Value = Array> {
    (
        select(planes),
        any::<bool>(),
        prop_oneof![
            3 => number_up_to(&limits::ARRAY_PEAK_W, 20_000.0),
            1 => any_number(&limits::ARRAY_PEAK_W),
        ],
        any_number(&limits::ARRAY_POWER_COEFFICIENT_PER_C),
        any_number(&limits::ARRAY_WIRING_LOSS),
        any_number(&limits::ARRAY_MISMATCH_LOSS),
        any_number(&limits::ARRAY_AGE_LOSS),
        any_array_electrical(),
        any_array_cost(),
    )
        .prop_map(
            |(
                plane,
                standing,
                peak_w,
                coefficient,
                wiring_loss,
                mismatch_loss,
                age_loss,
                electrical,
                first_cur,
            )| Array {
                id: ArrayId(1),
                name: "Array".to_owned(),
                plane,
                standing,
                peak_w,
                power_coefficient_per_c: coefficient,
                wiring_loss,
                mismatch_loss,
                age_loss,
                pv_inverter: PvInverterId(1),
                dc_unit: None,
                electrical,
                first_cur,
            },
        )
}

pub(super) fn any_side() -> impl Strategy<Value = AcSide> {
    select(vec![AcSide::GridSide, AcSide::BackedUp])
}

fn any_pv_inverter() -> impl Strategy<Value = PvInverter> {
    (
        any_side(),
        any::<bool>(),
        any_converter(&limits::PV_INVERTER_RATED_W),
        any_limiting(),
        any_grid_code(),
        any_island_means(),
        any_pv_inverter_electrical(),
        any_converter_costs(),
    )
        .prop_map(
            |(
                side,
                standing,
                (rated_w, efficiency),
                limiting,
                grid_code,
                island,
                electrical,
                costs,
            )| {
                PvInverter {
                    id: PvInverterId(1),
                    name: "PV inverter".to_owned(),
                    side,
                    standing,
                    rated_w,
                    efficiency,
                    limiting,
                    grid_code,
                    island,
                    electrical,
                    costs,
                }
            },
        )
}

/// A rated power, and datasheet figures of a converter that can be: they are taken from a loss law
/// `loss = a + b x + c x²` per rated power at the load x, so that some law has them.
pub(super) fn any_converter(
    rated: &'static Limit,
) -> impl Strategy<Value = (f64, ConverterEfficiency)> {
    (
        prop_oneof![3 => number_up_to(rated, 20_000.0), 1 => any_number(rated)],
        0.0005..0.02_f64,
        0.002..0.05_f64,
        0.001..0.05_f64,
        select(vec![Weighting::European, Weighting::Cec]),
    )
        .prop_map(|(rated_w, a, b, c, weighting)| {
            let efficiency = |x: f64| x / (x + a + b * x + c * x * x);
            // European and CEC weights by load.
            let weights: [(f64, f64); 6] = match weighting {
                Weighting::European => [
                    (0.05, 0.03),
                    (0.1, 0.06),
                    (0.2, 0.13),
                    (0.3, 0.10),
                    (0.5, 0.48),
                    (1.0, 0.20),
                ],
                Weighting::Cec => [
                    (0.1, 0.04),
                    (0.2, 0.05),
                    (0.3, 0.12),
                    (0.5, 0.21),
                    (0.75, 0.53),
                    (1.0, 0.05),
                ],
            };
            let weighted: f64 = weights
                .iter()
                .map(|(x, weight)| weight * efficiency(*x))
                .sum();
            let figures = ConverterEfficiency {
                peak: efficiency((a / c).sqrt().min(1.0)),
                // A hair below, so that rounding cannot put it above what the law allows.
                weighted: weighted - 1e-9,
                weighting,
                no_load_w: a * rated_w,
            };
            (rated_w, figures)
        })
}

/// Hours of the household's own choosing.
pub fn any_own_hours() -> impl Strategy<Value = RunningRule> {
    let aim = prop_oneof![
        any_number(&limits::RUNNING_WINDOW_TO_SOC).prop_map(|to_soc| WindowAim::Charge { to_soc }),
        select(vec![WindowAim::Hold, WindowAim::Give, WindowAim::Sell]),
    ];
    let hours = (any_hours(), aim).prop_map(|(window, aim)| OwnHours { window, aim });
    vec(hours, 0..5).prop_map(|windows| RunningRule::OwnHours { windows })
}

/// A running rule with any bounds.
pub fn any_running() -> impl Strategy<Value = Running> {
    let time_of_use = (
        any::<bool>(),
        option::of(any_number(&limits::RUNNING_GRID_CHARGE_TO_SOC)),
        any::<bool>(),
    )
        .prop_map(
            |(discharge_in_middle_hours, grid_charge_to_soc, sell_from_battery)| {
                RunningRule::TimeOfUse {
                    discharge_in_middle_hours,
                    grid_charge_to_soc,
                    sell_from_battery,
                }
            },
        );
    (
        prop_oneof![
            Just(RunningRule::SelfConsumption),
            time_of_use,
            any_own_hours()
        ],
        any_number(&limits::RUNNING_RESERVE_SOC),
        select(vec![
            DcOrder::LoadsBatteryGrid,
            DcOrder::BatteryLoadsGrid,
            DcOrder::LoadsGridBattery,
        ]),
    )
        .prop_map(|(rule, reserve_soc, dc_order)| Running {
            rule,
            reserve_soc,
            dc_order,
        })
}
