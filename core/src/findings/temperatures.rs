//! The cold and the heat that strings are judged at.

use serde::{Deserialize, Serialize};

use crate::climate::{ClimateGrid, MonthlyClimate};
use crate::household::{ClimateSource, Site};
use crate::sky::Location;

/// The cold and the heat that strings are judged at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DesignTemperatures {
    /// Lowest air temperature, °C; none: not known.
    pub low_c: Option<f64>,
    /// Whether `low_c` is estimated from the climate.
    pub low_is_estimated: bool,
    /// Air temperature that 2 % of the hours exceed, °C; none: not known.
    pub high_c: Option<f64>,
}

/// How much colder than the mean yearly minimum the record may be, K.
///
/// Source: chosen; a record of some decades lies about two standard deviations of yearly minima below their mean.
const RECORD_BELOW_YEARLY_LOW_K: f64 = 7.0;

impl DesignTemperatures {
    /// The temperatures of a site.
    ///
    /// `grid`: the built-in climate, for sites that take their weather from it. The record low that was given comes first; else it
    /// is estimated from the climate's mean yearly minimum less 7 K.
    #[must_use]
    pub fn of(site: &Site, grid: Option<&ClimateGrid>) -> Self {
        let (yearly_low_c, high_c) = match &site.climate {
            ClimateSource::Grid => grid
                .map(|grid| {
                    grid.at(&Location {
                        latitude_deg: site.latitude_deg,
                        longitude_deg: site.longitude_deg,
                        elevation_m: site.elevation_m,
                    })
                })
                .map_or((None, None), |climate| of_months(&climate)),
            ClimateSource::Monthly(climate) => of_months(climate),
            ClimateSource::File(file) => of_hours(&file.air_c),
        };
        Self {
            low_c: site
                .record_low_c
                .or(yearly_low_c.map(|low_c| low_c - RECORD_BELOW_YEARLY_LOW_K)),
            low_is_estimated: site.record_low_c.is_none(),
            high_c,
        }
    }
}

fn of_months(climate: &MonthlyClimate) -> (Option<f64>, Option<f64>) {
    (Some(climate.yearly_low_c), Some(climate.yearly_high_c))
}

/// Lowest value, and the value that one hour in fifty exceeds.
fn of_hours(air_c: &[f64]) -> (Option<f64>, Option<f64>) {
    let mut sorted: Vec<f64> = air_c
        .iter()
        .copied()
        .filter(|one| one.is_finite())
        .collect();
    sorted.sort_by(f64::total_cmp);
    let above = sorted.len() / 50;
    (
        sorted.first().copied(),
        sorted.iter().rev().nth(above).copied(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_percent_of_the_hours_are_hotter() {
        let air_c: Vec<f64> = (0..8760).map(|hour| f64::from(hour) / 100.0).collect();
        let (low_c, high_c) = of_hours(&air_c);
        let hotter = air_c.iter().filter(|one| **one > high_c.unwrap()).count();
        assert_eq!((low_c, hotter), (Some(0.0), 175));
        assert_eq!(of_hours(&[]), (None, None));
    }
}
