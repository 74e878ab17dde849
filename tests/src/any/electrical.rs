//! Random valid inputs of the electrical rules.

use couplet_core::coupling::{
    ArrayElectrical, BatterySheet, GeneratorElectrical, InputSheet, InputStrings, ModuleSheet,
    PvInverterElectrical, StorageElectrical,
};
use couplet_core::household::{
    CircuitChoice, Dwelling, HouseholdElectrical, NeutralAtTransfer, PanelElectrical, PanelFeed,
    RapidShutdown,
};
use couplet_core::limits;
use couplet_core::rules::{
    Awg, Code, Column, HomeCircuits, Metal, Method, MetricInsulation, ParallelLaying, Section,
    Size, StorageRoom, Terminals, Wiring,
};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::number::any_number;

/// What the electrical rules ask about a household; three in four are as nobody has opened them yet.
pub fn any_household_electrical() -> impl Strategy<Value = HouseholdElectrical> {
    let numbers = (
        option::of(any_number(&limits::BACKED_UP_BUSBAR_A)),
        option::of(any_number(&limits::EXPORT_CONTROL_LIMIT_S)),
        option::of(any_number(&limits::DC_DROP_SHARE)),
        option::of(any_number(&limits::AC_DROP_SHARE)),
        option::of(any_dwelling()),
        option::of(any_home_circuits()),
    );
    let site = (
        option::of(select(vec![
            NeutralAtTransfer::Solid,
            NeutralAtTransfer::SwitchedAndBondedAtSource,
            NeutralAtTransfer::SwitchedWithoutBond,
            NeutralAtTransfer::SolidAndBondedAtSource,
        ])),
        option::of(select(vec![
            RapidShutdown::Listed,
            RapidShutdown::NotOnBuilding,
            RapidShutdown::Absent,
        ])),
        proptest::array::uniform5(any::<Option<bool>>()),
        any::<bool>(),
    );
    let given = (
        option::of(select(Code::ALL.to_vec())),
        any_panel(),
        any_panel(),
        any_circuit(),
        numbers,
        site,
    )
        .prop_map(
            |(code, grid_side, backed_up, transfer_circuit, numbers, site)| {
                let (busbar_a, export_limit_s, dc_drop, ac_drop, dwelling, home) = numbers;
                let (neutral, rapid_shutdown, answers, transfer_by_hand) = site;
                let [arc, dc_fault, pv_disconnect, island_device, labels] = answers;
                HouseholdElectrical {
                    code,
                    grid_side,
                    backed_up,
                    backed_up_busbar_a: busbar_a,
                    transfer_circuit,
                    dc_drop_share: dc_drop,
                    ac_drop_share: ac_drop,
                    transfer_by_hand,
                    dwelling,
                    home_circuits: home,
                    neutral,
                    rapid_shutdown,
                    arc_fault_protection: arc,
                    dc_fault_detection: dc_fault,
                    pv_disconnect,
                    island_device_listed: island_device,
                    export_control_limit_s: export_limit_s,
                    labels_in_place: labels,
                }
            },
        );
    mostly_open(given)
}

/// What the electrical rules ask about an array.
pub fn any_array_electrical() -> impl Strategy<Value = ArrayElectrical> {
    let strings = (1..30_u32, 1..4_u32).prop_map(|(in_series, parallel)| InputStrings {
        in_series,
        parallel,
    });
    let given = (
        option::of(any_module()),
        option::of(vec(strings, 1..4)),
        any_circuit(),
    )
        .prop_map(|(module, strings, circuit)| ArrayElectrical {
            module,
            strings,
            circuit,
        });
    mostly_open(given)
}

/// What the electrical rules ask about a PV inverter.
pub fn any_pv_inverter_electrical() -> impl Strategy<Value = PvInverterElectrical> {
    let given = (
        any::<bool>(),
        option::of(1..=24_u32),
        option::of(any_input()),
        any::<Option<bool>>(),
        any_circuit(),
    )
        .prop_map(
            |(at_modules, inputs, input, one_line, output)| PvInverterElectrical {
                at_modules,
                inputs,
                input,
                one_line,
                output,
            },
        );
    mostly_open(given)
}

/// What the electrical rules ask about a generator.
pub(super) fn any_generator_electrical() -> impl Strategy<Value = GeneratorElectrical> {
    let given = (
        option::of(any_number(&limits::GENERATOR_RATED_A)),
        any::<Option<bool>>(),
        any_circuit(),
    )
        .prop_map(
            |(rated_a, kept_from_overload, output)| GeneratorElectrical {
                rated_a,
                kept_from_overload,
                output,
            },
        );
    mostly_open(given)
}

