//! The built-in world grid of monthly means.
//!
//! 40 planes of 180 rows and 360 columns of bytes, 1° by 1°: row 0 is centred on 89.5° N and goes south, column 0 on 179.5° W and
//! goes east. Planes by number: 0 to 11 clearness `v / 250`, January first; 12 to 23 mean air temperature `v / 2 − 80` °C; 24 to 35
//! mean daily range `v / 10` K; 36 mean yearly minimum `v / 2 − 80` °C; 37 temperature that 2 % of the hours exceed
//! `v / 2 − 40` °C; 38 mean height of the land `25 v − 500` m; 39 share of land, %.
//!
//! In the file every month less the month before, and then every cell less its western neighbour, stands modulo 256: so it packs
//! to two thirds.

use super::{MonthlyClimate, ReadError};
use crate::sky::{
    Location, spencer_declination_rad, spencer_distance_factor, sunset_hour_angle_rad,
};

const ROWS: usize = 180;
const COLUMNS: usize = 360;
const CELLS: usize = ROWS * COLUMNS;
const PLANES: usize = 40;
const AIR_MEAN: usize = 12;
const AIR_RANGE: usize = 24;
const YEARLY_LOW: usize = 36;
const YEARLY_HIGH: usize = 37;
const LAND_HEIGHT: usize = 38;
const LAND_SHARE: usize = 39;

/// Fall of air temperature with height, K/m.
const LAPSE_K_PER_M: f64 = 0.006;

/// Solar constant with which the grid's clearness was made, W/m².
const SOLAR_CONSTANT_W_M2: f64 = 1361.0;

/// Day of the year, from 1, that stands for each month (Klein 1977, Solar Energy 19, 325-329).
pub(super) const MEAN_DAY_OF_MONTH: [f64; 12] = [
    17.0, 47.0, 75.0, 105.0, 135.0, 162.0, 198.0, 228.0, 258.0, 288.0, 318.0, 344.0,
];

/// The world's monthly climate.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateGrid {
    cells: Vec<u8>,
}

impl ClimateGrid {
    /// Takes the unpacked bytes of `climate.bin.gz`.
    ///
    /// # Errors
    /// If there are not 2,592,000 bytes.
    pub fn decode(bytes: &[u8]) -> Result<Self, ReadError> {
        if bytes.len() != PLANES * CELLS {
            return Err(ReadError::new(
                0,
                0,
                &format!("{} bytes", bytes.len()),
                "the climate grid of 2592000 bytes",
            ));
        }
        let mut cells = Vec::with_capacity(bytes.len());
        for row in bytes.chunks(COLUMNS) {
            let mut value: u8 = 0;
            for &difference in row {
                value = value.wrapping_add(difference);
                cells.push(value);
            }
        }
        for plane in (0..YEARLY_LOW).filter(|plane| plane % 12 != 0) {
            let (before, after) = cells.split_at_mut(plane * CELLS);
            let month_before = before.iter().skip((plane - 1) * CELLS);
            for (value, &month_before) in after.iter_mut().zip(month_before) {
                *value = value.wrapping_add(month_before);
            }
        }
        Ok(Self { cells })
    }

    /// Monthly means at a place, temperatures brought to its height by 6 K per km.
    ///
    /// Between the four nearest cell centres values are interpolated in both directions; cells of open sea count only where
    /// there is no land among the four. Numbers that are not finite are taken as 0.
    #[must_use]
    pub fn at(&self, location: &Location) -> MonthlyClimate {
        let corners = self.corners(location);
        let elevation_m = finite(location.elevation_m);
        let above_land_k = LAPSE_K_PER_M * (elevation_m - self.land_height_m(&corners));
        let latitude_rad = finite(location.latitude_deg)
            .clamp(-90.0, 90.0)
            .to_radians();
        let month = |first: usize, scale: f64, zero: f64| -> [f64; 12] {
            core::array::from_fn(|month| self.mean(&corners, first + month) * scale + zero)
        };
        let clearness = month(0, 1.0 / 250.0, 0.0);
        MonthlyClimate {
            ghi_wh_m2_day: core::array::from_fn(|month| {
                clearness[month] * mean_day_extraterrestrial_wh_m2(month, latitude_rad)
            }),
            air_mean_c: month(AIR_MEAN, 0.5, -80.0 - above_land_k),
            air_range_k: month(AIR_RANGE, 0.1, 0.0),
            yearly_low_c: self.mean(&corners, YEARLY_LOW) * 0.5 - 80.0 - above_land_k,
            yearly_high_c: self.mean(&corners, YEARLY_HIGH) * 0.5 - 40.0 - above_land_k,
        }
    }

