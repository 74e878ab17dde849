//! A whole year from sun to DC against `year_hourly.csv.gz` and `year_sums.csv`: the same chain in an independent program, for
//! a public-domain TMY3 year of Greensboro, N.C. (Wilcox & Marion 2008, NREL/TP-581-43156).

use couplet_core::array::{
    Gathering, Incidence, Mounting, PvPlane, dc_w_per_w, faiman_cell_c, power_share,
};
use couplet_core::climate::Weather;
use couplet_core::sky::{
    Horizon, Light, Location, Observer, Plane, SkyModel, Skyline, SunTable, TimeGrid, Transposition,
};
use couplet_tests::{Row, Table, Tolerance, assert_near, assert_within};

/// Twelve digits are printed; the algorithm is the same.
const HOURLY: Tolerance = Tolerance::either(1e-6, 1e-4);
/// A sun position may differ by 1e-6°; so may an angle between sun and plane, more where the arc cosine is flat.
const ANGLE_DEG: f64 = 2e-6;
const SUM_BELOW_87: Tolerance = Tolerance::relative(1e-7);
/// Hours in which the sun stands at the horizon follow rules of their own in each program.
const SUM_OF_ALL: Tolerance = Tolerance::relative(2e-3);

/// The station and settings that `values/README.md` states for the two tables.
const STATION: Location = Location {
    latitude_deg: 36.1,
    longitude_deg: -79.95,
    elevation_m: 273.0,
};
const UTC_OFFSET_S: i32 = -5 * 3600;
const DELTA_T_S: f64 = 67.0;
const POWER_PER_C: f64 = -0.0035;
const RATED_W: f64 = 1000.0;
const ALBEDO: f64 = 0.2;
const PLANES: [(&str, f64, f64); 2] = [("p1", 30.0, 180.0), ("p2", 20.0, 270.0)];
const MODELS: [(&str, SkyModel); 2] = [
    ("perez", SkyModel::Perez),
    ("haydavies", SkyModel::HayDavies),
];

fn plane(tilt_deg: f64, azimuth_deg: f64) -> Plane {
    Plane {
        tilt_rad: tilt_deg.to_radians(),
        azimuth_rad: azimuth_deg.to_radians(),
        albedo: ALBEDO,
    }
}

struct Year {
    table: Table,
    suns: SunTable,
    weather: Weather,
}

impl Year {
    fn read() -> Self {
        let table = Table::reference("year_hourly.csv.gz");
        let column = |name: &str| -> Vec<f64> { table.rows().map(|row| row.given(name)).collect() };
        let weather = Weather {
            ghi_w_m2: column("ghi_W_m2"),
            dni_w_m2: column("dni_W_m2"),
            dhi_w_m2: column("dhi_W_m2"),
            air_c: column("temp_air_degC"),
            wind_m_s: column("wind_speed_m_s"),
        };
        let first = table.rows().next().expect("a first hour");
        let year = first.text("time_mid_utc")[..4].parse().expect("a year");
        let grid = TimeGrid {
            year,
            ..TimeGrid::whole_year(3600, UTC_OFFSET_S)
        };
        assert_eq!(grid.len(), table.len());
        let observer = Observer::in_standard_air(STATION);
        let suns = SunTable::new(&observer, grid, DELTA_T_S);
        Self {
            table,
            suns,
            weather,
        }
    }

    fn light(&self, hour: usize) -> Light {
        Light {
            ghi_w_m2: self.weather.ghi_w_m2[hour],
            dni_w_m2: self.weather.dni_w_m2[hour],
            dhi_w_m2: self.weather.dhi_w_m2[hour],
        }
    }
}

fn check(row: &Row, computed: f64, column: &str) {
    let what = format!("{} {column}", row.place());
    assert_within(computed, row.given(column), HOURLY, &what);
}

