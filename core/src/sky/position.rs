//! Where the sun stands, to the full accuracy of the NREL solar position algorithm.

use solar_positioning::time::JulianDate;
use solar_positioning::{Location as Coordinates, PreparedPositions, SolarPositions};

use super::atmosphere::{refraction_rad, standard_pressure_pa};

/// A point on the Earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Location {
    /// Latitude, °, north positive, −90 to 90.
    pub latitude_deg: f64,
    /// Longitude, °, east positive, −180 to 180.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
}

/// A point on the Earth with the air through which the sun is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observer {
    /// The point.
    pub location: Location,
    /// Yearly mean air pressure, Pa.
    pub pressure_pa: f64,
    /// Yearly mean air temperature, °C.
    pub air_c: f64,
    /// Refraction at sunrise and sunset, °.
    pub refraction_at_horizon_deg: f64,
}

impl Observer {
    /// Standard pressure at the location's height, 12 °C, and the refraction of 0.5667° at sunrise that the algorithm's
    /// authors use.
    #[must_use]
    pub fn in_standard_air(location: Location) -> Self {
        Self {
            location,
            pressure_pa: standard_pressure_pa(location.elevation_m),
            air_c: 12.0,
            refraction_at_horizon_deg: 0.5667,
        }
    }
}

/// A moment of universal time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment(JulianDate);

impl Moment {
    /// A Gregorian date and time of day, universal time.
    ///
    /// - `month`, `day`: from 1
    /// - `delta_t_s`: terrestrial less universal time; near 69 s in the 2020s
    ///
    /// Returns nothing if there is no such date or time.
    #[must_use]
    pub fn from_calendar(
        (year, month, day): (i32, u32, u32),
        (hour, minute, second): (u32, u32, f64),
        delta_t_s: f64,
    ) -> Option<Self> {
        JulianDate::from_utc(year, month, day, hour, minute, second, delta_t_s)
            .ok()
            .map(Self)
    }

    /// The moment `days` later.
    pub(super) fn later_by_days(self, days: f64) -> Option<Self> {
        JulianDate::new(self.0.julian_date() + days, self.0.delta_t())
            .ok()
            .map(Self)
    }
}

/// Where the sun stands for an observer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Angle from overhead without refraction, °, 0 to 180.
    pub zenith_deg: f64,
    /// Angle from overhead with refraction, °, 0 to 180.
    pub apparent_zenith_deg: f64,
    /// Direction, ° clockwise from north, 0 to 360.
    pub azimuth_deg: f64,
    /// Apparent less mean solar time, min.
    pub equation_of_time_min: f64,
}

/// The sun as seen from the Earth's centre.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct GeocentricSun {
    /// Hour angle at longitude 0, °, west positive, 0 to 360.
    pub(super) greenwich_hour_angle_deg: f64,
    /// Declination, °.
    pub(super) declination_deg: f64,
    /// Distance, astronomical units; 0 if the moment is outside the algorithm's years.
    pub(super) distance_au: f64,
    right_ascension_deg: f64,
}

/// Where the sun stands: the NREL solar position algorithm, stated uncertainty 0.0003° for the years −2000 to 6000.
///
/// Returns nothing if the moment lies outside these years or the location is not on the Earth.
///
/// Source: Reda & Andreas (2004), Solar Energy 76, 577-589, doi:10.1016/j.solener.2003.12.003; NREL/TP-560-34302, rev. 2008.
#[must_use]
pub fn sun_position(moment: Moment, observer: &Observer) -> Option<SunPosition> {
    let prepared = prepared(moment)?;
    let location = observer.location;
    let seen = prepared
        .at(
            Coordinates {
                latitude: location.latitude_deg,
                longitude: location.longitude_deg,
            },
            location.elevation_m,
            None,
        )
        .ok()?;
    let zenith_deg = seen.zenith_angle();
    let refraction_deg = refraction_rad(
        (90.0 - zenith_deg).to_radians(),
        observer.pressure_pa,
        observer.air_c,
        observer.refraction_at_horizon_deg,
    )
    .to_degrees();
    Some(SunPosition {
        zenith_deg,
        apparent_zenith_deg: zenith_deg - refraction_deg,
        azimuth_deg: seen.azimuth(),
        equation_of_time_min: equation_of_time_min(moment, &geocentric(&prepared)?),
    })
}

/// The sun as seen from the Earth's centre.
pub(super) fn geocentric_sun(moment: Moment) -> Option<GeocentricSun> {
    geocentric(&prepared(moment)?)
}

fn prepared(moment: Moment) -> Option<PreparedPositions> {
    SolarPositions::new().for_time_from_julian(moment.0).ok()
}

fn geocentric(prepared: &PreparedPositions) -> Option<GeocentricSun> {
    // At the pole nothing but the hour angle decides the azimuth: the Earth's radius moves the sun along its meridian
    // only, so the azimuth is the Greenwich hour angle plus half a turn.
    let pole = Coordinates {
        latitude: 90.0,
        longitude: 0.0,
    };
    let azimuth_deg = prepared.at(pole, 0.0, None).ok()?.azimuth();
    Some(GeocentricSun {
        greenwich_hour_angle_deg: (azimuth_deg + 180.0) % 360.0,
        declination_deg: prepared.declination(),
        distance_au: prepared.earth_radius_vector()?,
        right_ascension_deg: prepared.right_ascension(),
    })
}

/// Reda & Andreas (2004), appendix A.1: `E = 4 (M − 0.0057183 − α + Δψ cos ε)`, where Δψ cos ε is the apparent less the
/// mean sidereal time at Greenwich.
fn equation_of_time_min(moment: Moment, sun: &GeocentricSun) -> f64 {
    let jme = moment.0.julian_ephemeris_millennium();
    let mean_longitude_deg = 280.466_456_7
        + jme
            * (360_007.698_277_9
                + jme
                    * (0.030_320_28
                        + jme
                            * (1.0 / 49_931.0
                                + jme * (-1.0 / 15_300.0 - jme * (1.0 / 2_000_000.0)))));
    let jc = moment.0.julian_century();
    let mean_sidereal_deg = 280.460_618_37
        + 360.985_647_366_29 * (moment.0.julian_date() - 2_451_545.0)
        + jc * jc * (0.000_387_933 - jc / 38_710_000.0);
    let apparent_sidereal_deg = sun.greenwich_hour_angle_deg + sun.right_ascension_deg;
    let e_deg = mean_longitude_deg - 0.005_718_3 - sun.right_ascension_deg
        + half_turn_about_zero_deg(apparent_sidereal_deg - mean_sidereal_deg);
    4.0 * half_turn_about_zero_deg(e_deg)
}

/// The same direction, −180 to 180°.
pub(super) fn half_turn_about_zero_deg(angle_deg: f64) -> f64 {
    (angle_deg + 180.0).rem_euclid(360.0) - 180.0
}