    /// Mean height of the land about a place, m: a first guess where the place's own height is not known.
    #[must_use]
    pub fn elevation_m(&self, latitude_deg: f64, longitude_deg: f64) -> f64 {
        self.land_height_m(&self.corners(&Location {
            latitude_deg,
            longitude_deg,
            elevation_m: 0.0,
        }))
    }

    fn land_height_m(&self, corners: &[Corner; 4]) -> f64 {
        self.mean(corners, LAND_HEIGHT) * 25.0 - 500.0
    }

    fn mean(&self, corners: &[Corner; 4], plane: usize) -> f64 {
        corners
            .iter()
            .map(|corner| corner.weight * self.value(plane, corner.cell))
            .sum()
    }

    fn value(&self, plane: usize, cell: usize) -> f64 {
        self.cells
            .get(plane * CELLS + cell)
            .map_or(0.0, |&value| f64::from(value))
    }

    /// The four cells about a place with their weights, which add up to 1.
    fn corners(&self, location: &Location) -> [Corner; 4] {
        let last_row = 179.0;
        let row = (89.5 - finite(location.latitude_deg)).clamp(0.0, last_row);
        let column = (finite(location.longitude_deg) + 179.5).rem_euclid(360.0);
        let (north, past_north) = whole_and_rest(row);
        let (west, past_west) = whole_and_rest(column);
        let south = (north + 1).min(ROWS - 1);
        let (west, east) = (west % COLUMNS, (west + 1) % COLUMNS);
        let corner = |row: usize, column: usize, weight: f64| Corner {
            cell: row * COLUMNS + column,
            weight,
        };
        let mut corners = [
            corner(north, west, (1.0 - past_north) * (1.0 - past_west)),
            corner(north, east, (1.0 - past_north) * past_west),
            corner(south, west, past_north * (1.0 - past_west)),
            corner(south, east, past_north * past_west),
        ];
        let land_weight = |corner: &Corner| {
            if self.value(LAND_SHARE, corner.cell) > 0.0 {
                corner.weight
            } else {
                0.0
            }
        };
        let land: f64 = corners.iter().map(land_weight).sum();
        if land > 0.0 {
            for corner in &mut corners {
                corner.weight = land_weight(corner) / land;
            }
        }
        corners
    }
}

/// Irradiation of the level above the air on the mean day of a month, Wh/m², as the grid's clearness was made with it.
///
/// Source: Spencer (1971), Search 2, 172; solar constant 1361 W/m² (Kopp & Lean 2011).
fn mean_day_extraterrestrial_wh_m2(month: usize, latitude_rad: f64) -> f64 {
    let day = MEAN_DAY_OF_MONTH.get(month).copied().unwrap_or(1.0);
    let declination_rad = spencer_declination_rad(day);
    let sunset_rad = sunset_hour_angle_rad(latitude_rad, declination_rad);
    let (sin_latitude, cos_latitude) = libm::sincos(latitude_rad);
    let (sin_declination, cos_declination) = libm::sincos(declination_rad);
    24.0 / core::f64::consts::PI
        * SOLAR_CONSTANT_W_M2
        * spencer_distance_factor(day)
        * (sunset_rad * sin_latitude * sin_declination
            + cos_latitude * cos_declination * libm::sin(sunset_rad))
}

#[derive(Clone, Copy)]
struct Corner {
    cell: usize,
    weight: f64,
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

/// Parts a number from 0 to 360 into its whole and what is left.
fn whole_and_rest(value: f64) -> (usize, f64) {
    let whole = value.floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "callers give 0 to 360"
    )]
    let index = whole as usize;
    (index, value - whole)
}
