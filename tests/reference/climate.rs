//! The built-in data files against `data/climate_check.csv`: 19 places decoded independently by the rules published with the grid.

use couplet_core::climate::{ClimateGrid, OWN_NAMES, Places};
use couplet_core::sky::Location;
use couplet_tests::{Table, assert_near, test_data_path, unpacked_data};

/// Half of the last printed digit.
const PRINTED_KWH: f64 = 0.000_5 + 1e-9;
const PRINTED_C: f64 = 0.005 + 1e-9;

#[test]
fn the_climate_grid_gives_the_published_values_of_19_places() {
    let grid = ClimateGrid::decode(&unpacked_data("climate.bin.gz")).unwrap();
    let table = Table::open(&test_data_path("climate_check.csv"));
    for row in table.rows() {
        let what = format!("{} {}", row.place(), row.text("place"));
        let climate = grid.at(&Location {
            latitude_deg: row.given("lat"),
            longitude_deg: row.given("lon"),
            elevation_m: row.given("elev_m"),
        });
        for (month, ghi_wh_m2) in climate.ghi_wh_m2_day.iter().enumerate() {
            let expected = row.given(&format!("ghi_kwh_m2_day_{}", month + 1));
            assert_near(ghi_wh_m2 / 1000.0, expected, PRINTED_KWH, &what);
        }
        for (computed, column) in [
            (climate.air_mean_c[0], "t_jan_c"),
            (climate.air_mean_c[6], "t_jul_c"),
            (climate.air_range_k[0], "range_jan_k"),
            (climate.air_range_k[6], "range_jul_k"),
            (climate.yearly_low_c, "low_c"),
            (climate.yearly_high_c, "high_c"),
        ] {
            assert_near(computed, row.given(column), PRINTED_C, &what);
        }
    }
}

#[test]
fn a_climate_grid_of_another_length_is_refused() {
    let error = ClimateGrid::decode(&[0; 1000]).unwrap_err();
    assert!(error.to_string().contains("1000 bytes"));
}

#[test]
fn every_place_has_a_country_a_time_zone_and_is_found_by_its_own_name() {
    let text = String::from_utf8(unpacked_data("places.txt.gz")).unwrap();
    let places = Places::parse(&text).unwrap();
    assert_eq!(places.all().len(), 8000);
    for place in places.all() {
        assert!(place.country.len() > 2, "{place:?}");
        assert!(place.time_zone.contains('/'), "{place:?}");
        assert!(place.latitude_deg.abs() <= 90.0 && place.longitude_deg.abs() <= 180.0);
    }
    for place in places.all().iter().step_by(97) {
        assert!(places.search(&place.name, usize::MAX).contains(&place));
    }
    let first = |typed: &str| places.search(typed, 1)[0];
    assert_eq!(first("zurich").name, "Zürich");
    assert_eq!(first("sao pau").country_code, "BR");
    assert_eq!(first("portland or").region, "OR");
}

/// Every other name leads to one place of the list, before all others that begin so or within the first three.
#[test]
fn towns_are_found_by_their_own_names() {
    let text = String::from_utf8(unpacked_data("places.txt.gz")).unwrap();
    let places = Places::parse(&text).unwrap();
    for (country, own, listed) in OWN_NAMES {
        let found = places.search(own, 3);
        assert!(
            found
                .iter()
                .any(|place| place.name == listed && place.country_code == country),
            "{own}: {found:?}"
        );
    }
    for (typed, listed) in [
        ("muenchen", "Munich"),
        ("Munchen", "Munich"),
        ("NUERNBERG", "Nuremberg"),
        ("wien", "Vienna"),
        ("koebenhavn", "Copenhagen"),
        ("goteborg", "Gothenburg"),
        ("geneve", "Geneva"),
        ("Roma", "Rome"),
        ("Venezia", "Mestre"),
        ("Dusseldorf", "Düsseldorf"),
        ("Duesseldorf", "Düsseldorf"),
        ("Bucuresti", "Bucharest"),
        ("praha cz", "Prague"),
    ] {
        assert_eq!(places.search(typed, 1)[0].name, listed, "{typed}");
    }
}
