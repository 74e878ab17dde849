//! Light: split, sky models and cloudless sky against `decomposition.csv`, `transposition.csv` and `clearsky.csv`, computed by
//! an independent program from the papers named there.

use couplet_core::sky::{
    ClearAir, Light, Plane, SkyModel, Sun, Transposition, absolute_air_mass, erbs_split,
    extraterrestrial_normal_w_m2, haurwitz_ghi_w_m2, relative_air_mass, standard_pressure_pa,
};
use couplet_tests::{Table, Tolerance, assert_within};

/// Polynomials: only rounding differs. A beam that is what is left of nearly all light keeps the rounding of that light.
const SPLIT: Tolerance = Tolerance::either(1e-9, 1e-9);
/// Pure arithmetic.
const TRANSPOSITION: Tolerance = Tolerance::either(1e-8, 1e-7);
const CLEAR_SKY: Tolerance = Tolerance::either(1e-9, 1e-9);
/// With the sun on the horizon the cosine cancels in the beam, which is then the limit of nothing over nothing.
const BEAM_ON_THE_HORIZON: Tolerance = Tolerance::absolute(0.1);

#[test]
fn beam_and_diffuse_match_independent_values() {
    let table = Table::reference("decomposition.csv");
    for row in table.rows() {
        let place = row.place();
        let normal_w_m2 = extraterrestrial_normal_w_m2(row.given("day_of_year"));
        let check = |computed: f64, column: &str| {
            if let Some(expected) = row.number(column) {
                assert_within(computed, expected, SPLIT, &format!("{place} {column}"));
            }
        };
        check(normal_w_m2, "dni_extra_spencer_W_m2");
        let zenith_rad = row.given("zenith_true_deg").to_radians();
        let ghi_w_m2 = row.given("ghi_W_m2");
        let split = erbs_split(ghi_w_m2, zenith_rad.cos(), normal_w_m2);
        check(split.clearness, "kt");
        check(split.dhi_w_m2 / ghi_w_m2, "diffuse_fraction");
        check(split.dni_w_m2, "dni_W_m2");
        check(split.dhi_w_m2, "dhi_W_m2");
    }
}

#[test]
fn light_on_a_plane_matches_independent_values() {
    let table = Table::reference("transposition.csv");
    for row in table.rows() {
        let place = row.place();
        let plane = Plane {
            tilt_rad: row.given("surface_tilt_deg").to_radians(),
            azimuth_rad: row.given("surface_azimuth_deg_north0_east90").to_radians(),
            albedo: row.given("albedo"),
        };
        let sun = Sun::from_angles(
            row.given("solar_zenith_deg").to_radians(),
            row.given("solar_azimuth_deg_north0_east90").to_radians(),
            row.given("dni_extra_W_m2"),
        );
        let light = Light {
            ghi_w_m2: row.given("ghi_W_m2"),
            dni_w_m2: row.given("dni_W_m2"),
            dhi_w_m2: row.given("dhi_W_m2"),
        };
        let check = |computed: f64, column: &str| {
            if let Some(expected) = row.number(column) {
                assert_within(
                    computed,
                    expected,
                    TRANSPOSITION,
                    &format!("{place} {column}"),
                );
            }
        };
        check(sun.relative_air_mass, "airmass_relative");
        let on = |model| {
            let transposition = Transposition::new(&plane, model);
            let incidence_rad = transposition.cos_incidence(&sun).clamp(-1.0, 1.0).acos();
            // The arc cosine of a number near 1 keeps half of its digits.
            if let Some(aoi_deg) = row.number("aoi_deg") {
                assert_within(
                    incidence_rad.to_degrees(),
                    aoi_deg,
                    Tolerance::absolute(2e-6),
                    &place,
                );
            }
            transposition.light(&sun, &light)
        };
        let isotropic = on(SkyModel::Isotropic);
        check(isotropic.beam_w_m2, "poa_beam_W_m2");
        check(isotropic.ground_w_m2, "poa_ground_W_m2");
        check(isotropic.sky_w_m2(), "sky_isotropic_W_m2");
        check(isotropic.global_w_m2(), "poa_global_isotropic_W_m2");
        let hay_davies = on(SkyModel::HayDavies);
        check(hay_davies.sky_w_m2(), "sky_haydavies_W_m2");
        check(hay_davies.isotropic_w_m2, "haydavies_isotropic_W_m2");
        check(hay_davies.circumsolar_w_m2, "haydavies_circumsolar_W_m2");
        check(hay_davies.global_w_m2(), "poa_global_haydavies_W_m2");
        let perez = on(SkyModel::Perez);
        check(perez.sky_w_m2(), "sky_perez_W_m2");
        check(perez.isotropic_w_m2, "perez_isotropic_W_m2");
        check(perez.circumsolar_w_m2, "perez_circumsolar_W_m2");
        check(perez.horizon_w_m2, "perez_horizon_W_m2");
        check(perez.global_w_m2(), "poa_global_perez_W_m2");
    }
}

#[test]
fn cloudless_sky_matches_independent_values() {
    let table = Table::reference("clearsky.csv");
    for row in table.rows() {
        let place = row.place();
        let check = |computed: f64, column: &str, tolerance: Tolerance| {
            if let Some(expected) = row.number(column) {
                assert_within(computed, expected, tolerance, &format!("{place} {column}"));
            }
        };
        let zenith_deg = row.given("zenith_apparent_deg");
        let zenith_rad = zenith_deg.to_radians();
        let elevation_m = row.given("altitude_m");
        let pressure_pa = standard_pressure_pa(elevation_m);
        let relative = relative_air_mass(zenith_rad);
        let absolute = absolute_air_mass(relative, pressure_pa);
        check(pressure_pa, "pressure_Pa", CLEAR_SKY);
        check(relative, "airmass_relative", CLEAR_SKY);
        check(absolute, "airmass_absolute", CLEAR_SKY);
        check(
            haurwitz_ghi_w_m2(zenith_rad.cos()),
            "ghi_haurwitz_W_m2",
            CLEAR_SKY,
        );
        let air = ClearAir::new(row.given("linke_turbidity"), elevation_m);
        let clear = air.light(zenith_rad.cos(), absolute, row.given("dni_extra_W_m2"));
        check(clear.ghi_w_m2, "ghi_ineichen_W_m2", CLEAR_SKY);
        check(clear.dhi_w_m2, "dhi_ineichen_W_m2", CLEAR_SKY);
        let beam = if zenith_deg == 90.0 {
            BEAM_ON_THE_HORIZON
        } else {
            CLEAR_SKY
        };
        check(clear.dni_w_m2, "dni_ineichen_W_m2", beam);
    }
}
