//! The sun at every step of a run, computed once for a site.
//!
//! Seen from the Earth's centre the sun moves slowly: its declination, its distance and the difference between apparent
//! and mean time are computed at knots and interpolated by curves of the fifth degree. The turn of the Earth, parallax and refraction are
//! applied at each step. The result differs from [`sun_position`](super::sun_position) by less than 1e-6°.

use core::f64::consts::TAU;

use super::atmosphere::{refraction_rad, relative_air_mass};
use super::extraterrestrial::extraterrestrial_normal_w_m2;
use super::position::{GeocentricSun, Moment, Observer, geocentric_sun, half_turn_about_zero_deg};
use super::time_grid::{TimeGrid, is_leap_year};

/// Terrestrial less universal time in the reference year, s (observed 69.1 s at the start of 2026).
pub const DELTA_T_S: f64 = 69.1;

const HALF_SECONDS_PER_DAY: i64 = 172_800;
const DAYS_PER_KNOT: i64 = 2;
const HALF_SECONDS_PER_KNOT: i64 = HALF_SECONDS_PER_DAY * DAYS_PER_KNOT;

/// Knots through which a curve goes, and how many of them lie before the span in which it is used.
const CURVE_KNOTS: usize = 6;
const KNOTS_BEFORE: i64 = 2;

/// The sun at one moment, as an observer sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Unit vector to the apparent sun, with refraction.
    pub direction: Direction,
    /// Angle of the apparent sun from overhead, rad.
    pub apparent_zenith_rad: f64,
    /// Cosine of the true angle from overhead, without refraction.
    pub cos_zenith: f64,
    /// Kasten & Young; `NaN` while the sun is down.
    pub relative_air_mass: f64,
    /// Irradiance square to the sun above the air, W/m².
    pub extraterrestrial_normal_w_m2: f64,
}

/// A unit vector over the site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Toward east.
    pub east: f64,
    /// Toward north.
    pub north: f64,
    /// Upward.
    pub up: f64,
}

impl Direction {
    /// The direction at an angle from overhead and an angle clockwise from north.
    #[must_use]
    pub fn from_angles(zenith_rad: f64, azimuth_rad: f64) -> Self {
        let (sin_zenith, cos_zenith) = libm::sincos(zenith_rad);
        let (sin_azimuth, cos_azimuth) = libm::sincos(azimuth_rad);
        Self {
            east: sin_zenith * sin_azimuth,
            north: sin_zenith * cos_azimuth,
            up: cos_zenith,
        }
    }

    /// Cosine of the angle to another direction.
    #[must_use]
    pub fn dot(&self, other: &Self) -> f64 {
        self.east * other.east + self.north * other.north + self.up * other.up
    }

    /// Angle clockwise from north, rad, 0 to 2π.
    #[must_use]
    pub fn azimuth_rad(&self) -> f64 {
        let azimuth_rad = libm::atan2(self.east, self.north);
        if azimuth_rad < 0.0 {
            azimuth_rad + TAU
        } else {
            azimuth_rad
        }
    }
}

impl Sun {
    /// The sun in a direction given by angles, where refraction is left out: true and apparent sun are the same.
    #[must_use]
    pub fn from_angles(
        zenith_rad: f64,
        azimuth_rad: f64,
        extraterrestrial_normal_w_m2: f64,
    ) -> Self {
        let direction = Direction::from_angles(zenith_rad, azimuth_rad);
        Self {
            direction,
            apparent_zenith_rad: zenith_rad,
            cos_zenith: direction.up,
            relative_air_mass: relative_air_mass(zenith_rad),
            extraterrestrial_normal_w_m2,
        }
    }

    /// Whether the centre of the apparent sun is above a level horizon.
    #[must_use]
    pub fn is_up(&self) -> bool {
        self.direction.up > 0.0
    }
}

