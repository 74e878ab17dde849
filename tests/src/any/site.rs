//! Random places: site, climate, service, roof planes.

use couplet_core::array::Mounting;
use couplet_core::climate::{MonthlyClimate, WeatherFile};
use couplet_core::household::{ClimateSource, PlaneId, RoofPlane, Service, Site, Supply};
use couplet_core::limits;
use couplet_core::sky::{Horizon, HorizonPoint, ShadeTable, SkyModel};
use proptest::array::uniform12;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::number::{any_number, number_up_to};

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

pub(super) fn any_plane() -> impl Strategy<Value = RoofPlane> {
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
