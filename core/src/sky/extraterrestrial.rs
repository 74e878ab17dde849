//! Sunlight above the air: closed forms by the day of the year.

use core::f64::consts::{PI, TAU};

/// Solar constant of [`extraterrestrial_normal_w_m2`], W/m².
const SPENCER_SOLAR_CONSTANT_W_M2: f64 = 1366.1;

/// Solar constant of the daily closed forms, W/m² (Duffie & Beckman).
const DAILY_SOLAR_CONSTANT_W_M2: f64 = 1367.0;

/// Irradiance square to the sun above the air on a day of the year, W/m².
///
/// - `day_of_year`: 1 is 1 January
///
/// Source: Spencer (1971), Search 2, 172; solar constant 1366.1 W/m² (ASTM E490).
#[must_use]
pub fn extraterrestrial_normal_w_m2(day_of_year: f64) -> f64 {
    SPENCER_SOLAR_CONSTANT_W_M2 * spencer_distance_factor(day_of_year)
}

/// Square of the mean over the day's distance of the sun (Spencer 1971).
///
/// - `day_of_year`: 1 is 1 January
#[must_use]
pub fn spencer_distance_factor(day_of_year: f64) -> f64 {
    let b = TAU * (day_of_year - 1.0) / 365.0;
    let (sin_b, cos_b) = libm::sincos(b);
    let (sin_2b, cos_2b) = libm::sincos(2.0 * b);
    1.00011 + 0.034221 * cos_b + 0.00128 * sin_b + 0.000719 * cos_2b + 0.000077 * sin_2b
}

/// Declination of the sun, rad (Spencer 1971).
///
/// - `day_of_year`: 1 is 1 January
#[must_use]
pub fn spencer_declination_rad(day_of_year: f64) -> f64 {
    let b = TAU * (day_of_year - 1.0) / 365.0;
    let (sin_b, cos_b) = libm::sincos(b);
    let (sin_2b, cos_2b) = libm::sincos(2.0 * b);
    let (sin_3b, cos_3b) = libm::sincos(3.0 * b);
    0.006918 - 0.399912 * cos_b + 0.070257 * sin_b - 0.006758 * cos_2b + 0.000907 * sin_2b
        - 0.002697 * cos_3b
        + 0.00148 * sin_3b
}

/// Declination of the sun, rad.
///
/// - `day_of_year`: 1 is 1 January
///
/// Source: Cooper (1969), Solar Energy 12, 333-346; Duffie & Beckman, 4th ed., equation 1.6.1a.
#[must_use]
pub fn cooper_declination_rad(day_of_year: f64) -> f64 {
    23.45_f64.to_radians() * libm::sin(TAU * (284.0 + day_of_year) / 365.0)
}

/// Angle through which the Earth turns from noon to sunset, rad: 0 in the polar night, π in the polar day.
///
/// Source: Duffie & Beckman, 4th ed., equation 1.6.10.
#[must_use]
pub fn sunset_hour_angle_rad(latitude_rad: f64, declination_rad: f64) -> f64 {
    libm::acos((-libm::tan(latitude_rad) * libm::tan(declination_rad)).clamp(-1.0, 1.0))
}

/// Irradiation of the level above the air in a whole day, Wh/m².
///
/// - `day_of_year`: 1 is 1 January
///
/// Source: Duffie & Beckman, 4th ed., equation 1.10.3.
#[must_use]
pub fn daily_extraterrestrial_wh_m2(
    day_of_year: f64,
    latitude_rad: f64,
    declination_rad: f64,
) -> f64 {
    let sunset_rad = sunset_hour_angle_rad(latitude_rad, declination_rad);
    level_irradiation_wh_m2(
        daily_normal_w_m2(day_of_year),
        latitude_rad,
        declination_rad,
        -sunset_rad,
        sunset_rad,
    )
}

/// Irradiation of the level above the air between two hour angles, Wh/m²; the time in which the sun is down adds nothing.
///
/// - `from_rad`, `to_rad`: hour angles, morning negative
///
/// Source: Duffie & Beckman, 4th ed., equation 1.10.4.
#[must_use]
pub fn extraterrestrial_between_wh_m2(
    day_of_year: f64,
    latitude_rad: f64,
    declination_rad: f64,
    from_rad: f64,
    to_rad: f64,
) -> f64 {
    let sunset_rad = sunset_hour_angle_rad(latitude_rad, declination_rad);
    level_irradiation_wh_m2(
        daily_normal_w_m2(day_of_year),
        latitude_rad,
        declination_rad,
        from_rad.max(-sunset_rad).min(sunset_rad),
        to_rad.max(-sunset_rad).min(sunset_rad),
    )
}

/// Duffie & Beckman, 4th ed., equation 1.4.1a.
fn daily_normal_w_m2(day_of_year: f64) -> f64 {
    DAILY_SOLAR_CONSTANT_W_M2 * (1.0 + 0.033 * libm::cos(TAU * day_of_year / 365.0))
}

fn level_irradiation_wh_m2(
    normal_w_m2: f64,
    latitude_rad: f64,
    declination_rad: f64,
    from_rad: f64,
    to_rad: f64,
) -> f64 {
    let (sin_latitude, cos_latitude) = libm::sincos(latitude_rad);
    let (sin_declination, cos_declination) = libm::sincos(declination_rad);
    12.0 / PI
        * normal_w_m2
        * (cos_latitude * cos_declination * (libm::sin(to_rad) - libm::sin(from_rad))
            + (to_rad - from_rad) * sin_latitude * sin_declination)
}

/// Share of a day's global irradiation that falls in the hour about an hour angle (Collares-Pereira & Rabl).
///
/// Returns 0 while the sun is down, and all day where it does not rise.
///
/// Source: Collares-Pereira & Rabl (1979), Solar Energy 22, 155-164, doi:10.1016/0038-092X(79)90100-2.
#[must_use]
pub fn hourly_share_of_global(hour_angle_rad: f64, sunset_rad: f64) -> f64 {
    hourly_share_of_diffuse(hour_angle_rad, sunset_rad)
        * global_over_diffuse_share(hour_angle_rad, sunset_rad)
}

/// Share of a day's diffuse irradiation, or of that above the air, that falls in the hour about an hour angle.
///
/// Returns 0 while the sun is down, and all day where it does not rise.
///
/// Source: Liu & Jordan (1960), Solar Energy 4, 1-19, doi:10.1016/0038-092X(60)90062-1.
#[must_use]
pub fn hourly_share_of_diffuse(hour_angle_rad: f64, sunset_rad: f64) -> f64 {
    if hour_angle_rad.is_nan() || hour_angle_rad.abs() >= sunset_rad {
        return 0.0;
    }
    let (sin_ws, cos_ws) = libm::sincos(sunset_rad);
    PI / 24.0 * (libm::cos(hour_angle_rad) - cos_ws) / (sin_ws - sunset_rad * cos_ws)
}

/// How much clearer than the whole day an hour is on average: `a + b cos ω` of Collares-Pereira & Rabl (1979).
#[must_use]
pub fn global_over_diffuse_share(hour_angle_rad: f64, sunset_rad: f64) -> f64 {
    let sin = libm::sin(sunset_rad - PI / 3.0);
    let (a, b) = (0.409 + 0.5016 * sin, 0.6609 - 0.4767 * sin);
    a + b * libm::cos(hour_angle_rad)
}