#[test]
fn every_hour_from_sun_to_dc_matches_an_independent_program() {
    let year = Year::read();
    for (hour, row) in year.table.rows().enumerate() {
        let sun = &year.suns.suns[hour];
        let apparent_deg = row.given("zenith_apparent_deg");
        assert_near(
            sun.apparent_zenith_rad.to_degrees(),
            apparent_deg,
            ANGLE_DEG,
            &row.place(),
        );
        assert_near(
            sun.cos_zenith.acos().to_degrees(),
            row.given("zenith_true_deg"),
            ANGLE_DEG,
            &row.place(),
        );
        assert_near(
            sun.direction.azimuth_rad().to_degrees(),
            row.given("azimuth_deg_north0_east90"),
            ANGLE_DEG,
            &row.place(),
        );
        check(&row, sun.extraterrestrial_normal_w_m2, "dni_extra_W_m2");
        check(&row, sun.relative_air_mass, "airmass_relative");
        let light = year.light(hour);
        for (name, tilt_deg, azimuth_deg) in PLANES {
            let column = |what: &str| format!("{name}_{what}");
            let plane = plane(tilt_deg, azimuth_deg);
            for (model_name, model) in MODELS {
                let transposition = Transposition::new(&plane, model);
                let incidence_rad = transposition.cos_incidence(sun).acos();
                assert_near(
                    incidence_rad.to_degrees(),
                    row.given(&column("aoi_deg")),
                    ANGLE_DEG,
                    &row.place(),
                );
                let on = transposition.light(sun, &light);
                check(&row, on.beam_w_m2, &column("poa_beam_W_m2"));
                check(&row, on.ground_w_m2, &column("poa_ground_W_m2"));
                check(
                    &row,
                    on.sky_w_m2(),
                    &column(&format!("sky_{model_name}_W_m2")),
                );
                let global_w_m2 = on.global_w_m2();
                check(
                    &row,
                    global_w_m2,
                    &column(&format!("poa_global_{model_name}_W_m2")),
                );
                let cell_c = faiman_cell_c(
                    global_w_m2,
                    year.weather.air_c[hour],
                    year.weather.wind_m_s[hour],
                    Mounting::OpenRack.heat_loss(),
                );
                check(
                    &row,
                    cell_c,
                    &column(&format!("temp_cell_{model_name}_degC")),
                );
                check(
                    &row,
                    RATED_W * power_share(global_w_m2, cell_c, POWER_PER_C),
                    &column(&format!("pdc_{model_name}_W")),
                );
            }
        }
    }
}

#[test]
fn the_year_adds_up_to_the_sums_of_an_independent_program() {
    let year = Year::read();
    let sums = Table::reference("year_sums.csv");
    let skyline = Skyline::new(&Horizon::default());
    for row in sums.rows() {
        let place = row.place();
        let series: Vec<f64> = match (row.text("plane"), row.text("quantity")) {
            ("horizontal", "ghi") => year.weather.ghi_w_m2.clone(),
            ("horizontal", "dhi") => year.weather.dhi_w_m2.clone(),
            ("normal", "dni") => year.weather.dni_w_m2.clone(),
            (_, quantity) => {
                let model = match row.text("sky_model") {
                    "perez" => SkyModel::Perez,
                    "haydavies" => SkyModel::HayDavies,
                    "isotropic" => SkyModel::Isotropic,
                    other => panic!("{place}: sky model {other}"),
                };
                let plane = plane(
                    row.given("tilt_deg"),
                    row.given("azimuth_deg_north0_east90"),
                );
                if quantity == "pdc" {
                    // The chain that the product runs, not its parts.
                    let pv = PvPlane {
                        plane,
                        sky_model: model,
                        skyline: &skyline,
                        shade: None,
                        gathering: Gathering::ModuleByModule,
                        incidence: Incidence::Even,
                        mounting: Mounting::OpenRack,
                        power_coefficient_per_c: POWER_PER_C,
                        soiling_share: [0.0; 12],
                    };
                    dc_w_per_w(&pv, &year.suns, &year.weather)
                        .iter()
                        .map(|share| RATED_W * share)
                        .collect()
                } else {
                    let transposition = Transposition::new(&plane, model);
                    (0..year.table.len())
                        .map(|hour| {
                            let on = transposition.light(&year.suns.suns[hour], &year.light(hour));
                            match quantity {
                                "poa_beam" => on.beam_w_m2,
                                "poa_ground" => on.ground_w_m2,
                                "sky_diffuse" => on.sky_w_m2(),
                                "poa_global" => on.global_w_m2(),
                                other => panic!("{place}: quantity {other}"),
                            }
                        })
                        .collect()
                }
            }
        };
        let sum_below = |zenith_deg: f64| -> f64 {
            series
                .iter()
                .zip(&year.suns.suns)
                .filter(|(_, sun)| sun.apparent_zenith_rad.to_degrees() < zenith_deg)
                .map(|(value, _)| value)
                .sum()
        };
        assert_within(
            sum_below(87.0),
            row.given("sum_hours_zenith_apparent_below_87deg"),
            SUM_BELOW_87,
            &place,
        );
        assert_within(
            sum_below(f64::INFINITY),
            row.given("sum_all_hours_Wh_per_m2_or_Wh"),
            SUM_OF_ALL,
            &place,
        );
    }
}