/// The sun at the middle of every step of a time grid, for one site.
#[derive(Clone, Debug, PartialEq)]
pub struct SunTable {
    /// The steps.
    pub grid: TimeGrid,
    /// One sun for each step.
    pub suns: Vec<Sun>,
}

impl SunTable {
    /// Computes the table.
    ///
    /// - `delta_t_s`: terrestrial less universal time in the grid's year; [`DELTA_T_S`] in the reference year
    ///
    /// In a year outside −2000 to 6000, or at a location that is not finite, the sun is never up.
    #[must_use]
    pub fn new(observer: &Observer, grid: TimeGrid, delta_t_s: f64) -> Self {
        let geocentre = Geocentre::new(&grid, delta_t_s);
        let topocentre = Topocentre::new(observer);
        let mut course = Course::default();
        let mut course_knot = None;
        let mut normal_day = None;
        let mut normal_w_m2 = 0.0;
        let suns = (0..grid.len())
            .map(|index| {
                let half_s = grid.universal_half_s(index);
                let day = half_s.div_euclid(HALF_SECONDS_PER_DAY);
                if normal_day != Some(day) {
                    normal_day = Some(day);
                    normal_w_m2 = extraterrestrial_normal_w_m2(day_of_year(grid.year, day));
                }
                let knot = half_s.div_euclid(HALF_SECONDS_PER_KNOT);
                if course_knot != Some(knot) {
                    course_knot = Some(knot);
                    course = geocentre.course(knot);
                }
                let past_knot = share(
                    half_s.rem_euclid(HALF_SECONDS_PER_KNOT),
                    HALF_SECONDS_PER_KNOT,
                );
                let turn = share(
                    half_s.rem_euclid(HALF_SECONDS_PER_DAY),
                    HALF_SECONDS_PER_DAY,
                );
                topocentre.sun(&course.at(past_knot), turn, normal_w_m2)
            })
            .collect();
        Self { grid, suns }
    }
}

/// Day of the year, from 1, of a day counted from 0 at 1 January of `year`; days of the years beside it are found too.
fn day_of_year(year: i32, day: i64) -> f64 {
    let length = |year| if is_leap_year(year) { 366 } else { 365 };
    let day = if day < 0 {
        day + length(year.saturating_sub(1))
    } else if day >= length(year) {
        day - length(year)
    } else {
        day
    };
    share(day + 1, 1)
}

#[expect(
    clippy::cast_precision_loss,
    reason = "half seconds of a year are far below 2^53"
)]
fn share(part: i64, whole: i64) -> f64 {
    part as f64 / whole as f64
}

/// What the sun does slowly, as seen from the Earth's centre. The four components are interpolated alike.
#[derive(Clone, Copy, Debug, Default)]
struct Slow {
    /// Apparent less mean time, rad: the Greenwich hour angle less half a turn, less the mean turn since midnight.
    apparent_less_mean_rad: f64,
    sin_declination: f64,
    cos_declination: f64,
    sin_parallax: f64,
}

impl Slow {
    /// From the sun at midnight in universal time.
    fn from_geocentric(sun: &GeocentricSun) -> Self {
        if sun.distance_au <= 0.0 {
            return Self::default();
        }
        let (sin_declination, cos_declination) = libm::sincos(sun.declination_deg.to_radians());
        Self {
            apparent_less_mean_rad: half_turn_about_zero_deg(sun.greenwich_hour_angle_deg - 180.0)
                .to_radians(),
            sin_declination,
            cos_declination,
            // Reda & Andreas (2004), equation 30.
            sin_parallax: libm::sin((8.794 / (3600.0 * sun.distance_au)).to_radians()),
        }
    }

    fn map(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            apparent_less_mean_rad: f(self.apparent_less_mean_rad, other.apparent_less_mean_rad),
            sin_declination: f(self.sin_declination, other.sin_declination),
            cos_declination: f(self.cos_declination, other.cos_declination),
            sin_parallax: f(self.sin_parallax, other.sin_parallax),
        }
    }
}

