//! Sun positions against `sun_position.csv`: an independent implementation of the NREL solar position algorithm and the
//! example printed by its authors (Reda & Andreas 2004, NREL/TP-560-34302).

use std::str::FromStr;

use couplet_core::sky::{
    DELTA_T_S, Location, Moment, Observer, SunTable, TimeGrid, extraterrestrial_normal_w_m2,
    first_day_of_month, month_of_day, sun_position,
};
use couplet_tests::{Row, Table, Tolerance, assert_near, assert_within};

/// Same algorithm, only rounding differs.
const ANGLE_DEG: f64 = 1e-6;
/// The authors print five decimals.
const PRINTED_ANGLE_DEG: f64 = 1e-5;
const EQUATION_OF_TIME_MIN: f64 = 1e-4;

#[test]
fn sun_positions_match_an_independent_implementation_and_the_published_example() {
    let table = Table::reference("sun_position.csv");
    for row in table.rows() {
        let sun = sun_position(moment(&row), &observer(&row)).expect("a moment on the Earth");
        let place = row.place();
        let published = row.text("source").contains("Reda");
        let angle_deg = if published {
            PRINTED_ANGLE_DEG
        } else {
            ANGLE_DEG
        };
        if let Some(zenith_deg) = row.number("zenith_true_deg") {
            assert_near(sun.zenith_deg, zenith_deg, angle_deg, &place);
        }
        assert_near(
            sun.apparent_zenith_deg,
            row.given("zenith_apparent_deg"),
            angle_deg,
            &place,
        );
        let azimuth_deg = row.given("azimuth_deg_north0_east90");
        let off_deg = (sun.azimuth_deg - azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
        let overhead = sun.zenith_deg < 1.0 || sun.zenith_deg > 179.0;
        let azimuth_allowed_deg = if overhead { 1e-4 } else { angle_deg };
        assert_near(off_deg, 0.0, azimuth_allowed_deg, &place);
        if let Some(minutes) = row.number("equation_of_time_min") {
            assert_near(
                sun.equation_of_time_min,
                minutes,
                EQUATION_OF_TIME_MIN,
                &place,
            );
        }
        if let Some(normal_w_m2) = row.number("dni_extra_spencer_W_m2") {
            assert_within(
                extraterrestrial_normal_w_m2(row.given("day_of_year_utc")),
                normal_w_m2,
                Tolerance::relative(1e-9),
                &place,
            );
        }
    }
}

/// The table of a run interpolates what is slow; it must stay within the same 1e-6° of the full algorithm, which the test
/// above ties to outside values.
#[test]
fn the_table_of_a_run_stays_with_the_full_algorithm() {
    let mut worst_deg: f64 = 0.0;
    for (latitude_deg, longitude_deg, elevation_m, utc_offset_h) in [
        (0.0, 0.0, 0.0, 0),
        (35.9, -79.9, 270.0, -5),
        (52.5, 13.4, 34.0, 1),
        (69.65, 18.96, 10.0, 1),
        (78.2, 15.6, 450.0, 1),
        (-33.45, -70.67, 520.0, -4),
        (-54.8, -68.3, 20.0, -3),
        (-89.5, 139.3, 2835.0, 12),
        (1.35, 179.9, 3.0, 13),
        (27.98, 86.93, 8848.0, 6),
    ] {
        let location = Location {
            latitude_deg,
            longitude_deg,
            elevation_m,
        };
        let observer = Observer::in_standard_air(location);
        for (step_s, stride) in [(900, 37), (60, 997), (3600, 11)] {
            let grid = TimeGrid::whole_year(step_s, utc_offset_h * 3600);
            let table = SunTable::new(&observer, grid, DELTA_T_S);
            assert_eq!(table.suns.len(), grid.len());
            for index in (0..grid.len()).step_by(stride) {
                let sun = &table.suns[index];
                let full = sun_position(utc_mid(&grid, index, DELTA_T_S), &observer).unwrap();
                let what = format!("{location:?} {step_s} s, step {index}");
                let zenith_deg = sun.cos_zenith.acos().to_degrees();
                if (0.1..179.9).contains(&full.zenith_deg) {
                    assert_near(zenith_deg, full.zenith_deg, ANGLE_DEG, &what);
                }
                let apparent_deg = sun.apparent_zenith_rad.to_degrees();
                // At the height where refraction ends, a rounding error decides whether it is applied.
                if (full.zenith_deg - 90.83337).abs() > 1e-5 {
                    assert_near(apparent_deg, full.apparent_zenith_deg, ANGLE_DEG, &what);
                    worst_deg = worst_deg.max((apparent_deg - full.apparent_zenith_deg).abs());
                    assert_near(
                        sun.direction.up,
                        apparent_deg.to_radians().cos(),
                        1e-14,
                        &what,
                    );
                }
                let off_deg = (sun.direction.azimuth_rad().to_degrees() - full.azimuth_deg + 180.0)
                    .rem_euclid(360.0)
                    - 180.0;
                // One angle between directions: near the zenith the azimuth is worth less.
                assert_near(
                    off_deg * full.zenith_deg.to_radians().sin(),
                    0.0,
                    ANGLE_DEG,
                    &what,
                );
                assert_near(sun.direction.dot(&sun.direction), 1.0, 1e-14, &what);
            }
        }
    }
    println!("worst apparent zenith {worst_deg:e}°");
}

fn observer(row: &Row) -> Observer {
    Observer {
        location: Location {
            latitude_deg: row.given("latitude_deg"),
            longitude_deg: row.given("longitude_deg_east"),
            elevation_m: row.given("elevation_m"),
        },
        pressure_pa: row.given("pressure_Pa"),
        air_c: row.given("temperature_degC"),
        refraction_at_horizon_deg: row.given("atmos_refract_deg"),
    }
}

fn moment(row: &Row) -> Moment {
    utc(row.text("time_utc"), row.given("delta_t_s"))
}

/// `2003-10-17T19:30:30Z`
fn utc(stamp: &str, delta_t_s: f64) -> Moment {
    fn number<T: FromStr>(part: &str) -> T {
        part.parse()
            .unwrap_or_else(|_| panic!("{part} in a time stamp"))
    }
    let parts: Vec<&str> = stamp
        .trim_end_matches('Z')
        .split(['-', 'T', ':', ' '])
        .collect();
    let [year, month, day, hour, minute, second] = parts[..] else {
        panic!("{stamp} is not a time stamp in UTC");
    };
    Moment::from_calendar(
        (number(year), number(month), number(day)),
        (number(hour), number(minute), number(second)),
        delta_t_s,
    )
    .expect("a date of the calendar")
}

/// The middle of a step, from its local standard time.
fn utc_mid(grid: &TimeGrid, index: usize, delta_t_s: f64) -> Moment {
    let step = i32::try_from(index).unwrap();
    let step_s = i32::try_from(grid.step_s).unwrap();
    let since_new_year_s = step_s * step + step_s / 2 - grid.utc_offset_s;
    let (year, day_of_year) = match since_new_year_s.div_euclid(86_400) {
        day @ ..0 => (grid.year - 1, day + 365),
        day @ 365.. => (grid.year + 1, day - 365),
        day => (grid.year, day),
    };
    let day_of_year = u32::try_from(day_of_year).unwrap();
    let month = month_of_day(day_of_year);
    let second = u32::try_from(since_new_year_s.rem_euclid(86_400)).unwrap();
    Moment::from_calendar(
        (
            year,
            u32::try_from(month).unwrap() + 1,
            day_of_year - first_day_of_month(month) + 1,
        ),
        (second / 3600, second / 60 % 60, f64::from(second % 60)),
        delta_t_s,
    )
    .expect("a date of the calendar")
}
