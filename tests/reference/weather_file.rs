//! Weather files: the TMY3 year of Greensboro, N.C. (public domain; Wilcox & Marion 2008, NREL/TP-581-43156) against the same year
//! read by an independent program (`year_hourly.csv.gz`).

use std::fmt::Write;

use couplet_core::climate::{WeatherFile, read_tmy3};
use couplet_core::sky::{DELTA_T_S, Location, Observer, SunTable, TimeGrid};
use couplet_tests::{Table, assert_near, test_data_path};

fn greensboro_text() -> String {
    std::fs::read_to_string(test_data_path("723170TYA_greensboro_nc_tmy3.csv")).unwrap()
}

fn suns(file: &WeatherFile, step_s: u32) -> SunTable {
    let location = Location {
        latitude_deg: file.latitude_deg,
        longitude_deg: file.longitude_deg,
        elevation_m: file.elevation_m,
    };
    let grid = TimeGrid::whole_year(step_s, -5 * 3600);
    SunTable::new(&Observer::in_standard_air(location), grid, DELTA_T_S)
}

/// The same year as an EPW file, with only what the format's dictionary asks for.
fn as_epw(file: &WeatherFile) -> String {
    let mut text = format!(
        "LOCATION,{},NC,USA,TMY3,723170,{},{},{},{}\n",
        file.name, file.latitude_deg, file.longitude_deg, file.utc_offset_h, file.elevation_m
    );
    for header in [
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,\"a comment, with a comma\"",
        "COMMENTS 2",
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ] {
        writeln!(text, "{header}").unwrap();
    }
    for hour in 0..8760 {
        let day = u32::try_from(hour / 24).unwrap();
        let month = couplet_core::sky::month_of_day(day);
        writeln!(
            text,
            "1988,{},{},{},0,?9?9,{},0,0,99300,0,0,300,{},{},{},0,0,0,0,200,{},10,10,16,1370",
            month + 1,
            day - couplet_core::sky::first_day_of_month(month) + 1,
            hour % 24 + 1,
            file.air_c[hour],
            file.ghi_w_m2[hour],
            file.dni_w_m2[hour],
            file.dhi_w_m2[hour],
            file.wind_m_s[hour],
        )
        .unwrap();
    }
    text
}

#[test]
fn a_tmy3_file_is_read_as_an_independent_program_reads_it() {
    let file = WeatherFile::read(&greensboro_text()).unwrap();
    assert_eq!(file.name, "GREENSBORO PIEDMONT TRIAD INT");
    assert_eq!(
        (file.latitude_deg, file.longitude_deg, file.elevation_m),
        (36.1, -79.95, 273.0)
    );
    assert_eq!(file.utc_offset_h, -5.0);
    let table = Table::reference("year_hourly.csv.gz");
    for (hour, row) in table.rows().enumerate() {
        for (series, column) in [
            (&file.ghi_w_m2, "ghi_W_m2"),
            (&file.dni_w_m2, "dni_W_m2"),
            (&file.dhi_w_m2, "dhi_W_m2"),
            (&file.air_c, "temp_air_degC"),
            (&file.wind_m_s, "wind_speed_m_s"),
        ] {
            assert_near(series[hour], row.given(column), 1e-9, &row.place());
        }
    }
}

#[test]
fn an_epw_file_gives_the_same_year_as_the_tmy3_file_it_was_made_from() {
    let file = read_tmy3(&greensboro_text()).unwrap();
    let epw = as_epw(&file);
    assert_eq!(WeatherFile::read(&epw).unwrap(), file);
    assert_eq!(WeatherFile::read(&epw.replace('\n', "\r\n")).unwrap(), file);
    let with_leap_day = epw.replacen(
        "1988,3,1,1,0,",
        "1988,2,29,1,0,?9?9,1,0,0,99300,0,0,300,0,0,0,0,0,0,0,200,999,10\n1988,3,1,1,0,",
        1,
    );
    assert_eq!(WeatherFile::read(&with_leap_day).unwrap(), file);
}

#[test]
fn finer_steps_keep_the_light_of_every_hour_and_the_temperature_at_its_end() {
    let file = read_tmy3(&greensboro_text()).unwrap();
    for step_s in [3600, 900, 300] {
        let suns = suns(&file, step_s);
        let weather = file.on_grid(&suns);
        let per_hour = 3600 / step_s as usize;
        for hour in 0..8760 {
            for (series, hourly) in [
                (&weather.ghi_w_m2, &file.ghi_w_m2),
                (&weather.dni_w_m2, &file.dni_w_m2),
                (&weather.dhi_w_m2, &file.dhi_w_m2),
            ] {
                let steps = &series[hour * per_hour..(hour + 1) * per_hour];
                let mean = steps.iter().sum::<f64>() / per_hour as f64;
                assert_near(mean, hourly[hour], 1e-9 * (1.0 + hourly[hour]), "hour");
                assert!(steps.iter().all(|value| *value >= 0.0));
            }
            let (last, past) = (hour * per_hour + per_hour - 1, 0.5 / per_hour as f64);
            let before_c = file.air_c[(hour + 8759) % 8760];
            let expected_c = file.air_c[hour] * (1.0 - past) + before_c * past;
            assert_near(weather.air_c[last], expected_c, 1e-9, "temperature");
        }
    }
}

#[test]
fn what_is_wrong_with_a_file_is_said_with_its_place() {
    let text = greensboro_text();
    let lines: Vec<&str> = text.lines().collect();
    let error = |lines: &[&str]| WeatherFile::read(&lines.join("\n")).unwrap_err();

    let mut damaged = lines.clone();
    let cut = lines[100]
        .replacen("01/05/1988", "01/05", 1)
        .replace(",0,", ",x,");
    damaged[100] = &cut;
    let wrong = error(&damaged);
    assert_eq!((wrong.line, wrong.found.as_str()), (101, "x"));
    assert!(wrong.expected.contains("W/m²") && wrong.column > 2);

    let short = error(&lines[..5000]);
    assert_eq!(
        (short.found.as_str(), short.expected.as_str()),
        ("4998 hours", "8760 hours of one year")
    );
    let mut twice = lines.clone();
    twice[11] = lines[10];
    assert_eq!(error(&twice).line, 12);

    let headless = error(&lines[2..]);
    assert_eq!(headless.line, 2);
    assert!(headless.expected.contains("Date (MM/DD/YYYY)"));
    assert!(WeatherFile::read("").is_err());
}