/// What the electrical rules ask about a storage unit.
pub fn any_storage_electrical() -> impl Strategy<Value = StorageElectrical> {
    let battery = (
        any_number(&limits::BATTERY_NOMINAL_V),
        any_number(&limits::BATTERY_LOWEST_V),
        any_number(&limits::BATTERY_HIGHEST_V),
    )
        .prop_map(|(nominal_v, lowest_v, highest_v)| {
            let [lowest_v, nominal_v, highest_v] = in_order([nominal_v, lowest_v, highest_v]);
            BatterySheet {
                nominal_v,
                lowest_v,
                highest_v,
            }
        });
    let numbers = (
        option::of(any_number(&limits::STORAGE_NOMINAL_WH)),
        option::of(any_number(&limits::STORAGE_SPACING_M)),
        option::of(any_number(&limits::STORAGE_CLEAR_DEPTH_M)),
    );
    let given = (
        (option::of(any_input()), option::of(battery)),
        any_circuit(),
        any_circuit(),
        any::<bool>(),
        numbers,
        option::of(select(StorageRoom::ALL.to_vec())),
        proptest::array::uniform5(any::<Option<bool>>()),
    )
        .prop_map(
            |(
                (input, battery),
                output,
                battery_circuit,
                battery_inside,
                numbers,
                room,
                answers,
            )| {
                let (nominal_wh, spacing_m, clear_depth_m) = numbers;
                let [one_line, listed, disconnect, shutdown, both_lines] = answers;
                StorageElectrical {
                    input,
                    one_line,
                    output,
                    battery_inside,
                    battery,
                    battery_circuit,
                    nominal_wh,
                    room,
                    spacing_m,
                    clear_depth_m,
                    listed,
                    disconnect,
                    emergency_shutdown: shutdown,
                    gives_both_lines: both_lines,
                }
            },
        );
    mostly_open(given)
}

// Boxed, so that what holds a value of so many parts lies on the heap: the stack of a test is small.
fn mostly_open<T: Clone + Default + std::fmt::Debug + 'static>(
    given: impl Strategy<Value = T> + 'static,
) -> BoxedStrategy<T> {
    prop_oneof![3 => Just(T::default()), 1 => given].boxed()
}

fn any_panel() -> impl Strategy<Value = PanelElectrical> {
    (
        option::of(any_number(&limits::PANEL_LOAD_BREAKERS_A)),
        select(vec![PanelFeed::End, PanelFeed::Centre]),
        any::<Option<bool>>(),
        (
            any::<bool>(),
            option::of(any_number(&limits::PANEL_FEED_THROUGH_A)),
        ),
        (
            option::of(any_number(&limits::PANEL_CONTROL_A)),
            any::<Option<bool>>(),
        ),
        any::<bool>(),
    )
        .prop_map(
            |(
                load_breakers_a,
                feed,
                sources_at_far_end,
                (feed_through, feed_through_a),
                (control_a, control_listed),
                supply_side,
            )| {
                PanelElectrical {
                    load_breakers_a,
                    feed,
                    sources_at_far_end,
                    feed_through,
                    feed_through_a,
                    control_a,
                    control_listed,
                    supply_side,
                }
            },
        )
}

fn any_dwelling() -> impl Strategy<Value = Dwelling> {
    (
        any_number(&limits::DWELLING_FLOOR_M2),
        0..=50_u32,
        any_number(&limits::DWELLING_APPLIANCES_W),
        any_number(&limits::DWELLING_ADDED_APPLIANCES_W),
        any_number(&limits::DWELLING_CENTRAL_HEATING_W),
        any::<bool>(),
    )
        .prop_map(
            |(
                floor_m2,
                appliance_circuits,
                appliances_w,
                added_appliances_w,
                central_heating_w,
                central_heating_is_added,
            )| Dwelling {
                floor_m2,
                appliance_circuits,
                appliances_w,
                added_appliances_w,
                central_heating_w,
                central_heating_is_added,
            },
        )
}

/// The circuits of a home.
pub fn any_home_circuits() -> impl Strategy<Value = HomeCircuits> {
    (
        any_number(&limits::HOME_LIGHTING_W),
        any_number(&limits::HOME_HEATING_W),
        (any_number(&limits::HOME_COOKING_W), any::<bool>()),
        (0..=20_u32, any_number(&limits::HOME_INSTANT_HEATER_W)),
        any_number(&limits::HOME_STORED_HEAT_W),
        (0..=50_u32, any_number(&limits::HOME_SOCKET_DEVICE_A)),
    )
        .prop_map(
            |(lighting_w, heating_w, cooking, instant, stored_heat_w, sockets)| HomeCircuits {
                lighting_w,
                heating_w,
                cooking_w: cooking.0,
                cooking_socket: cooking.1,
                instant_heaters: instant.0,
                instant_heater_w: instant.1,
                stored_heat_w,
                socket_circuits: sockets.0,
                socket_device_a: sockets.1,
            },
        )
}

