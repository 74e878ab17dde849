//! Random valid inputs, drawn from the rows of the limits.

use crate::any_island::{
    any_generator, any_grid_code, any_island_means, any_island_running, any_limiting, any_start,
    any_surge,
};
use crate::any_tariff::any_tariff;
use couplet_core::array::Mounting;
use couplet_core::climate::{MonthlyClimate, WeatherFile};
use couplet_core::coupling::{
    Array, Battery, BatteryPlace, ConverterEfficiency, CouplingOption, DcOrder, Mppt, PvInverter,
    Running, RunningRule, StorageInverter, StorageUnit, Weighting,
};
use couplet_core::household::{
    AcSide, ArrayId, BaseUse, ClimateSource, Device, DeviceId, DeviceKind, Household, IntervalUse,
    LoadProfile, Loads, OptionId, PlaneId, PvInverterId, RoofPlane, Service, Site, StorageId,
    Supply,
};
use couplet_core::limits::{self, Limit};
use couplet_core::loads::window_h;
use couplet_core::sky::{Horizon, HorizonPoint, ShadeTable, SkyModel};
use proptest::array::uniform12;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use crate::any_electrical::{
    any_array_electrical, any_household_electrical, any_pv_inverter_electrical,
    any_storage_electrical,
};
use crate::any_money::{
    any_array_cost, any_battery_ageing, any_battery_costs, any_converter_costs, any_finance,
    any_option_costs,
};

/// A number that a row admits; one in ten is an end of the range, one in ten the default.
pub fn any_number(limit: &'static Limit) -> impl Strategy<Value = f64> + Clone {
    prop_oneof![
        8 => limit.least..=limit.most,
        1 => select(vec![limit.least, limit.most]),
        1 => Just(limit.default),
    ]
}

/// A number of the lower part of a row's range, up to `most`: sizes that a home may have.
fn number_up_to(limit: &'static Limit, most: f64) -> impl Strategy<Value = f64> + Clone {
    limit.least..=most.min(limit.most)
}

/// A household that passes the check.
pub fn any_household() -> impl Strategy<Value = Household> {
    (
        any_site(),
        any_service(),
        vec(any_plane(), 1..4),
        any_loads(),
        any_tariff(),
        any_household_electrical(),
        any_finance(),
        1..4_usize,
    )
        .prop_flat_map(
            |(site, service, planes, loads, tariff, electrical, finance, count)| {
                let planes = numbered(planes, |plane, id| plane.id = PlaneId(id));
                let ids = planes.iter().map(|plane| plane.id).collect::<Vec<_>>();
                vec(any_option(ids), count).prop_map(move |options| Household {
                    name: "Any".to_owned(),
                    invented: true,
                    site: site.clone(),
                    service: service.clone(),
                    planes: planes.clone(),
                    loads: loads.clone(),
                    tariff: tariff.clone(),
                    electrical: electrical.clone(),
                    finance: finance.clone(),
                    options: numbered(options, |option, id| option.id = OptionId(id)),
                })
            },
        )
}

