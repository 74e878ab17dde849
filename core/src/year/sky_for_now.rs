//! A clear-sky year scaled to monthly means.
use crate::climate::{MonthlyClimate, Weather, WeatherFile};
use crate::sky::{SunTable, days_of_month, erbs_split, haurwitz_ghi_w_m2};

pub(super) fn synthetic_year(monthly: &MonthlyClimate, _seed: u32, suns: &SunTable) -> Weather {
    let mut sums = [0.0; 12];
    let step_h = suns.grid.step_h();
    for (index, sun) in suns.suns.iter().enumerate() {
        sums[suns.grid.month(index)] += haurwitz_ghi_w_m2(sun.direction.up) * step_h;
    }
    let mut weather = Weather::default();
    for (index, sun) in suns.suns.iter().enumerate() {
        let month = suns.grid.month(index);
        let wanted = monthly.ghi_wh_m2_day[month] * f64::from(days_of_month(month));
        let ghi = haurwitz_ghi_w_m2(sun.direction.up) * wanted / sums[month].max(1.0);
        let split = erbs_split(ghi, sun.cos_zenith, sun.extraterrestrial_normal_w_m2);
        weather.ghi_w_m2.push(ghi);
        weather.dni_w_m2.push(split.dni_w_m2);
        weather.dhi_w_m2.push(split.dhi_w_m2);
        weather.air_c.push(
            monthly.air_mean_c[month]
                + 0.5
                    * monthly.air_range_k[month]
                    * libm::cos((suns.grid.hour(index) - 15.0) / 24.0 * std::f64::consts::TAU),
        );
        weather.wind_m_s.push(2.0);
    }
    weather
}

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