/// The slow quantities at knots before, in and after the grid.
struct Geocentre {
    first_knot: i64,
    knots: Vec<Slow>,
}

impl Geocentre {
    fn new(grid: &TimeGrid, delta_t_s: f64) -> Self {
        let knots_of = |index| {
            grid.universal_half_s(index)
                .div_euclid(HALF_SECONDS_PER_KNOT)
        };
        let (first, last) = if grid.is_empty() {
            (0, -9)
        } else {
            let (first, last) = (knots_of(0), knots_of(grid.len() - 1));
            let steps_per_knot = HALF_SECONDS_PER_KNOT / (2 * i64::from(grid.step_s.max(1)));
            let spans = i64::from(grid.steps) / steps_per_knot.max(1) + 1;
            if last - first + 1 >= spans {
                (first, last)
            } else {
                // The grid passes 31 December and comes back to January.
                (-1, 367 / DAYS_PER_KNOT)
            }
        };
        let midnight = Moment::from_calendar((grid.year, 1, 1), (0, 0, 0.0), delta_t_s);
        let slow_at = |knot: i64| {
            let days = share(knot * DAYS_PER_KNOT, 1);
            let sun = midnight
                .and_then(|midnight| midnight.later_by_days(days))
                .and_then(geocentric_sun)
                .unwrap_or_default();
            Slow::from_geocentric(&sun)
        };
        Self {
            first_knot: first - KNOTS_BEFORE,
            knots: (first - KNOTS_BEFORE..=last + KNOTS_BEFORE + 1)
                .map(slow_at)
                .collect(),
        }
    }

    /// The curve for the moments between `knot` and the next.
    fn course(&self, knot: i64) -> Course {
        let first = usize::try_from(knot - KNOTS_BEFORE - self.first_knot).unwrap_or(usize::MAX);
        Course::through(core::array::from_fn(|offset| {
            first
                .checked_add(offset)
                .and_then(|index| self.knots.get(index))
                .copied()
                .unwrap_or_default()
        }))
    }
}

/// A curve through equally spaced knots, in Newton's form: forward differences, each over its factorial.
#[derive(Clone, Copy, Debug, Default)]
struct Course {
    differences: [Slow; CURVE_KNOTS],
}

impl Course {
    fn through(mut knots: [Slow; CURVE_KNOTS]) -> Self {
        let mut order = 1.0;
        for done in 1..CURVE_KNOTS {
            for index in (done..CURVE_KNOTS).rev() {
                knots[index] = knots[index].map(knots[index - 1], |a, b| (a - b) / order);
            }
            order += 1.0;
        }
        Self { differences: knots }
    }

    /// The value at a share of the span in which the curve is used.
    #[inline]
    fn at(&self, past_knot: f64) -> Slow {
        let [mut value, ..] = self.differences;
        let mut product = 1.0;
        let mut from_knot = past_knot + share(KNOTS_BEFORE, 1);
        for difference in &self.differences[1..] {
            product *= from_knot;
            from_knot -= 1.0;
            value = value.map(*difference, |value, difference| {
                value + product * difference
            });
        }
        value
    }
}

/// What the observer's place adds.
struct Topocentre {
    longitude_rad: f64,
    sin_latitude: f64,
    cos_latitude: f64,
    /// The observer's distance from the Earth's axis and from the plane of the equator, over the equator's radius.
    axis_distance: f64,
    equator_distance: f64,
    observer: Observer,
}

