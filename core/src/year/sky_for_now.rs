//! An hourly file held over each hour.

use crate::climate::{Weather, WeatherFile};
use crate::sky::SunTable;

pub(super) fn file_weather(file: &WeatherFile, suns: &SunTable) -> Weather {
    let per_hour = (3600 / suns.grid.step_s).max(1) as usize;
    let hold = |series: &[f64]| {
        (0..suns.suns.len())
            .map(|i| series.get(i / per_hour).copied().unwrap_or(0.0))
            .collect()
    };
    Weather {
        ghi_w_m2: hold(&file.ghi_w_m2),
        dni_w_m2: hold(&file.dni_w_m2),
        dhi_w_m2: hold(&file.dhi_w_m2),
        air_c: hold(&file.air_c),
        wind_m_s: hold(&file.wind_m_s),
    }
}
