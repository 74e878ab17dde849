//! A whole hourly year of weather that the user gave.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{ReadError, Weather, read_epw, read_tmy3};
use crate::sky::{Sun, SunTable, haurwitz_ghi_w_m2};

/// An hourly year: 8,760 values each, the first for the hour from midnight to one on 1 January, local standard time. Irradiances are
/// means of their hour; temperature and wind were observed at its end.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeatherFile {
    /// Name of the station or file.
    pub name: String,
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Longitude, °, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Offset of the file's standard time from UTC, h, east positive.
    pub utc_offset_h: f64,
    /// Global irradiance on the level, W/m².
    pub ghi_w_m2: Arc<[f64]>,
    /// Beam irradiance square to the sun, W/m².
    pub dni_w_m2: Arc<[f64]>,
    /// Diffuse irradiance on the level, W/m².
    pub dhi_w_m2: Arc<[f64]>,
    /// Air temperature, °C.
    pub air_c: Arc<[f64]>,
    /// Wind speed, m/s.
    pub wind_m_s: Arc<[f64]>,
}

impl WeatherFile {
    /// Reads an EPW or a TMY3 file, told apart by their first line.
    ///
    /// # Errors
    /// As [`read_epw`] and [`read_tmy3`].
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let text = text.trim_start_matches('\u{feff}');
        let is_epw = text
            .get(..8)
            .is_some_and(|start| start.eq_ignore_ascii_case("LOCATION"));
        if is_epw {
            read_epw(text)
        } else {
            read_tmy3(text)
        }
    }

    /// The weather at every step of a sun table's grid.
    ///
    /// Within an hour, light follows a cloudless sky: global and diffuse light that of the level, the beam that square to the sun
    /// (Haurwitz 1945); each keeps its energy of every hour that the grid holds as a whole. In an hour without sun it lies evenly.
    /// Temperature and wind run straight from one observation to the next. Series that are too short end in zeros.
    #[must_use]
    pub fn on_grid(&self, suns: &SunTable) -> Weather {
        let clock = FileClock::new(self.utc_offset_h, suns);
        let of_level = |sun: &Sun| haurwitz_ghi_w_m2(sun.direction.up);
        let of_beam = |sun: &Sun| {
            if sun.direction.up > 0.0 {
                haurwitz_ghi_w_m2(sun.direction.up) / sun.direction.up
            } else {
                0.0
            }
        };
        Weather {
            ghi_w_m2: clock.shaped(&self.ghi_w_m2, suns, of_level),
            dni_w_m2: clock.shaped(&self.dni_w_m2, suns, of_beam),
            dhi_w_m2: clock.shaped(&self.dhi_w_m2, suns, of_level),
            air_c: clock.straight(&self.air_c, suns),
            wind_m_s: clock.straight(&self.wind_m_s, suns),
        }
    }
}

const HOURS_PER_YEAR: usize = 8760;

/// Where the steps of a grid lie among the hours of a file.
struct FileClock {
    /// Hours from the grid's standard time to the file's.
    ahead_h: f64,
}

impl FileClock {
    fn new(file_utc_offset_h: f64, suns: &SunTable) -> Self {
        let ahead_h = file_utc_offset_h - f64::from(suns.grid.utc_offset_s) / 3600.0;
        Self {
            ahead_h: if ahead_h.is_finite() { ahead_h } else { 0.0 },
        }
    }

    /// The hour of the file in which the middle of a step lies, and how far into it.
    fn hour(&self, index: usize, suns: &SunTable) -> (usize, f64) {
        let grid = &suns.grid;
        let in_year_h = f64::from(grid.day(index)) * 24.0 + grid.hour(index) + self.ahead_h;
        let in_year_h = in_year_h.rem_euclid(8760.0);
        let whole = in_year_h.floor();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 8760"
        )]
        let hour = whole as usize;
        (hour % HOURS_PER_YEAR, in_year_h - whole)
    }

    /// Lays each hour's mean over its steps in proportion to `shape`.
    fn shaped(&self, hourly: &[f64], suns: &SunTable, shape: impl Fn(&Sun) -> f64) -> Vec<f64> {
        let mean = |hour: usize| hourly.get(hour).copied().unwrap_or(0.0);
        let mut values: Vec<f64> = suns.suns.iter().map(shape).collect();
        let mut first = 0;
        while first < values.len() {
            let (hour, _) = self.hour(first, suns);
            let last = (first + 1..values.len())
                .find(|&index| self.hour(index, suns).0 != hour)
                .unwrap_or(values.len());
            let Some(steps) = values.get_mut(first..last) else {
                break;
            };
            let shape_sum: f64 = steps.iter().sum();
            let total = mean(hour) * count(steps);
            for step in steps.iter_mut() {
                *step = if shape_sum > 0.0 {
                    *step * total / shape_sum
                } else {
                    mean(hour)
                };
            }
            first = last;
        }
        values
    }

    /// Runs straight between values that stand at the ends of hours.
    fn straight(&self, at_end_of_hour: &[f64], suns: &SunTable) -> Vec<f64> {
        let value = |hour: usize| at_end_of_hour.get(hour).copied().unwrap_or(0.0);
        (0..suns.suns.len())
            .map(|index| {
                let (hour, past) = self.hour(index, suns);
                let before = value((hour + HOURS_PER_YEAR - 1) % HOURS_PER_YEAR);
                before + (value(hour) - before) * past
            })
            .collect()
    }
}

fn count(steps: &[f64]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "an hour has few steps")]
    let count = steps.len() as f64;
    count
}