impl Topocentre {
    /// Reda & Andreas (2004), equations 31 to 33.
    fn new(observer: &Observer) -> Self {
        const FLATTENED: f64 = 0.996_647_19;
        const EARTH_RADIUS_M: f64 = 6_378_140.0;
        let location = observer.location;
        let latitude_rad = location.latitude_deg.to_radians();
        let (sin_latitude, cos_latitude) = libm::sincos(latitude_rad);
        let (sin_u, cos_u) = libm::sincos(libm::atan(FLATTENED * libm::tan(latitude_rad)));
        let height = location.elevation_m / EARTH_RADIUS_M;
        Self {
            longitude_rad: location.longitude_deg.to_radians(),
            sin_latitude,
            cos_latitude,
            axis_distance: cos_u + height * cos_latitude,
            equator_distance: FLATTENED * sin_u + height * sin_latitude,
            observer: *observer,
        }
    }

    /// The sun from the slow quantities and the Earth's turn since midnight in universal time, 0 to 1.
    ///
    /// Reda & Andreas (2004), equations 34 to 40, as one vector: the observer's place is taken from the sun's direction,
    /// and what is left is turned to east, north and up.
    #[inline]
    fn sun(&self, slow: &Slow, turn: f64, extraterrestrial_normal_w_m2: f64) -> Sun {
        let hour_angle_rad = TAU * (turn + 0.5) + slow.apparent_less_mean_rad + self.longitude_rad;
        let (sin_h, cos_h) = libm::sincos(hour_angle_rad);
        let meridian = slow.cos_declination * cos_h - self.axis_distance * slow.sin_parallax;
        let west = slow.cos_declination * sin_h;
        let pole = slow.sin_declination - self.equator_distance * slow.sin_parallax;
        let up = self.cos_latitude * meridian + self.sin_latitude * pole;
        let north = self.cos_latitude * pole - self.sin_latitude * meridian;
        let level = (north * north + west * west).sqrt();
        let length = (level * level + up * up).sqrt();
        let (up, level_share) = (up / length, level / length);

        let zenith_rad = libm::atan2(level_share, up);
        let refraction_rad = refraction_rad(
            core::f64::consts::FRAC_PI_2 - zenith_rad,
            self.observer.pressure_pa,
            self.observer.air_c,
            self.observer.refraction_at_horizon_deg,
        );
        let apparent_zenith_rad = zenith_rad - refraction_rad;
        let (sin_r, cos_r) = libm::sincos(refraction_rad);
        let apparent_up = up * cos_r + level_share * sin_r;
        let apparent_level = level_share * cos_r - up * sin_r;
        // Straight overhead there is no azimuth; the level part is 0 then.
        let per_level = if level > 0.0 {
            apparent_level / level
        } else {
            0.0
        };
        Sun {
            direction: Direction {
                east: -west * per_level,
                north: north * per_level,
                up: apparent_up,
            },
            apparent_zenith_rad,
            cos_zenith: up,
            relative_air_mass: relative_air_mass(apparent_zenith_rad),
            extraterrestrial_normal_w_m2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::Location;

    #[test]
    fn days_asked_for_alone_or_across_new_year_are_those_of_the_whole_year() {
        let observer = Observer::in_standard_air(Location {
            latitude_deg: 48.2,
            longitude_deg: 16.4,
            elevation_m: 170.0,
        });
        let year = SunTable::new(&observer, TimeGrid::whole_year(900, 3600), DELTA_T_S);
        for (first_day, days) in [(0, 1), (171, 1), (172, 3), (364, 1), (360, 10), (100, 365)] {
            let grid = TimeGrid::days(first_day, days, 900, 3600);
            let alone = SunTable::new(&observer, grid, DELTA_T_S);
            assert_eq!(alone.suns.len(), days as usize * 96);
            for (index, sun) in alone.suns.iter().enumerate() {
                let in_year = (first_day as usize * 96 + index) % year.suns.len();
                let same = &year.suns[in_year];
                assert_eq!(sun.direction, same.direction, "{first_day} {index}");
                assert_eq!(sun.cos_zenith, same.cos_zenith);
            }
        }
        let none = SunTable::new(&observer, TimeGrid::days(5, 0, 900, 0), DELTA_T_S);
        assert!(none.suns.is_empty());
    }
}