/// An option whose arrays lie on these planes; there is at least one plane.
pub fn any_option(planes: Vec<PlaneId>) -> impl Strategy<Value = CouplingOption> {
    (
        vec(any_array(planes), 0..5),
        vec(any_pv_inverter(), 1..4),
        vec(any_storage_unit(), 0..3),
        any_running(),
        option::of(any_generator()),
        any_island_running(),
        any_option_costs(),
        vec((any::<Index>(), option::of(any::<Index>())), 5),
    )
        .prop_map(
            |(arrays, pv_inverters, storage, running, generator, island, costs, joins)| {
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

fn numbered<T>(mut items: Vec<T>, number: impl Fn(&mut T, u32)) -> Vec<T> {
    for (item, id) in items.iter_mut().zip(1..) {
        number(item, id);
    }
    items
}

/// A place whose clock fits its longitude.
pub fn any_site() -> impl Strategy<Value = Site> {
    (
        any_number(&limits::SITE_LATITUDE_DEG),
        any_number(&limits::SITE_LONGITUDE_DEG),
        any_number(&limits::SITE_ELEVATION_M),
        -2_i32..=2,
        prop_oneof![
            4 => Just(ClimateSource::Grid),
            4 => any_monthly().prop_map(ClimateSource::Monthly),
            1 => any_weather_file().prop_map(ClimateSource::File),
        ],
        any::<u32>(),
        select(vec![
            SkyModel::Perez,
            SkyModel::HayDavies,
            SkyModel::Isotropic,
        ]),
        any_number(&limits::SITE_GROUND_ALBEDO),
        uniform12(any_number(&limits::SITE_SOILING_SHARE)),
        option::of(any_number(&limits::SITE_RECORD_LOW_C)),
    )
        .prop_map(
            |(
                latitude_deg,
                longitude_deg,
                elevation_m,
                clock,
                climate,
                seed,
                sky_model,
                ground_albedo,
                soiling_share,
                record_low_c,
            )| Site {
                place: "Anywhere".to_owned(),
                latitude_deg,
                longitude_deg,
                elevation_m,
                utc_offset_h: ((longitude_deg / 15.0).round() + f64::from(clock))
                    .clamp(-12.0, 14.0),
                time_zone: String::new(),
                climate,
                seed,
                sky_model,
                ground_albedo,
                soiling_share,
                record_low_c,
            },
        )
}

fn any_monthly() -> impl Strategy<Value = MonthlyClimate> {
    (
        uniform12(number_up_to(&limits::CLIMATE_GHI_WH_M2_DAY, 8_000.0)),
        uniform12(-30.0..35.0_f64),
        uniform12(number_up_to(&limits::CLIMATE_AIR_RANGE_K, 20.0)),
        -60.0..10.0_f64,
        15.0..45.0_f64,
    )
        .prop_map(
            |(ghi_wh_m2_day, air_mean_c, air_range_k, yearly_low_c, yearly_high_c)| {
                MonthlyClimate {
                    ghi_wh_m2_day,
                    air_mean_c,
                    air_range_k,
                    yearly_low_c,
                    yearly_high_c,
                }
            },
        )
}

/// An hourly year of days that are all alike but for their light, with the sun up from 6 h to 18 h at the station.
fn any_weather_file() -> impl Strategy<Value = WeatherFile> {
    (
        any_number(&limits::WEATHER_LATITUDE_DEG),
        any_number(&limits::WEATHER_ELEVATION_M),
        200.0..900.0_f64,
        -20.0..35.0_f64,
        any_number(&limits::WEATHER_WIND_M_S),
    )
        .prop_map(|(latitude_deg, elevation_m, noon_w_m2, mean_c, wind_m_s)| {
            let of_hours = |value: &dyn Fn(f64) -> f64| {
                (0..8_760).map(|hour| value(f64::from(hour))).collect()
            };
            let light = |hour: f64| -> f64 {
                let height = ((hour % 24.0 - 6.0) / 12.0 * std::f64::consts::PI)
                    .sin()
                    .max(0.0);
                noon_w_m2 * height * (0.5 + 0.5 * (hour / 24.0).floor() % 7.0 / 6.0)
            };
            WeatherFile {
                name: "Any station".to_owned(),
                latitude_deg,
                longitude_deg: 0.0,
                elevation_m,
                utc_offset_h: 0.0,
                ghi_w_m2: of_hours(&light),
                dni_w_m2: of_hours(&|hour| 0.6 * light(hour)),
                dhi_w_m2: of_hours(&|hour| 0.4 * light(hour)),
                air_c: of_hours(&|hour| mean_c - 5.0 * (hour / 24.0 * std::f64::consts::TAU).cos()),
                wind_m_s: of_hours(&|_| wind_m_s),
            }
        })
}

/// A service of any system.
pub fn any_service() -> impl Strategy<Value = Service> {
    (
        select(Supply::ALL.to_vec()),
        any_number(&limits::SERVICE_MAIN_BREAKER_A),
        any_number(&limits::SERVICE_BUSBAR_A),
        any_number(&limits::SERVICE_TRANSFER_A),
        option::of(prop_oneof![
            Just(0.0),
            number_up_to(&limits::SERVICE_EXPORT_LIMIT_W, 20_000.0)
        ]),
    )
        .prop_map(
            |(supply, main_breaker_a, busbar_a, transfer_a, export_limit_w)| Service {
                supply,
                utility: true,
                main_breaker_a,
                busbar_a,
                transfer_a,
                export_limit_w,
            },
        )
}

fn any_plane() -> impl Strategy<Value = RoofPlane> {
    (
        any_number(&limits::PLANE_TILT_DEG),
        any_number(&limits::PLANE_AZIMUTH_DEG),
        select(vec![
            Mounting::OpenRack,
            Mounting::RoofStandOff,
            Mounting::CloseToRoof,
        ]),
        vec(
            (
                any_number(&limits::HORIZON_AZIMUTH_DEG),
                any_number(&limits::HORIZON_ELEVATION_DEG),
            ),
            0..4,
        ),
        option::of(vec(vec(any_number(&limits::PLANE_SHADE), 24), 12)),
    )
        .prop_map(
            |(tilt_deg, azimuth_deg, mounting, horizon, shade)| RoofPlane {
                id: PlaneId(1),
                name: "Plane".to_owned(),
                tilt_deg,
                azimuth_deg,
                mounting,
                horizon: Horizon(
                    horizon
                        .into_iter()
                        .map(|(azimuth_deg, elevation_deg)| HorizonPoint {
                            azimuth_deg,
                            elevation_deg,
                        })
                        .collect(),
                ),
                shade: shade.map(ShadeTable),
            },
        )
}

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
        option::of(1..=9_u32),
        option::of(any_start()),
        any_device_kind(),
    )
        .prop_map(|(backed_up, shed_order, start, kind)| Device {
            id: DeviceId(1),
            name: "Device".to_owned(),
            backed_up,
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

pub(crate) fn any_window(
    from: &'static Limit,
    to: &'static Limit,
) -> impl Strategy<Value = (f64, f64)> + Clone {
    (any_number(from), any_number(to))
        .prop_filter("a window has two ends", |(from_h, to_h)| from_h != to_h)
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

fn any_side() -> impl Strategy<Value = AcSide> {
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
fn any_converter(rated: &'static Limit) -> impl Strategy<Value = (f64, ConverterEfficiency)> {
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
        prop_oneof![Just(RunningRule::SelfConsumption), time_of_use],
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
