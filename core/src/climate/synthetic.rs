//! A year of weather from monthly means.
//!
//! First every day gets its clearness: by the distribution that days of a month of this mean have, one following the other with
//! the correlation that days have. Then the day's light is laid over its steps: along the average course of a day, disturbed
//! from hour to hour, nowhere brighter than a cloudless sky over very clean air. What falls on the level is parted into beam and
//! diffuse. The temperature has its own days and its course through the day.
//!
//! Days are made one by one from streams of their own, so a day asked for in steps of a minute is the same day as in the year.

use super::air_temperature::DailyTemperature;
use super::clearness::{MonthlySums, correlated_scores, day_scores, days_of_month};
use super::{MonthlyClimate, Weather};
use crate::maths::Random;
use crate::sky::{
    ClearAir, DAYS_PER_YEAR, Location, SunTable, absolute_air_mass, erbs_split,
    extraterrestrial_normal_w_m2, first_day_of_month, global_over_diffuse_share, month_of_day,
    relative_air_mass, spencer_declination_rad, standard_pressure_pa, sunset_hour_angle_rad,
};

/// Wind at the modules where no file gives it, m/s: that of the nominal operating temperature of modules (IEC 61215-2:2021).
pub const WIND_M_S: f64 = 1.0;

/// Linke turbidity of very clean, cold air: no sky without clouds is clearer.
const CLEANEST_LINKE_TURBIDITY: f64 = 2.0;

/// Steps keep to this share of the cloudless sky, so that bringing a month to its mean does not pass it.
const STEP_OF_CLOUDLESS: f64 = 0.98;

/// Days keep to this share, so that a day in closed form, which is off by up to 2 % in spring and autumn, fits into its steps.
const DAY_OF_CLOUDLESS: f64 = 0.95;

/// Streams of the random generator beside those of the 365 days.
const CLEARNESS_STREAM: u64 = 1000;
const TEMPERATURE_STREAM: u64 = 1001;

/// Weather at every step of a sun table's grid, made from monthly means.
///
/// Equal inputs give equal bits. With [`MonthlySums::Met`] each month that the grid holds as a whole has exactly the global
/// irradiation of `monthly`, as long as the sun rises in it; its mean temperature is met to about 0.1 K. A month that asks for
/// more than cloudless days give has cloudless days, brighter by what lacks. Wind is [`WIND_M_S`].
///
/// - `suns`: of the same location
/// - `seed`: another seed, another year
///
/// Sources: days: Bendt et al. (1981), Graham et al. (1988); mean course of the day: Collares-Pereira & Rabl (1979), Solar Energy
/// 22, 155-164; disturbance: Aguiar & Collares-Pereira (1992), Solar Energy 49, 167-174, doi:10.1016/0038-092X(92)90068-L,
/// hourly values carried to shorter steps with the same deviation; beam and diffuse: Erbs et al. (1982); temperature: Erbs
/// et al. (1983).
#[must_use]
pub fn synthetic_year(
    monthly: &MonthlyClimate,
    location: &Location,
    suns: &SunTable,
    seed: u64,
    sums: MonthlySums,
) -> Weather {
    let site = SkySite::new(location);
    let days = site.daily_light(monthly, seed, sums);
    let mut weather = Weather {
        ghi_w_m2: site.global_w_m2(&days, suns, seed),
        ..Weather::default()
    };
    if sums == MonthlySums::Met {
        meet_months(&mut weather.ghi_w_m2, monthly, suns);
    }
    (weather.dni_w_m2, weather.dhi_w_m2) = suns
        .suns
        .iter()
        .zip(&weather.ghi_w_m2)
        .map(|(sun, &ghi_w_m2)| {
            let split = erbs_split(ghi_w_m2, sun.cos_zenith, sun.extraterrestrial_normal_w_m2);
            (split.dni_w_m2, split.dhi_w_m2)
        })
        .unzip();
    weather.air_c = air_c(monthly, location, suns, seed);
    weather.wind_m_s = vec![WIND_M_S; suns.suns.len()];
    weather
}

/// Air temperature at every step of a sun table's grid.
fn air_c(monthly: &MonthlyClimate, location: &Location, suns: &SunTable, seed: u64) -> Vec<f64> {
    let grid = &suns.grid;
    let daily = DailyTemperature::new(monthly, &mut Random::seeded(seed, TEMPERATURE_STREAM));
    let solar_less_standard_h =
        location.longitude_deg / 15.0 - f64::from(grid.utc_offset_s) / 3600.0;
    (0..suns.suns.len())
        .map(|index| {
            let solar_h = (grid.hour(index) + solar_less_standard_h).rem_euclid(24.0);
            daily.at_c(grid.day(index), solar_h)
        })
        .collect()
}