/// How conductors in parallel may lie.
pub fn any_parallel_laying() -> impl Strategy<Value = ParallelLaying> {
    select(vec![ParallelLaying::Apart, ParallelLaying::Together])
}

fn any_circuit() -> BoxedStrategy<CircuitChoice> {
    let sizes = Awg::ALL
        .into_iter()
        .map(Size::Awg)
        .chain(Section::ALL.into_iter().map(Size::Section));
    (
        option::of(any_number(&limits::CIRCUIT_ONE_WAY_M)),
        option::of(any_number(&limits::CIRCUIT_DEVICE_A)),
        option::of(select(sizes.collect::<Vec<_>>())),
        option::of(any_number(&limits::CIRCUIT_AMBIENT_C)),
        option::of(select(vec![Metal::Copper, Metal::Aluminium])),
        option::of(any_wiring(1..=100_u32, 1..=100_u32)),
        (option::of(1..=12_u32), option::of(any_parallel_laying())),
        (
            option::of(any_number(&limits::CIRCUIT_FAULT_A)),
            option::of(any_number(&limits::CIRCUIT_FAULT_CLEARED_S)),
        ),
    )
        .prop_map(
            |(one_way_m, device_a, size, ambient_c, metal, wiring, parallel, fault)| {
                CircuitChoice {
                    one_way_m,
                    device_a,
                    size,
                    ambient_c,
                    metal,
                    wiring,
                    parallel: parallel.0,
                    parallel_laying: parallel.1,
                    fault_a: fault.0,
                    fault_cleared_s: fault.1,
                }
            },
        )
        .boxed()
}

/// Insulation and company of conductors under either family of codes, by how many conductors or circuits lie together.
pub fn any_wiring(
    loaded_conductors: impl Strategy<Value = u32>,
    circuits: impl Strategy<Value = u32>,
) -> impl Strategy<Value = Wiring> {
    let nec = (
        select(vec![Column::C60, Column::C75, Column::C90]),
        select(vec![Terminals::Marked75C, Terminals::Unmarked]),
        loaded_conductors,
    )
        .prop_map(|(insulation, terminals, loaded_conductors)| Wiring::Nec {
            insulation,
            terminals,
            loaded_conductors,
        });
    let iec = (
        select(vec![
            MetricInsulation::Pvc,
            MetricInsulation::Xlpe,
            MetricInsulation::PvCable,
        ]),
        select(vec![Method::ConduitOnWall, Method::ClippedDirect]),
        circuits,
    )
        .prop_map(|(insulation, method, circuits)| Wiring::Iec {
            insulation,
            method,
            circuits,
        });
    prop_oneof![nec, iec]
}

fn any_module() -> impl Strategy<Value = ModuleSheet> {
    (
        1..=10_000_u32,
        any_number(&limits::MODULE_VOC_V),
        any_number(&limits::MODULE_ISC_A),
        any_number(&limits::MODULE_VMP_V),
        any_number(&limits::MODULE_IMP_A),
        option::of(any_number(&limits::MODULE_VOC_PER_C)),
        option::of(any_number(&limits::MODULE_VMP_PER_C)),
        any_number(&limits::MODULE_SERIES_FUSE_A),
    )
        .prop_map(
            |(count, voc_v, isc_a, vmp_v, imp_a, voc_per_c, vmp_per_c, series_fuse_a)| {
                // Open circuit and short circuit are the ends of the curve.
                ModuleSheet {
                    count,
                    voc_v: voc_v.max(vmp_v),
                    isc_a: isc_a.max(imp_a),
                    vmp_v: vmp_v.min(voc_v),
                    imp_a: imp_a.min(isc_a),
                    voc_per_c,
                    vmp_per_c,
                    series_fuse_a,
                }
            },
        )
}

/// From the smallest to the largest.
fn in_order(mut values: [f64; 3]) -> [f64; 3] {
    values.sort_by(f64::total_cmp);
    values
}

fn any_input() -> impl Strategy<Value = InputSheet> {
    (
        any_number(&limits::INPUT_MOST_V),
        any_number(&limits::INPUT_MPPT_FROM_V),
        any_number(&limits::INPUT_MPPT_TO_V),
        any_number(&limits::INPUT_MOST_WORKING_A),
        any_number(&limits::INPUT_MOST_SHORT_CIRCUIT_A),
    )
        .prop_map(
            |(most_v, mppt_from_v, mppt_to_v, most_working_a, most_short_circuit_a)| {
                let [mppt_from_v, mppt_to_v, most_v] = in_order([most_v, mppt_from_v, mppt_to_v]);
                InputSheet {
                    most_v,
                    mppt_from_v,
                    mppt_to_v,
                    most_working_a,
                    most_short_circuit_a,
                }
            },
        )
}
