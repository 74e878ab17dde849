//! Air between the sun and the ground: pressure by height, refraction, path length.

/// Air pressure at a height in the standard atmosphere, Pa.
///
/// - `elevation_m`: height above sea level, −500 to 10 000 m
///
/// Source: ICAO standard atmosphere, ISO 2533:1975, inverted: `h = 44331.514 − 11880.516 p^0.1902632` with p in hPa.
#[must_use]
pub fn standard_pressure_pa(elevation_m: f64) -> f64 {
    100.0 * libm::pow((44331.514 - elevation_m) / 11880.516, 1.0 / 0.190_263_2)
}

/// How much higher the sun seems than it stands, rad.
///
/// - `elevation_rad`: true height of the sun's centre above level
/// - `pressure_pa`, `air_c`: of the air at the observer
/// - `at_horizon_deg`: refraction at sunrise and sunset; with the sun's radius of 0.26667° it sets where refraction ends
///
/// Returns 0 while the whole sun is below the horizon.
///
/// Source: Reda & Andreas (2004), Solar Energy 76, 577-589, equation 42, doi:10.1016/j.solener.2003.12.003.
#[must_use]
pub fn refraction_rad(
    elevation_rad: f64,
    pressure_pa: f64,
    air_c: f64,
    at_horizon_deg: f64,
) -> f64 {
    let e = elevation_rad.to_degrees();
    if e < -(0.26667 + at_horizon_deg) {
        return 0.0;
    }
    let phase_rad = (e + 10.3 / (e + 5.11)).to_radians();
    let refraction_deg = (pressure_pa / 101_000.0) * (283.0 / (273.0 + air_c)) * 1.02
        / (60.0 * libm::tan(phase_rad));
    refraction_deg.to_radians()
}

/// Length of the light's way through the air over its length with the sun overhead, both at sea level.
///
/// - `apparent_zenith_rad`: with refraction, 0 to π/2
///
/// Returns `NaN` beyond π/2, where it is not defined.
///
/// Source: Kasten & Young (1989), Applied Optics 28, 4735-4738, doi:10.1364/AO.28.004735.
#[must_use]
pub fn relative_air_mass(apparent_zenith_rad: f64) -> f64 {
    let z_deg = apparent_zenith_rad.to_degrees();
    if z_deg > 90.0 {
        return f64::NAN;
    }
    1.0 / (libm::cos(apparent_zenith_rad) + 0.50572 * libm::pow(96.07995 - z_deg, -1.6364))
}

/// Air mass at a pressure other than that of sea level.
#[must_use]
pub fn absolute_air_mass(relative_air_mass: f64, pressure_pa: f64) -> f64 {
    relative_air_mass * pressure_pa / 101_325.0
}