/// One day's light before it is laid over steps.
#[derive(Clone, Copy, Debug, Default)]
struct DayLight {
    clearness: f64,
    global_wh_m2: f64,
    sunset_rad: f64,
    declination_rad: f64,
}

struct SkySite {
    sin_latitude: f64,
    cos_latitude: f64,
    latitude_rad: f64,
    pressure_pa: f64,
    cleanest: ClearAir,
}

impl SkySite {
    fn new(location: &Location) -> Self {
        let latitude_rad = location.latitude_deg.to_radians();
        let (sin_latitude, cos_latitude) = libm::sincos(latitude_rad);
        Self {
            sin_latitude,
            cos_latitude,
            latitude_rad,
            pressure_pa: standard_pressure_pa(location.elevation_m),
            cleanest: ClearAir::new(CLEANEST_LINKE_TURBIDITY, location.elevation_m),
        }
    }

    /// Clearness and global irradiation of all 365 days.
    fn daily_light(&self, monthly: &MonthlyClimate, seed: u64, sums: MonthlySums) -> Vec<DayLight> {
        let scores = day_scores(
            &mut Random::seeded(seed, CLEARNESS_STREAM),
            DAYS_PER_YEAR as usize,
        );
        let mut days = Vec::with_capacity(scores.len());
        for (month, mean_wh_m2) in monthly.ghi_wh_m2_day.iter().enumerate() {
            let first = first_day_of_month(month);
            let count = crate::sky::days_of_month(month);
            let above: Vec<AboveAir> = (first..first + count)
                .map(|day| self.above_air(day))
                .collect();
            let wanted_wh_m2 = mean_wh_m2.max(0.0) * f64::from(count);
            let above_wh_m2: f64 = above.iter().map(|day| day.level_wh_m2).sum();
            let mean = if above_wh_m2 > 0.0 {
                wanted_wh_m2 / above_wh_m2
            } else {
                0.0
            };
            let scores: Vec<f64> = scores
                .iter()
                .copied()
                .skip(first as usize)
                .take(count as usize)
                .collect();
            let clearness = days_of_month(mean, &scores, sums);
            let most: Vec<f64> = above
                .iter()
                .map(|day| DAY_OF_CLOUDLESS * day.cloudless_wh_m2)
                .collect();
            let mut global_wh_m2: Vec<f64> = above
                .iter()
                .zip(&clearness)
                .map(|(day, clearness)| clearness * day.level_wh_m2)
                .collect();
            let total_wh_m2 = match sums {
                MonthlySums::Met => wanted_wh_m2,
                MonthlySums::Drawn => global_wh_m2.iter().sum(),
            };
            fill_to(&mut global_wh_m2, &most, total_wh_m2);
            days.extend(
                above
                    .iter()
                    .zip(global_wh_m2)
                    .map(|(day, global_wh_m2)| DayLight {
                        clearness: if day.level_wh_m2 > 0.0 {
                            global_wh_m2 / day.level_wh_m2
                        } else {
                            0.0
                        },
                        global_wh_m2,
                        sunset_rad: day.sunset_rad,
                        declination_rad: day.declination_rad,
                    }),
            );
        }
        days
    }

    /// What a day could have at most, in closed form, independent of the steps of a run.
    fn above_air(&self, day: u32) -> AboveAir {
        const POINTS: u32 = 12;
        let day_of_year = f64::from(day) + 1.0;
        let declination_rad = spencer_declination_rad(day_of_year);
        let sunset_rad = sunset_hour_angle_rad(self.latitude_rad, declination_rad);
        let normal_w_m2 = extraterrestrial_normal_w_m2(day_of_year);
        let (sin_declination, cos_declination) = libm::sincos(declination_rad);
        let turning = self.cos_latitude * cos_declination;
        let steady = self.sin_latitude * sin_declination;
        let hours_per_rad = 12.0 / core::f64::consts::PI;
        let level_wh_m2 = (2.0
            * hours_per_rad
            * normal_w_m2
            * (sunset_rad * steady + turning * libm::sin(sunset_rad)))
        .max(0.0);
        let step_rad = sunset_rad / f64::from(POINTS);
        let cloudless_wh_m2 = (0..POINTS)
            .map(|point| {
                let hour_rad = (f64::from(point) + 0.5) * step_rad;
                let cos_zenith = (steady + turning * libm::cos(hour_rad)).clamp(0.0, 1.0);
                2.0 * step_rad
                    * hours_per_rad
                    * self.cloudless_w_m2(cos_zenith, libm::acos(cos_zenith), normal_w_m2)
            })
            .sum();
        AboveAir {
            level_wh_m2,
            cloudless_wh_m2,
            sunset_rad,
            declination_rad,
        }
    }

