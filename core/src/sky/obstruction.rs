//! What stands between a plane and the sky.

use core::f64::consts::{FRAC_PI_2, TAU};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plane::Plane;
use super::table::{Direction, Sun};
use crate::maths::interpolate;

/// How diffuse light is laid on a tilted plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SkyModel {
    /// Perez et al. (1990).
    Perez,
    /// Hay and Davies (1980).
    HayDavies,
    /// The same brightness everywhere.
    Isotropic,
}

/// Height of the horizon around a plane; no points: a level horizon.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Horizon(pub Vec<HorizonPoint>);

/// One point of a horizon.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HorizonPoint {
    /// Direction, ° clockwise from north, 0 to 360.
    pub azimuth_deg: f64,
    /// Height above level, °, 0 to 90.
    pub elevation_deg: f64,
}

/// Share of the beam lost to near objects: twelve months, each with 24 hours of local standard time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct ShadeTable(pub Vec<Vec<f64>>);

impl ShadeTable {
    /// Share of the beam lost, 0 to 1; 0 where the table has no such month or hour.
    ///
    /// - `month`: 0 is January
    /// - `hour`: 0 is the hour after midnight, local standard time
    #[must_use]
    pub fn lost_share(&self, month: usize, hour: usize) -> f64 {
        self.0
            .get(month)
            .and_then(|hours| hours.get(hour))
            .map_or(0.0, |share| share.clamp(0.0, 1.0))
    }
}

/// A horizon made ready for many questions: points in order of direction, closed around the circle.
#[derive(Clone, Debug, PartialEq)]
pub struct Skyline {
    azimuths_rad: Vec<f64>,
    elevations_rad: Vec<f64>,
}

impl Skyline {
    /// Orders the points; between them the horizon runs straight in direction and height. Points with numbers that are
    /// not finite are left out.
    #[must_use]
    pub fn new(horizon: &Horizon) -> Self {
        let mut points: Vec<(f64, f64)> = horizon
            .0
            .iter()
            .map(|point| {
                (
                    point.azimuth_deg.to_radians().rem_euclid(TAU),
                    point.elevation_deg.to_radians().clamp(0.0, FRAC_PI_2),
                )
            })
            .filter(|(azimuth_rad, elevation_rad)| {
                azimuth_rad.is_finite() && elevation_rad.is_finite()
            })
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let (Some(&first), Some(&last)) = (points.first(), points.last()) {
            points.insert(0, (last.0 - TAU, last.1));
            points.push((first.0 + TAU, first.1));
        }
        let (azimuths_rad, elevations_rad) = points.into_iter().unzip();
        Self {
            azimuths_rad,
            elevations_rad,
        }
    }

    /// Whether the horizon is level all around.
    #[must_use]
    pub fn is_level(&self) -> bool {
        self.elevations_rad
            .iter()
            .all(|&elevation| elevation <= 0.0)
    }

    /// Height of the horizon in a direction, rad.
    #[must_use]
    pub fn elevation_rad(&self, azimuth_rad: f64) -> f64 {
        interpolate(
            azimuth_rad.rem_euclid(TAU),
            &self.azimuths_rad,
            &self.elevations_rad,
        )
    }

    /// Whether the centre of the sun stands above the horizon.
    #[must_use]
    pub fn shows(&self, sun: &Sun) -> bool {
        sun.is_up()
            && (self.azimuths_rad.is_empty()
                || FRAC_PI_2 - sun.apparent_zenith_rad
                    > self.elevation_rad(sun.direction.azimuth_rad()))
    }

    /// Share of an even sky's light on a plane that the horizon leaves, 0 to 1.
    ///
    /// Derived: both the open and the remaining sky are summed over patches of 1° by 1°, each weighed with its solid angle
    /// and the cosine of its angle to the direction square to the plane.
    #[must_use]
    pub fn sky_share(&self, plane: &Plane) -> f64 {
        if self.is_level() {
            return 1.0;
        }
        let normal = plane.normal();
        let (mut open, mut left) = (0.0, 0.0);
        for azimuth_deg in 0..360 {
            let azimuth_rad = (f64::from(azimuth_deg) + 0.5).to_radians();
            let horizon_rad = self.elevation_rad(azimuth_rad);
            for elevation_deg in 0..90 {
                let elevation_rad = (f64::from(elevation_deg) + 0.5).to_radians();
                let direction = Direction::from_angles(FRAC_PI_2 - elevation_rad, azimuth_rad);
                let light = libm::cos(elevation_rad) * normal.dot(&direction).max(0.0);
                open += light;
                if elevation_rad > horizon_rad {
                    left += light;
                }
            }
        }
        if open > 0.0 { left / open } else { 1.0 }
    }
}

#[cfg(test)]
mod tests {
    use core::f64::consts::PI;

    use super::*;

    fn horizon(points: &[(f64, f64)]) -> Skyline {
        Skyline::new(&Horizon(
            points
                .iter()
                .map(|&(azimuth_deg, elevation_deg)| HorizonPoint {
                    azimuth_deg,
                    elevation_deg,
                })
                .collect(),
        ))
    }

    #[test]
    fn a_horizon_runs_straight_between_its_points_and_through_north() {
        let skyline = horizon(&[(270.0, 30.0), (90.0, 10.0)]);
        for (azimuth_deg, elevation_deg) in [
            (90.0, 10.0),
            (180.0, 20.0),
            (225.0, 25.0),
            (0.0, 20.0),
            (315.0, 25.0),
        ] {
            let found_deg = skyline
                .elevation_rad(f64::to_radians(azimuth_deg))
                .to_degrees();
            assert!((found_deg - elevation_deg).abs() < 1e-12, "{azimuth_deg}");
        }
    }

    #[test]
    fn the_sun_is_hidden_behind_a_hill_and_below_a_level_horizon() {
        let sun = |elevation_deg: f64, azimuth_deg: f64| {
            Sun::from_angles(
                (90.0 - elevation_deg).to_radians(),
                azimuth_deg.to_radians(),
                1367.0,
            )
        };
        let hill = horizon(&[(80.0, 0.0), (90.0, 12.0), (100.0, 0.0)]);
        assert!(!hill.shows(&sun(11.9, 90.0)));
        assert!(hill.shows(&sun(12.1, 90.0)));
        assert!(hill.shows(&sun(0.1, 200.0)));
        let level = horizon(&[]);
        assert!(level.shows(&sun(0.1, 200.0)) && !level.shows(&sun(-0.1, 200.0)));
    }

    /// Derived: under an even sky a ring up to the height h takes sin²h of the light from a level plane.
    #[test]
    fn a_ring_of_hills_takes_the_square_of_its_sine_from_a_level_plane() {
        let level = Plane {
            tilt_rad: 0.0,
            azimuth_rad: PI,
            albedo: 0.2,
        };
        let ring = horizon(&[(0.0, 30.0)]);
        assert!((ring.sky_share(&level) - 0.75).abs() < 1e-3);
        assert_eq!(horizon(&[(0.0, 0.0)]).sky_share(&level), 1.0);
    }

    #[test]
    fn a_shade_table_without_a_month_or_hour_takes_nothing() {
        let table = ShadeTable(vec![vec![0.5; 24]; 3]);
        assert_eq!(table.lost_share(2, 23), 0.5);
        assert_eq!(table.lost_share(3, 0), 0.0);
        assert_eq!(table.lost_share(0, 24), 0.0);
    }
}
