//! Laws of light and DC power.

use couplet_core::array::{
    Gathering, Incidence, Mounting, PHYSICAL, PvPlane, SingleDiode, dc_w_per_w,
};
use couplet_core::climate::Weather;
use couplet_core::sky::{
    DELTA_T_S, Horizon, HorizonPoint, Location, Observer, Plane, ShadeTable, SkyModel, Skyline,
    SunTable, TimeGrid, daily_extraterrestrial_wh_m2, erbs_split, extraterrestrial_between_wh_m2,
};
use couplet_tests::draws;
use proptest::num::f64::ANY;
use proptest::prelude::*;

const NOON: usize = 12;

fn suns(location: Location) -> SunTable {
    let grid = TimeGrid::days(171, 1, 3600, 0);
    SunTable::new(&Observer::in_standard_air(location), grid, DELTA_T_S)
}

fn south_roof(skyline: &Skyline, tilt_rad: f64, sky_model: SkyModel) -> PvPlane<'_> {
    PvPlane {
        plane: Plane {
            tilt_rad,
            azimuth_rad: std::f64::consts::PI,
            albedo: 0.2,
        },
        sky_model,
        skyline,
        shade: None,
        gathering: Gathering::TEN_MODULE_STRINGS,
        incidence: Incidence::Physical(PHYSICAL),
        mounting: Mounting::RoofStandOff,
        power_coefficient_per_c: -0.0035,
        soiling_share: [0.0; 12],
    }
}

fn sky_model() -> impl Strategy<Value = SkyModel> {
    prop_oneof![
        Just(SkyModel::Perez),
        Just(SkyModel::HayDavies),
        Just(SkyModel::Isotropic),
    ]
}

proptest! {
    #![proptest_config(draws(256))]

    #[test]
    fn beam_and_diffuse_add_up_to_the_global_light(
        ghi_w_m2 in 0.0..1500.0_f64,
        cos_zenith in -1.0..1.0_f64,
        normal_w_m2 in 1320.0..1415.0_f64,
    ) {
        let split = erbs_split(ghi_w_m2, cos_zenith, normal_w_m2);
        let sum_w_m2 = split.dni_w_m2 * cos_zenith + split.dhi_w_m2;
        prop_assert!((sum_w_m2 - ghi_w_m2).abs() < 1e-9);
        prop_assert!(split.dni_w_m2 >= 0.0 && split.dhi_w_m2 >= 0.0);
    }

    #[test]
    fn dc_power_rises_with_light_and_falls_with_heat(
        tilt_rad in 0.0..1.5_f64,
        model in sky_model(),
        dhi_w_m2 in 20.0..300.0_f64,
        dni_w_m2 in 0.0..900.0_f64,
    ) {
        let suns = suns(Location { latitude_deg: 45.0, longitude_deg: 0.0, elevation_m: 0.0 });
        let skyline = Skyline::new(&Horizon::default());
        let pv = south_roof(&skyline, tilt_rad, model);
        let noon = |scale: f64, air_c: f64| {
            let steps = suns.suns.len();
            let ghi_w_m2 = dni_w_m2 * suns.suns[NOON].cos_zenith + dhi_w_m2;
            let weather = Weather {
                ghi_w_m2: vec![scale * ghi_w_m2; steps],
                dni_w_m2: vec![scale * dni_w_m2; steps],
                dhi_w_m2: vec![scale * dhi_w_m2; steps],
                air_c: vec![air_c; steps],
                wind_m_s: vec![1.0; steps],
            };
            dc_w_per_w(&pv, &suns, &weather)[NOON]
        };
        // The Perez sky changes its kind with the light; the others are in proportion to it.
        if model != SkyModel::Perez {
            prop_assert!(noon(1.0, 20.0) > noon(0.9, 20.0));
        }
        prop_assert!(noon(1.0, 20.0) > noon(1.0, 30.0));
        prop_assert!(noon(1.0, 20.0) > 0.0 && noon(1.0, 20.0) < 1.6);
    }

    #[test]
    fn any_numbers_give_a_series_and_no_panic(
        place in proptest::array::uniform3(ANY),
        plane in proptest::array::uniform4(ANY),
        weather in proptest::array::uniform5(ANY),
        horizon in proptest::collection::vec((ANY, ANY), 0..5),
        shade in proptest::collection::vec(proptest::collection::vec(ANY, 0..25), 0..13),
        model in sky_model(),
    ) {
        let suns = suns(Location {
            latitude_deg: place[0],
            longitude_deg: place[1],
            elevation_m: place[2],
        });
        let points = horizon.iter().map(|&(azimuth_deg, elevation_deg)| HorizonPoint {
            azimuth_deg,
            elevation_deg,
        });
        let skyline = Skyline::new(&Horizon(points.collect()));
        let shade = ShadeTable(shade);
        let mut pv = south_roof(&skyline, plane[0], model);
        pv.plane.azimuth_rad = plane[1];
        pv.plane.albedo = plane[2];
        pv.power_coefficient_per_c = plane[3];
        pv.soiling_share = [plane[3]; 12];
        pv.shade = Some(&shade);
        let steps = suns.suns.len();
        let [ghi_w_m2, dni_w_m2, dhi_w_m2, air_c, wind_m_s] = weather.map(|value| vec![value; steps]);
        let weather = Weather { ghi_w_m2, dni_w_m2, dhi_w_m2, air_c, wind_m_s };
        prop_assert_eq!(dc_w_per_w(&pv, &suns, &weather).len(), steps);
        let _ = daily_extraterrestrial_wh_m2(place[0], place[1], place[2]);
        let _ = extraterrestrial_between_wh_m2(place[0], place[1], place[2], plane[0], plane[1]);
    }

    #[test]
    fn a_module_of_any_numbers_gives_its_points_and_no_panic(
        module in proptest::array::uniform8(ANY),
        poa_w_m2 in ANY,
        cell_c in ANY,
    ) {
        let [light_a, saturation_a, diode_v, shunt_ohm, series_ohm, short_circuit_a_per_c, band_gap_ev, band_gap_per_c] = module;
        let curve = SingleDiode {
            light_a,
            saturation_a,
            diode_v,
            shunt_ohm,
            series_ohm,
            short_circuit_a_per_c,
            band_gap_ev,
            band_gap_per_c,
        }
        .curve(poa_w_m2, cell_c);
        let _ = (curve.short_circuit_a(), curve.open_circuit_v(), curve.max_power());
        let _ = curve.current_a(cell_c);
    }
}