    fn cloudless_w_m2(&self, cos_zenith: f64, zenith_rad: f64, normal_w_m2: f64) -> f64 {
        let air_mass = absolute_air_mass(relative_air_mass(zenith_rad), self.pressure_pa);
        self.cleanest.ghi_w_m2(cos_zenith, air_mass, normal_w_m2)
    }

    /// Global irradiance at every step: each day laid over its own steps.
    fn global_w_m2(&self, days: &[DayLight], suns: &SunTable, seed: u64) -> Vec<f64> {
        let grid = &suns.grid;
        let steps_per_day = (86_400 / grid.step_s.max(1)).max(1) as usize;
        let mut ghi_w_m2 = vec![0.0; suns.suns.len()];
        let mut most_w_m2 = Vec::with_capacity(steps_per_day);
        for (index, steps) in ghi_w_m2.chunks_mut(steps_per_day).enumerate() {
            let first = index * steps_per_day;
            let day_number = grid.day(first);
            let Some(day) = days.get(day_number as usize) else {
                continue;
            };
            if day.global_wh_m2 <= 0.0 {
                continue;
            }
            let hours = HourlyDisturbance::new(seed, day_number, day.clearness);
            most_w_m2.clear();
            let (sin_declination, cos_declination) = libm::sincos(day.declination_rad);
            let turning = self.cos_latitude * cos_declination;
            let steady = self.sin_latitude * sin_declination;
            for (offset, (step, sun)) in steps
                .iter_mut()
                .zip(suns.suns.iter().skip(first))
                .enumerate()
            {
                let cos_zenith = sun.cos_zenith;
                if cos_zenith <= 0.0 {
                    most_w_m2.push(0.0);
                    continue;
                }
                let above_w_m2 = sun.extraterrestrial_normal_w_m2 * cos_zenith;
                let air_mass = absolute_air_mass(sun.relative_air_mass, self.pressure_pa);
                let most = STEP_OF_CLOUDLESS
                    * self
                        .cleanest
                        .ghi_w_m2(sun.direction.up, air_mass, sun.extraterrestrial_normal_w_m2)
                        .min(above_w_m2);
                // Heights far from any on Earth give air that no light comes through.
                let most = most.max(0.0);
                most_w_m2.push(most);
                // The hour angle's cosine from the sun's height; near the poles every hour is alike.
                let cos_hour = if turning > 1e-6 {
                    ((cos_zenith - steady) / turning).clamp(-1.0, 1.0)
                } else {
                    0.0
                };
                let mean = day.clearness * mean_course(cos_hour, day.sunset_rad);
                let disturbance = hours.at(grid.hour(first + offset), cos_zenith);
                *step = ((mean + disturbance).max(0.05 * mean) * above_w_m2).clamp(0.0, most);
            }
            fill_to(steps, &most_w_m2, day.global_wh_m2 / grid.step_h());
        }
        ghi_w_m2
    }
}

struct AboveAir {
    level_wh_m2: f64,
    cloudless_wh_m2: f64,
    sunset_rad: f64,
    declination_rad: f64,
}

/// Clearness of an hour over that of its day on average: `a + b cos ω`.
fn mean_course(cos_hour: f64, sunset_rad: f64) -> f64 {
    let noon = global_over_diffuse_share(0.0, sunset_rad);
    let quarter = global_over_diffuse_share(core::f64::consts::FRAC_PI_2, sunset_rad);
    (quarter + (noon - quarter) * cos_hour).max(0.0)
}

/// How the hours of a day depart from their mean course.
struct HourlyDisturbance {
    scores: Vec<f64>,
    correlation: f64,
    overhead: f64,
    toward_horizon: f64,
}

impl HourlyDisturbance {
    /// Aguiar & Collares-Pereira (1992): `σ = A exp(B (1 − sin h))`, `A = 0.14 exp(−20 (K − 0.35)²)`,
    /// `B = 3 (K − 0.45)² + 16 K⁵`, correlation from hour to hour `0.38 + 0.06 cos(7.4 K − 2.5)`.
    fn new(seed: u64, day: u32, clearness: f64) -> Self {
        let k = clearness.clamp(0.0, 1.0);
        let correlation = 0.38 + 0.06 * libm::cos(7.4 * k - 2.5);
        let mut random = Random::seeded(seed, u64::from(day));
        Self {
            // One more hour on either side closes the day.
            scores: correlated_scores(&mut random, 26, correlation),
            correlation,
            overhead: 0.14 * libm::exp(-20.0 * (k - 0.35) * (k - 0.35)),
            toward_horizon: 3.0 * (k - 0.45) * (k - 0.45) + 16.0 * k * k * k * k * k,
        }
    }

    /// The departure at an hour of the day, with the sine of the sun's height. Between the middles of hours the score runs straight
    /// and is widened so that its deviation stays 1.
    fn at(&self, hour: f64, sin_height: f64) -> f64 {
        let place = hour.clamp(0.0, 24.0) + 0.5;
        let before = place.floor();
        let share = place - before;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 24"
        )]
        let index = before as usize;
        let score = |index: usize| self.scores.get(index).copied().unwrap_or(0.0);
        let rest = 1.0 - share;
        let straight = rest * score(index) + share * score(index + 1);
        let deviation =
            (rest * rest + share * share + 2.0 * rest * share * self.correlation).sqrt();
        let spread = self.overhead * libm::exp(self.toward_horizon * (1.0 - sin_height));
        spread * straight / deviation
    }
}

/// Scales values in proportion until they add up to `total`, none above its own `most`. If even all of them at their most give
/// less, they stand at their most in proportion to what lacks; if all are 0, they take their share of the most.
fn fill_to(values: &mut [f64], most: &[f64], total: f64) {
    let most_of_all: f64 = most.iter().sum();
    let sum: f64 = values.iter().sum();
    if sum <= 0.0 || total >= most_of_all {
        let share = if most_of_all > 0.0 {
            total / most_of_all
        } else {
            0.0
        };
        for (value, &most) in values.iter_mut().zip(most) {
            *value = most * share;
        }
        return;
    }
    // The scale rises from round to round as values reach their most and the others take over; each round adds at least one.
    let mut scale = total / sum;
    for _ in 0..values.len() {
        let (mut fixed, mut free) = (0.0, 0.0);
        for (&value, &most) in values.iter().zip(most) {
            if scale * value >= most {
                fixed += most;
            } else {
                free += value;
            }
        }
        if free <= 0.0 {
            break;
        }
        let next = (total - fixed) / free;
        if next <= scale {
            break;
        }
        scale = next;
    }
    for (value, &most) in values.iter_mut().zip(most) {
        *value = (scale * *value).min(most);
    }
}

/// Brings each month that the grid holds as a whole to its mean: daily sums in closed form and over steps differ by little.
fn meet_months(ghi_w_m2: &mut [f64], monthly: &MonthlyClimate, suns: &SunTable) {
    let grid = &suns.grid;
    let steps_per_day = (86_400 / grid.step_s.max(1)).max(1) as usize;
    let mut sums_wh_m2 = [0.0; 12];
    let mut days = [0_u32; 12];
    let month_of_chunk = |index: usize| month_of_day(grid.day(index * steps_per_day));
    for (index, steps) in ghi_w_m2.chunks(steps_per_day).enumerate() {
        let month = month_of_chunk(index);
        sums_wh_m2[month] += steps.iter().sum::<f64>() * grid.step_h();
        days[month] += 1;
    }
    for (index, steps) in ghi_w_m2.chunks_mut(steps_per_day).enumerate() {
        let month = month_of_chunk(index);
        let wanted_wh_m2 = monthly.ghi_wh_m2_day[month].max(0.0) * f64::from(days[month]);
        if days[month] == crate::sky::days_of_month(month) && sums_wh_m2[month] > 0.0 {
            let scale = wanted_wh_m2 / sums_wh_m2[month];
            for step in steps {
                *step *= scale;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_filled_to_their_total_and_not_beyond_their_most() {
        let most = [4.0, 10.0, 2.0, 0.0];
        for total in [0.5, 3.0, 6.0, 12.0, 15.9] {
            let mut values = [3.0, 1.0, 2.0, 0.0];
            fill_to(&mut values, &most, total);
            assert!(
                (values.iter().sum::<f64>() - total).abs() < 1e-12,
                "{total}: {values:?}"
            );
            assert!(values.iter().zip(&most).all(|(value, most)| value <= most));
        }
        let mut dark = [0.0; 4];
        fill_to(&mut dark, &most, 8.0);
        assert_eq!(dark, [2.0, 5.0, 1.0, 0.0]);
        let mut over = [1.0, 1.0, 1.0, 0.0];
        fill_to(&mut over, &most, 32.0);
        assert_eq!(over, [8.0, 20.0, 4.0, 0.0]);
    }
}
